package airway.stats.interval;

import airway.stats.Proportion;
import java.util.function.DoubleUnaryOperator;

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
        double p2 = mostLikely(first, second, delta, Math.max(0, -delta), Math.min(1, 1 - delta));
        return new ConstrainedPair(clip(p2 + delta), p2, first.n(), second.n());
    }

    /**
     * The p2 between the bounds where the slope of the log-likelihood, which falls as p2 rises, crosses zero, or an end: by
     * Newton's steps, and halving where one would leave what is left between the bounds.
     */
    private static double mostLikely(Proportion first, Proportion second, double delta, double low, double high) {
        DoubleUnaryOperator slope = p -> slope(first, p + delta) + slope(second, p);
        if (slope.applyAsDouble(low) <= 0) {
            return low;
        }
        if (slope.applyAsDouble(high) >= 0) {
            return high;
        }
        double rising = low;
        double falling = high;
        double p2 = low + (high - low) / 2;
        while (rising < p2 && p2 < falling) {
            double here = slope.applyAsDouble(p2);
            if (here > 0) {
                rising = p2;
            } else {
                falling = p2;
            }
            double next = p2 + here / (bend(first, p2 + delta) + bend(second, p2));
            // After a step so short beside the way to the nearest pole, the next would be its square.
            if (Math.abs(next - p2) <= 1e-9 * Math.min(p2 - low, high - p2)) {
                return next;
            }
            p2 = rising < next && next < falling ? next : rising + (falling - rising) / 2;
        }
        return rising;
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

    /** How fast the slope of a group falls. */
    private static double bend(Proportion group, double p) {
        double success = group.x() == 0 ? 0 : group.x() / (clip(p) * clip(p));
        double failure = group.failures() == 0 ? 0 : group.failures() / ((1 - clip(p)) * (1 - clip(p)));
        return success + failure;
    }

    private static double clip(double p) {
        return Math.max(0, Math.min(1, p));
    }
}
