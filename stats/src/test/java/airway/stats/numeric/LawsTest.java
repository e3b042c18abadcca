package airway.stats.numeric;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.RandomInputs;
import org.apache.commons.math3.distribution.BinomialDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class LawsTest {

    @ParameterizedTest
    @ValueSource(doubles = {1e-300, 1e-17, 1e-9, 0.025, 0.4999, 0.5, 0.5001, 0.8, 0.999})
    void findsTheDeviateOfATail(double q) {
        assertThat(NormalLaw.upperTail(NormalLaw.upperQuantile(q))).isCloseTo(q, within(1e-12 * q));
    }

    @Test
    void mirrorsTheDeviatesOfBothTails() {
        assertThat(NormalLaw.upperQuantile(0.5)).isZero();
        assertThat(NormalLaw.upperQuantile(0.8)).isCloseTo(-NormalLaw.upperQuantile(0.2), within(1e-14));
        assertThat(NormalLaw.cumulative(1)).isCloseTo(0.8413447460685429, within(1e-15));
        assertThat(NormalLaw.twoSided(-1.959963984540054)).isCloseTo(0.05, within(1e-15));
        assertThat(NormalLaw.twoSided(0)).isEqualTo(1);
    }

    @ParameterizedTest
    @ValueSource(doubles = {1e-9, 0.025, 0.3, 0.999})
    void findsTheQuantilesOfTheGammaAndTheBeta(double q) {
        for (double a : new double[] {0.5, 1, 7.5, 400}) {
            assertThat(GammaLaw.cumulative(GammaLaw.quantile(q, a), a)).isCloseTo(q, within(1e-11));
            assertThat(GammaLaw.upperTail(GammaLaw.upperQuantile(q, a), a)).isCloseTo(q, within(1e-11));
            assertThat(BetaLaw.cumulative(BetaLaw.quantile(q, a, 3), a, 3)).isCloseTo(q, within(1e-11));
        }
    }

    @Test
    void addsUpTheBinomialAsCommonsMathDoes() {
        RandomInputs.draws(60, random -> new double[] {random.nextInt(1, 60), random.nextDouble(0.02, 0.98)})
                .forEach(in -> {
                    int n = (int) in[0];
                    double p = in[1];
                    BinomialDistribution law = new BinomialDistribution(n, p);
                    for (int k = -1; k <= n + 1; k++) {
                        assertThat(BinomialLaw.atMost(k, n, p)).isCloseTo(law.cumulativeProbability(k), within(1e-12));
                        assertThat(BinomialLaw.atLeast(k, n, p))
                                .isCloseTo(1 - law.cumulativeProbability(k - 1), within(1e-12));
                    }
                    for (int k = 0; k <= n; k++) {
                        double bound = law.probability(k) * (1 + 1e-7);
                        double expected = 0;
                        for (int other = 0; other <= n; other++) {
                            expected += law.probability(other) <= bound ? law.probability(other) : 0;
                        }
                        assertThat(BinomialLaw.probability(k, n, p))
                                .isCloseTo(
                                        BinomialLaw.atMost(k, n, p) - BinomialLaw.atMost(k - 1, n, p), within(1e-12));
                        assertThat(BinomialLaw.twoSided(k, n, p)).isCloseTo(expected, within(1e-9));
                    }
                });
    }

    @Test
    void findsTheLargestCountWithNoMoreThanAProbability() {
        assertThat(BinomialLaw.largestWithAtMost(0.024, 5, 0.5)).isEqualTo(-1);
        assertThat(BinomialLaw.largestWithAtMost(0.0313, 5, 0.5)).isEqualTo(0);
        assertThat(BinomialLaw.largestWithAtMost(0.99, 5, 0.5)).isEqualTo(4);
    }

    @Test
    void goesTheWholeWayToTheLastPointThatHolds() {
        assertThat(Solver.boundary(x -> x <= 0.3, 0, 1)).isEqualTo(0.3);
        assertThat(Solver.boundary(x -> x >= -2, 5, -100)).isEqualTo(-2);
        assertThat(Solver.boundary(x -> false, 1, 2)).isEqualTo(1);
    }

    /** From 0 to mn the numbers of pairs won in all orders of 2 and 3: 1 1 2 2 2 1 1 of 10. */
    @Test
    void countsTheOrdersOfTwoSamples() {
        assertThat(RankSumLaw.lowerHalf(2, 3)).containsExactly(new double[] {.1, .1, .2, .2}, within(1e-15));
        assertThat(RankSumLaw.lowerHalf(1, 1)).containsExactly(0.5);
    }

    @Test
    void weighsTheTableByTheOddsRatio() {
        // Margins 2 and 3, 2 successes, odds ratio 2: weights 3, 6 x 2, 1 x 4.
        Hypergeometric law = Hypergeometric.of(2, 3, 2, 2);
        assertThat(law.probability(0)).isCloseTo(3.0 / 19, within(1e-15));
        assertThat(law.probability(1)).isCloseTo(12.0 / 19, within(1e-15));
        assertThat(law.atLeast(1)).isCloseTo(16.0 / 19, within(1e-15));
        assertThat(law.atLeast(-5)).isCloseTo(1, within(1e-15));
        assertThat(law.atLeast(3)).isZero();
        assertThat(law.probability(-1)).isZero();
        assertThat(law.probability(3)).isZero();
        assertThat(law.mean()).isCloseTo(20.0 / 19, within(1e-15));
        assertThat(law.twoSided(0)).isCloseTo(3.0 / 19, within(1e-15));
        assertThat(law.twoSided(2)).isCloseTo(7.0 / 19, within(1e-15));
        assertThat(law.largestTwoSidedUpTo(2.9 / 19)).isZero();
        assertThat(law.largestTwoSidedUpTo(6.9 / 19)).isCloseTo(3.0 / 19, within(1e-15));
        assertThat(law.largestTwoSidedUpTo(7.0 / 19)).isCloseTo(7.0 / 19, within(1e-15));
        assertThat(law.largestTwoSidedUpTo(1)).isCloseTo(1, within(1e-15));
        assertThat(Hypergeometric.lowest(3, 4)).isEqualTo(1);
        assertThat(Hypergeometric.highest(2, 4)).isEqualTo(2);
    }
}
