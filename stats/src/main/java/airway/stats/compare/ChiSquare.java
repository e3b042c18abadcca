package airway.stats.compare;

import airway.stats.Answer;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.numeric.GammaLaw;

/**
 * Pearson's chi-square for two proportions.
 *
 * @param chi2 the statistic, on 1 degree of freedom
 * @param p P(chi-square >= chi2)
 * @param minExpected the smallest of the four expected counts
 */
public record ChiSquare(double chi2, double p, double minExpected) {

    private static final double FEWEST_EXPECTED = 5;

    /**
     * Pearson's chi-square without Yates' correction (Pearson K 1900, Phil Mag 50:157-175,
     * doi:10.1080/14786440009463897): the sum of (observed - expected)²/expected.
     *
     * <p>A group without cases: {@link Reason#ONE_GROUP_EMPTY}. All successes or all failures: {@link Reason#NO_VARIATION}.
     * Equal to {@code chisq.test(correct = FALSE)} of R; its default corrects.
     *
     * @param first successes among cases of the first group
     * @param second successes among cases of the second group
     */
    public static Answer<ChiSquare> of(Proportion first, Proportion second) {
        Table table = new Table(first, second);
        return table.unlessEmpty(() -> Answer.ok(of(table)));
    }

    /** Degrees of freedom: 1. */
    public int df() {
        return 1;
    }

    /** Whether some expected count is below 5, so that an exact test is to be shown instead. */
    public boolean smallExpected() {
        return minExpected < FEWEST_EXPECTED;
    }

    private static ChiSquare of(Table table) {
        double cases = table.cases();
        double n1 = table.first().n();
        double n2 = table.second().n();
        double p = table.successes() / cases;
        double q = table.failures() / cases;
        double difference = table.first().value() - table.second().value();
        double chi2 = difference * difference / (p * q * (1 / n1 + 1 / n2));
        double minExpected = Math.min(n1, n2) * Math.min(table.successes(), table.failures()) / cases;
        return new ChiSquare(chi2, GammaLaw.chiSquareUpperTail(chi2, 1), minExpected);
    }
}
