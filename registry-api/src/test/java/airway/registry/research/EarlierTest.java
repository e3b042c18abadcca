package airway.registry.research;

import static airway.registry.research.OutlookTest.child;
import static airway.registry.research.OutlookTest.children;
import static airway.registry.research.OutlookTest.choice;
import static org.assertj.core.api.Assertions.assertThat;

import airway.stats.disclosure.Generalisation;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.UUID;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What a package tells together with those that have left before. The cases are worked out by hand. */
class EarlierTest {
    private static Earlier.Gone left(Choice choice, List<Candidate> records) {
        Coarsening coarsening = Coarsening.of(choice, records, records);
        Generalisation found = coarsening.coarse(Earlier.NONE).orElseThrow();
        Map<UUID, Integer> rows = new HashMap<>();
        for (int i = 0; i < records.size(); i++) {
            if (!found.removed().contains(i)) {
                rows.put(records.get(i).encounter(), records.get(i).version());
            }
        }
        return new Earlier.Gone(
                choice,
                new Approval(
                        found.levels(),
                        coarsening.rare(),
                        0,
                        0,
                        0,
                        null,
                        0,
                        "",
                        Instant.parse("2026-11-24T12:00:00Z"),
                        null),
                rows);
    }

    /** How fine the variables may be told after a package has left; empty where nothing may leave. */
    private static Optional<List<Integer>> after(
            Earlier.Gone gone, Choice choice, List<Candidate> source, List<Candidate> records) {
        return after(List.of(gone), choice, source, records);
    }

    private static Optional<List<Integer>> after(
            List<Earlier.Gone> gone, Choice choice, List<Candidate> source, List<Candidate> records) {
        return Coarsening.of(choice, source, records)
                .coarse(new Earlier(gone, source))
                .map(Generalisation::levels);
    }

    private static List<Candidate> with(List<Candidate> some, List<Candidate> more) {
        List<Candidate> all = new ArrayList<>(some);
        all.addAll(more);
        return all;
    }

    @Test
    void letsTheSameRecordsLeaveAgain() {
        Choice choice = choice(Profile.CONTROLLED, KnownVariable.AGE_DAYS);
        List<Candidate> some = with(children("a", 8, 3, 2024, "apnoea"), children("b", 8, 900, 2024, "apnoea"));

        assertThat(after(left(choice, some), choice, some, some)).contains(List.of(0));
    }

    /** Four more children than before are four rows that stand in the second package alone. */
    @Test
    void refusesWhereTooFewChildrenStandInTheSecondAlone() {
        Choice choice = choice(Profile.CONTROLLED, KnownVariable.AGE_DAYS);
        List<Candidate> some = children("a", 10, 3, 2024, "apnoea");

        List<Candidate> four = with(some, children("b", 4, 3, 2025, "apnoea"));
        assertThat(after(left(choice, some), choice, four, four)).isEmpty();
        List<Candidate> five = with(some, children("b", 5, 3, 2025, "apnoea"));
        assertThat(after(left(choice, some), choice, five, five)).contains(List.of(0));
    }

    /** Six more children of three ages: finely told, two of each would stand in the second package alone. */
    @Test
    void tellsAgesCoarselyWhereTheNewChildrenAreFew() {
        Choice choice = choice(Profile.CONTROLLED, KnownVariable.AGE_DAYS);
        List<Candidate> some = with(
                children("a", 8, 3, 2024, "apnoea"),
                with(children("b", 8, 10, 2024, "apnoea"), children("c", 8, 15, 2024, "apnoea")));
        List<Candidate> more = with(children("d", 2, 3, 2025, "apnoea"), children("e", 4, 10, 2025, "apnoea"));

        assertThat(after(left(choice, some), choice, with(some, more), with(some, more)))
                .as("0-27 d, not 0-6 d and 7-27 d")
                .contains(List.of(1));
    }

    @Test
    void refusesWhereTooFewChildrenStandInTheFirstAlone() {
        Choice choice = choice(Profile.CONTROLLED, KnownVariable.AGE_DAYS);
        List<Candidate> some = children("a", 12, 3, 2024, "apnoea");

        assertThat(after(left(choice, some), choice, some, some.subList(0, 11))).isEmpty();
        assertThat(after(left(choice, some), choice, some, some.subList(0, 7))).contains(List.of(0));
    }

