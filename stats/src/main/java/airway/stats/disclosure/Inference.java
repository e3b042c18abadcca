package airway.stats.disclosure;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
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
import org.jspecify.annotations.Nullable;

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
    private final List<Known> known = new ArrayList<>();

    /** Number of the kind of each count: those of one kind are in the same sums. Worked out when it is first asked for. */
    private int @Nullable [] kinds;

    private record Known(BitSet which, Relationship relationship, long total) {}

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
        add(which, Relationship.EQ, total);
    }

    /** It is known that these counts add up to this or more. */
    public void atLeast(Collection<Integer> which, long total) {
        add(which, Relationship.GEQ, total);
    }

    private void add(Collection<Integer> which, Relationship relationship, long total) {
        BitSet set = new BitSet();
        which.forEach(set::set);
        known.add(new Known(set, relationship, total));
        kinds = null;
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
                    open[i] |= possible[kinds()[i]] + TINY >= threshold;
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
        return known.stream().anyMatch(one -> one.relationship == Relationship.EQ && one.which.get(count));
    }

    /**
     * Counts that are in the same sums stand as one variable, of which any of them can be all: the solver of Apache Commons Math
     * 3.6.1 can take one of several equal columns for another, and was seen to answer 0 for a count of up to 15.
     */
    private PointValuePair extreme(Collection<Integer> which, GoalType goal) {
        try {
            return new SimplexSolver()
                    .optimize(
                            new MaxIter(MOST_STEPS),
                            new LinearObjectiveFunction(objective(which, goal), 0),
                            new LinearConstraintSet(constraints()),
                            goal,
                            new NonNegativeConstraint(true),
                            PivotSelectionRule.BLAND);
        } catch (MathIllegalStateException e) {
            throw new IllegalStateException("no bound: " + e.getClass().getSimpleName(), e);
        }
    }

    private int[] kinds() {
        if (kinds == null) {
            Map<List<Boolean>, Integer> numbers = new HashMap<>();
            int[] of = new int[counts];
            for (int i = 0; i < counts; i++) {
                int count = i;
                List<Boolean> in =
                        known.stream().map(one -> one.which.get(count)).toList();
                of[i] = numbers.computeIfAbsent(in, none -> numbers.size());
            }
            kinds = of;
        }
        return kinds;
    }

    private List<LinearConstraint> constraints() {
        return known.stream()
                .map(one -> {
                    double[] coefficients = new double[counts];
                    one.which.stream().forEach(count -> coefficients[kinds()[count]] = 1);
                    return new LinearConstraint(coefficients, one.relationship, one.total);
                })
                .toList();
    }

    /** A kind of which only some counts are asked for can be all theirs, or none. */
    private double[] objective(Collection<Integer> which, GoalType goal) {
        double[] objective = new double[counts];
        for (int count : which) {
            objective[kinds()[count]] = 1;
        }
        if (goal == GoalType.MINIMIZE) {
            for (int count = 0; count < counts; count++) {
                if (!which.contains(count)) {
                    objective[kinds()[count]] = 0;
                }
            }
        }
        return objective;
    }
}
