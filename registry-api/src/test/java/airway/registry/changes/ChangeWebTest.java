package airway.registry.changes;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import java.net.http.HttpRequest;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.UUID;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.springframework.beans.factory.annotation.Autowired;
import tools.jackson.databind.JsonNode;

/** What was changed and when, over the API. */
class ChangeWebTest extends ServedRegistry {
    @Autowired
    private Changes changes;

    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    @BeforeEach
    void ownUnit() {
        unit = unit();
    }

    private String body(String day, String name, String more) {
        return """
                {"site_id": "%s", "changed_on": "%s", "name": "%s", "reason": "The plan was not shared.",
                 "cuts_chart": "yes"%s}""".formatted(unit.code(), day, name, more);
    }

    private Answer noted(String day, String name) {
        Answer answer = post("/api/v1/changes", body(day, name, ""));
        assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        return answer;
    }

    private Answer put(String address, String tag, String body) {
        return send(request(address)
                .header("Content-Type", "application/json")
                .header("If-Match", tag)
                .PUT(HttpRequest.BodyPublishers.ofString(body)));
    }

    private static List<String> values(JsonNode list, String name) {
        List<String> values = new ArrayList<>();
        list.forEach(one -> values.add(one.path(name).asString()));
        return values;
    }

    @Test
    void keepsAChangeAndGivesItBack() {
        Answer made = noted("2026-03-14", "Briefing");

        assertThat(made.header("ETag")).isEqualTo("\"v1\"");
        JsonNode read = get(made.header("Location")).json();
        assertThat(read).isEqualTo(made.json());
        assertThat(read.path("status").asString()).isEqualTo("final");
        assertThat(read.path("changed_on").asString()).isEqualTo("2026-03-14");
        assertThat(read.path("cuts_chart").asString()).isEqualTo("yes");
        assertThat(read.path("site_id").asString()).isEqualTo(unit.code());
    }

    @Test
    void listsTheChangesThatStandInOrderOfTheirDays() {
        noted("2026-03-14", "Second");
        noted("2025-01-02", "First");
        String gone = noted("2026-01-01", "Withdrawn").header("Location");
        assertThat(post(gone + "/withdrawal", "{\"reason_code\": \"did_not_happen\"}")
                        .status())
                .isEqualTo(200);

        String address = "/api/v1/changes?site_id=" + unit.code();
        assertThat(values(get(address).json(), "name")).containsExactly("First", "Second");
        assertThat(values(get(address + "&withdrawn=yes").json(), "name")).containsExactly("Withdrawn");
        assertThat(changes.of(unit))
                .extracting(Change::on)
                .containsExactly(LocalDate.of(2025, 1, 2), LocalDate.of(2026, 3, 14));
        assertThat(isProblem(get(address + "&withdrawn=no"), 400, "malformed")).isNotNull();
    }

    @Test
    void makesANewVersionWithAReasonAndKeepsTheOldOne() {
        String address = noted("2026-03-14", "Briefing").header("Location");

        Answer amended = put(
                address,
                "\"v1\"",
                body(
                        "2026-03-16",
                        "Briefing",
                        ", \"amendment\": {\"reason_code\": \"known_better\", \"reason_text\": \"began a Monday\"}"));

        assertThat(amended.status()).as(amended.text()).isEqualTo(200);
        assertThat(amended.header("ETag")).isEqualTo("\"v2\"");
        JsonNode versions = get(address + "/versions").json();
        assertThat(values(versions, "changed_on")).containsExactly("2026-03-14", "2026-03-16");
        assertThat(values(versions, "status")).containsExactly("final", "amended");
        assertThat(versions.get(1).at("/amendment/reason_text").asString()).isEqualTo("began a Monday");
        assertThat(versions.get(0).has("amendment")).isFalse();
    }

    @Test
    void withdrawsOnceAndForGood() {
        String address = noted("2026-03-14", "Briefing").header("Location");
        Answer withdrawn =
                post(address + "/withdrawal", "{\"reason_code\": \"duplicate\", \"reason_text\": \"twice\"}");

        assertThat(withdrawn.json().path("status").asString()).isEqualTo("entered-in-error");
        isProblem(post(address + "/withdrawal", "{\"reason_code\": \"other\"}"), 409, "conflict");
        isProblem(
                put(address, "\"v2\"", body("2026-03-16", "Briefing", ", \"amendment\": {\"reason_code\": \"other\"}")),
                409,
                "conflict");
        assertThat(get(address).json().path("version").asInt()).isEqualTo(2);
        assertThat(noted("2026-03-14", "Briefing").header("Location"))
                .as("it can be noted anew")
                .isNotEqualTo(address);
    }

    /** The clock of the tests stands at noon of 24 November 2026. */
    @ParameterizedTest
    @CsvSource({
        "2026-11-25, Briefing, /changed_on date.ahead",
        "2026-02-30, Briefing, /changed_on date.none",
        "2026-13-01, Briefing, /changed_on date.none",
        "14.3.2026, Briefing, /changed_on date",
        "1949-12-31, Briefing, /changed_on date.early",
        "2026-03-14, '   ', /name required",
        "2026-03-14, 1234567890123456789012345678901234567890123456789012345678901, /name text",
        "2026-03-14, a\\u0007b, /name text"
    })
    void namesTheFieldAndTheMend(String day, String name, String fault) {
        JsonNode problem = isProblem(post("/api/v1/changes", body(day, name, "")), 422, "invalid");

        assertThat(faults(problem)).containsExactly(fault);
        assertThat(get("/api/v1/changes?site_id=" + unit.code()).json()).isEmpty();
    }

