package airway.stats.numeric;

import org.apache.commons.math3.special.Beta;

/** The beta distribution, and through it Student's t. */
public final class BetaLaw {

    private BetaLaw() {}

    /** P(B <= x) for B with parameters a, b > 0 and x in [0, 1]. */
    public static double cumulative(double x, double a, double b) {
        return Beta.regularizedBeta(x, a, b);
    }

    /** The x with P(B <= x) = q, q in (0, 1). */
    public static double quantile(double q, double a, double b) {
        return Solver.root(x -> cumulative(x, a, b) - q, 0, 1);
    }

    /** P(|T| > t) for T of Student's distribution with the given degrees of freedom. */
    public static double studentTwoSided(double t, double df) {
        return Double.isInfinite(t) ? 0 : cumulative(df / (df + t * t), df / 2, 0.5);
    }

    /** The t with P(|T| > t) = alpha, alpha in (0, 1). */
    public static double studentQuantile(double alpha, double df) {
        double x = quantile(alpha, df / 2, 0.5);
        return Math.sqrt(df * (1 - x) / x);
    }
}
