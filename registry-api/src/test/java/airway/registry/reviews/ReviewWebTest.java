package airway.registry.reviews;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import java.net.http.HttpRequest;
import java.util.ArrayList;
import java.util.List;
import java.util.UUID;
import java.util.stream.Collectors;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** Which cases open a review, and what is written about them, over the API. */
class ReviewWebTest extends ServedRegistry {
    private static final String REVIEW = "{\"contributed\": [\"team\"], \"done\": \"no\"}";

    private String unit = "";

    @BeforeEach
    void ownUnit() {
        unit = unit().code();
    }

    private String record(int day, int attempts, String... types) {
        String events = List.of(types).stream()
                .map(type -> "{\"event_type\": \"" + type + "\"}")
                .collect(Collectors.joining(", "));
        String tried = "{\"attempt_success\": \"no\"}, ".repeat(attempts - 1) + "{\"attempt_success\": \"yes\"}";
        Answer made = recordConfirmed("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-%02dT10:00:00Z",
                 "adverse_event_any": "%s", "courses": [{"course_approach": "oral", "attempts": [%s]}],
                 "events": [%s]}""".formatted(unit, day, types.length == 0 ? "no" : "yes", tried, events));
        assertThat(made.status()).as(made.text()).isEqualTo(201);
        return made.json().path("encounter_id").asString();
    }

    private JsonNode list(String more) {
        Answer answer = get("/api/v1/reviews?site_id=" + unit + more);
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    private List<String> ids(String more) {
        List<String> ids = new ArrayList<>();
        list(more).path("cases").forEach(one -> ids.add(one.path("encounter_id").asString()));
        return ids;
    }

    private Answer put(String id, String header, String value, String body) {
        return send(request("/api/v1/reviews/" + id)
                .header("Content-Type", "application/json")
                .header(header, value)
                .PUT(HttpRequest.BodyPublishers.ofString(body)));
    }

    private Answer first(String id, String body) {
        return put(id, "If-None-Match", "*", body);
    }

    /** A type that is severe by the usual scheme, and one that is not: definitions of the registry, as SeverityWebTest. */
    @ParameterizedTest
    @CsvSource({
        "1, , ''",
        "2, bradycardia, ''",
        "1, arrest_rosc, ae_severe",
        "3, , attempts_3plus",
        "4, aspiration, ae_severe attempts_3plus"
    })
    void opensAReviewForHarmAndForManyAttempts(int attempts, String event, String why) {
        String id = event == null ? record(1, attempts) : record(1, attempts, event);

        List<String> opened = new ArrayList<>();
        list("").path("cases").forEach(one -> one.path("opened_by").forEach(measure -> opened.add(measure.asString())));
        assertThat(String.join(" ", opened)).isEqualTo(why);
        assertThat(list("").path("waiting").asInt()).isEqualTo(why.isEmpty() ? 0 : 1);
        JsonNode one = get("/api/v1/reviews/" + id).json();
        assertThat(one.path("opened_by")).hasSize(opened.size());
        assertThat(one.path("review").isNull()).isTrue();
        if (why.isEmpty()) {
            isProblem(first(id, REVIEW), 409, "conflict");
        }
    }

    @Test
    void writesAReviewAndThenAnotherVersionAndKeepsBoth() {
        String id = record(1, 3);

        Answer written = first(id, """
                {"contributed": ["equipment", "preparation"], "learning_point": "The plan was not said aloud.",
                 "action": "Add it to the briefing.", "due_on": "2027-01-31", "done": "no"}""");
        assertThat(written.status()).as(written.text()).isEqualTo(201);
        assertThat(written.header("ETag")).isEqualTo("\"v1\"");
        Answer again = put(id, "If-Match", "\"v1\"", """
                {"contributed": ["preparation"], "learning_point": "The plan was not said aloud.", "done": "yes",
                 "amendment": {"reason_code": "went_on", "reason_text": "briefing changed"}}""");

        assertThat(again.status()).as(again.text()).isEqualTo(200);
        assertThat(again.json()).isEqualTo(get("/api/v1/reviews/" + id).json());
        JsonNode versions = get("/api/v1/reviews/" + id + "/versions").json();
        assertThat(versions).hasSize(2);
        assertThat(versions.get(0).path("contributed").toString()).isEqualTo("[\"preparation\",\"equipment\"]");
        assertThat(versions.get(0).path("due_on").asString()).isEqualTo("2027-01-31");
        assertThat(versions.get(1).has("action")).isFalse();
        assertThat(versions.get(1).at("/amendment/reason_code").asString()).isEqualTo("went_on");
        assertThat(list("").path("waiting").asInt()).isZero();
        assertThat(list("").path("done").asInt()).isEqualTo(1);
    }

    @Test
    void refusesToWriteOverWhatWasNotRead() {
        String id = record(1, 3);
        isProblem(
                send(request("/api/v1/reviews/" + id)
                        .header("Content-Type", "application/json")
                        .PUT(HttpRequest.BodyPublishers.ofString(REVIEW))),
                428,
                "unconditional");
        isProblem(put(id, "If-Match", "\"v1\"", REVIEW), 412, "stale");
        assertThat(first(id, REVIEW).status()).isEqualTo(201);
        Answer stale = first(id, REVIEW);
        isProblem(stale, 412, "stale");
        assertThat(stale.header("ETag")).isEqualTo("\"v1\"");
        isProblem(put(id, "If-None-Match", "\"v1\"", REVIEW), 400, "malformed");
        assertThat(faults(isProblem(put(id, "If-Match", "\"v1\"", REVIEW), 422, "invalid")))
                .containsExactly("/amendment/reason_code required", "/contributed unchanged");
        assertThat(get("/api/v1/reviews/" + id + "/versions").json()).hasSize(1);
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "{\"contributed\": [\"luck\"], \"done\": \"no\"}|/contributed/0 code",
                "{\"contributed\": [\"nothing_found\", \"team\"], \"done\": \"no\"}|/contributed nothing.alone",
                "{\"contributed\": [], \"done\": \"yes\"}|/contributed done.contributed",
                "{\"contributed\": \"team\"}|/contributed type,/done required",
                "{\"action\": \"x\", \"due_on\": \"2026-02-30\", \"done\": \"no\"}|/due_on date.none",
                "{\"due_on\": \"2026-12-01\", \"done\": \"no\"}|/action due.action",
                "{\"action\": \"x\", \"due_on\": \"2101-01-01\", \"done\": \"no\"}|/due_on date.range",
                "{\"learning_point\": 7, \"done\": \"perhaps\"}|/learning_point text,/done code"
            })
    void namesTheFieldAndTheMend(String body, String told) {
        assertThat(faults(isProblem(first(record(1, 3), body), 422, "invalid"))).containsExactly(told.split(",", -1));
    }

    @Test
    void refusesATextThatIsTooLongAndAFieldThatIsNot() {
        String id = record(1, 3);
        assertThat(faults(isProblem(
                        first(id, "{\"action\": \"" + "a".repeat(501) + "\", \"done\": \"no\"}"), 422, "invalid")))
                .containsExactly("/action text");
        assertThat(first(id, "{\"action\": \"" + "a".repeat(500) + "\", \"done\": \"no\"}")
                        .status())
                .isEqualTo(201);
        isProblem(first(id, "{\"name\": \"x\", \"done\": \"no\"}"), 412, "stale");
        isProblem(put(id, "If-Match", "\"v1\"", "{\"name\": \"x\", \"done\": \"no\"}"), 400, "malformed");
    }

    @Test
    void listsOpenOnesFirstAndNewestFirstAPageAtATime() {
        List<String> open = new ArrayList<>();
        List<String> done = new ArrayList<>();
        for (int day = 1; day <= 30; day++) {
            String id = record(day, 3);
            if (day % 10 == 0) {
                assertThat(first(id, "{\"contributed\": [\"drugs\"], \"done\": \"yes\"}")
                                .status())
                        .isEqualTo(201);
                done.add(0, id);
            } else {
                open.add(0, id);
            }
        }
        JsonNode page = list("");
        List<String> all = new ArrayList<>(ids(""));
        assertThat(all).hasSize(25);
        all.addAll(ids("&after=" + page.path("next").asString()));

        assertThat(all)
                .containsSubsequence(open)
                .endsWith(done.toArray(String[]::new))
                .hasSize(30);
        assertThat(page.path("waiting").asInt()).isEqualTo(27);
        assertThat(ids("&done=yes")).isEqualTo(done);
        assertThat(ids("&done=no")).hasSize(25).doesNotContainAnyElementsOf(done);
        assertThat(ids("&why=ae_severe")).isEmpty();
        assertThat(ids("&from=2026-04")).isEmpty();
        assertThat(ids("&to=2026-Q1")).hasSize(25);
        for (String bad : List.of("&why=fps", "&done=perhaps", "&from=May", "&after=x", "&location=picu")) {
            isProblem(get("/api/v1/reviews?site_id=" + unit + bad), 400, "malformed");
        }
    }

    @Test
    void goesOnWhereThePageEndedInTheMidstOfThoseDone() {
        List<String> done = new ArrayList<>();
        for (int day = 1; day <= 28; day++) {
            String id = record(day, 3);
            assertThat(first(id, "{\"contributed\": [\"drugs\"], \"done\": \"yes\"}")
                            .status())
                    .isEqualTo(201);
            done.add(0, id);
        }
        List<String> all = new ArrayList<>(ids(""));
        all.addAll(ids("&after=" + list("").path("next").asString()));

        assertThat(all).isEqualTo(done);
    }

    @Test
    void keepsWhatWasWrittenWhenTheReasonIsGone() {
        String withdrawn = record(2, 3);
        String mended = record(1, 3);
        String unwritten = record(3, 3);
        first(withdrawn, REVIEW);
        first(mended, REVIEW);
        for (String id : List.of(withdrawn, unwritten)) {
            assertThat(post("/api/v1/encounters/" + id + "/withdrawal", "{\"reason_code\": \"test_entry\"}")
                            .status())
                    .isEqualTo(200);
        }
        ObjectNode body = (ObjectNode) new JsonMapper().readTree("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-01T10:00:00Z",
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}],
                 "amendment": {"reason_code": "mistyped"}}""".formatted(unit));
        assertThat(send(request("/api/v1/encounters/" + mended)
                                .header("Content-Type", "application/json")
                                .header("If-Match", "\"v1\"")
                                .PUT(HttpRequest.BodyPublishers.ofString(body.toString())))
                        .status())
                .isEqualTo(200);

        assertThat(ids("")).containsExactly(withdrawn, mended);
        JsonNode cases = list("").path("cases");
        assertThat(cases.get(0).path("withdrawn").asString()).isEqualTo("yes");
        assertThat(cases.get(1).path("withdrawn").asString()).isEqualTo("no");
        cases.forEach(one -> {
            assertThat(one.path("opened_by")).isEmpty();
            assertThat(one.at("/review/contributed/0").asString()).isEqualTo("team");
        });
        assertThat(put(mended, "If-Match", "\"v1\"", """
                        {"contributed": ["team"], "done": "yes", "amendment": {"reason_code": "went_on"}}""").status())
                .as("it can be closed")
                .isEqualTo(200);
        isProblem(first(unwritten, REVIEW), 409, "conflict");
    }

    @Test
    void isMissingWhereThereIsNoRecord() {
        isProblem(get("/api/v1/reviews/" + UUID.randomUUID()), 404, "missing");
        isProblem(first(UUID.randomUUID().toString(), REVIEW), 404, "missing");
        isProblem(get("/api/v1/reviews/x/versions"), 404, "missing");
    }
}
