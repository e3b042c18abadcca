package airway.stats.interval;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Interval;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.numeric.Solver;
import java.util.function.DoubleUnaryOperator;

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
     * Wilson limits of each group combined by squares (Newcombe RG 1998, Stat Med 17:873-890,
     * doi:10.1002/(SICI)1097-0258(19980430)17:8&lt;873::AID-SIM779&gt;3.0.CO;2-I, method 10): with limits l, u of each,
     * d - √((p₁ - l₁)² + (u₂ - p₂)²) to d + √((u₁ - p₁)² + (p₂ - l₂)²).
     *
     * <p>Always holds d. Printed values read as quoted by others.
     */
    NEWCOMBE {
        @Override
        Interval limits(Proportion first, Proportion second, Confidence confidence) {
            return squares(ProportionInterval.WILSON, first, second, confidence);
        }
    },

    /**
     * The same with continuity-corrected Wilson limits (Newcombe RG 1998, Stat Med 17:873-890,
     * doi:10.1002/(SICI)1097-0258(19980430)17:8&lt;873::AID-SIM779&gt;3.0.CO;2-I, method 11).
     */
    NEWCOMBE_CC {
        @Override
        Interval limits(Proportion first, Proportion second, Confidence confidence) {
            return squares(ProportionInterval.WILSON_CC, first, second, confidence);
        }
    },

    /**
     * Wald's interval after one success and one failure were added to each group (Agresti A, Caffo B 2000, Am Stat
     * 54:280-288, doi:10.1080/00031305.2000.10474560; from memory). Centred at the difference so adjusted, while the
     * estimate is d itself. Clipped.
     */
    AGRESTI_CAFFO {
        @Override
        Interval limits(Proportion first, Proportion second, Confidence confidence) {
            double p1 = (first.x() + 1.0) / (first.n() + 2);
            double p2 = (second.x() + 1.0) / (second.n() + 2);
            double variance = p1 * (1 - p1) / (first.n() + 2) + p2 * (1 - p2) / (second.n() + 2);
            double middle = p1 - p2;
            double half = confidence.z() * Math.sqrt(variance);
            return new Interval(middle - half, middle + half);
        }
    },

    /**
     * The score interval (Miettinen O, Nurminen M 1985, Stat Med 4:213-226, doi:10.1002/sim.4780040211; from memory):
     * all δ with (d - δ)² &lt;= z² V N/(N - 1), where V = p₁q₁/n₁ + p₂q₂/n₂ at the most likely p₁, p₂ with p₁ - p₂ = δ,
     * and N = n₁ + n₂. At d = 1 the upper limit is 1, at d = -1 the lower is -1.
     *
     * <p>The constrained proportions are found to full precision; programs that stop their search at four
     * figures differ in the fourth.
     */
    MIETTINEN_NURMINEN {
        @Override
        Interval limits(Proportion first, Proportion second, Confidence confidence) {
            double cases = first.n() + second.n();
            return score(first, second, confidence, cases / (cases - 1));
        }
    },

    /** The same without the factor N/(N - 1) (Mee RW 1984, Biometrics 40:1175-1176; from memory). */
    MEE {
        @Override
        Interval limits(Proportion first, Proportion second, Confidence confidence) {
            return score(first, second, confidence, 1);
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

    private static Interval score(Proportion first, Proportion second, Confidence confidence, double factor) {
        double difference = first.value() - second.value();
        double z = confidence.z();
        double bound = z * z * factor;
        DoubleUnaryOperator excess = delta -> {
            ConstrainedPair pair = ConstrainedPair.withDifference(first, second, delta);
            double distance = difference - delta;
            return distance * distance - bound * pair.varianceOfDifference();
        };
        return new Interval(scoreLimit(excess, difference, -1), scoreLimit(excess, difference, 1));
    }

    /** Where the excess, below 0 beside the difference, becomes 0 on the way to the end; the end if they are the same. */
    private static double scoreLimit(DoubleUnaryOperator excess, double difference, double end) {
        double step = (end - difference) / 2;
        while (difference + step != difference && excess.applyAsDouble(difference + step) > 0) {
            step /= 2;
        }
        double inside = difference + step;
        double beyond = difference + 2 * step;
        return inside == difference
                ? difference
                : Solver.root(excess, Math.min(inside, beyond), Math.max(inside, beyond));
    }
}
