package airway.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.assertThatIllegalStateException;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class SampleTest {

    @ParameterizedTest
    @ValueSource(doubles = {Double.NaN, Double.POSITIVE_INFINITY, -1.1e100})
    void refusesWhatIsNotAnObservation(double value) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Sample.of(1, value))
                .withMessage("value = " + value + ", must be in [-1e100, 1e100]");
    }

    @Test
    void takesTheLargestNumberThatItAllows() {
        assertThat(Sample.of(1e100, -1e100).sd()).isCloseTo(Math.sqrt(2) * 1e100, within(1e86));
    }

    @Test
    void doesNotDependOnTheOrderNorOnTheArrayItWasMadeFrom() {
        double[] values = {3, 1, 2};
        Sample sample = Sample.of(values);
        values[0] = 99;
        assertThat(sample).isEqualTo(Sample.of(1, 2, 3)).hasSameHashCodeAs(Sample.of(1, 2, 3));
        assertThat(sample).isNotEqualTo(Sample.of(1, 2, 4)).hasToString("Sample[1.0, 2.0, 3.0]");
        assertThat(sample.sorted()).containsExactly(1, 2, 3);
        sample.sorted()[0] = 99;
        assertThat(sample.ofRank(1)).isEqualTo(1);
        assertThat(sample.ofRank(3)).isEqualTo(3);
    }

    @Test
    void summarisesItsObservations() {
        Sample sample = Sample.of(2, 4, 4, 4, 5, 5, 7, 9);
        assertThat(sample.n()).isEqualTo(8);
        assertThat(sample.mean()).isEqualTo(5);
        assertThat(sample.variance()).isCloseTo(32.0 / 7, within(1e-14));
        assertThat(sample.sd()).isCloseTo(Math.sqrt(32.0 / 7), within(1e-14));
        assertThat(sample.median()).isEqualTo(4.5);
        assertThat(Sample.of(3, 9, 4).median()).isEqualTo(4);
    }

    @Test
    void givesEqualObservationsExactlyNoSpread() {
        Sample same = Sample.of(0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1);
        assertThat(same.mean()).isEqualTo(0.1);
        assertThat(same.sd()).isZero();
        assertThat(Sample.of(5).variance()).isZero();
    }

    @Test
    void saysHowUnlikeNumbersOfTheSameSizeAre() {
        assertThat(Sample.of(1e9 + 1, 1e9 + 2, 1e9 + 3).variance()).isEqualTo(1);
    }

    @Test
    void knowsTheQuantilesOfTypeSeven() {
        // R 4.2.2, quantile(c(3, 1, 2, 10), type = 7).
        assertThat(Sample.of(3, 1, 2, 10).quantiles(0, 0.25, 0.5, 0.75, 1).orElseThrow())
                .containsExactly(1.0, 1.75, 2.5, 4.75, 10.0);
        assertThat(Sample.of(7).quantiles(0, 0.3, 1).orElseThrow()).containsExactly(7.0, 7.0, 7.0);
    }

    @ParameterizedTest
    @ValueSource(doubles = {-0.01, 1.01, Double.NaN})
    void refusesAQuantileOutsideZeroToOne(double p) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Sample.of(1, 2).quantiles(0.5, p))
                .withMessage("probability = " + p + ", must be in [0, 1]");
    }

    @Test
    void hasNothingToSayWithoutObservations() {
        assertThat(Sample.of().isEmpty()).isTrue();
        assertThat(Sample.of(0).isEmpty()).isFalse();
        assertThat(Sample.of().quantiles(0.5)).isEqualTo(Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0)));
        assertThatIllegalStateException().isThrownBy(() -> Sample.of().mean());
        assertThatIllegalStateException().isThrownBy(() -> Sample.of().median());
        assertThatIllegalStateException().isThrownBy(() -> Sample.of().sd());
    }
}
