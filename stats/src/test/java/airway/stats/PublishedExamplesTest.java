package airway.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.chart.Baseline;
import airway.stats.chart.CChart;
import airway.stats.chart.ChartPoint;
import airway.stats.chart.Limits;
import airway.stats.chart.PChart;
import airway.stats.chart.RunLimits;
import airway.stats.chart.UChart;
import airway.stats.chart.XmrChart;
import airway.stats.interval.DifferenceInterval;
import airway.stats.interval.OddsRatioInterval;
import airway.stats.interval.ProportionInterval;
import airway.stats.interval.RatioInterval;
import airway.stats.power.TwoProportions;
import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Worked examples as printed. Unless a test says otherwise the printed figures were read as quoted, with the citation, in
 * the documentation or the tests of general-purpose statistical software, and not in the paper itself.
 */
class PublishedExamplesTest {

    private static final Proportion SEVEN = new Proportion(7, 34);
    private static final Proportion ONE = new Proportion(1, 34);

    /** Newcombe RG (1998), Stat Med 17:857-872, Table I, method 3. */
    @ParameterizedTest
    @CsvSource({
        "81, 263, 0.2553, 0.3662",
        "15, 148, 0.0624, 0.1605",
        " 0,  20, 0.0000, 0.1611",
        " 1,  29, 0.0061, 0.1718"
    })
    void newcombe1998TableOneScoreMethod(long x, long n, double lower, double upper) {
        var estimate = ProportionInterval.WILSON
                .of(new Proportion(x, n), Confidence.DEFAULT)
                .orElseThrow();
        assertThat(estimate.lower()).isCloseTo(lower, within(0.00005));
        assertThat(estimate.upper()).isCloseTo(upper, within(0.00006));
    }

    /** Newcombe RG (1998), Stat Med 17:873-890, Table II, methods 10 and 11. */
    @ParameterizedTest
    @CsvSource({
        "NEWCOMBE,    56, 70, 48, 80,  0.0524, 0.3339",
        "NEWCOMBE,     9, 10,  3, 10,  0.1705, 0.8090",
        "NEWCOMBE,     6,  7,  2,  7,  0.0582, 0.8062",
        "NEWCOMBE,     5, 56,  0, 29, -0.0381, 0.1926",
        "NEWCOMBE,     0, 10,  0, 20, -0.1611, 0.2775",
        "NEWCOMBE,     0, 10,  0, 10, -0.2775, 0.2775",
        "NEWCOMBE,    10, 10,  0, 20,  0.6791, 1.0000",
        "NEWCOMBE,    10, 10,  0, 10,  0.6075, 1.0000",
        "NEWCOMBE_CC, 56, 70, 48, 80,  0.0428, 0.3422",
        "NEWCOMBE_CC,  9, 10,  3, 10,  0.1013, 0.8387",
        "NEWCOMBE_CC, 10, 10,  0, 20,  0.6014, 1.0000"
    })
    void newcombe1998TableTwo(
            DifferenceInterval method, long x1, long n1, long x2, long n2, double lower, double upper) {
        var estimate = method.of(new Proportion(x1, n1), new Proportion(x2, n2), Confidence.DEFAULT)
                .orElseThrow();
        assertThat(estimate.lower()).isCloseTo(lower, within(0.00006));
        assertThat(estimate.upper()).isCloseTo(upper, within(0.00006));
    }

    /**
     * NIST/SEMATECH e-Handbook of Statistical Methods 6.3.3.2, 30 samples of 50: centre 0.2313, limits 0.0524 and 0.4102.
     * The two points outside are those that Montgomery discusses for the same data.
     */
    @Test
    void eHandbookProportionsChart() {
        int[] defective = {
            12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22, 8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9, 6
        };
        List<Proportion> samples =
                Arrays.stream(defective).mapToObj(x -> new Proportion(x, 50)).toList();
        var chart = PChart.of(samples).orElseThrow().chart();
        assertThat(chart.centre()).isCloseTo(0.2313, within(0.00005));
        assertThat(chart.points()).allSatisfy(PublishedExamplesTest::hasTheLimitsOfTheHandbook);
        assertThat(chart.signals()).containsExactly(15, 23);
        assertThat(chart.provisional()).isFalse();
    }

