package airway.stats.interval;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.Reason;
import org.junit.jupiter.api.Test;

/** Reference: R 4.2, Wilson limits by {@code prop.test(x, n, correct = FALSE)}, combined by squares twice over. */
class DifferenceOfDifferencesTest {
    private static Estimate of(long a, long an, long b, long bn, long c, long cn, long d, long dn) {
        return DifferenceOfDifferences.of(
                        new Proportion(a, an),
                        new Proportion(b, bn),
                        new Proportion(c, cn),
                        new Proportion(d, dn),
                        Confidence.DEFAULT)
                .orElseThrow();
    }

    @Test
    void agreesWithTheCombinationOfLimitsFromR() {
        Estimate some = of(57, 78, 101, 137, 104, 136, 84, 101);
        assertThat(some.value()).isCloseTo(0.0605202393609, within(1e-10));
        assertThat(some.lower()).isCloseTo(-0.1043993125910, within(1e-10));
        assertThat(some.upper()).isCloseTo(0.2135616526850, within(1e-10));
        Estimate wide = of(45, 49, 43, 50, 0, 10, 9, 9);
        assertThat(wide.value()).isCloseTo(1.058367346939, within(1e-10));
        assertThat(wide.lower()).isCloseTo(0.629837005124, within(1e-10));
        assertThat(wide.upper()).isCloseTo(1.189872633305, within(1e-10));
    }

    @Test
    void changesItsSignWhenTheKindsOfCasesChangePlaces() {
        Estimate there = of(57, 78, 101, 137, 104, 136, 84, 101);
        Estimate back = of(104, 136, 84, 101, 57, 78, 101, 137);
        assertThat(back.value()).isCloseTo(-there.value(), within(1e-12));
        assertThat(back.lower()).isCloseTo(-there.upper(), within(1e-12));
        assertThat(back.upper()).isCloseTo(-there.lower(), within(1e-12));
    }

    @Test
    void refusesWhenAGroupIsEmpty() {
        assertThat(DifferenceOfDifferences.of(
                        new Proportion(1, 2),
                        new Proportion(1, 2),
                        new Proportion(0, 0),
                        new Proportion(1, 2),
                        Confidence.DEFAULT))
                .isEqualTo(Answer.refused(Reason.ONE_GROUP_EMPTY));
    }
}
