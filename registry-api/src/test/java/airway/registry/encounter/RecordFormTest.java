package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

class RecordFormTest {
    private static final JsonMapper JSON = new JsonMapper();

    private static JsonNode body(String... changes) {
        return Fields.form(Fields.plain(changes)).body();
    }

    private static JsonNode attempt(String... changes) {
        return body(changes).at("/courses/0/attempts/0");
    }

    private static List<String> told(String... changes) {
        return Fields.form(Fields.plain(changes)).faults(Circumstances.typed(Fields.OPENED)).stream()
                .map(one -> one.field() + (one.confirm() ? "?" : ""))
                .toList();
    }

    @Test
    void writesAPlainFirstPassAsARecord() {
        assertThat(JSON.readTree(body().toString())).isEqualTo(JSON.readTree("""
                {"site_id": "harbour", "encounter_start": "2026-11-24T14:25:00+00:00", "location": "picu",
                 "encounter_kind": "initial", "age_days": 213, "age_precision": "months", "weight_kg": 7.4,
                 "cyanotic_heart_disease": "no", "indication_main": "oxygenation", "urgency": "urgent",
                 "difficulty_predicted": "no", "recorder_role": "operator",
                 "courses": [{"course_approach": "oral", "spo2_best_before": 98, "attempts": [
                   {"operator_grade": "senior", "operator_experience": "25_100", "operator_is_recorder": "yes", "operator_setup_uses": "6_20",
                    "device_setup_id": "metal-handle", "look_target": "screen", "tube_passes": 1,
                    "tube_position": "trachea", "sustained_co2": "yes", "confirmation": ["waveform"],
                    "attempt_success": "yes", "spo2_lowest": 94, "kit_issue": ["none"]}]}],
                 "final_airway": "oral", "adverse_event_any": "no", "events": [], "confirmed": []}"""));
        assertThat(told()).isEmpty();
    }

    @Test
    void takesEachLineAsALabelOnceAndRefusesTheNumberOfTheChildAmongThem() {
        assertThat(attempt("a1.labels= 0412 \r\n\r\n(21)A,7\n0412")
                        .path("kit_labels")
                        .toString())
                .isEqualTo("[\"0412\",\"(21)A,7\"]");
        assertThat(told("a1.labels=0412", "hospital_number=X 77")).isEmpty();
        assertThat(told("a1.labels=0412\nx 77", "hospital_number=X 77")).containsExactly("a1.labels");
    }

    @Test
    void leavesBlankWhatWasNotAnswered() {
        JsonNode body = Fields.form(new Typed(java.util.Map.of())).body();
        assertThat(body.propertyNames()).containsExactly("site_id", "courses", "events", "confirmed");
        assertThat(body.at("/courses/0/attempts/0").isEmpty()).isTrue();
    }

    @Test
    void putsNotKnownWhereItsVariableHasAPlaceForIt() {
        JsonNode body = body(
                "age=",
                "age_unit=",
                "age_unknown=yes",
                "weight=",
                "weight_unknown=yes",
                "reason=unk",
                "urgency=unk",
                "a1.passes=unk",
                "a1.lowest=unk",
                "a1.best=unk",
                "a1.kit=unk");
        assertThat(body.path("unknown").toString())
                .isEqualTo("[\"age_days\",\"age_precision\",\"indication_main\",\"weight_kg\"]");
        assertThat(body.path("urgency").asString()).isEqualTo("unk");
        assertThat(body.at("/courses/0/unknown").toString()).isEqualTo("[\"spo2_best_before\"]");
        assertThat(body.at("/courses/0/attempts/0/unknown").toString())
                .isEqualTo("[\"kit_issue\",\"spo2_lowest\",\"tube_passes\"]");
    }

    @Test
    void dropsAnswersWhoseQuestionIsNotAsked() {
        JsonNode direct = attempt("a1.setup=metal-direct");
        assertThat(direct.has("look_target")).isFalse();
        JsonNode look = attempt("a1.passes=0", "a1.end=fail", "a1.position=pharynx", "a1.next=stop");
        assertThat(look.propertyNames()).doesNotContain("tube_position", "sustained_co2", "confirmation");
        JsonNode mine = attempt("a1.grade=student", "a1.why=no_view", "a1.position=oesophagus");
        assertThat(mine.path("operator_grade").asString()).isEqualTo("senior");
        assertThat(mine.has("failure_reason")).isFalse();
        assertThat(mine.path("tube_position").asString()).isEqualTo("trachea");
        assertThat(told("a1.setup=metal-direct", "a1.part=observer", "start_time=nonsense"))
                .isEmpty();
    }

    @Test
    void asksTheFirstPositionWhenOnePassDoesNotTellIt() {
        assertThat(attempt("a1.passes=2", "a1.position=oesophagus")
                        .path("tube_position")
                        .asString())
                .isEqualTo("oesophagus");
        assertThat(attempt("event=bronchial", "when.bronchial=1")
                        .path("tube_position")
                        .asString())
                .isEqualTo("bronchus");
    }

    @Test
    void keepsTheWaveformBesideTheOtherConfirmations() {
        JsonNode part = attempt("a1.co2=part", "a1.confirmed=chest");
        assertThat(part.path("sustained_co2").asString()).isEqualTo("no");
        assertThat(part.path("confirmation").toString()).isEqualTo("[\"waveform\",\"chest\"]");
        assertThat(told("a1.co2=part", "a1.confirmed=none")).containsExactly("a1.confirmed");
    }