    /** A record that was put right since stands in both packages, each time otherwise. */
    @Test
    void refusesWhereTheRecordsOfFewChildrenWerePutRight() {
        Choice choice = choice(Profile.CONTROLLED, KnownVariable.AGE_DAYS);
        List<Candidate> some = children("a", 12, 3, 2024, "apnoea");
        Earlier.Gone gone = left(choice, some);
        List<Candidate> now = new ArrayList<>(some);
        Candidate one = some.get(0);
        now.set(
                0,
                new Candidate(
                        one.encounter(),
                        2,
                        one.patient(),
                        true,
                        one.month(),
                        one.day(),
                        one.ageDays(),
                        one.weight(),
                        one.sex(),
                        one.indication(),
                        one.mouthOpening(),
                        one.experience(),
                        false,
                        false,
                        one.answers()));

        assertThat(after(gone, choice, now, now)).isEmpty();
    }

    /** Age in one package and reason in the other: who can match the rows knows both, and that of two children alone. */
    @Test
    void tellsLessWhereTwoPackagesTellTwoAnswersOfTheSameRows() {
        List<Candidate> some = with(
                with(children("a", 8, 3, 2024, "apnoea"), children("b", 2, 3, 2024, "shock")),
                with(children("c", 2, 900, 2024, "apnoea"), children("d", 8, 900, 2024, "shock")));
        Choice second = choice(Profile.CONTROLLED, KnownVariable.INDICATION_MAIN);

        assertThat(Coarsening.of(second, some, some).coarse(Earlier.NONE).map(Generalisation::levels))
                .as("by itself")
                .contains(List.of(0));
        assertThat(after(left(choice(Profile.CONTROLLED, KnownVariable.AGE_DAYS), some), second, some, some))
                .as("told nowhere")
                .contains(List.of(2));
    }

    @Test
    void doesNotHoldPackagesOfOtherChildrenAgainstEachOther() {
        Choice choice = choice(Profile.CONTROLLED, KnownVariable.AGE_DAYS);
        List<Candidate> some = children("a", 8, 3, 2024, "apnoea");
        List<Candidate> others = children("b", 6, 900, 2025, "apnoea");

        assertThat(after(left(choice, some), choice, with(some, others), others))
                .contains(List.of(0));
    }

    /**
     * Six children stand in all of three packages, and of each of the other six pieces that three overlapping lots have as many as
     * given. By twos a piece is made of two of these, and large enough; who holds all three sees each by itself.
     */
    @ParameterizedTest
    @CsvSource({"3, false", "4, false", "5, true"})
    void judgesEachPieceOfThreePackagesTogether(int each, boolean mayLeave) {
        Choice choice = choice(Profile.CONTROLLED, KnownVariable.AGE_DAYS);
        Map<String, List<Candidate>> pieces = new TreeMap<>();
        for (String piece : List.of("a", "b", "c", "ab", "ac", "bc")) {
            pieces.put(piece, children(piece, each, 3, 2024, "apnoea"));
        }
        pieces.put("abc", children("abc", 6, 3, 2024, "apnoea"));
        List<Candidate> all = in(pieces, "");
        Earlier.Gone a = left(choice, in(pieces, "a"));
        Earlier.Gone b = left(choice, in(pieces, "b"));
        List<Candidate> c = in(pieces, "c");

        assertThat(after(a, choice, all, c)).as("beside the first alone").contains(List.of(0));
        assertThat(after(b, choice, all, c)).as("beside the second alone").contains(List.of(0));
        assertThat(after(a, choice, all, in(pieces, "b")))
                .as("the second beside the first")
                .contains(List.of(0));
        assertThat(after(List.of(a, b), choice, all, c).isPresent()).isEqualTo(mayLeave);
    }

    private static List<Candidate> in(Map<String, List<Candidate>> pieces, String one) {
        List<Candidate> all = new ArrayList<>();
        pieces.forEach((piece, some) -> all.addAll(piece.contains(one) ? some : List.of()));
        return all;
    }