    /** NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.2; printed with d2 = 1.128, hence the tolerance. */
    @Test
    void eHandbookIndividualsChart() {
        var chart = XmrChart.of(
                        Series.of(49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1),
                        Baseline.all(10),
                        XmrChart.UNBOUNDED)
                .orElseThrow();
        var limits = chart.chart().points().get(0).limits().orElseThrow();
        assertThat(limits.centre()).isCloseTo(50.81, within(1e-9));
        assertThat(chart.meanRange()).isCloseTo(1.8778, within(0.00005));
        assertThat(limits.lower()).isCloseTo(45.8159, within(0.0025));
        assertThat(limits.upper()).isCloseTo(55.8041, within(0.0025));
        assertThat(chart.chart().signals()).isEmpty();
    }

    /** NIST/SEMATECH e-Handbook of Statistical Methods 6.3.3.1: 25 wafers, limits 4 and 28, a count of 28 on the limit. */
    @Test
    void eHandbookCountsChart() {
        double[] counts = {
            16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14, 16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31, 13
        };
        var chart = CChart.of(Series.of(counts), Baseline.all(25)).orElseThrow().chart();
        assertThat(chart.points().get(2).limits()).contains(new Limits(4, 16, 28));
        assertThat(chart.signals()).containsExactly(24);
    }

    /** Montgomery DC, Introduction to Statistical Quality Control: defects on printed circuit boards. */
    @Test
    void montgomeryCircuitBoards() {
        double[] counts = {
            21, 24, 16, 12, 15, 5, 28, 20, 31, 25, 20, 24, 16, 19, 10, 17, 13, 22, 18, 39, 30, 24, 16, 19, 17, 15
        };
        var limits = CChart.of(Series.of(counts), Baseline.all(26))
                .orElseThrow()
                .chart()
                .points()
                .get(0)
                .limits()
                .orElseThrow();
        assertThat(limits.centre()).isCloseTo(19.84615, within(0.000005));
        assertThat(limits.lower()).isCloseTo(6.481447, within(0.0000005));
        assertThat(limits.upper()).isCloseTo(33.21086, within(0.000005));
    }

    /** Montgomery DC, Introduction to Statistical Quality Control: defects in dyed cloth. */
    @Test
    void montgomeryDyedCloth() {
        long[] defects = {14, 12, 20, 11, 7, 10, 21, 16, 19, 23};
        double[] areas = {10, 8, 13, 10, 10, 10, 12, 11, 12, 13};
        List<Rate> rolls = IntStream.range(0, 10)
                .mapToObj(i -> new Rate(defects[i], areas[i]))
                .toList();
        assertThat(UChart.of(rolls).orElseThrow().chart().centre()).isCloseTo(1.40367, within(0.000005));
    }

    /**
     * Fagerland MW, Lydersen S, Laake P (2015), Stat Methods Med Res 24:224-254: the differences of 7/34 and 1/34. What is
     * quoted from there under the name of Miettinen and Nurminen, 0.028 to 0.34, is the interval without N/(N - 1).
     */
    @ParameterizedTest
    @CsvSource({"AGRESTI_CAFFO, 0.012, 0.32", "NEWCOMBE, 0.019, 0.34", "MEE, 0.028, 0.34"})
    void fagerland2015Differences(DifferenceInterval method, double lower, double upper) {
        var estimate = method.of(SEVEN, ONE, Confidence.DEFAULT).orElseThrow();
        assertThat(estimate.lower()).isCloseTo(lower, within(0.0005));
        assertThat(estimate.upper()).isCloseTo(upper, within(0.005));
    }

    /**
     * The same paper: the ratios of 7/34 and 1/34. Koopman's lower limit is quoted as 1.21 and is 1.2209 here; with the
     * factor N/(N - 1), which does not belong to his method, it would be 1.2086.
     */
    @Test
    void fagerland2015Ratios() {
        var katz = RatioInterval.KATZ_LOG.of(SEVEN, ONE, Confidence.DEFAULT).orElseThrow();
        assertThat(katz.value()).hasValueCloseTo(7.0, within(1e-12));
        assertThat(katz.interval().lower()).isCloseTo(0.91, within(0.005));
        assertThat(katz.interval().upper()).isCloseTo(54, within(0.5));
        var koopman = RatioInterval.KOOPMAN.of(SEVEN, ONE, Confidence.DEFAULT).orElseThrow();
        assertThat(koopman.interval().lower()).isCloseTo(1.21, within(0.011));
        assertThat(koopman.interval().upper()).isCloseTo(43, within(0.5));
    }

