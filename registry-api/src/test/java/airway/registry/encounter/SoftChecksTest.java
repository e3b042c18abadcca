package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import tools.jackson.databind.json.JsonMapper;

/** Each oddity of the list of checks is asked about at an answer of the record, and only then. */
class SoftChecksTest {
    private static final Instant NOW = Instant.parse("2026-03-02T12:00:00Z");
    private static final JsonMapper JSON = new JsonMapper();
    private static final String ATTEMPT = "{\"attempt_success\": \"yes\", \"tube_passes\": 1%s}";

    private static List<String> odd(String body, Circumstances circumstances) {
        try {
            EncounterForm.read(JSON.readTree(body), Map.of(), circumstances);
            return List.of();
        } catch (Problem.Invalid e) {
            assertThat(e.faults()).allMatch(fault -> fault.severity() == Fault.Severity.CONFIRM);
            String confirmed = e.faults().stream()
                    .map(fault -> '"' + fault.path() + '"')
                    .reduce((one, other) -> one + ", " + other)
                    .orElseThrow();
            String again = body.replaceFirst("\\{", "{\"confirmed\": [" + confirmed + "], ");
            assertThat(EncounterForm.read(JSON.readTree(again), Map.of(), circumstances)
                            .confirmed())
                    .as("what is asked about can be confirmed")
                    .hasSize(e.faults().size());
            return e.faults().stream()
                    .map(fault -> fault.path() + " " + fault.code())
                    .toList();
        }
    }

    private static String body(String encounter, String attempts) {
        return body(encounter, "", attempts);
    }

    private static String body(String encounter, String course, String attempts) {
        return """
                {"encounter_kind": "initial", "encounter_start": "2026-03-01T14:20:00Z"%s,
                 "courses": [{"course_approach": "oral"%s, "attempts": [%s]}]}""".formatted(encounter, course, attempts);
    }

    private static List<String> odd(String encounter, String attempts) {
        return odd(body(encounter, attempts), Circumstances.sent(NOW, Doses.NONE));
    }

    private static String attempt(String more) {
        return ATTEMPT.formatted(more);
    }

    @Test
    void asksNothingAboutAPlainRecord() {
        assertThat(odd(
                        ", \"age_days\": 210, \"weight_kg\": 7.4, \"adverse_event_any\": \"no\"",
                        attempt(", \"spo2_lowest\": 94, \"tube_size_mm\": 3.5, \"confirmation\": [\"waveform\"],"
                                + " \"tube_position\": \"trachea\", \"view_direct\": \"1\", \"view_screen\": \"2b\"")))
                .isEmpty();
    }

    @Test
    void asksAboutALimitInABareSentence() {
        try {
            EncounterForm.read(
                    JSON.readTree(body("", attempt(", \"spo2_lowest\": 29"))),
                    Map.of(),
                    Circumstances.sent(NOW, Doses.NONE));
        } catch (Problem.Invalid e) {
            assertThat(e.faults()).extracting(Fault::mend).containsExactly("Usual is at least 30%.");
            return;
        }
        throw new AssertionError("nothing was asked");
    }

    /**
     * Weights at the WHO's -3 and +3 standard deviations and beyond: 2.1 and 5.0 kg at birth, 5.7 and 10.9 kg at six
     * months, 12.4 and 27.9 kg at five years (boys; from memory of the tables), are all real children and not asked
     * about.
     */
    @ParameterizedTest
    @CsvSource({
        "2.1, 0, 40, false",
        "5.0, 0, 40, false",
        "5.7, 182, 39, false",
        "10.9, 182, 39, false",
        "12.4, 1826, , false",
        "27.9, 1826, , false",
        "33.5, 0, 40, true",
        "0.8, 0, 40, true",
        "0.65, 0, 24, false",
        "1.5, 0, 24, true",
        "0.65, 0, 33, true",
        "1.1, 60, 24, false",
        "0.7, 10, , false",
        "0.9, 300, , true",
        "9.6, 365, , false",
        "21, 365, , true",
        "9.6, 3652, , true",
        "100, 4380, , false",
        "70, 10000, , false",
        "19, 10000, , true",
        "190, 10000, , false"
    })
    void knowsWeightsThatAreUnlikelyForAgeAndGestation(double weight, int age, Integer weeks, boolean unlikely) {
        assertThat(WeightForAge.unlikely(BigDecimal.valueOf(weight), age, weeks == null ? null : 7 * weeks))
                .isEqualTo(unlikely);
    }

