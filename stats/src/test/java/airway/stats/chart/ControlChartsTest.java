package airway.stats.chart;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Answer.Refused;
import airway.stats.Caution;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Interval;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.Rate;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Series;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Set;
import java.util.stream.DoubleStream;
import java.util.stream.IntStream;
import org.apache.commons.math3.special.Gamma;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

class ControlChartsTest {

    private static final double D2 = 2 / Math.sqrt(Math.PI);

    // Rates

    @Test
    void drawsTheLimitsOfARateFromItsOwnExposure() {
        List<Rate> points = rates(19, 40, 10);
        points.add(new Rate(160, 40));
        points.add(new Rate(5, 0));
        UChart u = UChart.of(points).orElseThrow();
        assertThat(u.chart().centre()).isEqualTo(4);
        assertThat(limits(u.chart(), 1).upper()).isCloseTo(4 + 3 * Math.sqrt(0.4), within(1e-12));
        assertThat(limits(u.chart(), 20).lower()).isCloseTo(4 - 3 * Math.sqrt(0.1), within(1e-12));
        assertThat(u.chart().points().get(20).isGap()).isTrue();
        assertThat(u.chart().baselinePoints()).isEqualTo(20);
        assertThat(u.dispersion().chi2()).isCloseTo(0, within(1e-20));
        assertThat(u.dispersion().df()).isEqualTo(19);
        assertThat(cautions(UChart.of(points))).isEmpty();
    }

    @Test
    void saysThatFewerEventsCannotSignalWhenTheLowerLimitIsZero() {
        assertThat(cautions(UChart.of(rates(20, 9, 3)))).containsExactly(Caution.LIMIT_UNREACHABLE);
        assertThat(cautions(UChart.of(rates(20, 10, 3)))).isEmpty();
        assertThat(cautions(UChart.of(rates(12, 10, 3)))).containsExactly(Caution.PROVISIONAL_LIMITS);
    }

    @Test
    void cautionsWhenRatesScatterMoreThanChance() {
        List<Rate> points = rates(10, 20, 1);
        points.addAll(rates(10, 60, 1));
        Answer<UChart> answer = UChart.of(points);
        assertThat(answer.orElseThrow().dispersion().chi2()).isCloseTo(200, within(1e-9));
        assertThat(cautions(answer)).containsExactly(Caution.OVERDISPERSED);
    }

    @Test
    void refusesRatesWithTheReasonAndThePoints() {
        assertThat(UChart.of(rates(9, 1, 2))).isInstanceOfSatisfying(Refused.class, refused -> {
            assertThat(refused.reason()).isEqualTo(Reason.TOO_FEW_POINTS);
            assertThat(refused.shown().n()).hasValue(9);
            assertThat(refused.shown().estimate()).hasValue(0.5);
        });
        assertThat(reason(UChart.of(rates(12, 0, 2)))).isEqualTo(Reason.ZERO_WIDTH_LIMITS);
        assertThat(reason(UChart.of(rates(12, 0, 0)))).isEqualTo(Reason.NO_DATA);
        assertThatIllegalArgumentException().isThrownBy(() -> UChart.of(rates(3, 1, 1), new Baseline(1, 4)));
    }

    @Test
    void freezesTheLimitsOfRatesOnTheBaseline() {
        List<Rate> points = rates(12, 10, 2);
        points.add(new Rate(30, 2));
        UChart u = UChart.of(points, new Baseline(1, 12)).orElseThrow();
        assertThat(u.chart().centre()).isEqualTo(5);
        assertThat(u.chart().signals()).containsExactly(13);
        assertThat(u.dispersion().df()).isEqualTo(11);
    }

    // Laney

