package airway.registry.people;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.Tester;
import java.io.IOException;
import java.net.CookieManager;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** A browser that follows where it is sent, and keeps its cookies. */
final class Visitor {
    private static final Pattern SECRET = Pattern.compile("name=\"_csrf\"[^>]* value=\"([^\"]+)\"");

    private final URI register;
    private final HttpClient http = HttpClient.newBuilder()
            .cookieHandler(new CookieManager())
            .followRedirects(HttpClient.Redirect.ALWAYS)
            .build();

    Visitor(URI register) {
        this.register = register;
    }

    HttpResponse<String> get(String path) {
        return ask(HttpRequest.newBuilder(register.resolve(path))
                .header("Accept", "text/html")
                .GET());
    }

    /** Sends a form to the page it stands on. */
    HttpResponse<String> fill(HttpResponse<String> page, String action, String... namesAndValues) {
        StringBuilder body = new StringBuilder("_csrf=").append(encoded(secret(page)));
        for (int i = 0; i < namesAndValues.length; i += 2) {
            body.append('&').append(namesAndValues[i]).append('=').append(encoded(namesAndValues[i + 1]));
        }
        return ask(HttpRequest.newBuilder(page.uri().resolve(action))
                .header("Accept", "text/html")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(body.toString())));
    }

    void signInByPassword(Tester person) {
        fill(get("/sign-in"), "/sign-in", "login", person.login(), "password", Tester.PASSWORD);
    }

    private static String secret(HttpResponse<String> page) {
        Matcher found = SECRET.matcher(page.body());
        assertThat(found.find()).as(page.body()).isTrue();
        return found.group(1);
    }

    private static String encoded(String text) {
        return URLEncoder.encode(text, StandardCharsets.UTF_8);
    }

    private HttpResponse<String> ask(HttpRequest.Builder request) {
        try {
            return http.send(request.build(), HttpResponse.BodyHandlers.ofString());
        } catch (IOException e) {
            throw new IllegalStateException(e);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException(e);
        }
    }
}