    @Test
    void asksAboutWeightHoursAndGestation() {
        assertThat(odd(", \"age_days\": 3652, \"weight_kg\": 7.4", "")).containsExactly("/weight_kg weight.age");
        assertThat(odd(", \"age_days\": 1, \"age_hours\": 5", "")).containsExactly("/age_hours age.hours");
        assertThat(odd(", \"age_days\": 1, \"age_hours\": 47", "")).isEmpty();
        assertThat(odd(
                        ", \"age_days\": 1, \"diagnosis_category\": \"prematurity\", \"patient\": {\"gestation_weeks\": 37}",
                        ""))
                .containsExactly("/patient/gestation_weeks gestation.diagnosis");
    }

    @Test
    void asksOfOneAnswerOnce() {
        assertThat(odd(", \"age_days\": 3652, \"weight_kg\": 0.4", "")).containsExactly("/weight_kg unlikely");
    }

    @Test
    void asksAboutALongGoneStartOnlyWhereItIsTyped() {
        String old = body("", "").replace("2026-03-01T14:20:00Z", "2026-02-23T11:59:00Z");
        String week = body("", "").replace("2026-03-01T14:20:00Z", "2026-02-23T12:01:00Z");

        assertThat(odd(old, Circumstances.typed(NOW))).containsExactly("/encounter_start start.late");
        assertThat(odd(week, Circumstances.typed(NOW))).isEmpty();
        assertThat(odd(old, Circumstances.sent(NOW, Doses.NONE))).isEmpty();
    }

    @Test
    void asksWhereTheExpectedDifficultyIsChangedAfterwards() {
        String yes = body(", \"difficulty_predicted\": \"yes\"", "");
        for (String before : List.of(yes.replace("yes", "no"), yes.replace("yes", "unk"), body("", ""))) {
            Circumstances amending = Circumstances.sent(NOW, Doses.NONE)
                    .amending(EncounterForm.read(JSON.readTree(before), Map.of(), NOW));
            assertThat(odd(yes, amending)).containsExactly("/difficulty_predicted difficulty.changed");
            assertThat(odd(before, amending)).isEmpty();
        }
    }

    @Test
    void asksAboutManyAttemptsAndTwoSuccesses() {
        String failed = "{\"attempt_success\": \"no\", \"tube_passes\": 0}";
        String five = String.join(", ", List.of(failed, failed, failed, failed, failed));

        assertThat(odd("", five)).isEmpty();
        assertThat(odd("", five + ", " + attempt("")))
                .containsExactly("/courses/0/attempts/5/attempt_success attempts.many");
        assertThat(odd("", attempt("") + ", " + attempt("")))
                .containsExactly("/courses/0/attempts/1/attempt_success success.twice");
        assertThat(odd(
                        body("", attempt(""))
                                .replace(
                                        "}]}]}",
                                        "}]}, {\"course_approach\": \"nasal\", \"attempts\": [" + attempt("") + "]}]}"),
                        Circumstances.sent(NOW, Doses.NONE)))
                .as("a planned change of route is a course of its own")
                .isEmpty();
    }

    @Test
    void asksAboutATubeWithoutConfirmation() {
        assertThat(odd("", attempt(", \"confirmation\": [\"none\"]")))
                .containsExactly("/courses/0/attempts/0/confirmation success.unconfirmed");
    }

    @Test
    void asksAboutTheOesophagusWithoutItsEvent() {
        String oesophagus = "{\"attempt_success\": \"no\", \"tube_passes\": 1, \"tube_position\": \"oesophagus\"}";
        String asked = "/courses/0/attempts/0/tube_position oesophagus.no_event";

        assertThat(odd("", oesophagus)).containsExactly(asked);
        assertThat(odd(", \"adverse_event_any\": \"no\"", oesophagus)).containsExactly(asked);
        assertThat(odd(", \"adverse_event_any\": \"unk\"", oesophagus)).isEmpty();
        assertThat(odd(
                        ", \"adverse_event_any\": \"yes\", \"events\": [{\"event_type\": \"oesophageal_now\"}]",
                        oesophagus))
                .isEmpty();
    }