    @Test
    void widensTheLimitsByTheScatterBetweenNeighbours() {
        List<Proportion> points = new ArrayList<>();
        for (int i = 0; i < 20; i++) {
            points.add(new Proportion(i % 2 == 0 ? 450 : 550, 1000));
        }
        LaneyChart laney = LaneyChart.ofProportions(points, Baseline.all(20)).orElseThrow();
        double sigma = Math.sqrt(0.25 / 1000);
        double range = 0.1 / sigma;
        assertThat(laney.sigmaZ()).isCloseTo(range / D2, within(1e-9));
        assertThat(limits(laney.chart(), 1).upper()).isCloseTo(0.5 + 0.3 / D2, within(1e-12));
        assertThat(cautions(LaneyChart.ofProportions(points, Baseline.all(20)))).isEmpty();
    }

    @Test
    void takesNoRangeAcrossAGapNorIntoTheBaseline() {
        List<Rate> points = new ArrayList<>(List.of(new Rate(900, 100)));
        for (int i = 0; i < 12; i++) {
            points.add(new Rate(i % 2 == 0 ? 90 : 110, 100));
        }
        points.add(new Rate(0, 0));
        points.add(new Rate(500, 100));
        LaneyChart laney = LaneyChart.ofRates(points, new Baseline(2, 14)).orElseThrow();
        assertThat(laney.chart().centre()).isEqualTo(1);
        assertThat(laney.sigmaZ()).isCloseTo(0.2 / Math.sqrt(1.0 / 100) / D2, within(1e-9));
        assertThat(laney.chart().signals()).containsExactly(1, 15);
    }

    @Test
    void refusesAnAllowanceThatCannotBeFound() {
        List<Proportion> alternate = new ArrayList<>();
        for (int i = 0; i < 24; i++) {
            alternate.add(i % 2 == 0 ? new Proportion(i, 100) : new Proportion(0, 0));
        }
        assertThat(reason(LaneyChart.ofProportions(alternate, Baseline.all(24))))
                .isEqualTo(Reason.TOO_FEW_POINTS);
        List<Proportion> same = new ArrayList<>(Collections.nCopies(12, new Proportion(5, 10)));
        assertThat(reason(LaneyChart.ofProportions(same, Baseline.all(12)))).isEqualTo(Reason.ZERO_WIDTH_LIMITS);
        assertThat(reason(LaneyChart.ofProportions(same, new Baseline(1, 9)))).isEqualTo(Reason.TOO_FEW_POINTS);
        assertThat(reason(LaneyChart.ofRates(rates(12, 0, 3), Baseline.all(12))))
                .isEqualTo(Reason.ZERO_WIDTH_LIMITS);
    }

    // Counts

    @Test
    void drawsCountsAboutTheirMean() {
        List<Double> counts = new ArrayList<>(Collections.nCopies(20, 16.0));
        counts.add(28.0);
        counts.add(29.0);
        counts.add(null);
        ControlChart chart = CChart.of(Series.withGaps(counts), new Baseline(1, 20))
                .orElseThrow()
                .chart();
        assertThat(limits(chart, 21)).isEqualTo(new Limits(4, 16, 28));
        assertThat(chart.signals()).containsExactly(22);
        assertThat(chart.points().get(22).isGap()).isTrue();
        assertThat(cautions(CChart.of(Series.withGaps(counts), new Baseline(1, 20))))
                .isEmpty();
        Series small = Series.withGaps(Collections.nCopies(20, 8.0));
        assertThat(cautions(CChart.of(small, Baseline.all(20)))).containsExactly(Caution.LIMIT_UNREACHABLE);
    }

    @Test
    void refusesCountsWithTheReason() {
        assertThat(reason(CChart.of(Series.of(4, 3, 5), Baseline.all(3)))).isEqualTo(Reason.TOO_FEW_POINTS);
        assertThat(reason(CChart.of(Series.of(), Baseline.all(0)))).isEqualTo(Reason.NO_DATA);
        assertThat(reason(CChart.of(Series.withGaps(Collections.nCopies(12, 0.0)), Baseline.all(12))))
                .isEqualTo(Reason.ZERO_WIDTH_LIMITS);
    }

