package airway.stats.compare;

import airway.stats.Proportion;
import airway.stats.numeric.Hypergeometric;
import java.util.stream.DoubleStream;
import org.apache.commons.math3.optim.MaxEval;
import org.apache.commons.math3.optim.nonlinear.scalar.GoalType;
import org.apache.commons.math3.optim.univariate.BrentOptimizer;
import org.apache.commons.math3.optim.univariate.SearchInterval;
import org.apache.commons.math3.optim.univariate.UnivariateObjectiveFunction;

/**
 * How probable the tables as extreme as the one observed are, for a common probability of success.
 *
 * <p>Given s successes in all, the probability of those tables does not depend on the common probability p: it is the largest
 * Fisher p-value for s that does not exceed the observed one. Unconditionally it is the mean of these shares, s being
 * binomial with all N cases: a polynomial in p, the same at p and 1 - p.
 */
final class Boschloo {

    /** Cases in each group up to which an answer takes less than a second. */
    static final int MOST_CASES = 10_000;

    /** Terms of the mean that weigh less than this against the heaviest cannot change it. */
    private static final double NEGLIGIBLE = 1e-18;

    private static final int COARSEST_GRID = 2_000;
    private static final int STEPS_PER_CASE = 8;

    /** For each number of successes in all, the probability of the tables as extreme as the one observed. */
    private final double[] shares;

    private Boschloo(double[] shares) {
        this.shares = shares;
    }

    static Boschloo of(Table table) {
        int n1 = cases(table.first());
        int n2 = cases(table.second());
        double observed = Hypergeometric.of(n1, n2, table.successes(), 1)
                .twoSided(table.first().x());
        double[] shares = new double[n1 + n2 + 1];
        for (int s = 0; 2 * s < shares.length; s++) {
            // Counting failures for successes leaves every Fisher p-value as it is.
            shares[s] = Hypergeometric.of(n1, n2, s, 1).largestTwoSidedUpTo(observed);
            shares[n1 + n2 - s] = shares[s];
        }
        return new Boschloo(shares);
    }

    /**
     * The largest probability that any common p gives to the tables.
     *
     * <p>In the angle 2 arcsin √p the probability is a trigonometric polynomial of degree N. By an inequality of M. Riesz such
     * a polynomial still has cos(N δ) of its largest value at a distance δ from where it takes it; so the nearest point of a
     * grid of 8 N steps or more has at least 98 % of it, and every peak of the grid that reaches as much is made finer.
     */
    double largest() {
        int cases = shares.length - 1;
        int steps = Math.max(COARSEST_GRID, STEPS_PER_CASE * cases);
        double step = Math.PI / steps;
        // Beyond p = ½ all is mirrored; one point more makes ½ itself a possible peak.
        double[] grid = new double[steps / 2 + 2];
        for (int i = 0; i < grid.length; i++) {
            grid[i] = atAngle(i * step);
        }
        double best = DoubleStream.of(grid).max().orElseThrow();
        double enough = best * Math.cos(cases * step / 2);
        for (int i = 1; i < grid.length - 1; i++) {
            if (grid[i] >= enough && grid[i] >= grid[i - 1] && grid[i] >= grid[i + 1]) {
                best = Math.max(best, peak(i * step, step));
            }
        }
        return best;
    }

    private double peak(double angle, double step) {
        return new BrentOptimizer(1e-9, 1e-12)
                .optimize(
                        new UnivariateObjectiveFunction(this::atAngle),
                        GoalType.MAXIMIZE,
                        new SearchInterval(angle - step, angle + step, angle),
                        MaxEval.unlimited())
                .getValue();
    }

    private double atAngle(double angle) {
        double sine = Math.sin(angle / 2);
        return at(sine * sine);
    }

    /** The mean share, the successes being binomial with probability p, p in [0, 1). */
    private double at(double p) {
        int cases = shares.length - 1;
        double odds = p / (1 - p);
        int mode = (int) ((cases + 1) * p);
        double sum = shares[mode];
        double weights = 1;
        double weight = 1;
        for (int s = mode; s < cases && weight > NEGLIGIBLE; s++) {
            weight *= odds * (cases - s) / (s + 1);
            weights += weight;
            sum += weight * shares[s + 1];
        }
        weight = 1;
        for (int s = mode; s > 0 && weight > NEGLIGIBLE; s--) {
            weight *= s / (odds * (cases - s + 1));
            weights += weight;
            sum += weight * shares[s - 1];
        }
        return sum / weights;
    }

    private static int cases(Proportion group) {
        if (group.n() > MOST_CASES) {
            throw new IllegalArgumentException("n = " + group.n() + ", must be in [0, " + MOST_CASES + "]");
        }
        return (int) group.n();
    }
}