    @Test
    void asksAboutAVeryLowSaturationWithoutEvent() {
        String low = attempt(", \"spo2_lowest\": 39");
        assertThat(odd(", \"adverse_event_any\": \"no\"", low))
                .containsExactly("/adverse_event_any event.low_saturation");
        assertThat(odd(", \"adverse_event_any\": \"no\"", attempt(", \"spo2_lowest\": 40")))
                .isEmpty();
        assertThat(odd("", low)).isEmpty();
    }

    @ParameterizedTest
    @CsvSource({"1, 3a, true", "2b, 3b, false", "1, 2b, false", "2a, 4, true", "4, 1, false", "not_looked, 4, false"})
    void asksAboutAScreenViewTwoGradesWorse(String direct, String screen, boolean asked) {
        List<String> odd =
                odd("", attempt(", \"view_direct\": \"" + direct + "\", \"view_screen\": \"" + screen + "\""));
        assertThat(odd.equals(List.of("/courses/0/attempts/0/view_screen view.screen_worse")))
                .isEqualTo(asked);
        assertThat(odd).hasSize(asked ? 1 : 0);
    }

    /** Four years: 4.5 mm with and 5 mm without cuff by the usual formulas. */
    @ParameterizedTest
    @CsvSource({
        "1461, 3, cuffed, false",
        "1461, 2.9, cuffed, true",
        "1461, 6, cuffed, false",
        "1461, 6.5, cuffed, true",
        "1461, 6.5, uncuffed, false",
        "1461, 3, uncuffed, true",
        "1461, 3, unk, false",
        "200, 6, cuffed, false",
        "9000, 5, cuffed, false"
    })
    void asksAboutATubeFarFromAgeAndProposesNone(int age, String size, String cuff, boolean asked) {
        String attempt = attempt(", \"tube_size_mm\": " + size + ", \"tube_cuff\": \"" + cuff + "\"");
        List<String> odd = odd(", \"age_days\": " + age, attempt);
        assertThat(odd).hasSize(asked ? 1 : 0).allMatch(one -> one.endsWith("tube_size_mm tube.age"));
    }

    @Test
    void asksAboutADoseFarFromTheUnitsOwn() {
        Doses doses = (agent, unit) ->
                agent.equals("ketamine") && unit.equals("mg") ? Optional.of(new BigDecimal("2")) : Optional.empty();
        String drug = ", \"drugs\": [{\"drug_agent\": \"ketamine\", \"drug_dose\": %s, \"drug_dose_unit\": \"%s\"}]";
        for (String fine : List.of("200", "2")) {
            assertThat(odd(body(", \"weight_kg\": 10", drug.formatted(fine, "mg"), ""), Circumstances.sent(NOW, doses)))
                    .isEmpty();
        }
        for (String far : List.of("201", "1.9")) {
            assertThat(odd(body(", \"weight_kg\": 10", drug.formatted(far, "mg"), ""), Circumstances.sent(NOW, doses)))
                    .containsExactly("/courses/0/drugs/0/drug_dose dose.unusual");
        }
        assertThat(odd(body(", \"weight_kg\": 10", drug.formatted("900", "mL"), ""), Circumstances.sent(NOW, doses)))
                .isEmpty();
        assertThat(odd(body("", drug.formatted("900", "mg"), ""), Circumstances.sent(NOW, doses)))
                .isEmpty();
    }

    @Test
    void keepsWhatSomebodyVouchesForAsConfirmed() {
        Circumstances circumstances = Circumstances.sent(NOW, Doses.NONE).vouching("weight_kg"::equals);
        Encounter kept = EncounterForm.read(
                JSON.readTree(body(", \"age_days\": 3652, \"weight_kg\": 7.4", "")), Map.of(), circumstances);
        assertThat(kept.confirmed()).containsExactly("/weight_kg");
    }
}