    @ParameterizedTest
    @ValueSource(doubles = {-1, 1.5})
    void refusesWhatIsNotACount(double value) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> CChart.of(Series.of(1, value), Baseline.all(2)))
                .withMessage("count = " + value + ", must be a whole number of 0 or more");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> GChart.of(Series.of(1, value), Baseline.all(2), GChart.Kind.PROBABILITY));
    }

    // Single values

    @Test
    void drawsSingleValuesByTheirMovingRange() {
        double[] values =
                IntStream.range(0, 20).mapToDouble(i -> i % 2 == 0 ? 10 : 14).toArray();
        XmrChart xmr = XmrChart.of(Series.of(values), Baseline.all(20), XmrChart.UNBOUNDED)
                .orElseThrow();
        assertThat(xmr.meanRange()).isEqualTo(4);
        assertThat(xmr.sigma()).isCloseTo(4 / D2, within(1e-12));
        assertThat(limits(xmr.chart(), 7).centre()).isEqualTo(12);
        assertThat(limits(xmr.chart(), 7).upper()).isCloseTo(12 + 12 / D2, within(1e-12));
        assertThat(limits(xmr.chart(), 7).lower()).isCloseTo(12 - 12 / D2, within(1e-12));
        assertThat(xmr.ranges().get(0).isGap()).isTrue();
        assertThat(xmr.ranges().get(1).value()).hasValue(4);
        assertThat(xmr.ranges().get(1).limits().orElseThrow().upper()).isCloseTo(4 * 3.2665319, within(1e-6));
        assertThat(xmr.ranges().get(1).limits().orElseThrow().lower()).isZero();
        assertThat(cautions(XmrChart.of(Series.of(values), Baseline.all(20), XmrChart.UNBOUNDED)))
                .isEmpty();
    }

    @Test
    void signalsALeapInTheRangesOnBothOfItsSides() {
        List<Double> values = new ArrayList<>();
        for (int i = 0; i < 20; i++) {
            values.add(i % 2 == 0 ? 10.0 : 11.0);
        }
        values.add(null);
        values.add(60.0);
        values.add(10.0);
        values.add(11.0);
        XmrChart xmr = XmrChart.of(Series.withGaps(values), new Baseline(1, 20), XmrChart.UNBOUNDED)
                .orElseThrow();
        assertThat(xmr.chart().signals()).containsExactly(22);
        assertThat(xmr.rangeSignals()).containsExactly(23);
        assertThat(xmr.meanRange()).isEqualTo(1);
    }

    @Test
    void clipsLimitsToWhatIsPossible() {
        double[] values =
                IntStream.range(0, 20).mapToDouble(i -> i % 2 == 0 ? 96 : 100).toArray();
        Answer<XmrChart> answer = XmrChart.of(Series.of(values), Baseline.all(20), new Interval(0, 100));
        assertThat(limits(answer.orElseThrow().chart(), 1).upper()).isEqualTo(100);
        assertThat(cautions(answer)).containsExactly(Caution.LIMIT_UNREACHABLE);
        assertThatIllegalArgumentException()
                .isThrownBy(() -> XmrChart.of(Series.of(99, 101), Baseline.all(2), new Interval(0, 100)))
                .withMessage("value = 101.0, must be in [0.0, 100.0]");
    }

    @Test
    void refusesSingleValuesWithTheReason() {
        Series same = Series.withGaps(Collections.nCopies(12, 5.0));
        assertThat(XmrChart.of(same, Baseline.all(12), XmrChart.UNBOUNDED))
                .isInstanceOfSatisfying(Refused.class, refused -> {
                    assertThat(refused.reason()).isEqualTo(Reason.ZERO_WIDTH_LIMITS);
                    assertThat(refused.shown().estimate()).hasValue(5);
                    assertThat(refused.shown().points()).isEqualTo(same);
                });
        List<Double> alone = new ArrayList<>();
        for (int i = 0; i < 24; i++) {
            alone.add(i % 2 == 0 ? (Double) (double) i : null);
        }
        assertThat(reason(XmrChart.of(Series.withGaps(alone), Baseline.all(24), XmrChart.UNBOUNDED)))
                .isEqualTo(Reason.TOO_FEW_POINTS);
        assertThat(reason(XmrChart.of(Series.of(1, 2), Baseline.all(2), XmrChart.UNBOUNDED)))
                .isEqualTo(Reason.TOO_FEW_POINTS);
        assertThat(reason(XmrChart.of(Series.withGaps(Arrays.asList(null, null)), Baseline.all(2), XmrChart.UNBOUNDED)))
                .isEqualTo(Reason.NO_DATA);
    }

    @Test
    void findsNoRangeInASinglePoint() {
        assertThat(new MovingRanges(Series.of(1, 2, 4)).mean(new Baseline(2, 2)))
                .isEmpty();
        assertThat(new MovingRanges(Series.of(1, 2, 4)).mean(new Baseline(1, 0)))
                .isEmpty();
        assertThat(new MovingRanges(Series.of(1, 2, 4)).mean(new Baseline(2, 3)))
                .hasValue(2);
    }

    // Means of groups

    @Test
    void drawsMeansBySpreadWithinGroups() {
        List<Sample> groups = new ArrayList<>(Collections.nCopies(20, Sample.of(9, 11)));
        groups.add(Sample.of(12.5));
        groups.add(Sample.of());
        groups.add(Sample.of(0, 20));
        XbarSChart chart = XbarSChart.of(groups, new Baseline(1, 20)).orElseThrow();
        double sigma = Math.sqrt(2) / Math.sqrt(2 / Math.PI);
        assertThat(chart.sigma()).isCloseTo(sigma, within(1e-12));
        assertThat(limits(chart.means(), 1).upper()).isCloseTo(10 + 3 * sigma / Math.sqrt(2), within(1e-12));
        assertThat(limits(chart.means(), 21).upper()).isCloseTo(10 + 3 * sigma, within(1e-12));
        assertThat(chart.means().points().get(21).isGap()).isTrue();
        assertThat(chart.deviations().get(20).isGap()).isTrue();
        assertThat(chart.deviations().get(0).limits().orElseThrow().centre()).isCloseTo(Math.sqrt(2), within(1e-12));
        assertThat(chart.deviations().get(0).limits().orElseThrow().lower()).isZero();
        assertThat(chart.deviations().get(0).limits().orElseThrow().upper())
                .isCloseTo(Math.sqrt(2) * 3.2665319192886, within(1e-9));
        assertThat(chart.deviationSignals()).containsExactly(23);
        assertThat(chart.means().signals()).isEmpty();
        assertThat(cautions(XbarSChart.of(groups, new Baseline(1, 20)))).isEmpty();
    }

    @Test
    void refusesMeansWithTheReason() {
        List<Sample> singles = new ArrayList<>(Collections.nCopies(12, Sample.of(5)));
        assertThat(reason(XbarSChart.of(singles, Baseline.all(12)))).isEqualTo(Reason.NO_WITHIN_GROUP_VARIATION);
        assertThat(reason(XbarSChart.of(singles, new Baseline(1, 9)))).isEqualTo(Reason.TOO_FEW_POINTS);
        List<Sample> same = new ArrayList<>(Collections.nCopies(12, Sample.of(5, 5)));
        assertThat(XbarSChart.of(same, Baseline.all(12))).isInstanceOfSatisfying(Refused.class, refused -> {
            assertThat(refused.reason()).isEqualTo(Reason.ZERO_WIDTH_LIMITS);
            assertThat(refused.shown().estimate()).hasValue(5);
        });
        assertThat(reason(XbarSChart.of(List.of(Sample.of()), Baseline.all(1)))).isEqualTo(Reason.NO_DATA);
        assertThatIllegalArgumentException().isThrownBy(() -> XbarSChart.of(same, new Baseline(1, 13)));
    }

    // Rare events

    /** Of a geometric distribution with mean 9, F(g) = 1 - 0.9^(g + 1): 0.99865 is first reached at g = 62. */
    @Test
    void setsProbabilityLimitsForCasesBetweenEvents() {
        Series gaps = Series.withGaps(Collections.nCopies(20, 9.0));
        GChart chart =
                GChart.of(gaps, Baseline.all(20), GChart.Kind.PROBABILITY).orElseThrow();
        assertThat(limits(chart.chart(), 1)).isEqualTo(new Limits(0, 9, 62));
        assertThat(chart.median()).isEqualTo(9);
        assertThat(cautions(GChart.of(gaps, Baseline.all(20), GChart.Kind.PROBABILITY)))
                .containsExactly(Caution.LIMIT_UNREACHABLE);
    }

    @Test
    void reachesEachProbabilityAtTheLimitAndNotBefore() {
        for (double mean : new double[] {0.05, 0.7, 9, 123.4, 5000, 1e6}) {
            Limits limits = GChart.Kind.PROBABILITY.limits(mean);
            double none = mean / (1 + mean);
            assertThat(1 - Math.pow(none, limits.upper() + 1)).isGreaterThanOrEqualTo(0.99865);
            assertThat(1 - Math.pow(none, limits.upper())).isLessThan(0.99865);
            assertThat(1 - Math.pow(none, limits.lower() + 1)).isGreaterThanOrEqualTo(0.00135);
            assertThat(limits.lower() == 0 || 1 - Math.pow(none, limits.lower()) < 0.00135)
                    .isTrue();
        }
    }

    @Test
    void setsThreeSigmaLimitsForCasesBetweenEvents() {
        Limits limits = GChart.Kind.THREE_SIGMA.limits(9);
        assertThat(limits.upper()).isCloseTo(9 + 3 * Math.sqrt(90), within(1e-12));
        assertThat(limits.lower()).isZero();
    }

    @ParameterizedTest
    @EnumSource
    void refusesCasesBetweenEventsWithTheReason(GChart.Kind kind) {
        assertThat(reason(GChart.of(Series.of(5, 3, 9), Baseline.all(3), kind))).isEqualTo(Reason.TOO_FEW_POINTS);
        assertThat(reason(GChart.of(Series.of(), Baseline.all(0), kind))).isEqualTo(Reason.NO_DATA);
        assertThat(reason(GChart.of(Series.withGaps(Collections.nCopies(12, 0.0)), Baseline.all(12), kind)))
                .isEqualTo(Reason.ZERO_WIDTH_LIMITS);
    }

    /**
     * R 4.2.2, for the cases s between m events: {@code uniroot(function(p) pnbinom(s, m, p) - a, ...)} and
     * {@code uniroot(function(p) pnbinom(s - 1, m, p, lower.tail = FALSE) - a, ...)}, a half of what the level leaves; (1 - p)/p of both.
     */
    @ParameterizedTest
    @CsvSource({
        "3 0 12 7 25 1 9 4 18 2, 0.95, 8.1, 4.51389583984989, 17.52849517162054",
        "0 0 0 0, 0.95, 0, 0, 1.51486685936587",
        "40, 0.9, 40, 12.8585685533541, 798.8248598498320",
        "83 2 151 47 9 210 33 5 120 64 18 77, 0.95, 68.25, 41.3920522518916, 132.6317186091335"
    })
    void setsTheAverageOfCasesBetweenEventsBetweenExactLimits(
            String gaps, double level, double mean, double lower, double upper) {
        Estimate centre =
                GChart.centre(Series.of(numbers(gaps)), new Confidence(level)).orElseThrow();
        assertThat(centre.value()).isCloseTo(mean, within(1e-12));
        assertThat(centre.lower()).isCloseTo(lower, within(1e-8 * (1 + lower)));
        assertThat(centre.upper()).isCloseTo(upper, within(1e-8 * upper));
    }

    /** R 4.2.2: {@code r <- t.test(t^(1/3.6), conf.level = level); pmax(0, c(r$estimate, r$conf.int))^3.6}. */
    @ParameterizedTest
    @CsvSource({
        "2.5 11 0.25 34 7.75 19 3 52.5 8 14, 0.95, 9.77319888201981, 3.33696228252354, 22.33414431601488",
        "1 100, 0.9, 19.9579608451456, 0, 4721.5466550322108"
    })
    void setsTheCentreOfTimesBetweenEventsBetweenLimitsOfTheirPower(
            String times, double level, double value, double lower, double upper) {
        Estimate centre =
                TChart.centre(Series.of(numbers(times)), new Confidence(level)).orElseThrow();
        assertThat(centre.value()).isCloseTo(value, within(1e-9 * value));
        assertThat(centre.lower()).isCloseTo(lower, within(1e-9 * (1 + lower)));
        assertThat(centre.upper()).isCloseTo(upper, within(1e-8 * upper));
    }

    @Test
    void givesTheLineOfTheChartAsItsCentre() {
        Series gaps = Series.of(3, 0, 12, 7, 25, 1, 9, 4, 18, 2);
        assertThat(GChart.centre(gaps, Confidence.DEFAULT).orElseThrow().value())
                .isEqualTo(GChart.of(gaps, Baseline.all(10), GChart.Kind.PROBABILITY)
                        .orElseThrow()
                        .chart()
                        .centre());
        assertThat(TChart.centre(gaps, Confidence.DEFAULT).orElseThrow().value())
                .isCloseTo(
                        TChart.of(gaps, Baseline.all(10)).orElseThrow().chart().centre(), within(1e-12));
    }

    /** Events at random: the centre is that of the law, Γ(1 + 1/3.6)^3.6 of the mean. */
    @Test
    void holdsTheCentreOfTimesAtRandomAsOftenAsItSays() {
        double centre = Math.pow(Gamma.gamma(1 + 1 / 3.6), 3.6);
        long held = RandomInputs.draws(
                        4_000,
                        random -> DoubleStream.generate(() -> -Math.log1p(-random.nextDouble()))
                                .limit(10)
                                .toArray())
                .filter(times -> {
                    Estimate estimate =
                            TChart.centre(Series.of(times), Confidence.DEFAULT).orElseThrow();
                    return estimate.lower() <= centre && centre <= estimate.upper();
                })
                .count();
        assertThat(held / 4_000.0).isBetween(0.935, 0.965);
    }

    /** Cases between events of one probability: exact limits hold at least as often as they say. */
    @Test
    void holdsTheAverageOfCasesBetweenEventsAtLeastAsOftenAsItSays() {
        double p = 0.08;
        long held = RandomInputs.draws(
                        4_000,
                        random -> DoubleStream.generate(
                                        () -> Math.floor(Math.log1p(-random.nextDouble()) / Math.log1p(-p)))
                                .limit(10)
                                .toArray())
                .filter(gaps -> {
                    Estimate estimate =
                            GChart.centre(Series.of(gaps), Confidence.DEFAULT).orElseThrow();
                    return estimate.lower() <= (1 - p) / p && (1 - p) / p <= estimate.upper();
                })
                .count();
        assertThat(held / 4_000.0).isBetween(0.94, 0.98);
    }

    @Test
    void refusesACentreOfNothingAndOfOneTime() {
        assertThat(reason(GChart.centre(Series.of(), Confidence.DEFAULT))).isEqualTo(Reason.NO_DATA);
        assertThat(reason(TChart.centre(Series.of(), Confidence.DEFAULT))).isEqualTo(Reason.NO_DATA);
        assertThat(reason(TChart.centre(Series.of(3, -1), Confidence.DEFAULT))).isEqualTo(Reason.INVALID_INPUT);
        assertThat(TChart.centre(Series.of(7), Confidence.DEFAULT)).satisfies(one -> {
            Refused<Estimate> refused = (Refused<Estimate>) one;
            assertThat(refused.reason()).isEqualTo(Reason.TOO_FEW_OBSERVATIONS);
            assertThat(refused.shown().estimate().orElseThrow()).isCloseTo(7, within(1e-12));
        });
        assertThatIllegalArgumentException().isThrownBy(() -> GChart.centre(Series.of(0.5), Confidence.DEFAULT));
    }

    private static double[] numbers(String spaced) {
        return Arrays.stream(spaced.split(" ")).mapToDouble(Double::parseDouble).toArray();
    }

    @Test
    void drawsTimesBetweenEventsOnTheScaleOfTheirPower() {
        double[] times = IntStream.range(0, 20)
                .mapToDouble(i -> Math.pow(i % 2 == 0 ? 3 : 4, 3.6))
                .toArray();
        TChart chart = TChart.of(Series.of(times), Baseline.all(20)).orElseThrow();
        assertThat(chart.transformedCentre()).isCloseTo(3.5, within(1e-12));
        assertThat(chart.transformedMeanRange()).isCloseTo(1, within(1e-12));
        assertThat(chart.chart().centre()).isCloseTo(Math.pow(3.5, 3.6), within(1e-9));
        assertThat(limits(chart.chart(), 1).lower()).isCloseTo(Math.pow(3.5 - 3 / D2, 3.6), within(1e-9));
        assertThat(limits(chart.chart(), 1).upper()).isCloseTo(Math.pow(3.5 + 3 / D2, 3.6), within(1e-9));
        assertThat(chart.chart().points().get(0).value()).hasValue(times[0]);
        assertThat(cautions(TChart.of(Series.of(times), Baseline.all(20)))).isEmpty();
    }

    /**
     * NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.2, its single values taken for logarithms (a tenth of them, so that
     * they stay small): mean 50.81, limits 45.8159 and 55.8041, printed with d2 = 1.128, hence the tolerance.
     */
    @Test
    void drawsSingleValuesOnTheScaleOfTheirLogarithms() {
        double[] values = DoubleStream.of(49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)
                .map(flow -> Math.exp(flow / 10))
                .toArray();
        Answer<LogXmrChart> answer = LogXmrChart.of(Series.of(values), Baseline.all(10));
        ControlChart chart = answer.orElseThrow().chart();
        assertThat(10 * Math.log(chart.centre())).isCloseTo(50.81, within(1e-9));
        assertThat(10 * Math.log(limits(chart, 1).lower())).isCloseTo(45.8159, within(0.0025));
        assertThat(10 * Math.log(limits(chart, 1).upper())).isCloseTo(55.8041, within(0.0025));
        assertThat(chart.points().get(0).value()).hasValue(values[0]);
        assertThat(chart.signals()).isEmpty();
        assertThat(answer.orElseThrow().ofLogs().meanRange()).isCloseTo(0.18778, within(0.000005));
        assertThat(cautions(answer)).containsExactly(Caution.PROVISIONAL_LIMITS);
    }

    @Test
    void refusesLogarithmsOfNothing() {
        assertThat(reason(LogXmrChart.of(Series.of(3, 0), Baseline.all(2)))).isEqualTo(Reason.INVALID_INPUT);
        assertThat(reason(LogXmrChart.of(Series.of(3, 2), Baseline.all(2)))).isEqualTo(Reason.TOO_FEW_POINTS);
        assertThat(reason(LogXmrChart.of(Series.of(), Baseline.all(0)))).isEqualTo(Reason.NO_DATA);
    }

    /** U - 3 √(U/a) is above 0 exactly where a is above 9/U (worked out by hand). */
    @Test
    void saysHowManyCasesARateNeedsForALowerLimit() {
        UChart chart = UChart.of(IntStream.range(0, 12)
                        .mapToObj(i -> new Rate(i < 6 ? 9 : 10, i < 6 ? 18 : 20))
                        .toList())
                .orElseThrow();
        assertThat(chart.chart().centre()).isEqualTo(0.5);
        assertThat(chart.casesToReachLower()).isEqualTo(19);
        assertThat(chart.lowerUnreachable()).containsExactly(1, 2, 3, 4, 5, 6);
    }

    @Test
    void endsTheLowerLimitOfTimesAtZero() {
        double[] times =
                IntStream.range(0, 12).mapToDouble(i -> i % 2 == 0 ? 0 : 40).toArray();
        Answer<TChart> answer = TChart.of(Series.of(times), Baseline.all(12));
        assertThat(limits(answer.orElseThrow().chart(), 1).lower()).isZero();
        assertThat(cautions(answer)).containsExactlyInAnyOrder(Caution.LIMIT_UNREACHABLE, Caution.PROVISIONAL_LIMITS);
    }

    @Test
    void refusesTimesWithTheReason() {
        Series negative = Series.of(1, -1);
        assertThat(TChart.of(negative, Baseline.all(2))).isInstanceOfSatisfying(Refused.class, refused -> {
            assertThat(refused.reason()).isEqualTo(Reason.INVALID_INPUT);
            assertThat(refused.shown().points()).isEqualTo(negative);
        });
        Series few = Series.of(1, 0);
        assertThat(TChart.of(few, Baseline.all(2))).isInstanceOfSatisfying(Refused.class, refused -> {
            assertThat(refused.reason()).isEqualTo(Reason.TOO_FEW_POINTS);
            assertThat(refused.shown().points()).isEqualTo(few);
            assertThat(refused.shown().n()).hasValue(2);
        });
        assertThatIllegalArgumentException().isThrownBy(() -> TChart.of(few, new Baseline(1, 3)));
    }

    @Test
    void refusesABaselineBeyondTheSeries() {
        Series three = Series.of(1, 2, 3);
        Baseline four = new Baseline(1, 4);
        assertThatIllegalArgumentException().isThrownBy(() -> CChart.of(three, four));
        assertThatIllegalArgumentException().isThrownBy(() -> GChart.of(three, four, GChart.Kind.PROBABILITY));
        assertThatIllegalArgumentException().isThrownBy(() -> XmrChart.of(three, four, XmrChart.UNBOUNDED));
    }

    // Limits

    @ParameterizedTest
    @CsvSource({"NaN, 1, 2", "0, 1, NaN", "0, NaN, 2", "2, 1, 0"})
    void refusesLimitsThatAreNone(double lower, double centre, double upper) {
        assertThatIllegalArgumentException().isThrownBy(() -> new Limits(lower, centre, upper));
    }

    @Test
    void allowsForRoundingInProportionToALargeLimit() {
        Limits limits = new Limits(-1e6, 0, 1e6);
        assertThat(limits.judge(1e6 + 0.0009)).isEqualTo(Signal.NONE);
        assertThat(limits.judge(1e6 + 0.0011)).isEqualTo(Signal.ABOVE);
        assertThat(limits.judge(-1e6 - 0.0009)).isEqualTo(Signal.NONE);
        assertThat(limits.judge(-1e6 - 0.0011)).isEqualTo(Signal.BELOW);
    }

    @Test
    void knowsWhichPointsTheBaselineHolds() {
        Baseline baseline = new Baseline(3, 5);
        assertThat(IntStream.rangeClosed(1, 7).filter(baseline::holds)).containsExactly(3, 4, 5);
    }

    private static List<Rate> rates(int number, long events, double exposure) {
        return new ArrayList<>(Collections.nCopies(number, new Rate(events, exposure)));
    }

    private static Limits limits(ControlChart chart, int number) {
        return chart.points().get(number - 1).limits().orElseThrow();
    }

    private static Reason reason(Answer<?> answer) {
        return answer.<Reason>fold(
                ok -> {
                    throw new AssertionError("not refused");
                },
                Refused::reason);
    }

    private static Set<Caution> cautions(Answer<?> answer) {
        return answer.fold(Answer.Ok::cautions, no -> Set.of());
    }
}