    @Test
    void beginsACourseWhereAnotherWayBegins() {
        JsonNode body = body(
                "attempts=3",
                "a1.end=fail",
                "a1.next=another",
                "a2.setup=metal-direct",
                "a2.best=99",
                "a2.end=fail",
                "a2.next=another",
                "a3.setup=route",
                "a3.route=nasal",
                "a3.with=metal-handle",
                "a3.best=97",
                "a3.passes=1",
                "a3.end=stay");
        assertThat(body.path("courses")).hasSize(2);
        assertThat(body.at("/courses/0/attempts")).hasSize(2);
        assertThat(body.at("/courses/0/spo2_best_before").asInt()).isEqualTo(98);
        assertThat(body.at("/courses/1/course_approach").asString()).isEqualTo("nasal");
        assertThat(body.at("/courses/1/spo2_best_before").asInt()).isEqualTo(97);
        assertThat(body.at("/courses/1/attempts/0/device_setup_id").asString()).isEqualTo("metal-handle");
        assertThat(body.path("final_airway").asString()).isEqualTo("nasal");
    }

    @Test
    void advancesNoTubeOnAWayWithoutOne() {
        JsonNode body = body("a1.setup=route", "a1.route=sga", "a1.with=other");
        assertThat(body.at("/courses/0/attempts/0/tube_passes").asInt()).isZero();
        assertThat(body.at("/courses/0/attempts/0/unknown").toString()).isEqualTo("[\"device_setup_id\"]");
        assertThat(body.path("final_airway").asString()).isEqualTo("sga");
        assertThat(told("a1.setup=route", "a1.route=sga", "a1.with=other")).isEmpty();
    }

    @Test
    void keepsARecordWithoutAnyAttempt() {
        JsonNode body = body("a1.who=none", "a1.part=supervisor", "a1.final=own");
        assertThat(body.path("courses")).isEmpty();
        assertThat(body.path("recorder_role").asString()).isEqualTo("supervisor");
        assertThat(body.path("final_airway").asString()).isEqualTo("own");
        assertThat(told("a1.who=none", "a1.part=supervisor", "a1.final=own")).isEmpty();
    }

    @Test
    void tellsWhoFilledItIn() {
        assertThat(body("a1.who=other", "a1.part=assistant")
                        .path("recorder_role")
                        .asString())
                .isEqualTo("assistant");
        assertThat(body("attempts=2", "a1.who=other", "a1.part=assistant", "a1.end=fail", "a2.who=me")
                        .path("recorder_role")
                        .asString())
                .isEqualTo("operator");
    }

    @Test
    void writesEachEventWithItsAttempt() {
        JsonNode body = body("event=bradycardia", "event=vomiting", "when.bradycardia=0", "when.vomiting=unk");
        assertThat(body.path("adverse_event_any").asString()).isEqualTo("yes");
        assertThat(body.path("events")).isEqualTo(JSON.readTree("""
                        [{"event_type": "bradycardia", "event_attempt_no": 0},
                         {"event_type": "vomiting", "unknown": ["event_attempt_no"]}]"""));
        assertThat(told("event=no", "event=vomiting")).containsExactly("event");
    }

    @Test
    void takesFaultsBackToTheirQuestions() {
        assertThat(told("start=", "kind=", "a1.end=", "a1.setup="))
                .containsExactly("start", "kind", "a1.setup", "a1.end");
        assertThat(told("weight=seven", "age=1.5", "a1.lowest=99")).containsExactly("age", "weight", "a1.lowest");
        assertThat(told("attempts=2", "a1.end=fail", "a2.setup=metal-direct", "a2.lowest=typed", "a2.lowest_typed=x"))
                .containsExactly("a2.end", "a2.lowest");
    }

    @Test
    void tellsThatTheLastAttemptMustHaveAWay() {
        assertThat(told("attempts=2", "a1.end=fail", "a2.end=stay")).containsExactly("a2.setup");
        assertThat(told("attempts=2", "a2.setup=metal-direct", "a2.passes=1", "a2.end=stay"))
                .containsExactly("a1.end", "a2.end?");
    }

    @Test
    void asksOnceWhetherAnUnlikelyValueIsRight() {
        String[] nine = {"a1.lowest=typed", "a1.lowest_typed=9", "event=vomiting"};
        assertThat(told(nine)).containsExactly("a1.lowest?");
        assertThat(told(nine[0], nine[1], nine[2], "confirm.a1.lowest=9")).isEmpty();
        RecordForm form = Fields.form(Fields.plain(nine[0], nine[1], nine[2], "confirm.a1.lowest=9"));
        form.faults(Circumstances.typed(Fields.OPENED));
        assertThat(form.body().path("confirmed").toString()).isEqualTo("[\"/courses/0/attempts/0/spo2_lowest\"]");
        assertThat(told("a1.lowest=typed", "a1.lowest_typed=8", nine[2], "confirm.a1.lowest=9"))
                .containsExactly("a1.lowest?");
    }

    @Test
    void goesOnWhenAnotherAttemptFollowed() {
        assertThat(Fields.form(Fields.plain("a1.end=fail", "a1.next=another")).goesOn())
                .isTrue();
        assertThat(Fields.form(Fields.plain("a1.end=stay", "a1.next=another")).goesOn())
                .isFalse();
        assertThat(Fields.form(Fields.plain("attempts=2", "a1.end=fail", "a1.next=another"))
                        .goesOn())
                .isFalse();
    }

    @Test
    void readsAWeightWithEitherDecimalSign() {
        assertThat(body("weight=7,4").path("weight_kg").asDouble()).isEqualTo(7.4);
        assertThat(told("weight=7.4.1")).containsExactly("weight");
    }
}
