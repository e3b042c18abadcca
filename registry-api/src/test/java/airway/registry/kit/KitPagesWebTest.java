package airway.registry.kit;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.net.http.HttpRequest;
import org.junit.jupiter.api.Test;

/** The kit in the morning, as a page. */
class KitPagesWebTest extends ServedRegistry {
    @Test
    void tellsWithoutAClickWhatIsShortAndWhereEachItemIs() {
        Site unit = unit();
        Tester keeper = Tester.fresh(LOGINS).with(unit.no(), Role.KIT_KEEPER);
        assertThat(send(request("/kit", keeper).GET()).text()).contains("No reusable item is entered");
        made(keeper, "/api/v1/kit/kinds", "{\"title\": \"Straight, size 1\", \"least_ready\": 1}", 201);
        String item = made(
                        keeper,
                        "/api/v1/kit/items",
                        "{\"kind\": \"Straight, size 1\", \"name\": \"0417\", \"cycles_before\": 0}",
                        201)
                .header("Location");
        made(
                keeper,
                item + "/moves",
                "{\"move\": \"held\", \"seen\": 1, \"place\": \"Red box <1>\", \"reason\": \"a\"}",
                200);

        assertThat(send(request("/kit", keeper).GET()).text())
                .contains(
                        "0 ready, minimum 1: order it, or ask for what is away.",
                        "0417, Straight, size 1",
                        "Held since 24 Nov, 12:00; Red box &lt;1&gt;.");
    }

    private Answer made(Tester who, String path, String body, int status) {
        Answer answer = send(request(path, who)
                .header("Content-Type", "application/json")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
        assertThat(answer.status()).as(answer.text()).isEqualTo(status);
        return answer;
    }
}
