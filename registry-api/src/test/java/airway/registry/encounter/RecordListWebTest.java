package airway.registry.encounter;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Setups;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.UUID;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import tools.jackson.databind.JsonNode;

class RecordListWebTest extends ServedRegistry {
    private static final Pattern ROW = Pattern.compile("<a class=\"rowlink\" href=\"/records/([0-9a-f-]{36})\"");
    private static final Pattern NEXT = Pattern.compile("href=\"([^\"]+)\" rel=\"next\"");

    private String unit = "";

    @BeforeEach
    void ownUnit() {
        unit = unit().code();
    }

    private String intubate(String start, String attempts, String more) {
        Answer answer = record("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "%s"%s,
                 "courses": [{"course_approach": "oral", "spo2_best_before": 98, "attempts": [%s]}]}""".formatted(unit, start, more, attempts));
        assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        return answer.json().path("encounter_id").asString();
    }

    private static String attempt(String success) {
        return "{\"attempt_success\": \"" + success + "\"}";
    }

    private Answer page(String parameters) {
        return send(request("/records?site_id=" + unit + parameters).header("Accept", "text/html"));
    }

    private List<String> listed(String parameters) {
        Answer answer = page(parameters);
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return ids(answer.text());
    }

    private static List<String> ids(String page) {
        List<String> ids = new ArrayList<>();
        Matcher row = ROW.matcher(page);
        while (row.find()) {
            ids.add(row.group(1));
        }
        return ids;
    }

    private List<String> csv(String parameters) {
        Answer answer = get("/records.csv?site_id=" + unit + parameters);
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        assertThat(answer.header("Content-Type")).isEqualTo("text/csv;charset=UTF-8");
        return answer.text().lines().toList();
    }

    @Test
    void listsTheNewestFirstAndFiltersByAttemptsPeriodAndAge() {
        String first = intubate("2026-01-10T10:00:00Z", attempt("yes"), ", \"age_days\": 200");
        String twice = intubate("2026-02-10T10:00:00Z", attempt("no") + "," + attempt("yes"), ", \"age_days\": 200");
        String child = intubate("2026-03-10T10:00:00Z", attempt("no") + "," + attempt("yes"), ", \"age_days\": 900");
        String unsure = intubate("2026-04-10T10:00:00Z", attempt("unk") + "," + attempt("yes"), ", \"age_days\": 3");

        assertThat(listed("")).containsExactly(unsure, child, twice, first);
        assertThat(listed("&tracheal_attempts=2_or_more")).containsExactly(child, twice);
        assertThat(listed("&tracheal_attempts=1")).containsExactly(first);
        assertThat(listed("&tracheal_attempts=unknown")).containsExactly(unsure);
        assertThat(listed("&fps=yes")).containsExactly(first);
        assertThat(listed("&fps=no")).containsExactly(child, twice);
        assertThat(listed("&fps=excluded")).containsExactly(unsure);
        assertThat(listed("&from=2026-02&to=2026-Q1")).containsExactly(child, twice);
        assertThat(listed("&age_band=infant&age_band=child_1_7")).containsExactly(child, twice, first);
        assertThat(listed("&tracheal_attempts=2_or_more&age_band=under_1_year&from=2026-02&to=2026-02"))
                .containsExactly(twice);
        assertThat(page("&tracheal_attempts=2_or_more&from=2026-02&to=2026-02").text())
                .contains("1 intubation in Feb 2026, with 2 or more attempts")
                .contains("7 months. 2 attempts, no first pass.");
    }

    @Test
    void namesTheFilterToLoosen() {
        intubate("2026-01-10T10:00:00Z", attempt("yes"), "");
        intubate("2026-01-11T10:00:00Z", attempt("yes"), "");

        assertThat(page("&tracheal_attempts=2&from=2026-01&to=2026-01").text())
                .contains("Loosen one of the filters", "Without “with 2 attempts” there are 2")
                .doesNotContain("Without “in Jan 2026”");
        assertThat(page("&from=2030").text()).contains("Without “since Jan 2030” there are 2");
    }

    @Test
    void showsEachRecordOnceWhileNewOnesAreAddedOldOnesPutRightAndWithdrawn() {
        List<String> all = new ArrayList<>();
        for (int i = 0; i < 60; i++) {
            // Starts come in threes, so that the order within one moment matters.
            all.add(intubate(
                    Instant.parse("2026-01-01T00:00:00Z")
                            .plusSeconds(i / 3 * 60L)
                            .toString(),
                    attempt("yes"),
                    ""));
        }
        List<String> seen = new ArrayList<>();
        String path = "/records?site_id=" + unit;
        int pages = 0;
        while (path != null) {
            String text = send(request(path).header("Accept", "text/html")).text();
            List<String> here = ids(text);
            seen.addAll(here);
            assertThat(text).contains((60 + pages - Math.min(pages, 1)) + " intubations");
            // Newer than everything: never on a later page. And the place where this page ended is withdrawn.
            intubate("2026-05-01T00:00:00Z", attempt("yes"), "");
            if (pages == 0) {
                post(
                        "/api/v1/encounters/" + here.get(here.size() - 1) + "/withdrawal",
                        "{\"reason_code\": \"test_entry\"}");
            }
            pages++;
            Matcher next = NEXT.matcher(text);
            path = next.find() ? next.group(1).replace("&amp;", "&") : null;
        }

        assertThat(pages).isEqualTo(3);
        assertThat(seen).doesNotHaveDuplicates().containsExactlyInAnyOrderElementsOf(all);
    }

    @Test
    void warnsOfOpenQuestionsAsTheApiListsThemAndOfConfirmedValues() {
        Setups.of(unit).forEach(setup -> post("/api/v1/device-setups", setup));
        List<String> records = List.of(
                intubate("2026-01-01T00:00:00Z", attempt("yes"), ""),
                intubate("2026-01-02T00:00:00Z", COMPLETE_ATTEMPT, COMPLETE),
                intubate(
                        "2026-01-03T00:00:00Z",
                        COMPLETE_ATTEMPT,
                        COMPLETE.replace("\"weight_kg\": 7.4", "\"weight_kg\": 200, \"confirmed\": [\"/weight_kg\"]")),
                intubate(
                        "2026-01-04T00:00:00Z",
                        COMPLETE_ATTEMPT.replace("\"tube_position\": \"trachea\",", ""),
                        COMPLETE),
                intubate(
                        "2026-01-05T00:00:00Z",
                        COMPLETE_ATTEMPT,
                        COMPLETE.replace("\"adverse_event_any\": \"no\"", "\"adverse_event_any\": \"yes\"")),
                intubate(
                        "2026-01-06T00:00:00Z",
                        COMPLETE_ATTEMPT.replace("\"spo2_lowest\": 94", "\"unknown\": [\"spo2_lowest\"]"),
                        COMPLETE));
        List<String> open =
                records.stream().filter(id -> !openByTheApi(id).isEmpty()).toList();

        assertThat(open).containsExactly(records.get(0), records.get(3), records.get(4));
        assertThat(listed("&warnings=open")).containsExactlyInAnyOrderElementsOf(open);
        assertThat(listed("&warnings=confirmed")).containsExactly(records.get(2));
        assertThat(listed("&warnings=any")).contains(records.get(2)).hasSize(open.size() + 1);
        List<String> rows = csv("");
        for (String id : records) {
            assertThat(rows)
                    .anySatisfy(row -> assertThat(row)
                            .startsWith(id)
                            .endsWith(
                                    "," + openByTheApi(id).size() + "," + (id.equals(records.get(2)) ? "1,0" : "0,0")));
        }
    }

    private static final String COMPLETE = """
            , "recorder_role": "operator", "location": "picu", "age_days": 210, "age_precision": "months",
            "weight_kg": 7.4, "cyanotic_heart_disease": "no", "indication_main": "oxygenation", "urgency": "urgent",
            "difficulty_predicted": "no", "final_airway": "oral", "adverse_event_any": "no"\
            """;
    private static final String COMPLETE_ATTEMPT = """
            {"attempt_success": "yes", "device_setup_id": "metal-direct", "operator_grade": "senior",
             "operator_experience": "25_100", "operator_setup_uses": "6_20", "tube_passes": 1,
             "tube_position": "trachea", "confirmation": ["waveform"], "sustained_co2": "yes", "kit_issue": ["none"],
             "spo2_lowest": 94}""";

    /** A naive reader of the open questions of the first layer. */
    private List<String> openByTheApi(String id) {
        List<String> open = new ArrayList<>();
        JsonNode record = get("/api/v1/encounters/" + id).json();
        for (JsonNode pointer : record.path("incomplete")) {
            String name = pointer.asString().substring(pointer.asString().lastIndexOf('/') + 1);
            if (name.equals("events")
                    || (Dictionary.current().contains(name)
                            && Dictionary.current().variable(name).layer() == Layer.FIRST)) {
                open.add(pointer.asString());
            }
        }
        return open;
    }

    @Test
    void keepsWithdrawnRecordsApart() {
        String kept = intubate("2026-01-01T00:00:00Z", attempt("yes"), "");
        String gone = intubate("2026-02-01T00:00:00Z", attempt("yes"), "");
        post("/api/v1/encounters/" + gone + "/withdrawal", "{\"reason_code\": \"duplicate\"}");

        assertThat(listed("")).containsExactly(kept);
        assertThat(page("").text()).contains("1 withdrawn record</a> of this period");
        assertThat(page("&to=2026-01").text()).doesNotContain("withdrawn record");
        assertThat(listed("&withdrawn=yes")).containsExactly(gone);
        assertThat(page("&withdrawn=yes").text()).contains("withdrawn: recorded twice");
        assertThat(listed("&withdrawn=yes&to=2026-01")).isEmpty();
        assertThat(csv("&withdrawn=yes")).hasSize(2).element(1).asString().startsWith(gone + ",2,entered-in-error,");
        assertThat(page("&withdrawn=yes&fps=yes").status()).isEqualTo(400);
    }

    @Test
    void savesWhatIsShownAndNeverAFormula() {
        Setups.of(unit).forEach(setup -> post("/api/v1/device-setups", setup));
        assertThat(post("/api/v1/device-setups", """
                                {"site_id": "%s", "device_setup_id": "sum", "title": "=1+1 \\"straight\\""}""".formatted(unit)).status()).isEqualTo(201);
        intubate(
                "2026-07-01T10:05:00Z",
                "{\"attempt_success\": \"yes\", \"device_setup_id\": \"sum\"}",
                ", \"location\": \"picu\"");
        intubate("2026-08-01T10:05:00Z", attempt("no"), "");

        List<String> rows = csv("&fps=yes");

        assertThat(rows).hasSize(2);
        assertThat(rows.get(0)).startsWith("encounter_id,version,status,encounter_start,");
        // 10:05 UTC is 11:05 in London in July.
        assertThat(rows.get(1))
                .contains(
                        ",1,final,2026-07-01T11:05,",
                        ",picu,",
                        ",1,yes,excluded,excluded,",
                        ",sum,\"'=1+1 \"\"straight\"\"\",");
    }

    @Test
    void turnsAwayAPlaceThatIsNone() {
        intubate("2026-01-01T00:00:00Z", attempt("yes"), "");
        String nowhere = new RecordCursor(UUID.randomUUID(), 1).encoded();
        for (String bad : List.of("x", "%27%20or%201=1--", nowhere, nowhere.substring(1))) {
            assertThat(faults(isProblem(get("/records?site_id=" + unit + "&after=" + bad), 400, "malformed")))
                    .containsExactly("after cursor");
        }
        assertThat(page("&after=x").text()).contains("begin with the newest record");
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "sort=name%3Bdrop+table+encounter.version",
                "order=encounter_start",
                "tracheal_attempts=2;drop",
                "fps=1",
                "fps=yes&fps=no",
                "warnings=%27",
                "withdrawn=no",
                "age_band=%27%20or%20%27%27=%27",
                "location=somewhere",
                "device_setup_id=A%20B",
                "from=May"
            })
    void turnsAwayWhatItDoesNotKnowAndKeepsWhatWasTyped(String parameters) {
        Answer answer = page("&" + parameters + "&to=2026-02");

        assertThat(answer.status()).isEqualTo(400);
        assertThat(answer.text()).contains("This cannot be shown as asked", "value=\"2026-02\"");
        isProblem(get("/records.csv?site_id=" + unit + "&" + parameters), 400, "malformed");
    }

    @ParameterizedTest
    @CsvSource({"2026-03-31T22:59:00Z, 2026-03", "2026-03-31T23:30:00Z, 2026-04"})
    void countsAMonthInTheZoneOfTheUnit(String start, String month) {
        String id = intubate(start, attempt("yes"), "");

        assertThat(listed("&from=" + month + "&to=" + month)).containsExactly(id);
    }

    @Test
    void keepsUnitsApart() {
        intubate("2026-01-01T00:00:00Z", attempt("yes"), "");
        assertThat(send(request("/records?site_id=" + unit().code()).header("Accept", "text/html"))
                        .text())
                .contains("No intubations are recorded here.");
        isProblem(get("/records?site_id=nowhere"), 404, "missing");
    }
}
