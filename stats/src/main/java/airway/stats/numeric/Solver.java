package airway.stats.numeric;

import java.util.function.DoublePredicate;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.math3.analysis.solvers.BrentSolver;

/** Finds where a function changes its sign, or a condition its truth. */
public final class Solver {

    private static final int MOST_EVALUATIONS = 5_000;
    private static final int MOST_HALVINGS = 1_200;

    private Solver() {}

    /**
     * A root of a continuous function between two points at which it has opposite signs, to about 15 significant figures
     * also near zero. A function that is zero at an end has its root there.
     */
    public static double root(DoubleUnaryOperator function, double low, double high) {
        return root(function, low, high, 1e-300);
    }

    /** The same, but no finer than the given distance: for roots that may lie at zero. */
    public static double root(DoubleUnaryOperator function, double low, double high, double finest) {
        // No tolerance on the value: the library's default of 1e-15 would take a tail of that size for a root.
        return new BrentSolver(1e-15, finest, 0).solve(MOST_EVALUATIONS, function::applyAsDouble, low, high);
    }

    /**
     * The last point at which a condition holds on the way from a point where it holds to one where it does not, by
     * halving until the two are neighbouring numbers. Neither end is tried: a condition that holds at a point only in
     * exact arithmetic may be given as holding.
     */
    public static double boundary(DoublePredicate condition, double holds, double fails) {
        double inside = holds;
        double outside = fails;
        for (int step = 0; step < MOST_HALVINGS; step++) {
            double middle = inside + (outside - inside) / 2;
            if (middle == inside || middle == outside) {
                break;
            }
            if (condition.test(middle)) {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        return inside;
    }
}
