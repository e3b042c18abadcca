package airway.stats.sequential;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import airway.stats.Series;
import airway.stats.chart.ChartPoint;
import airway.stats.chart.Limits;
import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Series and run lengths as printed. The figures of the e-Handbook and of Montgomery's series were read as quoted in the
 * documentation or tests of general statistical software; the tables of run lengths are from memory.
 */
class PublishedSeriesTest {

    /** Montgomery DC, Introduction to Statistical Quality Control, Table 9.1: the mean is one unit too high from 21 on. */
    private static final Series MONTGOMERY = Series.of(
            9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.20, 10.34, 9.03, 11.47, 10.51, 9.40, 10.08, 9.37,
            10.62, 10.31, 8.52, 10.84, 10.90, 9.33, 12.29, 11.50, 10.60, 11.08, 10.38, 11.62, 11.31, 10.52);

    /** NIST/SEMATECH e-Handbook 6.3.2.4: λ 0.3, limits 47.4115 and 52.5884, no point beyond. */
    @Test
    void eHandbookMovingAverage() {
        double[] printed = {
            50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38,
            49.92, 50.73, 51.23, 51.94, 51.99
        };
        Series values = Series.of(
                52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6,
                52.4, 53.6, 52.1);
        Ewma ewma = Ewma.of(values, 50, 2.0539, new EwmaDesign(0.3, 3), Ewma.Width.FINAL)
                .orElseThrow();
        for (ChartPoint point : ewma.points()) {
            assertThat(point.value().getAsDouble()).isCloseTo(printed[point.number() - 1], within(0.00501));
            Limits limits = point.limits().orElseThrow();
            // The page cuts the factor 0.4201 off after four figures.
            assertThat(limits.lower()).isCloseTo(47.4115, within(0.0005));
            assertThat(limits.upper()).isCloseTo(52.5884, within(0.0005));
        }
        assertThat(ewma.signals()).isEmpty();
    }

    /** NIST/SEMATECH e-Handbook 6.3.2.3: target 325, k 0.3175, h 4.1959, the first signal at 14. */
    @Test
    void eHandbookCumulativeSum() {
        Series values = Series.of(
                324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600, 324.625,
                325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350);
        TabularCusum cusum = TabularCusum.of(values, 325, new TabularCusumDesign(0.3175, 4.1959))
                .orElseThrow();
        assertSums(
                cusum.above(),
                0,
                0,
                0,
                0,
                0.03,
                0,
                0,
                0,
                0,
                0,
                0,
                0,
                3.01,
                4.94,
                7.45,
                10.63,
                11.99,
                14.44,
                16.00,
                19.04);
        assertSums(cusum.below(), 0, 0.01, 0, 0.33, 0, 0, 0.56, 0.72, 0.17, 0.25, 0.31, 0, 0, 0, 0, 0, 0, 0, 0, 0);
        assertThat(cusum.firstSignal()).isEqualTo(OptionalInt.of(14));
    }

    /** Montgomery, Table 9.2: the upper sum passes 5 at 29, with 5.28, and stands at 5.30 at 30. */
    @Test
    void montgomeryCumulativeSum() {
        TabularCusum cusum =
                TabularCusum.of(MONTGOMERY, 10, new TabularCusumDesign(0.5, 5)).orElseThrow();
        assertThat(cusum.above().at(28).getAsDouble()).isCloseTo(4.47, within(0.001));
        assertThat(cusum.above().at(29).getAsDouble()).isCloseTo(5.28, within(0.001));
        assertThat(cusum.above().at(30).getAsDouble()).isCloseTo(5.30, within(0.001));
        assertThat(cusum.signals()).containsExactly(29, 30);
    }

    /** Montgomery, the same series by a moving average of λ 0.1 and limits at 2.7: signals at 29 and 30 (from memory). */
    @Test
    void montgomeryMovingAverage() {
        assertThat(Ewma.of(MONTGOMERY, 10, 1, new EwmaDesign(0.1, 2.7), Ewma.Width.EXACT)
                        .orElseThrow()
                        .signals())
                .containsExactly(29, 30);
    }

    /** Montgomery, Table 9.3: k 0.5, h 4 and 5, printed to three figures (from memory). */
    @ParameterizedTest
    @CsvSource({
        "0,    168,  465",
        "0.25, 74.2, 139",
        "0.50, 26.6, 38.0",
        "0.75, 13.3, 17.0",
        "1.00, 8.38, 10.4",
        "1.50, 4.75, 5.75",
        "2.00, 3.34, 4.01",
        "2.50, 2.62, 3.11",
        "3.00, 2.19, 2.57",
        "4.00, 1.71, 2.01"
    })
    void montgomeryRunLengthsOfACumulativeSum(double shift, double ofFour, double ofFive) {
        assertThat(new TabularCusumDesign(0.5, 4).runLength(shift, 1)).isCloseTo(ofFour, withinPercentage(0.5));
        assertThat(new TabularCusumDesign(0.5, 5).runLength(shift, 1)).isCloseTo(ofFive, withinPercentage(0.5));
    }

    /** Lucas JM, Crosier RB (1982), Technometrics 24:199-205: k 0.5, h 5, head start 2.5 (from memory). */
    @ParameterizedTest
    @CsvSource({"0, 430", "0.5, 28.7", "1, 6.35", "1.5, 3.37", "2, 2.36"})
    void lucasAndCrosierRunLengthsWithAHeadStart(double shift, double printed) {
        assertThat(new TabularCusumDesign(0.5, 5, 2.5).runLength(shift, 1)).isCloseTo(printed, withinPercentage(0.5));
    }

    /** Lucas JM, Saccucci MS (1990), Technometrics 32:1-12: designs of about 500 points without a change (from memory). */
    @ParameterizedTest
    @CsvSource({
        "0.40, 3.054, 0, 500",
        "0.40, 3.054, 1, 14.3",
        "0.25, 2.998, 0, 500",
        "0.25, 2.998, 1, 11.1",
        "0.20, 2.962, 0, 500",
        "0.20, 2.962, 1, 10.5",
        "0.10, 2.814, 0, 500",
        "0.10, 2.814, 1, 10.3",
        "0.05, 2.615, 0, 500",
        "0.05, 2.615, 1, 11.4",
        "0.10, 2.814, 0.5, 31.3"
    })
    void lucasAndSaccucciRunLengthsOfAMovingAverage(double lambda, double width, double shift, double printed) {
        assertThat(new EwmaDesign(lambda, width).runLength(shift)).isCloseTo(printed, withinPercentage(1.5));
    }

    /** With λ = 1 it is Shewhart's chart: 370.4 points without a change, 43.9 after one standard deviation. */
    @Test
    void aMovingAverageWithoutMemoryIsAShewhartChart() {
        assertThat(new EwmaDesign(1, 3).runLength(0)).isCloseTo(370.398, within(0.001));
        assertThat(new EwmaDesign(1, 3).runLength(1)).isCloseTo(43.895, within(0.001));
        assertThat(EwmaDesign.DEFAULT.runLength(0)).isCloseTo(371.1, within(0.1));
    }

    private static void assertSums(Series sums, double... printed) {
        for (int i = 1; i <= printed.length; i++) {
            assertThat(sums.at(i).getAsDouble()).as("sum %d", i).isCloseTo(printed[i - 1], within(0.00501));
        }
    }
}
