package airway.stats.regression;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.apache.commons.math3.linear.CholeskyDecomposition;
import org.apache.commons.math3.linear.NonPositiveDefiniteMatrixException;
import org.apache.commons.math3.linear.RealMatrix;
import org.apache.commons.math3.optim.MaxIter;
import org.apache.commons.math3.optim.linear.LinearConstraint;
import org.apache.commons.math3.optim.linear.LinearConstraintSet;
import org.apache.commons.math3.optim.linear.LinearObjectiveFunction;
import org.apache.commons.math3.optim.linear.NonNegativeConstraint;
import org.apache.commons.math3.optim.linear.PivotSelectionRule;
import org.apache.commons.math3.optim.linear.Relationship;
import org.apache.commons.math3.optim.linear.SimplexSolver;
import org.apache.commons.math3.optim.nonlinear.scalar.GoalType;

/**
 * Whether some combination of the columns, not all 0, is nowhere negative where a case succeeded and nowhere positive where
 * one failed: the likelihood then has no maximum (Albert A, Anderson JA 1984, Biometrika 71:1-10,
 * doi:10.1093/biomet/71.1.1; by linear programming as in Konis K 2007, thesis, Oxford; both from memory).
 *
 * <p>Such combinations form a cone. Each coefficient in turn is made as large and as small as the cone allows, within [-1, 1].
 * The columns being independent, there is separation if an end is reached, and none if only 0 is possible. Of the patterns
 * only those enter the programme that some solution violates.
 */
final class Separation {

    private static final double VIOLATED_BELOW = -1e-9;

    private static final double LEAST_RESIDUAL = 1e-9;

    private final Design design;
    private final List<LinearConstraint> programme = new ArrayList<>();
    /** Patterns in the programme: i as success, -1 - i as failure. */
    private final Set<Integer> entered = new HashSet<>();

    private Separation(Design design) {
        this.design = design;
        for (int j = 0; j < design.columns; j++) {
            programme.add(new LinearConstraint(unit(j, 1), Relationship.LEQ, 2));
        }
    }

    /** Whether there is separation; the columns are independent. */
    static boolean in(Design design) {
        if (mixedPatternsSpanAll(design)) {
            return false;
        }
        Separation separation = new Separation(design);
        for (int j = 0; j < design.columns; j++) {
            if (separation.allows(j, 1) || separation.allows(j, -1)) {
                return true;
            }
        }
        return false;
    }

    /** Whether the patterns with successes and failures, on which a separating combination is 0, leave none but 0. */
    private static boolean mixedPatternsSpanAll(Design design) {
        int k = design.columns;
        double[][] products = new double[k][k];
        double mixed = 0;
        double[] which = new double[Design.BLOCK];
        for (int from = 0; from < design.rows; from += Design.BLOCK) {
            for (int i = 0; i < design.lengthOfBlock(from); i++) {
                double successes = design.successes[from + i];
                which[i] = successes > 0 && successes < design.cases[from + i] ? 1 : 0;
                mixed += which[i];
            }
            design.addProducts(from, which, products);
        }
        RealMatrix average = Likelihood.symmetric(products).scalarMultiply(1 / Math.max(1, mixed));
        try {
            return new CholeskyDecomposition(average, 1e-9, LEAST_RESIDUAL).getDeterminant() > 0;
        } catch (NonPositiveDefiniteMatrixException e) {
            return false;
        }
    }

    /** Whether a coefficient other than 0, on this side, is in the cone. */
    private boolean allows(int column, int side) {
        while (true) {
            double[] most = solve(unit(column, side));
            if (side * most[column] < 0.5) {
                return false;
            }
            if (!enterViolated(most)) {
                return true;
            }
        }
    }

    private double[] solve(double[] objective) {
        // The variables are the coefficients plus 1, in [0, 2].
        double[] solution = new SimplexSolver(1e-9)
                .optimize(
                        new LinearObjectiveFunction(objective, 0),
                        new LinearConstraintSet(programme),
                        GoalType.MAXIMIZE,
                        new NonNegativeConstraint(true),
                        PivotSelectionRule.BLAND,
                        MaxIter.unlimited())
                .getPoint();
        for (int j = 0; j < solution.length; j++) {
            solution[j] -= 1;
        }
        return solution;
    }

    /** Adds patterns that the coefficients violate, of the first block that has any; false if there are none. */
    private boolean enterViolated(double[] coefficients) {
        double[] logOdds = new double[Design.BLOCK];
        for (int from = 0; from < design.rows; from += Design.BLOCK) {
            design.combine(from, coefficients, design.columns, logOdds);
            if (enterViolated(from, logOdds)) {
                return true;
            }
        }
        return false;
    }

    /** Adds the worst of each of several groups of a block. */
    private boolean enterViolated(int from, double[] block) {
        int groups = 2 * design.columns;
        int[] worst = new int[groups];
        double[] margins = new double[groups];
        Arrays.fill(margins, VIOLATED_BELOW);
        for (int i = from; i < from + design.lengthOfBlock(from); i++) {
            double logOdds = block[i - from];
            int group = i % groups;
            boolean violated = logOdds < 0 ? design.successes[i] > 0 : design.successes[i] < design.cases[i];
            int condition = logOdds < 0 ? i : -1 - i;
            if (violated && -Math.abs(logOdds) < margins[group] && !entered.contains(condition)) {
                margins[group] = -Math.abs(logOdds);
                worst[group] = condition;
            }
        }
        boolean any = false;
        for (int group = 0; group < groups; group++) {
            if (margins[group] < VIOLATED_BELOW) {
                enter(worst[group]);
                any = true;
            }
        }
        return any;
    }

    private void enter(int condition) {
        entered.add(condition);
        int sign = condition >= 0 ? 1 : -1;
        double[] z = design.row(condition >= 0 ? condition : -1 - condition);
        double largest = 0;
        for (double value : z) {
            largest = Math.max(largest, Math.abs(value));
        }
        double sum = 0;
        for (int j = 0; j < z.length; j++) {
            z[j] *= sign / largest;
            sum += z[j];
        }
        programme.add(new LinearConstraint(z, Relationship.GEQ, sum));
    }

    private double[] unit(int column, double value) {
        double[] unit = new double[design.columns];
        unit[column] = value;
        return unit;
    }
}
