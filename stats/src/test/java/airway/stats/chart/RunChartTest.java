package airway.stats.chart;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer.Refused;
import airway.stats.Reason;
import airway.stats.Series;
import airway.stats.chart.SensitiveRunChart.Stretch;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class RunChartTest {

    @Test
    void leavesOutPointsOnTheMedianAndGaps() {
        RunChart chart = RunChart.of(Series.withGaps(
                        Arrays.asList(1.0, null, 5.0, 2.0, 9.0, 8.0, 5.0, 7.0, 3.0, 4.0, null, 1.0, 6.0, 9.0)))
                .orElseThrow();
        assertThat(chart.median()).isEqualTo(5);
        assertThat(chart.observed()).isEqualTo(12);
        assertThat(chart.useful()).isEqualTo(10);
        assertThat(chart.longestRun()).containsExactly(5, 6, 8);
        assertThat(chart.runs()).isEqualTo(4);
        assertThat(chart.crossings()).isEqualTo(3);
    }

    @Test
    void judgesAllPointsByTheMedianOfTheBaseline() {
        double[] values = {1, 3, 1, 3, 1, 3, 1, 3, 1, 3, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9};
        RunChart own = RunChart.of(Series.of(values)).orElseThrow();
        RunChart frozen = RunChart.of(Series.of(values), new Baseline(1, 10)).orElseThrow();
        assertThat(own.median()).isEqualTo(6);
        assertThat(frozen.median()).isEqualTo(2);
        assertThat(frozen.longestRun()).containsExactly(10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20);
        assertThat(frozen.signalsByLongestRun()).isTrue();
        assertThat(frozen.signalsByCrossings()).isFalse();
        assertThat(own.signalsByCrossings()).isTrue();
    }

    @Test
    void signalsByARunThatIsLongerThanItsLimitNotByOneAsLong() {
        assertThat(RunChart.of(withRunOf(7), new Baseline(1, 4)).orElseThrow().signalsByLongestRun())
                .isFalse();
        assertThat(RunChart.of(withRunOf(8), new Baseline(1, 4)).orElseThrow().signalsByLongestRun())
                .isTrue();
    }

    @ParameterizedTest
    @CsvSource({"9, false", "8, true"})
    void signalsByFewerCrossingsThanItsLimitNotByAsMany(int runs, boolean signals) {
        assertThat(new RunChart(0, 24, 24, runs, List.of(1), RunLimits.of(24)).signalsByCrossings())
                .isEqualTo(signals);
    }

    @Test
    void refusesFewerThanTenUsefulPointsAndShowsTheMedian() {
        double[] nine = {1, 2, 1, 2, 1, 2, 1, 2, 1.5};
        assertThat(RunChart.of(Series.of(nine))).isInstanceOfSatisfying(Refused.class, refused -> {
            assertThat(refused.reason()).isEqualTo(Reason.TOO_FEW_USEFUL_POINTS);
            assertThat(refused.shown().n()).hasValue(8);
            assertThat(refused.shown().estimate()).hasValue(1.5);
            assertThat(refused.shown().points()).isEqualTo(Series.of(nine));
        });
        double[] ten = {1, 2, 1, 2, 1, 2, 1, 2, 1, 2};
        assertThat(RunChart.of(Series.of(ten)).toOptional()).isPresent();
    }

    @Test
    void refusesAChartWithoutData() {
        assertThat(RunChart.of(Series.withGaps(Arrays.asList(null, null))))
                .isInstanceOfSatisfying(Refused.class, refused -> {
                    assertThat(refused.reason()).isEqualTo(Reason.NO_DATA);
                    assertThat(refused.shown().n()).hasValue(0);
                });
        assertThat(SensitiveRunChart.of(Series.of()))
                .isInstanceOfSatisfying(
                        Refused.class, refused -> assertThat(refused.reason()).isEqualTo(Reason.NO_DATA));
        assertThatIllegalArgumentException().isThrownBy(() -> RunChart.of(Series.of(1, 2), new Baseline(1, 3)));
    }

    /** The longest-run column was read in a published table. */
    @ParameterizedTest
    @CsvSource({
        "10, 6, 2",
        "11, 6, 2",
        "12, 7, 3",
        "22, 7, 7",
        "23, 8, 7",
        "24, 8, 8",
        "45, 8, 17",
        "46, 9, 17",
        "90, 9, 37",
        "91, 10, 37"
    })
    void setsTheLimitsByTheNumberOfUsefulPoints(int useful, int longestRun, int crossings) {
        assertThat(RunLimits.of(useful)).isEqualTo(new RunLimits(longestRun, crossings));
    }

    @Test
    void setsLimitsForOnePointAndForAMillionButNotForNone() {
        assertThat(RunLimits.of(1)).isEqualTo(new RunLimits(3, 0));
        assertThat(RunLimits.of(1_000_000).longestRun()).isEqualTo(23);
        assertThat(RunLimits.of(1_000_000).crossings()).isBetween(499_170, 499_190);
        assertThatIllegalArgumentException()
                .isThrownBy(() -> RunLimits.of(0))
                .withMessage("useful = 0, must be 1 or more");
    }

    /** Lists all orders of the points. */
    @ParameterizedTest
    @CsvSource({"5, 5, 0.025", "4, 8, 0.025", "7, 6, 0.1", "1, 9, 0.2", "2, 2, 0.4", "6, 3, 0.05"})
    void countsTheRunsOfEveryOrder(int above, int below, double eachTail) {
        int points = above + below;
        double[] orders = new double[points + 2];
        double all = 0;
        for (int order = 0; order < 1 << points; order++) {
            if (Integer.bitCount(order) == above) {
                orders[1 + Integer.bitCount((order ^ (order >> 1)) & ((1 << (points - 1)) - 1))]++;
                all++;
            }
        }
        double total = all;
        RunCountLimits limits = RunCountLimits.of(above, below, eachTail);
        double fewer = IntStream.range(0, limits.lower())
                .mapToDouble(r -> orders[r] / total)
                .sum();
        double more = IntStream.rangeClosed(limits.upper() + 1, points)
                .mapToDouble(r -> orders[r] / total)
                .sum();
        assertThat(limits.belowLower()).isCloseTo(fewer, within(1e-12));
        assertThat(limits.aboveUpper()).isCloseTo(more, within(1e-12));
        assertThat(fewer).isLessThanOrEqualTo(eachTail);
        assertThat(more).isLessThanOrEqualTo(eachTail);
        assertThat(fewer + orders[limits.lower()] / total).isGreaterThan(eachTail);
        assertThat(more + orders[limits.upper()] / total).isGreaterThan(eachTail);
    }

    @Test
    void expectsOneRunWhenAllPointsLieOnOneSide() {
        assertThat(RunCountLimits.of(0, 10, 0.025)).isEqualTo(new RunCountLimits(1, 1, 0, 0));
        assertThat(RunCountLimits.of(1, 0, 0.025)).isEqualTo(new RunCountLimits(1, 1, 0, 0));
    }

    @ParameterizedTest
    @CsvSource({"-1, 5, 0.025", "5, -1, 0.025", "0, 0, 0.025", "5, 5, 0", "5, 5, 0.5", "5, 5, NaN"})
    void refusesRunLimitsOfNothing(int above, int below, double eachTail) {
        assertThatIllegalArgumentException().isThrownBy(() -> RunCountLimits.of(above, below, eachTail));
    }

    @ParameterizedTest
    @ValueSource(ints = {5, 6})
    void findsAShiftInSixPointsOnOneSide(int length) {
        List<Double> values = new ArrayList<>(List.of(9.0, 1.0, 9.0, 1.0, 9.0, 1.0, 9.0, 1.0));
        values.addAll(Collections.nCopies(length, 9.0));
        values.addAll(Collections.nCopies(length, 1.0));
        SensitiveRunChart chart = SensitiveRunChart.of(Series.withGaps(values)).orElseThrow();
        assertThat(chart.signalsByShift()).isEqualTo(length == 6);
        assertThat(chart.shifts())
                .isEqualTo(length == 6 ? List.of(new Stretch(9, 14), new Stretch(15, 20)) : List.of());
    }

    @Test
    void countsThePointsThatRiseOrFallInARow() {
        assertThat(SensitiveRunChart.longestTrend(new double[] {3})).isEqualTo(1);
        assertThat(SensitiveRunChart.longestTrend(new double[] {3, 3, 3})).isEqualTo(1);
        assertThat(SensitiveRunChart.longestTrend(new double[] {3, 4})).isEqualTo(2);
        assertThat(SensitiveRunChart.longestTrend(new double[] {1, 2, 3, 2, 3, 4, 5}))
                .isEqualTo(4);
        assertThat(SensitiveRunChart.longestTrend(new double[] {5, 4, 4, 3, 2, 2, 1}))
                .isEqualTo(5);
        assertThat(SensitiveRunChart.longestTrend(new double[] {1, 2, 3, 4, 3, 2, 1, 0, -1}))
                .isEqualTo(6);
    }

    @ParameterizedTest
    @CsvSource({"4, false", "5, true"})
    void findsATrendInFivePoints(int longest, boolean signals) {
        var chart = new SensitiveRunChart(0, 8, 8, 9, RunCountLimits.of(8, 8, 0.025), List.of(), longest);
        assertThat(chart.signalsByTrend()).isEqualTo(signals);
    }

    @Test
    void followsATrendOverAGap() {
        Series values = Series.withGaps(
                Arrays.asList(1.0, 2.0, null, 3.0, 4.0, 5.0, 1.0, 5.0, 1.0, 5.0, 1.0, 5.0, 1.0, 5.0, 1.0));
        assertThat(SensitiveRunChart.of(values).orElseThrow().longestTrend()).isEqualTo(5);
    }

    @Test
    void countsRunsAgainstWhatChanceAllows() {
        double[] stairs = {1, 1, 1, 1, 1, 1, 1, 1, 9, 9, 9, 9, 9, 9, 9, 9};
        double[] teeth = {1, 9, 1, 9, 1, 9, 1, 9, 1, 9, 1, 9, 1, 9, 1, 9};
        SensitiveRunChart few = SensitiveRunChart.of(Series.of(stairs)).orElseThrow();
        SensitiveRunChart many = SensitiveRunChart.of(Series.of(teeth)).orElseThrow();
        assertThat(few.runs()).isEqualTo(2);
        assertThat(few.signalsByTooFewRuns()).isTrue();
        assertThat(few.signalsByTooManyRuns()).isFalse();
        assertThat(many.runs()).isEqualTo(16);
        assertThat(many.signalsByTooFewRuns()).isFalse();
        assertThat(many.signalsByTooManyRuns()).isTrue();
        assertThat(many.useful()).isEqualTo(16);
    }

    @ParameterizedTest
    @CsvSource({"5, false, false", "13, false, false", "4, true, false", "14, false, true"})
    void signalsOnlyStrictlyBeyondTheRunsThatChanceAllows(int runs, boolean few, boolean many) {
        var chart = new SensitiveRunChart(0, 8, 8, runs, RunCountLimits.of(8, 8, 0.025), List.of(), 1);
        assertThat(chart.signalsByTooFewRuns()).isEqualTo(few);
        assertThat(chart.signalsByTooManyRuns()).isEqualTo(many);
    }

    @Test
    void appliesTheSensitiveRulesToTenUsefulPoints() {
        assertThat(SensitiveRunChart.of(Series.of(1, 2, 3, 4, 5, 6, 7, 8, 9, 10))
                        .orElseThrow()
                        .above())
                .isEqualTo(5);
    }

    @Test
    void takesAPointWithinABillionthOfTheCentreToLieOnIt() {
        assertThat(Runs.about(0, Series.of(1e-9, -1e-9, 1.1e-9)).useful()).isEqualTo(1);
    }

    @Test
    void refusesTheSensitiveRulesBelowTenUsefulPoints() {
        assertThat(SensitiveRunChart.of(Series.of(1, 2, 3, 4, 5, 6, 7, 8, 9)))
                .isInstanceOfSatisfying(Refused.class, refused -> {
                    assertThat(refused.reason()).isEqualTo(Reason.TOO_FEW_USEFUL_POINTS);
                    assertThat(refused.shown().n()).hasValue(8);
                    assertThat(refused.shown().estimate()).hasValue(5);
                });
    }

    /** Twenty points about a median of 2.5 in the first four, of which the last are a run of the given length. */
    private static Series withRunOf(int length) {
        List<Double> values = new ArrayList<>();
        for (int i = 0; i < 20 - length; i++) {
            values.add(i % 2 == 0 ? 4.0 : 1.0);
        }
        double last = values.get(values.size() - 1);
        values.addAll(Collections.nCopies(length, last == 1 ? 4.0 : 1.0));
        return Series.withGaps(values);
    }
}
