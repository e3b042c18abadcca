package airway.stats.sequential;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import airway.stats.Answer;
import airway.stats.Proportion;
import airway.stats.Reason;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class WatchTest {

    private static final Hypotheses DOUBLED = Hypotheses.oddsChanged(0.38, 2);

    @ParameterizedTest
    @ValueSource(doubles = {0, 0.99, -5, 100_001, Double.NaN})
    void tellsTheCallerThatAVolumeCannotBe(double casesPerYear) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new Watch(casesPerYear, DOUBLED))
                .withMessage("casesPerYear = " + casesPerYear + ", must be in [1, 100000]");
    }

    @Test
    void countsTheRunLengthsOfTheSumInMonths() {
        Watch watch = new Watch(48, DOUBLED);
        Watch.Months months = watch.cusum();
        assertThat(months.inControl()).isCloseTo(watch.design().inControl() / 4, within(1e-9));
        assertThat(months.outOfControl()).isCloseTo(watch.design().outOfControl() / 4, within(1e-9));
        assertThat(months.inControl()).isBetween(120.0, 125.0);
        assertThat(months.outOfControl()).isBetween(9.0, 12.0);
    }

    @Test
    void seesTheSameChangeSoonerWithMoreCases() {
        assertThat(new Watch(200, DOUBLED).cusum().outOfControl())
                .isLessThan(new Watch(48, DOUBLED).cusum().outOfControl());
    }

    /** Binomial tails by scipy 1.17.1: 17 cases a month, limits 0.0268 and 0.7332, so that 13 or more signal, or none at all. */
    @Test
    void countsTheOutcomesOfAMonthThatLieBeyondTheLimits() {
        Watch watch = new Watch(200, DOUBLED);
        assertThat(watch.casesAMonth()).isEqualTo(17);
        Watch.Months months = watch.pChart().orElseThrow();
        // 1 / (binom.cdf(0, 17, p) + binom.sf(12, 17, p))
        assertThat(months.inControl()).isCloseTo(572.3068224134464, withinPercentage(1e-6));
        assertThat(months.outOfControl()).isCloseTo(16.587758503100236, withinPercentage(1e-6));
    }

    @Test
    void saysThatAPChartOfFewNeverSignals() {
        assertThat(new Watch(48, DOUBLED).pChart())
                .isEqualTo(Answer.ok(new Watch.Months(Double.POSITIVE_INFINITY, Double.POSITIVE_INFINITY)));
    }

    @Test
    void refusesMonthlyChartsOfLessThanACaseAMonth() {
        Watch rare = new Watch(5, DOUBLED);
        assertThat(rare.pChart()).isEqualTo(Answer.refused(Reason.TOO_FEW_OBSERVATIONS));
        assertThat(rare.ewma(EwmaDesign.DEFAULT)).isEqualTo(Answer.refused(Reason.TOO_FEW_OBSERVATIONS));
        assertThat(rare.cusum().inControl()).isGreaterThanOrEqualTo(120);
        assertThat(new Watch(6, DOUBLED).ewma(EwmaDesign.DEFAULT).toOptional()).isPresent();
    }

    /** Charts of months drawn with a fixed seed and judged by the chart itself. */
    @ParameterizedTest
    @CsvSource({"48, 2.86, 0.38, 2", "200, 2.0, 0.15, 2", "1000, 2.0, 0.3, 0.5"})
    void simulatedChartsSignalWhenTheMonthsSay(double casesPerYear, double width, double p0, double oddsRatio) {
        var design = new EwmaDesign(0.2, width);
        var watch = new Watch(casesPerYear, Hypotheses.oddsChanged(p0, oddsRatio));
        SplittableRandom random = new SplittableRandom(4);
        Watch.Months months = watch.ewma(design).orElseThrow();
        double p1 = watch.hypotheses().p1();
        assertThat(months.outOfControl()).isCloseTo(simulated(watch, design, p1, 2_000, random), withinPercentage(6));
        assertThat(months.inControl()).isCloseTo(simulated(watch, design, p0, 400, random), withinPercentage(15));
    }

    private static double simulated(Watch watch, EwmaDesign design, double p, int charts, SplittableRandom random) {
        double total = 0;
        int n = (int) watch.casesAMonth();
        for (int i = 0; i < charts; i++) {
            int length = p == watch.hypotheses().p0() ? 4_000 : 300;
            List<Proportion> months = new ArrayList<>();
            IntStream.range(0, length)
                    .forEach(month -> months.add(new Proportion(
                            IntStream.range(0, n)
                                    .filter(one -> random.nextDouble() < p)
                                    .count(),
                            n)));
            List<Integer> signals = Ewma.ofProportions(
                            months, watch.hypotheses().p0(), design)
                    .orElseThrow()
                    .signals();
            total += signals.isEmpty() ? length : signals.get(0);
        }
        return total / charts;
    }
}
