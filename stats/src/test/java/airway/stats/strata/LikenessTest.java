package airway.stats.strata;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.Sample;
import org.junit.jupiter.api.Test;

/** How alike two groups are, and what an unrecorded difference would have to be. */
class LikenessTest {

    @Test
    void changesItsSignWhenTheGroupsAreExchangedOrTheOutcomeTurned() {
        RandomInputs.twoGroups().forEach(in -> {
            double there = proportions(in.first(), in.second());
            assertThat(proportions(in.second(), in.first())).isCloseTo(-there, within(1e-12));
            assertThat(proportions(in.first().complement(), in.second().complement()))
                    .isCloseTo(-there, within(1e-9));
        });
    }

    @Test
    void doesNotGrowWithTheNumberOfCases() {
        assertThat(proportions(new Proportion(300, 1000), new Proportion(200, 1000)))
                .isCloseTo(proportions(new Proportion(3, 10), new Proportion(2, 10)), within(1e-12));
    }

    @Test
    void isZeroForEqualAndInfiniteForAllAgainstNone() {
        assertThat(proportions(new Proportion(0, 4), new Proportion(0, 9))).isZero();
        assertThat(proportions(new Proportion(4, 4), new Proportion(9, 9))).isZero();
        var apart = StandardisedDifference.ofProportions(new Proportion(4, 4), new Proportion(0, 9))
                .orElseThrow();
        assertThat(apart.value()).isInfinite();
        assertThat(apart.imbalanced()).isTrue();
        assertThat(StandardisedDifference.ofMeans(Sample.of(2, 2), Sample.of(2, 2, 2))
                        .orElseThrow()
                        .value())
                .isZero();
    }

    /** 80 and 60 %: 0.2/√((0.16 + 0.24)/2) = 1/√5, by hand. */
    @Test
    void dividesByTheSpreadOfProportions() {
        var difference = StandardisedDifference.ofProportions(new Proportion(8, 10), new Proportion(12, 20))
                .orElseThrow();
        assertThat(difference.value()).isCloseTo(1 / Math.sqrt(5), within(1e-12));
    }

    /** Means 2 and 3, both variances 1: one standard deviation. */
    @Test
    void countsInStandardDeviations() {
        var difference = StandardisedDifference.ofMeans(Sample.of(3, 4, 2), Sample.of(1, 2, 3))
                .orElseThrow();
        assertThat(difference.value()).isCloseTo(1, within(1e-12));
        assertThat(new StandardisedDifference(0.1).imbalanced()).isFalse();
        assertThat(new StandardisedDifference(-0.1001).imbalanced()).isTrue();
    }

    @Test
    void needsTheSameStrengthForARatioAndItsReciprocal() {
        EValue up = EValue.of(Estimate.of(4, 2, 8));
        EValue down = EValue.of(Estimate.of(0.25, 0.125, 0.5));
        assertThat(down).isEqualTo(up);
        assertThat(up.estimate()).isCloseTo(4 + Math.sqrt(12), within(1e-12));
        assertThat(up.limit()).isCloseTo(2 + Math.sqrt(2), within(1e-12));
    }

    @Test
    void needsNoneWhenTheIntervalHoldsOneAndAnyForANever() {
        assertThat(EValue.of(Estimate.of(1.5, 1, 2)).limit()).isEqualTo(1);
        assertThat(EValue.of(Estimate.of(0.5, 0.2, 1)).limit()).isEqualTo(1);
        assertThat(EValue.of(Estimate.of(1, 0.5, 2)).estimate()).isEqualTo(1);
        EValue never = EValue.of(Estimate.of(0, 0, 0.5));
        assertThat(never.estimate()).isInfinite();
        assertThat(never.limit()).isCloseTo(2 + Math.sqrt(2), within(1e-12));
        assertThat(EValue.of(Estimate.of(1e300, 1, Double.POSITIVE_INFINITY)).estimate())
                .isCloseTo(2e300, within(1e290));
    }

    private static double proportions(Proportion first, Proportion second) {
        return StandardisedDifference.ofProportions(first, second).orElseThrow().value();
    }
}
