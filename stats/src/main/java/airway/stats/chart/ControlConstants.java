package airway.stats.chart;

import airway.stats.numeric.NormalLaw;
import org.apache.commons.math3.special.Gamma;

/**
 * The constants of control charts for groups of n normal observations: computed, not copied from a table. In formulas the
 * letters stand as in the textbooks.
 *
 * @param n observations in a group
 * @param d2 mean of the range, in standard deviations
 * @param d3 standard deviation of the range, in standard deviations
 * @param c4 mean of the sample standard deviation, in standard deviations
 */
public record ControlConstants(int n, double d2, double d3, double c4) {

    private static final int LARGEST_GROUP = 100;
    private static final double STEP = 1.0 / 32;
    private static final int HALF_WIDTH = 320;

    /**
     * The constants for groups of n. c₄ = √(2/(n - 1)) Γ(n/2)/Γ((n - 1)/2); d₂ and d₃ by integrating the distribution
     * of the range, P(W &lt;= w) = n ∫ φ(x) [Φ(x + w) - Φ(x)]^(n - 1) dx (Tippett LHC 1925, Biometrika 17:364-387,
     * doi:10.1093/biomet/17.3-4.364; from memory). For n = 2 exactly d₂ = 2/√π. Accurate to 1e-7.
     *
     * @param n observations in a group, in [2, 100]
     * @throws IllegalArgumentException if n is out of range
     */
    public static ControlConstants of(int n) {
        if (n < 2 || n > LARGEST_GROUP) {
            throw new IllegalArgumentException("n = " + n + ", must be in [2, " + LARGEST_GROUP + "]");
        }
        if (n == 2) {
            return new ControlConstants(2, 2 / Math.sqrt(Math.PI), Math.sqrt(2 - 4 / Math.PI), c4(2));
        }
        double mean = 0;
        double square = 0;
        double[] cumulative = new double[4 * HALF_WIDTH + 1];
        for (int i = 0; i < cumulative.length; i++) {
            cumulative[i] = NormalLaw.cumulative((i - HALF_WIDTH) * STEP);
        }
        // The mean of W is the integral of P(W > w), that of W² the integral of 2w P(W > w), by Simpson's rule.
        for (int j = 0; j <= 2 * HALF_WIDTH; j++) {
            double weight = (j == 0 || j == 2 * HALF_WIDTH ? 1 : j % 2 == 1 ? 4 : 2) * STEP / 3;
            double above = 1 - rangeAtMost(j, n, cumulative);
            mean += weight * above;
            square += weight * 2 * j * STEP * above;
        }
        return new ControlConstants(n, mean, Math.sqrt(square - mean * mean), c4(n));
    }

    /** Mean of the standard deviation of n observations, in standard deviations, for any n of 2 or more. */
    static double c4(int n) {
        return Math.sqrt(2.0 / (n - 1)) * Math.exp(Gamma.logGamma(n / 2.0) - Gamma.logGamma((n - 1) / 2.0));
    }

    /** P(W <= w) for w of so many steps. */
    private static double rangeAtMost(int steps, int n, double[] cumulative) {
        double sum = 0;
        for (int i = 0; i <= 2 * HALF_WIDTH; i++) {
            double x = (i - HALF_WIDTH) * STEP;
            double density = Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI);
            sum += density * Math.pow(cumulative[i + steps] - cumulative[i], n - 1.0);
        }
        return n * sum * STEP;
    }

    /** Limits of means from the mean range: 3/(d₂√n). */
    public double a2() {
        return 3 / (d2 * Math.sqrt(n));
    }

    /** Limits of means from the mean standard deviation: 3/(c₄√n). */
    public double a3() {
        return 3 / (c4 * Math.sqrt(n));
    }

    /** Lower limit of standard deviations from their mean, 0 or more. */
    public double b3() {
        return Math.max(0, 1 - spread() / c4);
    }

    /** Upper limit of standard deviations from their mean. */
    public double b4() {
        return 1 + spread() / c4;
    }

    /** Lower limit of standard deviations from sigma, 0 or more. */
    public double b5() {
        return Math.max(0, c4 - spread());
    }

    /** Upper limit of standard deviations from sigma. */
    public double b6() {
        return c4 + spread();
    }

    /** Lower limit of ranges from the mean range, 0 or more. */
    public double rangeFactorLower() {
        return Math.max(0, 1 - 3 * d3 / d2);
    }

    /** Upper limit of ranges from the mean range: 3.26653 for n = 2. */
    public double rangeFactorUpper() {
        return 1 + 3 * d3 / d2;
    }

    private double spread() {
        return 3 * Math.sqrt(1 - c4 * c4);
    }
}
