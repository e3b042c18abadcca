package airway.stats.compare;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.apache.commons.math3.distribution.HypergeometricDistribution;
import org.apache.commons.math3.stat.inference.ChiSquareTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class TableTestsTest {

    private static final Proportion NONE = new Proportion(0, 0);
    private static final Proportion SOME = new Proportion(3, 9);

    @ParameterizedTest
    @EnumSource
    void refusesATableThatTellsNothing(ExactTest test) {
        assertThat(test.of(NONE, SOME)).isEqualTo(Answer.refused(Reason.ONE_GROUP_EMPTY));
        assertThat(test.of(SOME, NONE)).isEqualTo(Answer.refused(Reason.ONE_GROUP_EMPTY));
        assertThat(test.of(new Proportion(0, 4), new Proportion(0, 6))).isEqualTo(Answer.refused(Reason.NO_VARIATION));
        assertThat(test.of(new Proportion(4, 4), new Proportion(6, 6))).isEqualTo(Answer.refused(Reason.NO_VARIATION));
    }

    @ParameterizedTest
    @EnumSource
    void givesTheSamePWhicheverGroupComesFirstAndWhateverIsCounted(ExactTest test) {
        RandomInputs.draws(25, random -> new Proportion[] {small(random.nextInt(1, 30), random), small(12, random)})
                .forEach(groups -> {
                    var there = test.of(groups[0], groups[1]);
                    assertThat(test.of(groups[1], groups[0]).toOptional().isPresent())
                            .isEqualTo(there.toOptional().isPresent());
                    there.toOptional().ifPresent(p -> {
                        assertThat(p).isGreaterThan(0).isLessThanOrEqualTo(1);
                        assertThat(test.of(groups[1], groups[0]).orElseThrow()).isCloseTo(p, within(1e-9));
                        assertThat(test.of(groups[0].complement(), groups[1].complement())
                                        .orElseThrow())
                                .isCloseTo(p, within(1e-9));
                    });
                });
    }

    /** Sums the probabilities of the hypergeometric distribution of commons-math. */
    @Test
    void addsUpTheTablesThatAreNoMoreProbable() {
        RandomInputs.twoGroups()
                .filter(TableTestsTest::tellsSomething)
                .limit(100)
                .forEach(in -> {
                    int n = (int) (in.first().n() + in.second().n());
                    int successes = (int) (in.first().x() + in.second().x());
                    var law = new HypergeometricDistribution(
                            null, n, successes, (int) in.first().n());
                    double observed = law.probability((int) in.first().x());
                    double expected = IntStream.rangeClosed(law.getSupportLowerBound(), law.getSupportUpperBound())
                            .mapToDouble(law::probability)
                            .filter(p -> p <= observed * (1 + 1e-7))
                            .sum();
                    double fisher = ExactTest.FISHER.of(in.first(), in.second()).orElseThrow();
                    double midP =
                            ExactTest.FISHER_MIDP.of(in.first(), in.second()).orElseThrow();
                    assertThat(fisher).as("%s", in).isCloseTo(Math.min(1, expected), within(1e-9));
                    assertThat(fisher - midP).as("%s", in).isCloseTo(observed / 2, within(1e-9));
                });
    }

    @Test
    void neverPutsBoschlooAboveFisher() {
        RandomInputs.draws(25, random -> new Proportion[] {small(random.nextInt(2, 25), random), small(14, random)})
                .forEach(groups -> ExactTest.FISHER
                        .of(groups[0], groups[1])
                        .toOptional()
                        .ifPresent(fisher -> assertThat(ExactTest.BOSCHLOO
                                        .of(groups[0], groups[1])
                                        .orElseThrow())
                                .isLessThanOrEqualTo(fisher + 1e-9)));
    }

    /** 5 of 5 against 0 of 5: only this table and its mirror image, both at p = ½ with probability 2⁻¹⁰. */
    @Test
    void findsTheCommonProbabilityThatMakesTheTablesMostProbable() {
        assertThat(ExactTest.BOSCHLOO
                        .of(new Proportion(5, 5), new Proportion(0, 5))
                        .orElseThrow())
                .isCloseTo(Math.pow(2, -9), within(1e-12));
        // 1 of 1 against 0 of 2: the tables 1/1 v 0/2 and 0/1 v 2/2 have p(1 - p)² + (1 - p)p² = p(1 - p), at most ¼.
        assertThat(ExactTest.BOSCHLOO
                        .of(new Proportion(1, 1), new Proportion(0, 2))
                        .orElseThrow())
                .isCloseTo(0.25, within(1e-12));
    }

    /**
     * Groups of equal size: {@code scipy.stats.boschloo_exact([[x1, x2], [n1 - x1, n2 - x2]], n=256).pvalue} of scipy
     * 1.17.1, which doubles the one-sided test; that is the same when the groups are of equal size.
     */
    @ParameterizedTest
    @CsvSource({
        "140, 120, 200, 0.040230739705478184",
        "  1,   9, 200, 0.015825171195145985",
        "185, 120, 200, 4.14127086170563e-15",
        " 60,  45, 100, 0.037263496148030206",
        "  7,   1,  34, 0.038463922122742404"
    })
    void agreesWithBoschloosTestOfScipyForGroupsOfEqualSize(long x1, long x2, long n, double p) {
        assertThat(ExactTest.BOSCHLOO
                        .of(new Proportion(x1, n), new Proportion(x2, n))
                        .orElseThrow())
                .isCloseTo(p, within(1e-10 * p));
    }

    /**
     * Groups of unequal size, with scipy 1.17.1: F = the matrix of two-sided Fisher p-values of all tables, each the sum of
     * {@code scipy.stats.hypergeom.pmf} over the outcomes no more probable (factor 1 + 1e-7), R = F &lt;= the observed one
     * times 1 + 1e-7, and the largest {@code binom.pmf(range(n1 + 1), n1, p) @ R @ binom.pmf(range(n2 + 1), n2, p)} of 4 000
     * values of p, the best 40 made finer by {@code scipy.optimize.minimize_scalar(method='bounded')}.
     */
    @ParameterizedTest
    @CsvSource({
        "150, 200,  80, 130, 0.009482989719253515",
        "196, 200, 150, 160, 0.04866506722794211",
        " 12,  12,   9,  14, 0.027231916697923037",
        "  3, 200,   0,  60, 1"
    })
    void agreesWithBoschloosTestMadeOfPartsOfScipyForGroupsOfUnequalSize(long x1, long n1, long x2, long n2, double p) {
        assertThat(ExactTest.BOSCHLOO
                        .of(new Proportion(x1, n1), new Proportion(x2, n2))
                        .orElseThrow())
                .isCloseTo(p, within(1e-10 * p));
    }

    /**
     * With thousands of cases Boschloo's test and Pearson's chi-square ask the same question; no outside program at hand does
     * the exact test for so many.
     */
    @Test
    void doesBoschloosTestForUpToTenThousandCasesInAGroup() {
        Proportion large = new Proportion(6_000, 10_000);
        Proportion other = new Proportion(5_900, 10_000);
        assertThat(ExactTest.BOSCHLOO.of(large, other).orElseThrow())
                .isCloseTo(ChiSquare.of(large, other).orElseThrow().p(), within(2e-3));
        Proportion tooLarge = new Proportion(60, 10_001);
        assertThatIllegalArgumentException()
                .isThrownBy(() -> ExactTest.BOSCHLOO.of(large, tooLarge))
                .withMessage("n = 10001, must be in [0, 10000]");
        assertThatIllegalArgumentException().isThrownBy(() -> ExactTest.BOSCHLOO.of(tooLarge, large));
    }

    @Test
    void staysSoundAtAThousandMillionCases() {
        Proportion first = new Proportion(400_000_000, 1_000_000_000);
        Proportion second = new Proportion(399_950_000, 1_000_000_000);
        double pearson = ChiSquare.of(first, second).orElseThrow().p();
        assertThat(ExactTest.FISHER.of(first, second).orElseThrow()).isCloseTo(pearson, within(1e-5));
        assertThat(ExactTest.FISHER.of(first, new Proportion(1, 1_000_000_000)).orElseThrow())
                .isPositive()
                .isLessThan(1e-290);
    }

    @Test
    void refusesAChiSquareThatTellsNothing() {
        assertThat(ChiSquare.of(NONE, SOME)).isEqualTo(Answer.refused(Reason.ONE_GROUP_EMPTY));
        assertThat(ChiSquare.of(SOME, NONE)).isEqualTo(Answer.refused(Reason.ONE_GROUP_EMPTY));
        assertThat(ChiSquare.of(new Proportion(0, 4), new Proportion(0, 6)))
                .isEqualTo(Answer.refused(Reason.NO_VARIATION));
    }

    @Test
    void agreesWithTheGeneralChiSquareOfCommonsMath() {
        RandomInputs.twoGroups().filter(TableTestsTest::tellsSomething).forEach(in -> {
            long[][] counts = {
                {in.first().x(), in.first().failures()},
                {in.second().x(), in.second().failures()}
            };
            ChiSquare test = ChiSquare.of(in.first(), in.second()).orElseThrow();
            ChiSquareTest library = new ChiSquareTest();
            assertThat(test.chi2()).as("%s", in).isCloseTo(library.chiSquare(counts), within(1e-9));
            assertThat(test.p()).as("%s", in).isCloseTo(library.chiSquareTest(counts), within(1e-9));
            assertThat(test.df()).isEqualTo(1);
        });
    }

    @ParameterizedTest
    @CsvSource({"4, 10, 6, 10, 5, false", "4, 10, 5, 10, 4.5, true", "9, 10, 6, 20, 5, false", "3, 4, 6, 8, 1, true"})
    void saysWhenAnExpectedCountIsSmall(long x1, long n1, long x2, long n2, double smallest, boolean small) {
        ChiSquare test =
                ChiSquare.of(new Proportion(x1, n1), new Proportion(x2, n2)).orElseThrow();
        assertThat(test.minExpected()).isCloseTo(smallest, within(1e-12));
        assertThat(test.smallExpected()).isEqualTo(small);
    }

    private static boolean tellsSomething(RandomInputs.TwoGroups in) {
        return in.first().x() + in.second().x() > 0
                && in.first().failures() + in.second().failures() > 0;
    }

    private static Proportion small(int n, SplittableRandom random) {
        return new Proportion(random.nextInt(n + 1), n);
    }
}
