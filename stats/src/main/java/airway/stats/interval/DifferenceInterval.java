package airway.stats.interval;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Interval;
import airway.stats.Proportion;
import airway.stats.Reason;

/**
 * Interval for the difference between two independent proportions, d = x₁/n₁ - x₂/n₂ (risk difference).
 *
 * <pre>{@code
 * DifferenceInterval.NEWCOMBE.of(new Proportion(56, 70), new Proportion(48, 80), Confidence.DEFAULT)
 *         // 0.2000, 0.0524 to 0.3339
 * }</pre>
 *
 * <p>{@link #NEWCOMBE} is the default. Exchanging the groups changes the sign of the estimate and exchanges the limits.
 *
 * <p>Edges: an empty group is refused with {@link Reason#ONE_GROUP_EMPTY}. No zero and no full count is refused. Limits
 * lie in [-1, 1].
 */
public enum DifferenceInterval {

    /**
     * Wilson limits of each group combined by squares (Newcombe RG 1998, Stat Med 17:873-890, method 10): with limits l, u
     * of each, d - √((p₁ - l₁)² + (u₂ - p₂)²) to d + √((u₁ - p₁)² + (p₂ - l₂)²).
     *
     * <p>Always holds d. Printed values read as quoted by others.
     */
    NEWCOMBE {
        @Override
        Interval limits(Proportion first, Proportion second, Confidence confidence) {
            return squares(ProportionInterval.WILSON, first, second, confidence);
        }
    },

    /** The same with continuity-corrected Wilson limits (Newcombe RG 1998, Stat Med 17:873-890, method 11). */
    NEWCOMBE_CC {
        @Override
        Interval limits(Proportion first, Proportion second, Confidence confidence) {
            return squares(ProportionInterval.WILSON_CC, first, second, confidence);
        }
    };

    /**
     * The difference with its interval.
     *
     * @param first successes among cases of the first group
     * @param second successes among cases of the second group
     * @param confidence level, two-sided
     * @return x₁/n₁ - x₂/n₂ with limits in [-1, 1], or {@link Reason#ONE_GROUP_EMPTY}
     */
    public Answer<Estimate> of(Proportion first, Proportion second, Confidence confidence) {
        if (first.isEmpty() || second.isEmpty()) {
            return Answer.refused(Reason.ONE_GROUP_EMPTY);
        }
        return Answer.ok(new Estimate(
                first.value() - second.value(),
                limits(first, second, confidence).clippedTo(-1, 1)));
    }

    /** The limits for two groups that are not empty; they may lie beyond [-1, 1]. */
    abstract Interval limits(Proportion first, Proportion second, Confidence confidence);

    private static Interval squares(
            ProportionInterval method, Proportion first, Proportion second, Confidence confidence) {
        double p1 = first.value();
        double p2 = second.value();
        Interval one = method.limits(first, confidence);
        Interval two = method.limits(second, confidence);
        double difference = p1 - p2;
        return new Interval(
                difference - Math.hypot(p1 - one.lower(), two.upper() - p2),
                difference + Math.hypot(one.upper() - p1, p2 - two.lower()));
    }
}
