package airway.stats.disclosure;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import org.apache.commons.math3.exception.MathIllegalStateException;
import org.apache.commons.math3.optim.MaxIter;
import org.apache.commons.math3.optim.PointValuePair;
import org.apache.commons.math3.optim.linear.LinearConstraint;
import org.apache.commons.math3.optim.linear.LinearConstraintSet;
import org.apache.commons.math3.optim.linear.LinearObjectiveFunction;
import org.apache.commons.math3.optim.linear.NonNegativeConstraint;
import org.apache.commons.math3.optim.linear.PivotSelectionRule;
import org.apache.commons.math3.optim.linear.Relationship;
import org.apache.commons.math3.optim.linear.SimplexSolver;
import org.apache.commons.math3.optim.nonlinear.scalar.GoalType;

/**
 * What somebody can work out about counts of which only some sums are known: the smallest and the largest value that each
 * can have, by linear programming.
 *
 * <pre>{@code
 * Inference known = new Inference(2);
 * known.sum(List.of(0, 1), 10);
 * known.atLeast(List.of(1), 1);
 * known.bounds(0)   // 0 to 9
 * }</pre>
 *
 * <p>For a table in two directions with its totals the bounds are those of whole numbers; the corners of such a system are
 * whole. For several tables together they may be wider than those of whole numbers, by less than one in the examples tried.
 */
public final class Inference {

    private static final int MOST_STEPS = 20_000;
    private static final double TINY = 1e-6;

    private final int counts;
    private final List<LinearConstraint> constraints = new ArrayList<>();

    /**
     * Counts of which nothing is known but that they are not negative.
     *
     * @param counts how many, 1 or more
     * @throws IllegalArgumentException if there is none
     */
    public Inference(int counts) {
        if (counts < 1) {
            throw new IllegalArgumentException("counts = " + counts + ", must be 1 or more");
        }
        this.counts = counts;
    }

    /**
     * The smallest and the largest value that a count can have.
     *
     * @param lower smallest
     * @param upper largest
     */
    public record Bounds(long lower, long upper) {}

    /** It is known that these counts add up to this. */
    public void sum(Collection<Integer> which, long total) {
        constraints.add(new LinearConstraint(coefficients(which), Relationship.EQ, total));
    }

    /** It is known that these counts add up to this or more. */
    public void atLeast(Collection<Integer> which, long total) {
        constraints.add(new LinearConstraint(coefficients(which), Relationship.GEQ, total));
    }

    /** The same as {@link #bounds(Collection)} of one count. */
    public Bounds bounds(int count) {
        return bounds(List.of(count));
    }

    /**
     * What can be worked out about the sum of some counts.
     *
     * @throws IllegalStateException if nothing bounds it from above, or if what is said to be known contradicts itself
     */
    public Bounds bounds(Collection<Integer> which) {
        double least = extreme(which, GoalType.MINIMIZE).getValue();
        double most = extreme(which, GoalType.MAXIMIZE).getValue();
        return new Bounds((long) Math.ceil(least - TINY), (long) Math.floor(most + TINY));
    }

    /**
     * Those among some counts that are known to be smaller than a threshold.
     *
     * @param which the counts that are asked about
     * @param threshold smallest value that each of them must be able to have
     */
    public List<Integer> knownSmall(Collection<Integer> which, long threshold) {
        boolean[] open = new boolean[counts];
        List<Integer> small = new ArrayList<>();
        for (int count : which) {
            if (!open[count] && bounded(count)) {
                double[] possible = extreme(List.of(count), GoalType.MAXIMIZE).getPoint();
                // One possible state of the world often answers for many counts.
                for (int i = 0; i < counts; i++) {
                    open[i] |= possible[i] + TINY >= threshold;
                }
                if (!open[count]) {
                    small.add(count);
                }
            }
        }
        return small;
    }

    /** A count that belongs to no sum that is known can be as large as one likes. */
    private boolean bounded(int count) {
        return constraints.stream()
                .anyMatch(constraint -> constraint.getRelationship() == Relationship.EQ
                        && constraint.getCoefficients().getEntry(count) > 0);
    }

    private PointValuePair extreme(Collection<Integer> which, GoalType goal) {
        try {
            return new SimplexSolver()
                    .optimize(
                            new MaxIter(MOST_STEPS),
                            new LinearObjectiveFunction(coefficients(which), 0),
                            new LinearConstraintSet(constraints),
                            goal,
                            new NonNegativeConstraint(true),
                            PivotSelectionRule.BLAND);
        } catch (MathIllegalStateException e) {
            throw new IllegalStateException("no bound: " + e.getClass().getSimpleName(), e);
        }
    }

    private double[] coefficients(Collection<Integer> which) {
        double[] coefficients = new double[counts];
        for (int count : which) {
            coefficients[count] = 1;
        }
        return coefficients;
    }
}
