package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.encounter.Derived.Verdict;
import org.junit.jupiter.api.Test;

class ProcedureNoteTest {
    @Test
    void writesAFirstPassInPlainText() {
        Recorded plain = WorkedOutTest.recorded(WorkedOutTest.derived(Verdict.YES, Verdict.YES, Verdict.YES, 1, 94));
        assertThat(ProcedureNote.of(plain)).isEqualTo("""
                Tracheal intubation, 24 Nov 2026, decided about 14:25.
                Place: children's intensive care.
                First intubation of this illness.
                Age 7 months, 7.4 kg. No cyanotic heart disease.
                Reason: oxygenation failure; urgent, time to prepare.
                Difficulty expected beforehand: no.
                One attempt: tube through the mouth; metal blade, straight, size 1, screen on the handle; guided at the screen; tube advanced once; placed and confirmed.
                Operator: trainee, advanced or fellow; 25 to 100 intubations before.
                SpO2 98% before, lowest 94%.
                Sustained exhaled CO2 seen (waveform, all four criteria).
                No kit problem.
                None of the listed events until 30 minutes after the last attempt.
                Airway at the end: tracheal tube, mouth.
                For the next team: attempt 1 worked with metal blade, straight, size 1, screen on the handle.
                Written afterwards by the operator, 14:32.""");
    }

    @Test
    void tellsTheNextTeamWhatWorked() {
        Recorded told = WorkedOutTest.recorded(
                WorkedOutTest.derived(Verdict.YES, Verdict.YES, Verdict.YES, 1, 94),
                "a1.drug1=ketamine",
                "a1.drug1_dose=15",
                "a1.drug1_unit=mg",
                "a1.view_direct=2a",
                "a1.view_screen=1",
                "a1.adjuncts=stylet",
                "a1.tube_size_mm=3.5",
                "a1.tube_cuff=cuffed",
                "tube_depth_cm=11");
        assertThat(ProcedureNote.of(told))
                .contains("Drugs: ketamine 15 mg.")
                .contains("Direct view 2a part of the glottis; view on the screen 1 most of the glottis; aids: stylet;"
                        + " tube 3.5 mm, cuffed.")
                .contains("For the next team: attempt 1 worked with metal blade, straight, size 1, screen on the"
                        + " handle; direct view 2a part of the glottis; view on the screen 1 most of the glottis; aids:"
                        + " stylet; tube 3.5 mm, cuffed; 11 cm at lips or nostril.");
    }

    @Test
    void tellsFailuresAndEventsInFull() {
        Recorded second = WorkedOutTest.recorded(
                WorkedOutTest.derived(Verdict.NO, Verdict.NO, Verdict.NO, 2, 71),
                "attempts=2",
                "age=2",
                "age_unit=years",
                "age_estimated=yes",
                "weight=",
                "weight_unknown=yes",
                "a1.passes=1",
                "a1.end=fail",
                "a1.position=oesophagus",
                "a1.why=wrong_place",
                "a1.co2=no",
                "a1.confirmed=none",
                "a2.who=other",
                "a2.grade=specialist",
                "a2.setup=metal-direct",
                "a2.passes=1",
                "a2.end=stay",
                "event=oesophageal_now",
                "when.oesophageal_now=1");
        assertThat(ProcedureNote.of(second))
                .contains("Age about 24 months (estimated). No cyanotic heart disease.")
                .contains("first into the oesophagus; not placed (tube in the wrong place).")
                .contains("Attempt 2: tube through the mouth; metal blade, straight, size 1, no screen;")
                .contains("Operator: specialist or consultant.")
                .contains("Events: oesophageal intubation, recognised at once (in or after attempt 1).")
                .doesNotContain("kg", "null");
    }
}
