package airway.stats.interval;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.numeric.Solver;
import java.util.function.DoublePredicate;

/**
 * Interval for the ratio of two independent proportions, (x₁/n₁)/(x₂/n₂) (risk ratio).
 *
 * <p>{@link #KOOPMAN} is the default. Exchanging the groups gives the reciprocals. An empty group is refused with {@link
 * Reason#ONE_GROUP_EMPTY}.
 */
public enum RatioInterval {

    /**
     * The normal interval on the logarithm (Katz D and others 1978, Biometrics 34:469-474, doi:10.2307/2530610; from
     * memory): exp(ln R ± z √(1/x₁ - 1/n₁ + 1/x₂ - 1/n₂)).
     *
     * <p>x₁ = 0 or x₂ = 0 is refused with {@link Reason#ZERO_CELL}; many programs add one half without saying so. When
     * everything succeeded in both groups the interval has no width.
     */
    KATZ_LOG {
        @Override
        Answer<Ratio> ofTwo(Proportion first, Proportion second, Confidence confidence) {
            if (first.x() == 0 || second.x() == 0) {
                return Answer.refused(Reason.ZERO_CELL);
            }
            double ratio = first.value() / second.value();
            double spread = Math.exp(confidence.z()
                    * Math.sqrt(1.0 / first.x() - 1.0 / first.n() + 1.0 / second.x() - 1.0 / second.n()));
            return Answer.ok(Ratio.of(ratio, ratio / spread, ratio * spread));
        }
    },

    /**
     * The score interval (Koopman PAR 1984, Biometrics 40:513-517, doi:10.2307/2531405; from memory): all ratios r with
     * (p̂₁ - r p̂₂)² &lt;= z² (p₁q₁/n₁ + r² p₂q₂/n₂) at the most likely p₁, p₂ with p₁/p₂ = r.
     *
     * <p>x₁ = 0: the lower limit is 0. x₂ = 0: estimate and upper limit are infinite. Both 0: there is no estimate, and the
     * interval is 0 to infinity.
     */
    KOOPMAN {
        @Override
        Answer<Ratio> ofTwo(Proportion first, Proportion second, Confidence confidence) {
            return Answer.ok(Ratio.of(
                    first.value() / second.value(),
                    lower(first, second, confidence),
                    1 / lower(second, first, confidence)));
        }
    };

    /** Beyond it, reached at levels close to 0 only, a ratio is called infinite. */
    private static final double LARGEST_LOG = 100;

    /**
     * The ratio with its interval.
     *
     * @param first successes among cases of the first group
     * @param second successes among cases of the second group, whose proportion is the divisor
     * @param confidence level, two-sided
     */
    public Answer<Ratio> of(Proportion first, Proportion second, Confidence confidence) {
        return first.isEmpty() || second.isEmpty()
                ? Answer.refused(Reason.ONE_GROUP_EMPTY)
                : ofTwo(first, second, confidence);
    }

    abstract Answer<Ratio> ofTwo(Proportion first, Proportion second, Confidence confidence);

    private static double lower(Proportion first, Proportion second, Confidence confidence) {
        if (first.x() == 0) {
            return 0;
        }
        double z2 = confidence.z() * confidence.z();
        DoublePredicate plausible = logRatio -> {
            double ratio = Math.exp(logRatio);
            double distance = first.value() - ratio * second.value();
            return distance * distance
                    <= z2 * ConstrainedPair.withRatio(first, second, ratio).varianceAtRatio(ratio);
        };
        double inside = second.x() > 0 ? Math.log(first.value() / second.value()) : plausibleFrom(plausible);
        if (inside > LARGEST_LOG) {
            return Double.POSITIVE_INFINITY;
        }
        double outside = inside - 1;
        while (plausible.test(outside)) {
            outside = 2 * outside - inside;
        }
        return Math.exp(Solver.boundary(plausible, inside, outside));
    }

    /** A plausible logarithm of the ratio when every larger one is plausible too: there is nothing below. */
    private static double plausibleFrom(DoublePredicate plausible) {
        double logRatio = 0;
        while (logRatio <= LARGEST_LOG && !plausible.test(logRatio)) {
            logRatio = 2 * logRatio + 1;
        }
        return logRatio;
    }
}
