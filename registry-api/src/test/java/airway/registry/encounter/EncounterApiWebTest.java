package airway.registry.encounter;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import airway.sql.Sql;
import java.net.http.HttpRequest;
import java.sql.SQLException;
import java.util.List;
import java.util.Set;
import java.util.UUID;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import tools.jackson.databind.JsonNode;

class EncounterApiWebTest extends ServedRegistry {
    private String unit = "";

    @BeforeEach
    void ownUnit() {
        unit = unit().code();
    }

    private String body(String encounter, String course, String attempt) {
        return """
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-01T14:20:00+00:00"%s,
                 "courses": [{"course_approach": "oral", "spo2_best_before": 98%s,
                   "attempts": [{"attempt_success": "yes", "tube_passes": 1, "spo2_lowest": 94%s}]}]}""".formatted(unit, encounter, course, attempt);
    }

    private long stored() {
        try {
            return Long.parseLong(Sql.rows(
                            LOGINS.owner(),
                            "select count(*) from encounter.version v join access.site s using (site_id) where s.code = '"
                                    + unit + "'")
                    .get(0));
        } catch (SQLException e) {
            throw new IllegalStateException(e);
        }
    }

    @Test
    void keepsARecordAndAnswersWithWhatWasWorkedOut() {
        Answer made = record(
                body(", \"age_days\": 210, \"cyanotic_heart_disease\": \"no\", \"adverse_event_any\": \"no\"", "", ""));

        assertThat(made.status()).isEqualTo(201);
        JsonNode json = made.json();
        String id = json.path("encounter_id").asString();
        assertThat(made.header("Location")).isEqualTo("/api/v1/encounters/" + id);
        assertThat(made.header("ETag")).isEqualTo("\"v1\"");
        assertThat(json.path("version").asInt()).isEqualTo(1);
        assertThat(json.path("status").asString()).isEqualTo("final");
        assertThat(json.path("dictionary_version").asString()).isEqualTo("1.2.0");
        assertThat(json.path("recorded_at").asString()).isEqualTo("2026-11-24T12:00:00+00:00");
        assertThat(json.path("encounter_start").asString()).isEqualTo("2026-03-01T14:20:00+00:00");
        assertThat(json.path("derived").toString())
                .isEqualTo("{\"fps\":\"yes\",\"fps_strict\":\"yes\",\"fps_clean\":\"yes\",\"tracheal_attempts\":1,"
                        + "\"spo2_lowest\":94,\"age_band\":\"infant\"}");

        Answer read = get("/api/v1/encounters/" + id);
        assertThat(read.status()).isEqualTo(200);
        assertThat(read.header("ETag")).isEqualTo("\"v1\"");
        assertThat(read.json()).isEqualTo(json);
    }

