package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.registry.charts.OneByOne.Case;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import airway.stats.Reason;
import java.io.IOException;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What a small unit is shown: two years case by case. */
class OneByOneTest {
    private static final YearMonth UNTIL = YearMonth.of(2026, 10);

    private static Question question(Measure measure) {
        return new Question(measure, null, new Cohort(List.of(), null, null, Map.of(), Set.of()));
    }

    /** Cases spread over a year, its yes answers first or last. */
    private static List<Case> year(YearMonth first, int n, int yes, boolean yesFirst) {
        List<Case> cases = new ArrayList<>();
        for (int i = 0; i < n; i++) {
            boolean is = yesFirst ? i < yes : i >= n - yes;
            cases.add(new Case(first.plusMonths(i * 12L / n), (short) (is ? 1 : 0), false, false));
        }
        return cases;
    }

    private static OneByOne years(Measure measure, int yesBefore, int nBefore, int yesLast, int nLast) {
        List<Case> cases = year(UNTIL.minusMonths(23), nBefore, yesBefore, true);
        cases.addAll(year(UNTIL.minusMonths(11), nLast, yesLast, true));
        return OneByOne.of(question(measure), UNTIL, cases);
    }

    /**
     * 36 of 49 against 29 of 47, with the formula of Newcombe 1998 (Stat Med 17:873-890, method 10) worked out by hand from
     * Wilson's limits (0.597 to 0.838, 0.474 to 0.742): 0.118, -0.068 to 0.294.
     */
    @Test
    void setsAYearAgainstTheYearBefore() {
        OneByOne small = years(Measure.FPS, 29, 47, 36, 49);
        var gap = Objects.requireNonNull(small.gap());
        assertThat(gap.value()).isCloseTo(36.0 / 49 - 29.0 / 47, within(1e-12));
        assertThat(gap.lower()).isCloseTo(-0.068, within(2e-3));
        assertThat(gap.upper()).isCloseTo(0.294, within(2e-3));
        OneByOneWords words = new OneByOneWords(small);
        assertThat(words.years())
                .isEqualTo(
                        "In the last 12 months 36 of 49 (73%), 95% interval 60% to 84%; in the 12 months before 29 of 47"
                                + " (62%), 95% interval 47% to 74%.");
        assertThat(words.gap())
                .startsWith("The difference is 12 points (95% interval −7 to ")
                .endsWith("That holds 0: it does not settle whether anything changed.");
    }

    /** From 62 %, 48 against 48, exact enumeration in another program gave 86.4 % and 34.0 %; from 62.5 % a little more. */
    @Test
    void saysHowLargeAChangeWouldShow() {
        assertThat(new OneByOneWords(years(Measure.FPS, 30, 48, 31, 48)).sees())
                .isEqualTo(
                        "With 48 intubations before and 48 now, a year against a year would show, four times in five, a"
                                + " rise to 87% or more, or a fall to 34% or less. Smaller changes can be there and not show.");
    }

    @Test
    void runsTheCountOverTheLastYearByTheRateOfTheYearBefore() {
        OneByOne quiet = years(Measure.FPS, 30, 48, 48, 48);
        OneByOne alarming = years(Measure.FPS, 30, 48, 20, 48);
        OneByOne.Watch watch = alarming.watch().orElseThrow();
        assertThat(watch.design().hypotheses().p0()).isEqualTo(18.0 / 48);
        // Odds of 18 to 30 doubled: 36 to 30.
        assertThat(watch.design().hypotheses().p1()).isCloseTo(36.0 / 66, within(1e-12));
        assertThat(watch.design().inControl()).as("ten years of 48").isGreaterThanOrEqualTo(480);
        assertThat(watch.signal()).isPresent();
        assertThat(String.join(" ", new OneByOneWords(alarming).watch()))
                .contains("from 38%", "to 55%", "It signalled in ");
        assertThat(StripSvg.count(alarming, StripSvg.Size.PHONE)).contains("Signal, ");
        assertThat(quiet.watch().orElseThrow().signal()).isEmpty();
        assertThat(String.join(" ", new OneByOneWords(quiet).watch()))
                .contains("It has not signalled. That is not proof that nothing changed.");
    }

