package airway.stats.interval;

import airway.stats.Proportion;
import airway.stats.numeric.Solver;

/**
 * The most likely proportions of two groups under a condition on the two, as the score methods need them.
 *
 * @param p1 proportion of the first group
 * @param p2 proportion of the second group
 * @param n1 cases of the first group
 * @param n2 cases of the second group
 */
record ConstrainedPair(double p1, double p2, double n1, double n2) {

    /** The most likely proportions with p1 - p2 equal to delta, delta in [-1, 1]. */
    static ConstrainedPair withDifference(Proportion first, Proportion second, double delta) {
        // The slope of the log-likelihood falls as p2 rises: the maximum is where it crosses zero, or at an end.
        double low = Math.max(0, -delta);
        double high = Math.min(1, 1 - delta);
        double p2 = Solver.boundary(p -> slope(first, p + delta) + slope(second, p) > 0, low, high);
        return new ConstrainedPair(clip(p2 + delta), p2, first.n(), second.n());
    }

    /**
     * The most likely proportions with p1/p2 equal to the ratio, in (0, infinity): the smaller root of N r p² - (n1 r + x1 +
     * n2 + x2 r) p + x1 + x2.
     */
    static ConstrainedPair withRatio(Proportion first, Proportion second, double ratio) {
        double a = (double) (first.n() + second.n()) * ratio;
        double b = first.n() * ratio + first.x() + second.n() + second.x() * ratio;
        double c = first.x() + second.x();
        double p2 = 2 * c / (b + Math.sqrt(Math.max(0, b * b - 4 * a * c)));
        return new ConstrainedPair(clip(p2 * ratio), clip(p2), first.n(), second.n());
    }

    double varianceOfDifference() {
        return p1 * (1 - p1) / n1 + p2 * (1 - p2) / n2;
    }

    /** Variance of p̂1 - ratio p̂2. */
    double varianceAtRatio(double ratio) {
        return p1 * (1 - p1) / n1 + ratio * ratio * p2 * (1 - p2) / n2;
    }

    private static double slope(Proportion group, double p) {
        double success = group.x() == 0 ? 0 : group.x() / clip(p);
        double failure = group.failures() == 0 ? 0 : group.failures() / (1 - clip(p));
        return success - failure;
    }

    private static double clip(double p) {
        return Math.max(0, Math.min(1, p));
    }
}
