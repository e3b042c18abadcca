package airway.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.assertThatIllegalStateException;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class ValuesTest {

    @ParameterizedTest
    @ValueSource(doubles = {0, 1, -0.1, 95, Double.NaN, Double.POSITIVE_INFINITY})
    void refusesALevelOutsideZeroToOne(double level) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new Confidence(level))
                .withMessage("level = " + level + ", must be in (0, 1)");
    }

    /** Standard normal quantiles of R 4.2.2, qnorm(tail, lower.tail = FALSE). */
    @ParameterizedTest
    @CsvSource({"0.95, 1.959963984540054", "0.5, 0.6744897501960817", "0.99, 2.5758293035489004"})
    void knowsTheNormalDeviateOfALevelAtFullPrecision(double level, double z) {
        assertThat(new Confidence(level).z()).isCloseTo(z, within(1e-14));
    }

    @Test
    void keepsTheDeviateFiniteAtTheHighestLevel() {
        assertThat(new Confidence(Math.nextDown(1.0)).z()).isBetween(8.2, 8.3);
    }

    @Test
    void splitsWhatIsLeftOutIntoTwoTails() {
        assertThat(new Confidence(0.9).alpha()).isCloseTo(0.1, within(1e-15));
        assertThat(new Confidence(0.9).tail()).isCloseTo(0.05, within(1e-15));
    }

    @Test
    void refusesANegativeCount() {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new Proportion(-1, 3))
                .withMessage("x = -1, must be in [0, 3]");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new Proportion(0, -1))
                .withMessage("n = -1, must be in [0, 1000000000]");
    }

    @Test
    void refusesMoreSuccessesThanCases() {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new Proportion(5, 3))
                .withMessage("x = 5, must be in [0, 3]");
    }

    @Test
    void givesNoValueToNoneOfNone() {
        assertThat(new Proportion(0, 0).isEmpty()).isTrue();
        assertThatIllegalStateException().isThrownBy(() -> new Proportion(0, 0).value());
    }

    @Test
    void countsCasesTheOtherWayRound() {
        assertThat(new Proportion(3, 10).complement()).isEqualTo(new Proportion(7, 10));
        assertThat(new Proportion(3, 10).failures()).isEqualTo(7);
    }

    @ParameterizedTest
    @CsvSource({
        "-1, 1, 'events = -1, must be in [0, 1000000000]'",
        "1000000001, 1, 'events = 1000000001, must be in [0, 1000000000]'",
        "1, -1, 'exposure = -1.0, must be 0 or in [1e-9, 1e12]'",
        "1, 1e-10, 'exposure = 1.0E-10, must be 0 or in [1e-9, 1e12]'",
        "1, 1.1e12, 'exposure = 1.1E12, must be 0 or in [1e-9, 1e12]'",
        "1, NaN, 'exposure = NaN, must be 0 or in [1e-9, 1e12]'"
    })
    void refusesARateThatCannotBe(long events, double exposure, String message) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new Rate(events, exposure))
                .withMessage(message);
    }

    @Test
    void takesNoExposureForAGap() {
        assertThat(new Rate(3, 0).isEmpty()).isTrue();
        assertThatIllegalStateException().isThrownBy(() -> new Rate(3, 0).value());
        assertThat(new Rate(3, 12).isEmpty()).isFalse();
        assertThat(new Rate(3, 12).value()).isEqualTo(0.25);
    }

    @Test
    void takesTheLargestCountsThatItAllows() {
        assertThat(new Proportion(1_000_000_000, 1_000_000_000).value()).isEqualTo(1);
        assertThat(new Rate(1_000_000_000, 1e12).value()).isEqualTo(1e-3);
        assertThat(new Rate(0, 1e-9).value()).isZero();
        assertThatIllegalArgumentException().isThrownBy(() -> new Proportion(0, 1_000_000_001));
    }

    @ParameterizedTest
    @CsvSource({"1, 0", "NaN, 1", "0, NaN"})
    void refusesAnIntervalInTheWrongOrder(double lower, double upper) {
        assertThatIllegalArgumentException().isThrownBy(() -> new Interval(lower, upper));
    }

    @Test
    void countsBothEndsToTheInterval() {
        Interval interval = new Interval(-1, 2);
        assertThat(interval.contains(-1)).isTrue();
        assertThat(interval.contains(2)).isTrue();
        assertThat(interval.contains(2.0001)).isFalse();
        assertThat(interval.contains(-1.0001)).isFalse();
        assertThat(interval.contains(Double.NaN)).isFalse();
        assertThat(interval.width()).isEqualTo(3);
    }

    @Test
    void clipsAnIntervalToARange() {
        assertThat(new Interval(-1.5, 0.5).clippedTo(-1, 1)).isEqualTo(new Interval(-1, 0.5));
        assertThat(new Interval(0.5, 1.5).clippedTo(-1, 1)).isEqualTo(new Interval(0.5, 1));
        assertThat(new Interval(2, 3).clippedTo(-1, 1)).isEqualTo(new Interval(1, 1));
        assertThat(new Interval(-3, -2).clippedTo(-1, 1)).isEqualTo(new Interval(-1, -1));
    }

    @Test
    void refusesAnEstimateThatIsNotANumber() {
        assertThatIllegalArgumentException().isThrownBy(() -> Estimate.of(Double.NaN, 0, 1));
        assertThat(Estimate.of(0.5, 0, 1).lower()).isZero();
        assertThat(Estimate.of(0.5, 0, 1).upper()).isEqualTo(1);
    }

    @ParameterizedTest
    @ValueSource(doubles = {Double.NaN, Double.POSITIVE_INFINITY, Double.NEGATIVE_INFINITY})
    void refusesASeriesWithSomethingThatIsNotFinite(double value) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Series.of(1, value))
                .withMessage("value 2 = " + value + ", must be missing or in [-1e100, 1e100]");
    }

    @Test
    void takesTheLargestValuesThatItAllows() {
        assertThat(Series.of(1e100, -1e100).present()).containsExactly(1e100, -1e100);
        assertThat(Sample.of(1e100, -1e100).n()).isEqualTo(2);
    }

    @Test
    void keepsAGapApartFromAValue() {
        Series series = Series.withGaps(Arrays.asList(1.0, null, 3.0, 4.0));
        assertThat(series.size()).isEqualTo(4);
        assertThat(series.observed()).isEqualTo(3);
        assertThat(series.observedIn(2, 3)).isEqualTo(1);
        assertThat(series.at(2)).isEmpty();
        assertThat(series.at(3)).hasValue(3);
        assertThat(series.present()).containsExactly(1, 3, 4);
        assertThat(series.values()).startsWith(OptionalDouble.of(1));
    }

    @Test
    void takesSeriesWithTheSameValuesForEqual() {
        assertThat(Series.of(1, 2)).isEqualTo(Series.of(1, 2)).hasSameHashCodeAs(Series.of(1, 2));
        assertThat(Series.of(1, 2))
                .isNotEqualTo(Series.of(1, 3))
                .hasToString("Series" + Series.of(1, 2).values());
    }
}
