package airway.stats.interval;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Proportion;
import airway.stats.RandomInputs;
import org.junit.jupiter.api.Test;

class MissingBoundsTest {

    /** By hand: 30 of 40 known and 10 missing are at least 30 of 50 and at most 40 of 50. */
    @Test
    void countsTheMissingAllOneWayAndAllTheOther() {
        MissingBounds bounds = MissingBounds.of(new Proportion(30, 40), 10);
        assertThat(bounds.least()).isCloseTo(0.6, within(1e-15));
        assertThat(bounds.most()).isCloseTo(0.8, within(1e-15));
        assertThat(bounds.asked()).isEqualTo(50);
    }

    /** Manski's bounds, written out: known share times its probability, plus 0 or 1 times the rest (from memory). */
    @Test
    void isManskisBound() {
        RandomInputs.twoGroups().forEach(in -> {
            long missing = in.second().n();
            double answered = (double) in.first().n() / (in.first().n() + missing);
            MissingBounds bounds = MissingBounds.of(in.first(), missing);
            assertThat(bounds.least()).isCloseTo(in.first().value() * answered, within(1e-12));
            assertThat(bounds.most()).isCloseTo(in.first().value() * answered + 1 - answered, within(1e-12));
        });
    }

    @Test
    void isHighAboveATenthAlone() {
        assertThat(MissingBounds.of(new Proportion(40, 90), 10).high()).isFalse();
        assertThat(MissingBounds.of(new Proportion(40, 89), 10).high()).isTrue();
    }

    @Test
    void isTheShareItselfWhereNothingIsMissing() {
        MissingBounds bounds = MissingBounds.of(new Proportion(7, 9), 0);
        assertThat(bounds.least()).isEqualTo(bounds.most()).isEqualTo(7.0 / 9);
        assertThat(MissingBounds.of(new Proportion(0, 0), 4)).isEqualTo(new MissingBounds(0, 1, 4, 4));
    }

    @Test
    void tellsTheCallerThatItCannotBeAskedSo() {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> MissingBounds.of(new Proportion(1, 2), -1))
                .withMessage("missing = -1, must be 0 or more");
        assertThatIllegalArgumentException().isThrownBy(() -> MissingBounds.of(new Proportion(0, 0), 0));
    }
}
