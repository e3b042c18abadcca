package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import java.util.stream.LongStream;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import tools.jackson.databind.node.ObjectNode;

/** A record on the page to be put right: what is not changed there stays as it was. */
class FilledInTest {
    private static final Instant NOW = Instant.parse("2026-11-24T12:00:00Z");
    private static final Map<String, DeviceSetup> SETUPS = Fields.OFFERED.setupsById();

    static Stream<Recorded> records() {
        return LongStream.rangeClosed(1, 400)
                .mapToObj(seed -> EncounterForm.read(AnyRecord.of(seed, SETUPS, NOW), SETUPS, NOW))
                .filter(FilledIn::fits)
                .map(FilledInTest::recorded);
    }

    private static Recorded recorded(Encounter encounter) {
        Derived none = new Derived(
                null,
                Derived.Verdict.NO,
                Derived.Verdict.NO,
                Derived.Verdict.NO,
                null,
                null,
                "unknown",
                Derived.Verdict.NO);
        return new Recorded(
                UUID.fromString("00000000-0000-4000-8000-000000000001"),
                1,
                "final",
                NOW,
                "1.1.0",
                null,
                Fields.OFFERED.site(),
                encounter,
                List.of(),
                none,
                SETUPS);
    }

    private static RecordForm changed(Recorded recorded, Typed typed) {
        RecordForm form = new RecordForm(typed, Fields.OFFERED, NOW);
        form.changing(new RecordForm(filledIn(recorded), Fields.OFFERED, NOW), recorded);
        return form;
    }

    private static Typed filledIn(Recorded recorded) {
        return FilledIn.of(recorded.encounter(), Fields.OFFERED);
    }

    private static ObjectNode answers(Recorded recorded) {
        ObjectNode json = EncounterJson.of(recorded);
        json.remove("confirmed");
        return json;
    }

    @ParameterizedTest
    @MethodSource("records")
    void changesNothingWhenNothingIsChanged(Recorded recorded) {
        RecordForm form = changed(recorded, filledIn(recorded));
        assertThat(answers(recorded.with(EncounterForm.sketch(form.body())))).isEqualTo(answers(recorded));
        assertThat(form.faults(Circumstances.sent(NOW, Doses.NONE).amending(recorded.encounter())))
                .isEmpty();
        assertThat(EncounterForm.sketch(form.body()).confirmed())
                .containsExactlyInAnyOrderElementsOf(
                        recorded.encounter().confirmed().stream().distinct().toList());
    }

    @ParameterizedTest
    @MethodSource("records")
    void changesOneAnswerAlone(Recorded recorded) {
        Typed typed = filledIn(recorded)
                .with("urgency", recorded.encounter().answers().is("urgency", "elective") ? "emergency" : "elective");
        RecordForm form = changed(recorded, typed);
        assertThat(Differences.between(recorded, recorded.with(EncounterForm.sketch(form.body()))))
                .extracting(Differences.Line::question)
                .containsExactly("Urgency");
    }

    @ParameterizedTest(name = "{0}")
    @CsvSource({
        "a1.lowest=91, 'Course 1, attempt 1: Lowest saturation', 94, 91",
        "a1.kit=unk, 'Course 1, attempt 1: Kit problems', None, not known",
        "weight=8.1, Weight, 7.4, 8.1",
        "age=8, Age in completed days, 213, 243",
        "a1.passes=2, 'Course 1, attempt 1: Times the tube was advanced', 1, 2",
        "a1.view_direct=2a, 'Course 1, attempt 1: Best direct view', –, 2a part of the glottis",
        "sex=f, Sex, –, Female",
        "start_time=14:20, Decision to secure the airway, '24 Nov 2026, 14:25', '24 Nov 2026, 14:20'",
    })
    void saysWhatWasChanged(String change, String question, String was, String now) {
        Recorded recorded =
                recorded(EncounterForm.sketch(Fields.form(Fields.plain()).body()));
        Typed typed = filledIn(recorded)
                .with(change.substring(0, change.indexOf('=')), change.substring(change.indexOf('=') + 1));
        RecordForm form = changed(recorded, typed);
        assertThat(Differences.between(recorded, recorded.with(EncounterForm.sketch(form.body()))))
                .containsExactly(new Differences.Line(question, was, now));
    }
}