    @Test
    void takesTheDayOfTheUnitAndNotOfTheServer() {
        Site east = unit("east-" + unit.code(), "Pacific/Auckland", true);

        assertThat(post("/api/v1/changes", body("2026-11-25", "Briefing", "").replace(unit.code(), east.code()))
                        .status())
                .as("it is the 25th there")
                .isEqualTo(201);
    }

    @Test
    void tellsEverythingThatIsWrongAtOnce() {
        Answer answer = post(
                "/api/v1/changes",
                "{\"site_id\": \"" + unit.code()
                        + "\", \"changed_on\": 7, \"reason\": [], \"cuts_chart\": \"perhaps\"}");

        assertThat(faults(isProblem(answer, 422, "invalid")))
                .containsExactly("/changed_on date", "/name required", "/reason text", "/cuts_chart code");
        assertThat(faults(isProblem(
                        post("/api/v1/changes", body("2026-03-14", "x", ", \"who\": \"y\"")), 400, "malformed")))
                .containsExactly("/who field.unknown");
        isProblem(post("/api/v1/changes", "[]"), 400, "malformed");
        assertThat(faults(isProblem(
                        post("/api/v1/changes", body("2026-03-14", "x", "").replace(unit.code(), "none")),
                        422,
                        "invalid")))
                .containsExactly("/site_id site.unknown");
    }

    @Test
    void keepsTheSameChangeOnceAndRefusesAnotherOfItsDayAndName() {
        Answer first = noted("2026-03-14", "Briefing");

        assertThat(noted("2026-03-14", "Briefing").header("Location")).isEqualTo(first.header("Location"));
        JsonNode problem = isProblem(
                post("/api/v1/changes", body("2026-03-14", "Briefing", "").replace("\"yes\"", "\"no\"")),
                409,
                "conflict");
        assertThat(faults(problem)).containsExactly("/name change.there");
    }

    @Test
    void refusesAnAmendmentThatIsStaleOrSaysNothing() {
        String address = noted("2026-03-14", "Briefing").header("Location");
        String amendment = ", \"amendment\": {\"reason_code\": \"mistyped\"}";
        assertThat(put(address, "\"v1\"", body("2026-03-15", "Briefing", amendment))
                        .status())
                .isEqualTo(200);

        Answer stale = put(address, "\"v1\"", body("2026-03-16", "Briefing", amendment));
        isProblem(stale, 412, "stale");
        assertThat(stale.header("ETag")).isEqualTo("\"v2\"");
        isProblem(put(address, "v1", body("2026-03-16", "Briefing", amendment)), 400, "malformed");
        isProblem(
                send(request(address)
                        .header("Content-Type", "application/json")
                        .PUT(HttpRequest.BodyPublishers.ofString(body("2026-03-16", "Briefing", amendment)))),
                428,
                "unconditional");
        assertThat(faults(isProblem(put(address, "\"v2\"", body("2026-03-15", "Briefing", amendment)), 422, "invalid")))
                .containsExactly("/name unchanged");
        assertThat(faults(isProblem(put(address, "\"v2\"", body("2026-03-16", "Briefing", "")), 422, "invalid")))
                .containsExactly("/amendment/reason_code required");
        assertThat(faults(isProblem(
                        put(
                                address,
                                "\"v2\"",
                                body(
                                        "2026-03-16",
                                        "Briefing",
                                        ", \"amendment\": {\"reason_code\": \"did_not_happen\"}")),
                        422,
                        "invalid")))
                .containsExactly("/amendment/reason_code code");
    }

    @Test
    void isMissingWhereThereIsNone() {
        isProblem(get("/api/v1/changes/" + UUID.randomUUID()), 404, "missing");
        isProblem(get("/api/v1/changes/x/versions"), 404, "missing");
        isProblem(get("/api/v1/changes?site_id=nowhere"), 404, "missing");
    }

    @Test
    void losesNothingWhenManyPutTheSameChangeRightAtOnce() throws Exception {
        String address = noted("2026-03-14", "Briefing").header("Location");
        List<Callable<Integer>> all = new ArrayList<>();
        for (int i = 0; i < 8; i++) {
            String body = body("2026-03-14", "Briefing " + i, ", \"amendment\": {\"reason_code\": \"mistyped\"}");
            all.add(() -> put(address, "\"v1\"", body).status());
        }
        ExecutorService threads = Executors.newFixedThreadPool(4);
        try {
            List<Integer> statuses = new ArrayList<>();
            for (Future<Integer> one : threads.invokeAll(all)) {
                statuses.add(one.get());
            }
            assertThat(statuses).containsOnlyOnce(200).containsOnly(200, 412);
        } finally {
            threads.shutdownNow();
        }
        assertThat(get(address + "/versions").json()).hasSize(2);
    }
}
