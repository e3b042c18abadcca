package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.encounter.Derived.Outside;
import airway.registry.encounter.Derived.Verdict;
import java.util.List;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;

class WorkedOutTest {
    static Recorded recorded(Derived derived, String... changes) {
        Encounter encounter =
                EncounterForm.sketch(Fields.form(Fields.plain(changes)).body());
        return new Recorded(
                UUID.randomUUID(),
                1,
                "final",
                Fields.OPENED,
                "1",
                null,
                Fields.OFFERED.site(),
                encounter,
                List.of(),
                derived,
                Fields.OFFERED.setupsById());
    }

    static Derived derived(
            Verdict fps, Verdict strict, Verdict clean, @Nullable Integer attempts, @Nullable Integer lowest) {
        return new Derived(null, fps, strict, clean, attempts, lowest, "infant", Verdict.NO);
    }

    private static String why(Recorded recorded, String title) {
        return WorkedOut.of(recorded).stream()
                .filter(fact -> fact.title().equals(title))
                .map(fact -> fact.answer() + ": " + fact.why())
                .findFirst()
                .orElseThrow();
    }

    @Test
    void givesTheReasonsOfAPlainFirstPass() {
        Recorded plain = recorded(derived(Verdict.YES, Verdict.YES, Verdict.YES, 1, 94));
        assertThat(WorkedOut.of(plain))
                .extracting(fact -> fact.title() + ": " + fact.answer() + ". " + fact.why())
                .containsExactly(
                        "First pass: Yes. Attempt 1 aimed at a tracheal tube and succeeded: one blade insertion.",
                        "First pass, strict: Yes. One blade insertion and one tube pass.",
                        "First pass without event or low oxygen: Yes. First pass; none of the events; lowest SpO₂ 94%,"
                                + " not under 80%.",
                        "Fall in SpO₂: 4 points, 98% to 94%. Under 20 points. Read from device in until two minutes after"
                                + " the attempt.",
                        "Place of the tube: Trachea, confirmed. The tube was advanced once, and you said all four CO₂"
                                + " criteria held.",
                        "Attempts at a tracheal tube: 1. Every blade insertion counts, whatever it was for.");
    }

    @Test
    void saysWhyStrictAndPlainPart() {
        Recorded twice = recorded(derived(Verdict.YES, Verdict.NO, Verdict.YES, 1, 94), "a1.passes=2");
        assertThat(why(twice, "First pass, strict"))
                .isEqualTo("No: One blade insertion, but the tube was advanced twice.");
        Recorded blank = recorded(derived(Verdict.YES, Verdict.EXCLUDED, Verdict.YES, 1, 94), "a1.passes=");
        assertThat(why(blank, "First pass, strict"))
                .isEqualTo("Left out: It was a first pass, but how often the tube was advanced is not known.");
    }

    @Test
    void namesTheEventsThatSpoilAFirstPass() {
        Recorded event =
                recorded(derived(Verdict.YES, Verdict.YES, Verdict.NO, 1, 94), "event=vomiting", "event=kit_failure");
        assertThat(why(event, "First pass without event or low oxygen"))
                .isEqualTo("No: First pass, but with: vomiting, no aspiration.");
    }

    @Test
    void namesTheLimitThatWasPassed() {
        Recorded low =
                recorded(derived(Verdict.YES, Verdict.YES, Verdict.NO, 1, 72), "a1.lowest=typed", "a1.lowest_typed=72");
        assertThat(why(low, "First pass without event or low oxygen")).isEqualTo("No: Lowest SpO₂ 72%, under 80%.");
        Recorded fall = recorded(
                derived(Verdict.YES, Verdict.YES, Verdict.NO, 1, 60),
                "cyanotic=yes",
                "a1.best=typed",
                "a1.best_typed=84",
                "a1.lowest=typed",
                "a1.lowest_typed=60");
        assertThat(why(fall, "First pass without event or low oxygen"))
                .isEqualTo("No: SpO₂ fell by 24 points, which is 20 or more.");
    }

    @Test
    void saysWhatIsMissing() {
        Recorded open =
                recorded(derived(Verdict.YES, Verdict.YES, Verdict.EXCLUDED, 1, null), "event=unk", "a1.lowest=unk");
        assertThat(why(open, "First pass without event or low oxygen"))
                .isEqualTo(
                        "Left out: First pass, but whether one of the events happened is not known and the lowest SpO₂"
                                + " is not known.");
        assertThat(why(open, "Fall in SpO₂")).isEqualTo("Not known: It needs the lowest SpO₂ of every attempt.");
    }

    @Test
    void doesNotCallATubeConfirmedThatCarbonDioxideDoesNotConfirm() {
        Recorded unseen =
                recorded(derived(Verdict.YES, Verdict.YES, Verdict.YES, 1, 94), "a1.co2=no", "a1.confirmed=chest");
        assertThat(why(unseen, "Place of the tube"))
                .isEqualTo("Trachea, as you said: Sustained exhaled CO₂ was not seen, so CO₂ does not confirm it."
                        + " You named: chest movement.");
    }

    @Test
    void saysThatALaterAttemptDoesNotChangeTheFirst() {
        Recorded second = recorded(
                derived(Verdict.NO, Verdict.NO, Verdict.NO, 2, 90),
                "attempts=2",
                "a1.end=fail",
                "a2.setup=metal-direct",
                "a2.passes=1",
                "a2.end=stay",
                "a2.co2=yes");
        assertThat(why(second, "First pass"))
                .startsWith("No: Attempt 1 did not end with a confirmed tube in the trachea.")
                .endsWith("a later attempt does not change it.");
    }

    @Test
    void saysByWhichSchemeAnEventIsSevere() {
        Recorded event = recorded(derived(Verdict.YES, Verdict.YES, Verdict.NO, 1, 94), "event=bradycardia");
        assertThat(why(event, "Severe event"))
                .isEqualTo("No: By scheme C, version 1, which looks at the type of each event.");
    }

    @Test
    void leavesOutWhatIsNoTrachealIntubation() {
        Derived none = new Derived(
                Outside.NO_ATTEMPT,
                Verdict.EXCLUDED,
                Verdict.EXCLUDED,
                Verdict.EXCLUDED,
                0,
                null,
                "infant",
                Verdict.NO);
        assertThat(WorkedOut.of(recorded(none, "a1.who=none")))
                .extracting(WorkedOut.Fact::why)
                .containsExactly("No blade went in, so there was no attempt. The record is kept.");
    }
}