    @Test
    void watchesForTheEventWhereAnEventIsUnwanted() {
        OneByOne events = years(Measure.AE_ANY, 10, 48, 12, 48);
        assertThat(events.watch().orElseThrow().design().hypotheses().p0()).isEqualTo(10.0 / 48);
        assertThat(events.upper(new Case(UNTIL, (short) 0, false, false))).isTrue();
        assertThat(String.join(" ", new OneByOneWords(events).watch()))
                .contains("the odds of any adverse event doubled");
    }

    @Test
    void saysWhyThereIsNoRunningCount() {
        OneByOne few = years(Measure.FPS, 46, 48, 40, 48);
        assertThat(few.watch().<Reason>fold(ok -> Reason.NO_DATA, refused -> refused.reason()))
                .isEqualTo(Reason.TOO_FEW_OBSERVATIONS);
        assertThat(new OneByOneWords(few).watch())
                .containsExactly(
                        "No running count: it takes 5 intubations of either outcome in the 12 months before to set"
                                + " the rate that it watches against.");
        assertThat(new OneByOneWords(years(Measure.VIDEO_USED, 30, 48, 30, 48)).watch())
                .containsExactly("No running count: this measure describes; neither answer is the unwanted one.");
        assertThat(StripSvg.count(few, StripSvg.Size.PHONE))
                .contains(
                        "No running count can be drawn.",
                        new OneByOneWords(few).watch().get(0))
                .doesNotContain("<path");
    }

    /** Two years of a small unit: 30 of 48, in an order of their own, then 20 of 48; some on the second attempt, some not known. */
    @ParameterizedTest
    @CsvSource({"DESKTOP", "PHONE"})
    void drawsTheSameStripAsTheOneThatWasLookedAt(StripSvg.Size size) throws IOException {
        List<Case> cases = new ArrayList<>();
        for (int i = 0; i < 96; i++) {
            boolean first = i * 7 % 16 < (i < 48 ? 10 : 7);
            Short answer = i % 31 == 30 ? Short.valueOf((short) -1) : Short.valueOf((short) (first ? 1 : 0));
            cases.add(new Case(UNTIL.minusMonths(23).plusMonths(i / 4), answer, !first && i % 2 == 0, false));
        }
        OneByOne small = OneByOne.of(question(Measure.FPS), UNTIL, cases);
        String end = "-" + size.name().toLowerCase(Locale.ROOT) + ".svg";
        LookedAt.isAs("strip" + end, StripSvg.cases(small, size));
        LookedAt.isAs("count" + end, StripSvg.count(small, size));
    }

    @Test
    void showsNothingAsNothing() {
        OneByOne none = OneByOne.of(question(Measure.FPS), UNTIL, List.of());
        OneByOneWords words = new OneByOneWords(none);
        assertThat(words.years()).isEqualTo("In the last 12 months none; in the 12 months before none.");
        assertThat(words.gap()).isEqualTo("There are too few intubations to set one year against the other.");
        assertThat(words.sees()).isEqualTo("Without intubations in both years there is nothing to see a change by.");
        assertThat(StripSvg.cases(none, StripSvg.Size.DESKTOP)).contains("No intubations that count.");
    }

    @Test
    void marksWhatIsNotKnownAndLeavesOutWhatIsOutside() {
        List<Case> cases = List.of(
                new Case(UNTIL, (short) 1, false, false),
                new Case(UNTIL, (short) 0, true, false),
                new Case(UNTIL, (short) 0, false, false),
                new Case(UNTIL, (short) -1, false, false),
                new Case(UNTIL, null, false, false));
        OneByOne small = OneByOne.of(question(Measure.FPS), UNTIL, cases);
        assertThat(small.last()).isEqualTo(new Counted(1, 3, 2, 1, 0));
        String drawn = StripSvg.cases(small, StripSvg.Size.DESKTOP);
        assertThat(drawn).contains("Oct 2026: 1 of 3 in the upper row, 1 not known");
        assertThat(drawn.split("<circle", -1)).hasSize(2);
        assertThat(drawn.split("<rect", -1)).hasSize(2);
        assertThat(new OneByOneWords(small).leftOut())
                .isEqualTo("2 left out of both years together; in 1 of them the answer is not known.");
    }
}
