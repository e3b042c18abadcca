package airway.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.chart.ChartPoint;
import airway.stats.chart.PChart;
import airway.stats.interval.DifferenceInterval;
import airway.stats.interval.ProportionInterval;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Worked examples as printed. Unless a test says otherwise the printed figures were read as quoted, with the citation, in
 * the documentation or the tests of general-purpose statistical software, and not in the paper itself.
 */
class PublishedExamplesTest {

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

    private static void hasTheLimitsOfTheHandbook(ChartPoint point) {
        assertThat(point.limits()).hasValueSatisfying(limits -> {
            assertThat(limits.lower()).isCloseTo(0.0524, within(0.00005));
            assertThat(limits.upper()).isCloseTo(0.4102, within(0.00005));
        });
    }
}
