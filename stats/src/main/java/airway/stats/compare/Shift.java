package airway.stats.compare;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Shown;
import airway.stats.numeric.NormalLaw;
import airway.stats.numeric.RankSumLaw;
import airway.stats.numeric.Solver;

/**
 * How far the first sample lies above the second: the shift of Hodges and Lehmann, for times and saturations, which are
 * skewed.
 *
 * @param estimate the median of all differences x - y, with its interval
 * @param achieved the level that the interval has without ties
 * @param p two-sided p-value of the rank-sum test, {@link RankSum}; 1 when all observations are alike
 * @param conservative whether there are ties between the samples, so that the interval covers at least as often as stated
 */
public record Shift(Estimate estimate, double achieved, double p, boolean conservative) {

    private static final long MOST_PAIRS_FOR_EXACT = 10_000;

    /**
     * The median of all mn differences, with the k-th smallest and the k-th largest as limits (Hodges JL, Lehmann EL
     * 1963, Ann Math Stat 34:598-611, doi:10.1214/aoms/1177704172; from memory). k is the smallest whole number with
     * P(W &lt;= k) of at least α/2, W the Mann-Whitney statistic without ties; the level achieved is 1 - 2 P(W &lt;= k
     * - 1). Above 10 000 pairs W is taken to be normal: k = mn/2 - z √(mn(m + n + 1)/12), rounded down, at least 1.
     *
     * <p>An empty sample: {@link Reason#ONE_GROUP_EMPTY}. Too few pairs for the level (k = 0): {@link
     * Reason#TOO_FEW_OBSERVATIONS}, with shift and p shown. With ties the same k is used; {@code wilcox.test} of R then
     * changes to a normal approximation.
     *
     * @param first observations x of the first group
     * @param second observations y of the second group
     * @param confidence level, two-sided
     */
    public static Answer<Shift> of(Sample first, Sample second, Confidence confidence) {
        if (first.isEmpty() || second.isEmpty()) {
            return Answer.refused(Reason.ONE_GROUP_EMPTY);
        }
        Differences differences = new Differences(first, second);
        double p = RankSum.of(first, second).map(RankSum::p).toOptional().orElse(1.0);
        Cut cut = differences.pairs() > MOST_PAIRS_FOR_EXACT
                ? Cut.normal(first.n(), second.n(), confidence)
                : Cut.exact(first.n(), second.n(), confidence);
        if (cut.k == 0) {
            return Answer.refused(
                    Reason.TOO_FEW_OBSERVATIONS,
                    Shown.NOTHING
                            .withN(first.n() + second.n())
                            .withEstimate(differences.median())
                            .withP(p));
        }
        return Answer.ok(new Shift(
                Estimate.of(
                        differences.median(),
                        differences.smallest(cut.k),
                        differences.smallest(differences.pairs() + 1 - cut.k)),
                cut.achieved,
                p,
                differences.haveTies()));
    }

    /** Which differences are the limits, and the level that they achieve. */
    private record Cut(long k, double achieved) {

        static Cut exact(int m, int n, Confidence confidence) {
            double[] probabilities = RankSumLaw.lowerHalf(m, n);
            double below = 0;
            int k = 0;
            while (below + probabilities[k] < confidence.tail() && k + 1 < probabilities.length) {
                below += probabilities[k];
                k++;
            }
            return new Cut(k, 1 - 2 * below);
        }

        static Cut normal(int m, int n, Confidence confidence) {
            double middle = (double) m * n / 2;
            double sd = Math.sqrt((double) m * n * (m + n + 1.0) / 12);
            long k = Math.max(1, (long) Math.floor(middle - confidence.z() * sd));
            return new Cut(k, 1 - 2 * NormalLaw.cumulative((k - 0.5 - middle) / sd));
        }
    }

    /** All differences x - y of two samples, looked up by rank without being listed. */
    private record Differences(Sample x, Sample y) {

        long pairs() {
            return (long) x.n() * y.n();
        }

        double median() {
            long middle = (pairs() + 1) / 2;
            double lower = smallest(middle);
            return pairs() % 2 == 1 ? lower : (lower + smallest(middle + 1)) / 2;
        }

        /** The difference of the given rank: the least value that as many differences do not exceed. */
        double smallest(long rank) {
            double least = x.ofRank(1) - y.ofRank(y.n());
            double most = x.ofRank(x.n()) - y.ofRank(1);
            return Solver.boundary(value -> notAbove(value) >= rank, most, Math.nextDown(least));
        }

        boolean haveTies() {
            return notAbove(0) > notAbove(-Double.MIN_VALUE);
        }

        /** Number of differences that do not exceed the value. */
        private long notAbove(double value) {
            long count = 0;
            int from = 1;
            for (int i = 1; i <= x.n(); i++) {
                // The larger x is, the larger y has to be.
                while (from <= y.n() && x.ofRank(i) - y.ofRank(from) > value) {
                    from++;
                }
                count += y.n() + 1 - from;
            }
            return count;
        }
    }
}