    /**
     * Two ages, two reasons and two years, four children where the number of the second of each is even and two where it is odd: any
     * two answers leave six together, and all three leave four or two.
     */
    @Test
    void tellsLessWhereThreePackagesTellThreeAnswersOfTheSameRows() {
        List<Candidate> some = new ArrayList<>();
        for (int i = 0; i < 8; i++) {
            some.addAll(children(
                    "p" + i,
                    Integer.bitCount(i) % 2 == 0 ? 4 : 2,
                    (i & 1) == 0 ? 3 : 900,
                    (i & 2) == 0 ? 2024 : 2025,
                    (i & 4) == 0 ? "apnoea" : "shock"));
        }
        Earlier.Gone ages = left(choice(Profile.CONTROLLED, KnownVariable.AGE_DAYS), some);
        Earlier.Gone reasons = left(choice(Profile.CONTROLLED, KnownVariable.INDICATION_MAIN), some);
        Choice years = choice(Profile.CONTROLLED, KnownVariable.ENCOUNTER_START);

        assertThat(after(ages, years, some, some)).contains(List.of(0));
        assertThat(after(reasons, years, some, some)).contains(List.of(0));
        assertThat(after(List.of(ages, reasons), years, some, some))
                .as("steps of two years, which are one here")
                .contains(List.of(1));
    }

    /** Six children more are few for anybody, who was promised twelve, whatever else a named researcher holds. */
    @Test
    void keepsTheLargerPromiseToThoseWhoHoldNoPackageOfTheSmaller() {
        Choice open = choice(Profile.PUBLIC, KnownVariable.AGE_DAYS);
        Choice named = choice(Profile.CONTROLLED, KnownVariable.AGE_DAYS);
        List<Candidate> some = children("a", 24, 3, 2024, "apnoea");
        List<Candidate> more = with(some, children("b", 6, 3, 2024, "apnoea"));

        assertThat(after(left(named, some), open, more, more)).contains(List.of(0));
        assertThat(after(List.of(left(named, some), left(open, some)), open, more, more))
                .isEmpty();
    }

    /** Two children stand in one of two earlier packages alone: that is so already, and counts where the new one tells of them. */
    @Test
    void asksOnlyOfGroupsThatTheNewPackageTouches() {
        Choice choice = choice(Profile.CONTROLLED, KnownVariable.AGE_DAYS);
        List<Candidate> some = children("a", 12, 3, 2024, "apnoea");
        List<Candidate> others = children("b", 6, 900, 2025, "apnoea");
        List<Earlier.Gone> gone = List.of(left(choice, some), left(choice, some.subList(0, 10)));

        assertThat(after(gone, choice, with(some, others), others)).contains(List.of(0));
        assertThat(after(gone, choice, with(some, others), with(some.subList(0, 10), others)))
                .contains(List.of(0));
        assertThat(after(gone, choice, with(some, others), with(some, others))).isEmpty();
    }

    /** Worked vector P07 of the rules of privacy, made larger: one group by rows, but who was there twice is known by that. */
    @Test
    void takesAllRowsOfAChildTogetherWhereTheyCanBeJoined() {
        List<Candidate> some = with(children("a", 20, 3, 2024, "apnoea"), children("b", 20, 900, 2025, "apnoea"));
        some.add(child("a1", 900, 2025, "apnoea", true));
        some.add(child("a2", 900, 2025, "apnoea", false));
        Coarsening linked = Coarsening.of(choice(Profile.INTERNAL_PSEUDONYMISED, KnownVariable.AGE_DAYS), some, some);
        Coarsening unlinked = Coarsening.of(choice(Profile.CONTROLLED, KnownVariable.AGE_DAYS), some, some);

        assertThat(unlinked.coarse(Earlier.NONE).orElseThrow().removed()).isEmpty();
        Optional<Generalisation> found = linked.coarse(Earlier.NONE);
        assertThat(found.map(Generalisation::removed).orElse(List.of()))
                .as("two children have two rows each, and three would have to")
                .isEmpty();
        assertThat(found).isEmpty();
        assertThat(linked.rows().get(0).levels().get(0))
                .isEqualTo(KnownVariable.AGE_DAYS.levels(some.get(0), Set.of()));
    }
}
