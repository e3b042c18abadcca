package airway.stats.numeric;

import java.util.function.DoublePredicate;
import org.apache.commons.numbers.gamma.RegularizedGamma;

/** The gamma distribution of scale 1, and through it chi-square and the tails of the Poisson. */
public final class GammaLaw {

    private GammaLaw() {}

    /** P(G <= x) for shape a above 0. */
    public static double cumulative(double x, double a) {
        return RegularizedGamma.P.value(a, x);
    }

    /** P(G > x) for shape a above 0. */
    public static double upperTail(double x, double a) {
        return RegularizedGamma.Q.value(a, x);
    }

    /** The x with P(G <= x) = q, q in (0, 1). */
    public static double quantile(double q, double a) {
        return Solver.root(x -> cumulative(x, a) - q, 0, beyond(a, x -> cumulative(x, a) > q));
    }

    /** The x with P(G > x) = q, q in (0, 1). */
    public static double upperQuantile(double q, double a) {
        return Solver.root(x -> upperTail(x, a) - q, 0, beyond(a, x -> upperTail(x, a) < q));
    }

    /** P(chi-square > x) with the given degrees of freedom. */
    public static double chiSquareUpperTail(double x, double df) {
        return upperTail(x / 2, df / 2);
    }

    private static double beyond(double start, DoublePredicate reached) {
        double x = start + 1;
        while (!reached.test(x)) {
            x *= 2;
        }
        return x;
    }
}