    @Test
    void givesBackEveryAnswerOfEveryLevelAsItCame() {
        post(
                "/api/v1/device-setups",
                "{\"site_id\": \"" + unit + "\", \"device_setup_id\": \"v1\", \"title\": \"Metal, handle\","
                        + " \"device_mode\": \"video_standard\", \"display_mounting\": \"handle\"}");
        String sent = """
                {"site_id": "%s", "encounter_kind": "reint_unplanned", "encounter_start": "2026-07-01T23:30:00+01:00",
                 "encounter_start_precision": "minute", "recorder_role": "supervisor", "location": "theatre",
                 "age_days": 1, "age_hours": 30, "age_precision": "days", "weight_kg": 1.25, "asa_class": "3",
                 "diagnosis_category": "prematurity", "indication": ["apnoea", "surfactant"], "indication_main": "apnoea",
                 "other_difficult_features": ["none"], "adverse_event_any": "yes", "unknown": ["tube_depth_cm"],
                 "final_airway": "oral",
                 "patient": {"sex": "f", "gestation_weeks": 29, "gestation_days": 3},
                 "courses": [{"course_approach": "oral", "spo2_best_before": 97, "head_position": ["neutral", "inline"],
                   "drugs": [{"drug_agent": "atropine", "drug_dose": 60, "drug_dose_unit": "ug"}],
                   "attempts": [{"device_setup_id": "v1", "operator_profession": "neonatal", "operator_grade": "junior",
                     "look_target": "screen", "tube_passes": 1, "tube_size_mm": 2.5, "spo2_lowest": 71,
                     "attempt_success": "yes", "tube_position": "trachea", "confirmation": ["waveform", "colour"],
                     "sustained_co2": "yes", "kit_issue": ["fogging"], "kit_issue_effect": "delay",
                     "unknown": ["attempt_duration_s"]}]}],
                 "events": [{"event_type": "bradycardia", "event_attempt_no": 1, "event_intervention": ["ventilation"]}]}""".formatted(unit);

        JsonNode json = record(sent).json();

        tools.jackson.databind.json.JsonMapper mapper = new tools.jackson.databind.json.JsonMapper();
        JsonNode expected = mapper.readTree(sent);
        for (var property : expected.properties()) {
            if (!Set.of("encounter_start", "courses").contains(property.getKey())) {
                assertThat(json.path(property.getKey())).as(property.getKey()).isEqualTo(property.getValue());
            }
        }
        assertThat(json.path("encounter_start").asString()).isEqualTo("2026-07-01T23:30:00+01:00");
        JsonNode course = json.path("courses").path(0);
        JsonNode sentCourse = expected.path("courses").path(0);
        sentCourse.properties().forEach(property -> {
            if (!property.getKey().equals("attempts")) {
                assertThat(course.path(property.getKey())).isEqualTo(property.getValue());
            }
        });
        sentCourse
                .path("attempts")
                .path(0)
                .properties()
                .forEach(property -> assertThat(course.path("attempts").path(0).path(property.getKey()))
                        .as(property.getKey())
                        .isEqualTo(property.getValue()));
        assertThat(json.path("derived").path("age_band").asString()).isEqualTo("newborn_preterm");
    }

    @Test
    void refusesWithoutTheFourNeededAnswersAndStoresNothing() {
        JsonNode problem = isProblem(
                record("{\"site_id\": \"" + unit + "\", \"courses\": [{\"attempts\": [{}]}]}"), 422, "invalid");

        assertThat(faults(problem))
                .containsExactlyInAnyOrder(
                        "/encounter_kind required",
                        "/encounter_start required",
                        "/courses/0/course_approach required",
                        "/courses/0/attempts/0/attempt_success required");
        assertThat(stored()).isZero();
    }

    @Test
    void keepsARecordWithoutAnyCourse() {
        JsonNode json = record(
                        "{\"site_id\": \"" + unit
                                + "\", \"encounter_kind\": \"initial\", \"encounter_start\": \"2026-03-01T14:20:00Z\", \"courses\": []}")
                .json();

        assertThat(json.path("derived").path("fps").asString()).isEqualTo("excluded");
        assertThat(json.path("derived").path("tracheal_attempts").asInt()).isZero();
        assertThat(json.path("derived").path("spo2_lowest").isNull()).isTrue();
    }

    @Test
    void tellsAllValueFaultsAtOnceAndStoresNothing() {
        String body = """
                {"site_id": "%s", "encounter_kind": "first", "encounter_start": "2026-11-24T12:06:00Z", "age_days": -1,
                 "weight_kg": "heavy", "adverse_event_any": "yes",
                 "courses": [{"course_approach": "oral", "spo2_best_before": 90,
                   "attempts": [{"attempt_success": "yes", "tube_passes": 0, "spo2_lowest": 101},
                                {"attempt_success": "no", "spo2_start": 88, "spo2_lowest": 89,
                                 "kit_issue": ["none", "light"], "failure_reason": ["no_view", "no_view"]}]}],
                 "events": [{"event_type": "bradycardia", "event_attempt_no": 3}]}""".formatted(unit);

        JsonNode problem = isProblem(record(body), 422, "invalid");

        assertThat(faults(problem))
                .containsExactlyInAnyOrder(
                        "/encounter_kind code",
                        "/encounter_start future",
                        "/age_days range",
                        "/weight_kg type",
                        "/courses/0/attempts/0/spo2_lowest range",
                        "/courses/0/attempts/0/tube_passes passes.zero",
                        "/courses/0/attempts/1/spo2_lowest spo2.lowest_above_start",
                        "/courses/0/attempts/1/kit_issue list.none_not_alone",
                        "/courses/0/attempts/1/failure_reason/1 list.repeated",
                        "/events/0/event_attempt_no event.attempt");
        assertThat(stored()).isZero();
        assertThat(problem.toString()).as("nothing typed is repeated").doesNotContain("heavy");
    }