    /** The same paper: the odds ratios of 7/34 and 1/34. */
    @ParameterizedTest
    @CsvSource({"WOOLF, 0.99, 74", "CONDITIONAL_EXACT, 0.97, 397"})
    void fagerland2015OddsRatios(OddsRatioInterval method, double lower, double upper) {
        var estimate = method.of(SEVEN, ONE, Confidence.DEFAULT).orElseThrow();
        assertThat(estimate.lower()).isCloseTo(lower, within(0.005));
        assertThat(estimate.upper()).isCloseTo(upper, within(0.5));
    }

    /** Koopman PAR (1984), Biometrics 40:513-517, quoted through Nam (1995): 36/40 against 16/80. */
    @Test
    void koopman1984() {
        var ratio = RatioInterval.KOOPMAN
                .of(new Proportion(36, 40), new Proportion(16, 80), Confidence.DEFAULT)
                .orElseThrow();
        assertThat(ratio.interval().lower()).isCloseTo(2.940, within(0.0005));
        assertThat(ratio.interval().upper()).isCloseTo(7.152, within(0.0005));
    }

    /** Newcombe RG (1998), Stat Med 17:873-890, Table II, methods 5 and 6. */
    @ParameterizedTest
    @CsvSource({
        "MIETTINEN_NURMINEN, 56, 70, 48, 80, 0.0528, 0.3382",
        "MIETTINEN_NURMINEN,  9, 10,  3, 10, 0.1700, 0.8406",
        "MIETTINEN_NURMINEN, 10, 10,  0, 20, 0.7156, 1.0000",
        "MEE,                56, 70, 48, 80, 0.0533, 0.3377",
        "MEE,                 9, 10,  3, 10, 0.1821, 0.8370"
    })
    void newcombe1998TableTwoScoreMethods(
            DifferenceInterval method, long x1, long n1, long x2, long n2, double lower, double upper) {
        newcombe1998TableTwo(method, x1, n1, x2, n2, lower, upper);
    }

    /** The example of {@code power.prop.test} in the help pages of R: 50 % against 75 % with 90 % power, n = 76.7. */
    @Test
    void rHelpPagePowerOfTwoProportions() {
        var size = new TwoProportions(0.50, 0.75, Confidence.DEFAULT)
                .sampleSize(0.90, 1)
                .orElseThrow();
        assertThat(size.exact()).isCloseTo(76.7, within(0.05));
    }

    /**
     * The table of the longest run allowed, n from 10 to 109, read on a page that teaches the rules of Anhøj and Olesen
     * (2014), PLoS ONE 9(11):e113825.
     */
    @Test
    void anhoejAndOlesen2014LongestRun() {
        assertThat(IntStream.rangeClosed(10, 109).map(n -> RunLimits.of(n).longestRun()))
                .containsSubsequence(6, 6, 7, 7, 8, 8, 9, 9, 10, 10)
                .isSorted();
        assertThat(RunLimits.of(13).crossings()).isEqualTo(3);
    }

    /** Charig CR and others (1986), BMJ 292:879-882, counts from memory: better in both kinds of stone, worse in total. */
    @Test
    void charig1986ReversesInTotal() {
        Proportion openSmall = new Proportion(81, 87);
        Proportion openLarge = new Proportion(192, 263);
        Proportion throughSkinSmall = new Proportion(234, 270);
        Proportion throughSkinLarge = new Proportion(55, 80);
        assertThat(difference(openSmall, throughSkinSmall)).isPositive();
        assertThat(difference(openLarge, throughSkinLarge)).isPositive();
        assertThat(difference(new Proportion(273, 350), new Proportion(289, 350)))
                .isCloseTo(-0.046, within(0.0005));
    }

    private static double difference(Proportion first, Proportion second) {
        return DifferenceInterval.NEWCOMBE
                .of(first, second, Confidence.DEFAULT)
                .orElseThrow()
                .value();
    }

    private static void hasTheLimitsOfTheHandbook(ChartPoint point) {
        assertThat(point.limits()).hasValueSatisfying(limits -> {
            assertThat(limits.lower()).isCloseTo(0.0524, within(0.00005));
            assertThat(limits.upper()).isCloseTo(0.4102, within(0.00005));
        });
    }
}
