package airway.registry.reports;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.registry.access.Role;
import airway.registry.testing.OpenRegistry;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.net.http.HttpRequest;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** Quarterly reports over the API: counted from records, written, made final, and what comes after. */
class ReportWebTest extends ServedRegistry {
    private static final String TEXTS = "{\"learned\": \"The briefing helps.\\nWe kept it.\"}";

    private String unit = "";

    @BeforeEach
    void ownUnit() {
        unit = unit().code();
    }

    private String record(String day, boolean success) {
        Answer made = recordConfirmed(body(day, success));
        assertThat(made.status()).as(made.text()).isEqualTo(201);
        return made.json().path("encounter_id").asString();
    }

    private String body(String day, boolean success) {
        return """
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "%sT10:00:00Z",
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "%s"}]}]}""".formatted(unit, day, success ? "yes" : "no");
    }

    private String path(String quarter, String more) {
        return "/api/v1/reports/" + quarter + more + (more.contains("?") ? "&" : "?") + "site_id=" + unit;
    }

    private JsonNode report(String quarter) {
        Answer answer = get(path(quarter, ""));
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    private Answer put(String quarter, String header, String value, String body) {
        return send(request(path(quarter, ""))
                .header("Content-Type", "application/json")
                .header(header, value)
                .PUT(HttpRequest.BodyPublishers.ofString(body)));
    }

    private Answer finalise(String quarter, String header, String value) {
        return send(request(path(quarter, "/finalisation"))
                .header(header, value)
                .POST(HttpRequest.BodyPublishers.noBody()));
    }

    private static JsonNode measure(JsonNode report, String id) {
        for (JsonNode measure : report.path("figures").path("measures")) {
            if (measure.path("measure").asString().equals(id)) {
                return measure;
            }
        }
        throw new AssertionError("no measure " + id);
    }

    private static List<String> says(JsonNode report, String section) {
        List<String> says = new ArrayList<>();
        for (JsonNode one : report.path("sections")) {
            if (one.path("id").asString().equals(section)) {
                one.path("says").forEach(sentence -> says.add(sentence.asString()));
            }
        }
        return says;
    }

    @Test
    void countsTheQuarterAndBothYearsAsTheRecordsSay() {
        Random random = new Random(7);
        int[] x = new int[3];
        int[] n = new int[3];
        for (String day : List.of(
                "2026-07-01",
                "2026-08-15",
                "2026-09-30",
                "2026-06-30",
                "2025-10-01",
                "2025-09-30",
                "2024-10-01",
                "2024-09-30",
                "2026-10-01",
                "2026-07-02",
                "2026-09-02",
                "2026-01-15")) {
            boolean success = random.nextBoolean();
            record(day, success);
            int stretch = day.compareTo("2026-07-01") >= 0 ? 0 : day.compareTo("2025-10-01") >= 0 ? 1 : 2;
            if (day.compareTo("2024-10-01") >= 0 && day.compareTo("2026-10-01") < 0) {
                n[stretch]++;
                x[stretch] += success ? 1 : 0;
            }
        }

        JsonNode report = report("2026-Q3");
        JsonNode fps = measure(report, "fps");
        assertThat(fps.path("quarter").path("x").asInt()).isEqualTo(x[0]);
        assertThat(fps.path("quarter").path("n").asInt()).isEqualTo(n[0]).isEqualTo(5);
        assertThat(fps.path("year").path("x").asInt()).isEqualTo(x[0] + x[1]);
        assertThat(fps.path("year").path("n").asInt()).isEqualTo(8);
        assertThat(fps.path("year_before").path("x").asInt()).isEqualTo(x[2]);
        assertThat(fps.path("year_before").path("n").asInt()).isEqualTo(2);
        assertThat(fps.path("difference").isNull())
                .as("2 cases bear no comparison")
                .isTrue();
        assertThat(report.path("figures").path("records").asInt()).isEqualTo(5);
        assertThat(report.path("figures").path("records_of_two_years").asInt()).isEqualTo(10);
        assertThat(says(report, "in-short").get(0))
                .startsWith("First-pass success in the quarter: " + x[0] + " of 5 (");
        assertThat(says(report, "trust").toString()).contains("is not known for 3 months of the quarter");
    }

    @Test
    void tellsOfAQuarterWithoutIntubationsThatThereIsNoValue() {
        JsonNode report = report("2026-Q1");

        assertThat(measure(report, "fps").path("quarter").path("value").isNull())
                .isTrue();
        assertThat(says(report, "in-short"))
                .allSatisfy(sentence -> assertThat(sentence)
                        .contains("in the quarter: no value: nothing could be counted")
                        .contains("too few intubations to set one year against the other"));
        for (String section : List.of("trust", "care", "published", "definitions", "methods", "origin")) {
            assertThat(report.path("sections").toString()).contains("\"id\":\"" + section + "\"");
        }
        assertThat(says(report, "published").get(0)).contains("never as targets");
        assertThat(says(report, "origin").toString()).contains("Software: airway event registry 0");
    }

    @Test
    void keepsWhatWasWrittenVersionByVersionAndTellsWhoCameSecond() {
        Answer first = put("2026-Q2", "If-None-Match", "*", TEXTS);
        assertThat(first.status()).as(first.text()).isEqualTo(201);
        assertThat(first.header("ETag")).isEqualTo("\"v1\"");
        assertThat(says(report("2026-Q2"), "learned")).containsExactly("The briefing helps.", "We kept it.");

        isProblem(put("2026-Q2", "If-None-Match", "*", "{}"), 412, "stale");
        isProblem(
                send(request(path("2026-Q2", ""))
                        .header("Content-Type", "application/json")
                        .PUT(HttpRequest.BodyPublishers.ofString("{}"))),
                428,
                "unconditional");
        Answer second = put("2026-Q2", "If-Match", "\"v1\"", "{\"asked_for\": \"Two blades.\"}");
        assertThat(second.status()).isEqualTo(200);
        isProblem(put("2026-Q2", "If-Match", "\"v1\"", TEXTS), 412, "stale");

        JsonNode versions = get(path("2026-Q2", "/versions")).json();
        assertThat(versions).hasSize(2);
        assertThat(versions.get(0).path("texts").path("learned").asString())
                .isEqualTo("The briefing helps.\nWe kept it.");
        assertThat(versions.get(1).path("texts").path("learned").isNull()).isTrue();
        assertThat(get("/api/v1/reports?site_id=" + unit).json().toString())
                .contains("\"quarter\":\"2026-Q2\",\"version\":2,\"status\":\"preliminary\"");
    }

    @Test
    void tellsEveryFaultOfTheTexts() {
        String longText = "x".repeat(2001);
        JsonNode problem = isProblem(
                put("2026-Q2", "If-None-Match", "*", "{\"learned\": \"%s\", \"context\": 3}".formatted(longText)),
                422,
                "invalid");
        assertThat(faults(problem)).containsExactlyInAnyOrder("/learned text", "/context text");
        isProblem(put("2026-Q2", "If-None-Match", "*", "{\"verdict\": \"good\"}"), 400, "malformed");
    }

    @Test
    void aFinalReportStaysAsItWasAndListsWhatCameAfter() {
        for (int day = 1; day <= 8; day++) {
            record("2026-08-0" + day, day % 2 == 0);
        }
        String amended = record("2026-08-20", true);
        String withdrawn = record("2026-08-21", true);
        String earlier = record("2025-12-24", true);
        put("2026-Q3", "If-None-Match", "*", TEXTS);
        Answer done = finalise("2026-Q3", "If-Match", "\"v1\"");
        assertThat(done.status()).as(done.text()).isEqualTo(200);
        assertThat(done.json().path("status").asString()).isEqualTo("final");
        JsonNode before = report("2026-Q3");
        assertThat(before.path("finalised").path("cut_off").asString()).isEqualTo(NOW.toString());
        assertThat(before.path("corrections").path("words").asString()).contains("none of its records");
        byte[] pdf = bytes("2026-Q3", "application/pdf");

        amend(amended);
        withdraw(withdrawn);
        withdraw(earlier);
        record("2026-09-09", true);
        record("2026-07-07", false);
        record("2026-10-01", true);

        JsonNode after = report("2026-Q3");
        assertThat(after.path("figures")).isEqualTo(before.path("figures"));
        assertThat(after.path("sections")).isEqualTo(before.path("sections"));
        JsonNode quarter = after.path("corrections").path("quarter");
        assertThat(quarter.path("amended").asInt()).isEqualTo(1);
        assertThat(quarter.path("added").asInt()).isEqualTo(2);
        assertThat(quarter.path("withdrawn").asInt()).isEqualTo(1);
        assertThat(after.path("corrections").path("earlier").path("withdrawn").asInt())
                .isEqualTo(1);
        assertThat(after.path("corrections").path("words").asString())
                .contains("of the records of the quarter: 1 amended, 2 added, 1 withdrawn");
        assertThat(bytes("2026-Q3", "application/pdf"))
                .as("the corrections stand in it")
                .isNotEqualTo(pdf);

        assertThat(faults(isProblem(finalise("2026-Q3", "If-Match", "\"v1\""), 409, "report-final")))
                .containsExactly("quarter report.final");
        isProblem(put("2026-Q3", "If-Match", "\"v2\"", "{}"), 409, "report-final");
        assertThat(OpenRegistry.rows(
                        LOGINS,
                        "select action, version from audit.entry join access.site using (site_id) where code = '" + unit
                                + "' and object = 'report' order by version"))
                .containsExactly("recorded,1", "finalised,2");
    }

    private void amend(String id) {
        Answer read = get("/api/v1/encounters/" + id);
        ObjectNode body = (ObjectNode) new JsonMapper().readTree(body("2026-08-20", false));
        body.putObject("amendment").put("reason_code", "mistyped");
        Answer put = send(request("/api/v1/encounters/" + id)
                .header("Content-Type", "application/json")
                .header("If-Match", read.header("ETag"))
                .PUT(HttpRequest.BodyPublishers.ofString(body.toString())));
        assertThat(put.status()).as(put.text()).isEqualTo(200);
    }

    private void withdraw(String id) {
        Answer gone = post("/api/v1/encounters/" + id + "/withdrawal", "{\"reason_code\": \"duplicate\"}");
        assertThat(gone.status()).as(gone.text()).isEqualTo(200);
    }

    private byte[] bytes(String quarter, String accept) {
        try {
            return java.net.http.HttpClient.newHttpClient()
                    .send(
                            request(path(quarter, "")).header("Accept", accept).build(),
                            java.net.http.HttpResponse.BodyHandlers.ofByteArray())
                    .body();
        } catch (java.io.IOException e) {
            throw new IllegalStateException(e);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException(e);
        }
    }

    @Test
    void aQuarterThatStillRunsIsDrawnAsNotWholeAndCannotBeMadeFinal() {
        record("2026-11-01", true);
        JsonNode report = report("2026-Q4");

        assertThat(report.path("quarter_over").asBoolean()).isFalse();
        assertThat(report.path("notice").asString()).contains("not over");
        assertThat(says(report, "in-short").get(0))
                .startsWith("First-pass success so far in the quarter: 1 of 1, too few");
        JsonNode problem = isProblem(finalise("2026-Q4", "If-None-Match", "*"), 409, "quarter-running");
        assertThat(faults(problem)).containsExactly("quarter quarter.running");
        assertThat(problem.path("detail").asString()).contains("2026-12-31");
        assertThat(get(path("2026-Q4", "/versions")).json()).isEmpty();
    }

    @ParameterizedTest
    @ValueSource(strings = {"2026-Q5", "2026-Q0", "2026-q3", "2026Q3", "26-Q3", "2026-Q33", "1900-Q1", "9999-Q1", "x"})
    void saysOfWhatIsNoQuarterHowToNameOne(String quarter) {
        JsonNode problem = isProblem(get(path(quarter, "")), 400, "no-quarter");
        assertThat(faults(problem)).containsExactly("quarter quarter.form");
        assertThat(problem.toString()).contains("2026-Q3");
    }

    @Test
    void saysOfAQuarterAheadWhichIsThePresentOne() {
        JsonNode problem = isProblem(get(path("2027-Q1", "")), 422, "quarter-ahead");
        assertThat(faults(problem)).containsExactly("quarter quarter.ahead");
        assertThat(problem.toString()).contains("2026-Q4");
        isProblem(finalise("2027-Q1", "If-None-Match", "*"), 422, "quarter-ahead");
    }

    @Test
    void anotherUnitsReportIsNotThere() {
        String strange = strangeUnit().code();
        for (String code : List.of(strange, "no-such-unit")) {
            JsonNode problem = isProblem(get("/api/v1/reports/2026-Q3?site_id=" + code), 404, "missing");
            assertThat(faults(problem)).containsExactly("site_id site.unknown");
            isProblem(get("/api/v1/reports/2026-Q3?format=pdf&site_id=" + code), 404, "missing");
        }
        assertThat(get("/reports/2026-Q3?site_id=" + strange).status()).isEqualTo(404);
    }

    @ParameterizedTest
    @CsvSource({"RECORDER, 200, 403", "IMPROVEMENT_LEAD, 200, 200", "KIT_KEEPER, 403, 403", "RESEARCHER, 403, 403"})
    void whoMayReadAndWhoMayMakeFinal(Role role, int reads, int finalises) {
        var site = strangeUnit();
        Tester who = Tester.fresh(LOGINS).with(site.no(), role);
        String path = "/api/v1/reports/2026-Q3";
        assertThat(send(request(path + "?site_id=" + site.code(), who).GET()).status())
                .isEqualTo(reads);
        assertThat(send(request(path + "/finalisation?site_id=" + site.code(), who)
                                .header("If-None-Match", "*")
                                .POST(HttpRequest.BodyPublishers.noBody()))
                        .status())
                .isEqualTo(finalises);
    }

    /** The year to September 2026: 23 of 33, three of them, all successes, in 2025. */
    private void aYearOfWhichThreeWereBeforeJanuary() {
        for (int i = 0; i < 30; i++) {
            record("2026-02-%02d".formatted(1 + i % 28), i < 20);
        }
        for (int i = 0; i < 3; i++) {
            record("2025-11-0" + (1 + i), true);
        }
    }

    private Answer tellTheMonthsFromJanuary() {
        return post("/api/v1/tables", """
                {"site_id": "%s", "measure": "fps", "by": "year", "from": "2026-01", "to": "2026-09", "audience": "inside",
                 "recipient": "Quality board", "purpose": "Meeting"}""".formatted(unit));
    }

    @Test
    void aShareThatATableToldBeforeTurnsIntoASmallCountIsNotPrintedForTheBoard() {
        aYearOfWhichThreeWereBeforeJanuary();
        assertThat(says(get(path("2026-Q3", "?readers=board")).json(), "in-short")
                        .get(0))
                .contains("23 of 33")
                .doesNotContain(Sentences.GIVES_AWAY);

        Answer table = tellTheMonthsFromJanuary();
        assertThat(table.status()).as(table.text()).isEqualTo(201);

        JsonNode board = get(path("2026-Q3", "?readers=board")).json();
        assertThat(says(board, "in-short").get(0)).contains(Sentences.GIVES_AWAY);
        assertThat(board.path("sections").toString()).doesNotContain("23 of 33");
        assertThat(says(report("2026-Q3"), "in-short").get(0)).contains("23 of 33");

        assertThat(finalise("2026-Q3", "If-None-Match", "*").status()).isEqualTo(200);
        assertThat(says(get(path("2026-Q3", "?readers=board")).json(), "in-short")
                        .get(0))
                .contains(Sentences.GIVES_AWAY);
        assertThat(get("/api/v1/tables?site_id=" + unit).json())
                .filteredOn(one -> one.path("measure").asString().equals("fps"))
                .singleElement()
                .isEqualTo(table.json());
    }

    @Test
    void theSharesOfAFinalReportAreRememberedAndTablesAreHeldAgainstThem() {
        aYearOfWhichThreeWereBeforeJanuary();
        assertThat(get("/api/v1/tables?site_id=" + unit).json()).isEmpty();
        assertThat(finalise("2026-Q3", "If-None-Match", "*").status()).isEqualTo(200);

        JsonNode told = get("/api/v1/tables?site_id=" + unit).json();
        assertThat(told).isNotEmpty().allSatisfy(table -> {
            assertThat(table.path("purpose").asString()).contains("July to September 2026");
            long x = table.path("x").asLong();
            long n = table.path("n").asLong();
            assertThat(x == 0 || x >= 5).as(table.toString()).isTrue();
            assertThat(n == x || n - x >= 5).as(table.toString()).isTrue();
        });
        isProblem(tellTheMonthsFromJanuary(), 422, "gives-away");
        assertThat(get("/tables?site_id=" + unit).text())
                .contains("Report of the quarter July to September 2026: " + told.size() + " tables");
    }

    /** The comparison itself is checked against other programs where it is made; here only that the paper tells the same. */
    @Test
    void theUnitsOwnPaperSetsItsSetUpsBesideEachOtherAsTheComparisonDoes() {
        for (String[] setup : new String[][] {{"cable", "Screen on the cable"}, {"handle", "Screen on the handle"}}) {
            assertThat(post("/api/v1/device-setups", """
                            {"site_id": "%s", "device_setup_id": "%s", "title": "%s", "device_mode": "video_standard",
                             "display_mounting": "%s"}""".formatted(unit, setup[0], setup[1], setup[0]))
                            .status())
                    .isEqualTo(201);
            for (int i = 0; i < 20; i++) {
                Answer made =
                        recordConfirmed(body("2026-07-%02d".formatted(1 + i), i < (setup[0].equals("cable") ? 17 : 8))
                                .replace(
                                        "{\"attempt_success\"",
                                        "{\"device_setup_id\": \"" + setup[0] + "\", \"attempt_success\""));
                assertThat(made.status()).as(made.text()).isEqualTo(201);
            }
        }

        List<String> says = says(report("2026-Q3"), "set-ups");
        JsonNode pair = get("/api/v1/comparisons/fps?adjust=none&to=2026-09&site_id=" + unit)
                .json()
                .path("pairs")
                .path(0);
        assertThat(pair.path("difference").asDouble()).isCloseTo(17 / 20.0 - 8 / 20.0, within(1e-12));
        assertThat(says.toString())
                .contains("“Screen on the cable” had more first passes than “Screen on the handle”: 45 points more")
                .contains("Nobody drew lots for a set-up")
                .doesNotContain("better", "winner");
        String page = get("/reports/2026-Q3?site_id=" + unit).text();
        assertThat(page).contains("17 of 20 (85%), 95% interval");
        assertThat(page.contains(">Like for like</th>"))
                .as("a column only where something can be compared so")
                .isEqualTo(page.contains("Like for like: as if each group"));

        String board =
                get(path("2026-Q3", "?readers=board")).json().path("sections").toString();
        assertThat(board).doesNotContain("Screen on the cable", "17 of 20").contains("own paper alone");
    }

    @Test
    void tellsHowFarTheCaseReviewsOfTheQuarterHaveComeAndNotToTheBoard() {
        assertThat(says(report("2026-Q2"), "reviews").toString()).contains("no review was opened");
        List<String> cases = new ArrayList<>();
        for (String day : List.of("2026-08-01", "2026-08-02", "2026-03-02")) {
            Answer made = recordConfirmed(body(day, false)
                    .replace(
                            "[{\"attempt_success\": \"no\"}]",
                            "[{\"attempt_success\": \"no\"},"
                                    + "{\"attempt_success\": \"no\"}, {\"attempt_success\": \"yes\"}]"));
            assertThat(made.status()).as(made.text()).isEqualTo(201);
            cases.add(made.json().path("encounter_id").asString());
        }
        Answer reviewed = send(
                request("/api/v1/reviews/" + cases.get(0))
                        .header("Content-Type", "application/json")
                        .header("If-None-Match", "*")
                        .PUT(
                                HttpRequest.BodyPublishers.ofString(
                                        "{\"contributed\": [\"equipment\", \"team\"], \"learning_point\": \"Kept apart.\", \"done\": \"yes\"}")));
        assertThat(reviewed.status()).as(reviewed.text()).isEqualTo(201);

        JsonNode report = report("2026-Q3");
        assertThat(says(report, "reviews"))
                .containsExactly(
                        "Cases of the quarter with a severe adverse event, or three or more attempts: 2. Reviews done: 1 of 2.",
                        "Named in reviews as having contributed, several in one case: equipment (1), team (1). What is named"
                                + " is the opinion of those who looked.");
        assertThat(report.path("figures").path("reviews").toString()).isEqualTo("{\"waiting\":1,\"done\":1}");
        assertThat(report.toString()).doesNotContain("Kept apart");
        JsonNode board = get(path("2026-Q3", "?readers=board")).json();
        assertThat(says(board, "reviews"))
                .containsExactly("Case reviews are the unit's own and are not printed outside it.");
    }

    @Test
    void theBoardSeesWholeYearsAndNoSmallCell() {
        for (int day = 1; day <= 9; day++) {
            record("2026-08-0" + day, day > 2);
        }
        JsonNode board = get(path("2026-Q3", "?readers=board")).json();

        assertThat(board.path("figures").isNull()).isTrue();
        assertThat(board.path("sections").toString()).doesNotContain("7 of 9").contains(Sentences.HIDDEN);
        assertThat(says(report("2026-Q3"), "in-short").get(0)).contains("7 of 9");
        isProblem(get(path("2026-Q3", "?readers=world")), 400, "malformed");
    }
}