    @Test
    void refusesALowestSaturationAboveTheBestBefore() {
        assertThat(faults(isProblem(record(body("", "", "").replace("94", "99")), 422, "invalid")))
                .containsExactly("/courses/0/attempts/0/spo2_lowest spo2.lowest_above_start");
    }

    @Test
    void takesAStartUpToFiveMinutesAhead() {
        assertThat(record(body("", "", "").replace("2026-03-01T14:20:00+00:00", "2026-11-24T12:05:00Z"))
                        .status())
                .isEqualTo(201);
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "{\"attempts\": []}|/attempts field.unknown",
                "{\"weight\": 7}|/weight field.unknown",
                "{\"recorded_at\": \"2026-03-01T14:20:00Z\"}|/recorded_at field.system",
                "{\"patient\": {\"patient_code\": \"x\"}}|/patient/patient_code field.system",
                "{\"courses\": [{\"course_no\": 1}]}|/courses/0/course_no field.system",
                "{\"courses\": [{\"attempts\": [{\"operator_id\": \"x\"}]}]}|/courses/0/attempts/0/operator_id field.system",
            })
    void refusesFieldsThatCannotBeTaken(String body, String fault) {
        assertThat(faults(isProblem(record(body), 400, "malformed"))).containsExactly(fault);
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "",
                "{",
                "{} {}",
                "{\"encounter_kind\": \"initial\", \"encounter_kind\": \"other\"}",
                "{\"a\": NaN}",
                "[1,",
                "{\"a\": 1e99999999999}",
                "{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":1}}}}}}}}}}}}}"
            })
    void refusesWhatIsNotProperJson(String body) {
        isProblem(record(body), 400, "malformed");
    }

    @Test
    void refusesABodyThatIsNoObject() {
        isProblem(record("[]"), 400, "malformed");
        isProblem(record("3"), 400, "malformed");
    }

    @Test
    void refusesABodyOver64Kibibytes() {
        isProblem(record("{\"a\": \"" + "x".repeat(65_536) + "\"}"), 413, "too-large");
    }

    @Test
    void answersAnswersThatWereNotToBeAsked() {
        assertThat(faults(isProblem(
                        record(body(
                                ", \"asa_class\": \"2\", \"location\": \"picu\"",
                                "",
                                ", \"failure_reason\": [\"time\"]")),
                        422,
                        "invalid")))
                .containsExactlyInAnyOrder("/asa_class condition", "/courses/0/attempts/0/failure_reason condition");
    }

    @Test
    void keepsBlankNotKnownAndAnsweredApart() {
        JsonNode json = record(body(", \"unknown\": [\"weight_kg\"], \"urgency\": \"unk\"", "", ""))
                .json();

        List<String> open =
                json.path("incomplete").valueStream().map(JsonNode::asString).toList();
        assertThat(open).contains("/age_days", "/location").doesNotContain("/weight_kg", "/urgency", "/asa_class/");
        assertThat(json.path("unknown").toString()).isEqualTo("[\"weight_kg\"]");
        assertThat(json.has("age_days")).isFalse();
    }

    @Test
    void refusesANotKnownThatIsAnsweredOrHasItsOwnCode() {
        assertThat(faults(isProblem(
                        record(body(
                                ", \"weight_kg\": 7, \"unknown\": [\"weight_kg\", \"urgency\", \"colour\"]", "", "")),
                        422,
                        "invalid")))
                .containsExactlyInAnyOrder(
                        "/unknown unknown.answered", "/unknown/1 unknown.own_code", "/unknown/2 unknown.name");
    }

    @Test
    void asksOnceAboutAnUnlikelyValueAndKeepsTheConfirmation() {
        JsonNode problem = isProblem(record(body(", \"weight_kg\": 0.4", "", "")), 422, "invalid");
        assertThat(faults(problem)).containsExactly("/weight_kg unlikely");
        assertThat(problem.path("errors").path(0).path("severity").asString()).isEqualTo("confirm");

        Answer confirmed = record(body(", \"weight_kg\": 0.4, \"confirmed\": [\"/weight_kg\"]", "", ""));
        assertThat(confirmed.status()).isEqualTo(201);
        assertThat(confirmed.json().path("confirmed").toString()).isEqualTo("[\"/weight_kg\"]");
    }

    @Test
    void tellsAProgramHowToConfirmAndAsksAboutADoseFarFromTheUnitsOwn() {
        String drug = ", \"drugs\": [{\"drug_agent\": \"ketamine\", \"drug_dose\": %s, \"drug_dose_unit\": \"%s\"}]";
        for (int i = 0; i < 20; i++) {
            assertThat(record(body(", \"weight_kg\": 10", drug.formatted("20", "mg"), ""))
                            .status())
                    .isEqualTo(201);
        }
        for (List<String> far : List.of(List.of("1.9", "mg"), List.of("201", "mg"), List.of("1900", "ug"))) {
            JsonNode problem = isProblem(
                    record(body(", \"weight_kg\": 10", drug.formatted(far.get(0), far.get(1)), "")), 422, "invalid");
            assertThat(faults(problem)).containsExactly("/courses/0/drugs/0/drug_dose dose.unusual");
            assertThat(problem.path("errors").path(0).path("detail").asString())
                    .endsWith(" If it is right, send its pointer in \"confirmed\".");
        }
        String confirmed = ", \"weight_kg\": 10, \"confirmed\": [\"/courses/0/drugs/0/drug_dose\"]";
        assertThat(record(body(confirmed, drug.formatted("201", "mg"), "")).status())
                .isEqualTo(201);
    }

    @Test
    void takesNoWordsAsAConfirmation() {
        assertThat(faults(isProblem(
                        record(body(", \"confirmed\": [\"/somebody by name\", \"/encounter_kind\"]", "", "")),
                        422,
                        "invalid")))
                .containsExactly("/confirmed confirmed.name");
    }

    @Test
    void refusesAYearThatIsASlip() {
        for (String start : List.of("0202-03-01T14:20:00+00:00", "-999999999-01-01T00:00:00+18:00")) {
            assertThat(faults(isProblem(
                            record(body("", "", "").replace("2026-03-01T14:20:00+00:00", start)), 422, "invalid")))
                    .containsExactly("/encounter_start past");
        }
    }

    @Test
    void letsARecordedEventSpoilTheCleanMeasureAlsoWhereTheQuestionWasLeftBlank() {
        String clean = ", \"cyanotic_heart_disease\": \"no\"";
        String event = ", \"events\": [{\"event_type\": \"%s\", \"event_attempt_no\": 1}]";

        assertThat(clean(clean + event.formatted("bronchial"))).isEqualTo("no");
        assertThat(clean(clean + event.formatted("kit_failure"))).isEqualTo("excluded");
        assertThat(clean(clean + ", \"adverse_event_any\": \"yes\"" + event.formatted("kit_failure")))
                .isEqualTo("yes");
        assertThat(clean(clean + ", \"adverse_event_any\": \"yes\"")).isEqualTo("no");
        assertThat(clean(clean)).isEqualTo("excluded");
    }

    private String clean(String encounter) {
        return record(body(encounter, "", ""))
                .json()
                .path("derived")
                .path("fps_clean")
                .asString();
    }

    @Test
    void refusesAttemptsAfterADeath() {
        String body = body(", \"adverse_event_any\": \"yes\"", "", "")
                .replace("\"attempts\": [", "\"attempts\": [{\"attempt_success\": \"no\"}, ")
                .replaceFirst("}$", ", \"events\": [{\"event_type\": \"arrest_death\", \"event_attempt_no\": 1}]}");

        assertThat(faults(isProblem(record(body), 422, "invalid")))
                .containsExactly("/courses/0/attempts/1 attempt.after_death");
    }

    @Test
    void refusesASetUpThatTheUnitDoesNotHave() {
        assertThat(faults(isProblem(record(body("", "", ", \"device_setup_id\": \"nowhere\"")), 422, "invalid")))
                .containsExactly("/courses/0/attempts/0/device_setup_id setup.unknown");
    }

    @Test
    void answersTheSameKeyAndBodyWithTheFirstRecord() {
        String key = UUID.randomUUID().toString();
        Answer first = record(body("", "", ""), key);
        Answer again = record(body("", "", "").replace("\n", "  \n"), key);

        assertThat(again.status()).isEqualTo(201);
        assertThat(again.json()).isEqualTo(first.json());
        assertThat(again.header("Location")).isEqualTo(first.header("Location"));
        assertThat(stored()).isEqualTo(1);
    }

    @Test
    void refusesTheSameKeyForAnotherBody() {
        String key = UUID.randomUUID().toString();
        record(body("", "", ""), key);

        assertThat(faults(isProblem(record(body(", \"urgency\": \"urgent\"", "", ""), key), 422, "invalid")))
                .containsExactly("Idempotency-Key key.reused");
        assertThat(stored()).isEqualTo(1);
    }

    @Test
    void usesAKeyUpOnlyBySuccess() {
        String key = UUID.randomUUID().toString();
        isProblem(record(body(", \"age_days\": -4", "", ""), key), 422, "invalid");

        assertThat(record(body(", \"age_days\": 4", "", ""), key).status()).isEqualTo(201);
    }

    @Test
    void makesOneRecordOfFiftyAtOnceWithOneKey() throws Exception {
        String key = UUID.randomUUID().toString();
        ExecutorService pool = Executors.newFixedThreadPool(16);
        try {
            List<Callable<Integer>> sendings = IntStream.range(0, 50)
                    .<Callable<Integer>>mapToObj(
                            i -> () -> record(body("", "", ""), key).status())
                    .toList();
            Set<Integer> statuses = pool.invokeAll(sendings).stream()
                    .map(EncounterApiWebTest::result)
                    .collect(Collectors.toSet());
            assertThat(statuses).contains(201).isSubsetOf(201, 409);
        } finally {
            pool.shutdown();
        }
        assertThat(stored()).isEqualTo(1);
    }

    private static Integer result(Future<Integer> future) {
        try {
            return future.get();
        } catch (Exception e) {
            throw new IllegalStateException(e);
        }
    }

    @Test
    void refusesARecordWithoutAKeyOrWithAGuessableOne() {
        isProblem(post("/api/v1/encounters", body("", "", "")), 400, "malformed");
        isProblem(record(body("", "", ""), "short"), 400, "malformed");
        assertThat(stored()).isZero();
    }

    @Test
    void speaksProblemsOnEveryPathAndStatus() {
        isProblem(get("/api/v1/encounters/" + UUID.randomUUID()), 404, "missing");
        isProblem(get("/api/v1/encounters/17"), 404, "missing");
        isProblem(get("/api/v1/nowhere"), 404, "not-found");
        isProblem(get("/nowhere"), 404, "not-found");
        isProblem(get("/api/v1/encounters/%00"), 400, "bad-request");
        isProblem(get("/%2e%2e/secret"), 400, "bad-request");
        isProblem(send(request("/api/v1/charts/fps").header("Accept", "picture")), 400, "malformed");
        Answer method = send(request("/api/v1/encounters").DELETE());
        isProblem(method, 405, "method-not-allowed");
        assertThat(method.header("Allow")).isEqualTo("POST");
        isProblem(
                send(request("/api/v1/encounters")
                        .header("Content-Type", "text/plain")
                        .header("Idempotency-Key", '"' + UUID.randomUUID().toString() + '"')
                        .POST(HttpRequest.BodyPublishers.ofString("x"))),
                415,
                "unsupported-media-type");
    }

    @Test
    void refusesWritesThatAnotherSiteSends() {
        isProblem(
                send(request("/api/v1/encounters")
                        .header("Content-Type", "application/json")
                        .header("Origin", "https://elsewhere.example")
                        .header("Idempotency-Key", '"' + UUID.randomUUID().toString() + '"')
                        .POST(HttpRequest.BodyPublishers.ofString(body("", "", "")))),
                403,
                "refused");
        assertThat(stored()).isZero();
    }
}
