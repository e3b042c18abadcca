package airway.registry.testing;

import airway.registry.RegistryApplication;
import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.sql.TestDatabase;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.Map;
import java.util.UUID;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.AtomicInteger;
import org.springframework.beans.factory.annotation.Autowired;
import org.springframework.boot.test.context.SpringBootTest;
import org.springframework.boot.test.context.TestConfiguration;
import org.springframework.boot.test.web.server.LocalServerPort;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Import;
import org.springframework.context.annotation.Primary;
import org.springframework.test.context.DynamicPropertyRegistry;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The whole application on real PostgreSQL, asked over HTTP; a test that is one says which database, and which keys. */
@SpringBootTest(classes = RegistryApplication.class, webEnvironment = SpringBootTest.WebEnvironment.RANDOM_PORT)
@Import(ServedProgram.FixedTime.class)
public abstract class ServedProgram {
    /** The present, for all tests. */
    public static final Instant NOW = Instant.parse("2026-11-24T12:00:00Z");

    private static final JsonMapper JSON = new JsonMapper();
    private static final AtomicInteger UNITS = new AtomicInteger();
    private static final Map<TestDatabase.Logins, Tester> TESTERS = new ConcurrentHashMap<>();
    private static final Map<TestDatabase.Logins, Tester> ADMINISTRATORS = new ConcurrentHashMap<>();
    private static final HttpClient HTTP = HttpClient.newHttpClient();

    @Autowired
    protected Sites sites;

    @LocalServerPort
    private int port;

    /** Leads the program to a database and a folder of keys. */
    protected static void database(DynamicPropertyRegistry settings, TestDatabase.Logins logins, String keys) {
        settings.add("airway.database.mode", () -> "external");
        settings.add("airway.database.network", () -> "own");
        settings.add("spring.datasource.url", () -> logins.app().url());
        settings.add("spring.datasource.username", () -> logins.app().user());
        settings.add("spring.datasource.password", () -> logins.app().password());
        settings.add("spring.flyway.user", () -> logins.owner().user());
        settings.add("spring.flyway.password", () -> logins.owner().password());
        settings.add("airway.sign-in.second-factor-for", () -> "administrator,auditor");
        settings.add("airway.requests-per-second", () -> "2000");
        settings.add("airway.data-dir", () -> "target/test-data");
        settings.add("airway.keys-dir", () -> keys);
        settings.add("airway.audit.heads-dir", () -> "target/test-heads/" + UUID.randomUUID());
    }

    /** Stops the clock, so that "ahead" and "complete" mean the same tomorrow. */
    @TestConfiguration
    static class FixedTime {
        @Bean
        @Primary
        Clock fixed() {
            return Clock.fixed(NOW, ZoneOffset.UTC);
        }
    }

    /** An answer over HTTP; the body as JSON when it is JSON. */
    public record Answer(int status, HttpResponse<String> response) {
        public JsonNode json() {
            return JSON.readTree(response.body());
        }

        public String text() {
            return response.body();
        }

        public String header(String name) {
            return response.headers().firstValue(name).orElse("");
        }
    }

    /** The database of the program. */
    protected abstract TestDatabase.Logins logins();

    /** The person all tests on this database share. */
    protected Tester tester() {
        return TESTERS.computeIfAbsent(logins(), Tester::fresh);
    }

    /** An administrator, whose token stands for the one-time codes. */
    protected Tester administrator() {
        return ADMINISTRATORS.computeIfAbsent(
                logins(), logins -> Tester.fresh(logins).with(null, Role.ADMINISTRATOR));
    }

    /** A new unit that only this test uses. */
    protected Site unit() {
        Site unit = strangeUnit();
        tester().with(unit.no(), Role.RECORDER, Role.IMPROVEMENT_LEAD);
        return unit;
    }

    /** A new unit with a code and a time zone of its own. */
    protected Site unit(String code, String zone, boolean invented) {
        return unit(code, "picu", zone, invented);
    }

    /** A new unit of another kind. */
    protected Site unit(String code, String kind, String zone, boolean invented) {
        Site unit = sites.add(code, "Unit " + code, kind, ZoneId.of(zone), invented);
        tester().with(unit.no(), Role.RECORDER, Role.IMPROVEMENT_LEAD);
        return unit;
    }

    /** A new unit that nobody has a role in. */
    protected Site strangeUnit() {
        String code = "unit-" + UNITS.incrementAndGet();
        return sites.add(code, "Unit " + code, "picu", ZoneId.of("Europe/London"), true);
    }

    protected Answer record(String body) {
        return record(body, UUID.randomUUID().toString());
    }

    protected Answer record(String body, String key) {
        return send(request("/api/v1/encounters")
                .header("Content-Type", "application/json")
                .header("Idempotency-Key", '"' + key + '"')
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    /** Records, and says yes to everything that is asked about. */
    protected Answer recordConfirmed(String body) {
        Answer asked = record(body);
        if (asked.status() != 422) {
            return asked;
        }
        ObjectNode confirmed = (ObjectNode) JSON.readTree(body);
        ArrayNode pointers = confirmed.putArray("confirmed");
        for (JsonNode error : asked.json().path("errors")) {
            if (error.path("severity").asString().equals("confirm")) {
                pointers.add(error.path("pointer").asString());
            }
        }
        return record(confirmed.toString());
    }

    protected Answer post(String path, String body) {
        return send(request(path)
                .header("Content-Type", "application/json")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    protected Answer get(String path) {
        return send(request(path).GET());
    }

    /** A request of the person all tests share: the API by token, pages by session. */
    protected HttpRequest.Builder request(String path) {
        return request(path, tester());
    }

    /** A request of somebody else. */
    protected HttpRequest.Builder request(String path, Tester who) {
        if (path.startsWith("/api/")) {
            return bare(path).header("Authorization", "Bearer " + who.token());
        }
        Tester.Session session = who.session(port);
        return bare(path).header("Cookie", session.cookie()).header("X-CSRF-TOKEN", session.secret());
    }

    /** A request of nobody known. */
    protected HttpRequest.Builder bare(String path) {
        return HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + port + path));
    }

    /** The session of the person all tests share, for a browser. */
    protected Tester.Session session() {
        return session(tester());
    }

    /** The session of somebody else. */
    protected Tester.Session session(Tester who) {
        return who.session(port);
    }

    protected Answer send(HttpRequest.Builder request) {
        try {
            HttpResponse<String> response = HTTP.send(request.build(), HttpResponse.BodyHandlers.ofString());
            return new Answer(response.statusCode(), response);
        } catch (IOException e) {
            throw new IllegalStateException(e);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException(e);
        }
    }
}
