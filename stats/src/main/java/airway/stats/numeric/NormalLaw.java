package airway.stats.numeric;

import org.apache.commons.numbers.gamma.Erfc;

/**
 * The standard normal distribution, accurate in its far tails.
 *
 * <p>The library's own quantile passes through 2p - 1 and turns infinite below p of about 1e-17; this one works on the
 * logarithm of the tail.
 */
public final class NormalLaw {

    private static final double ROOT_TWO = Math.sqrt(2);
    private static final double LOG_SQRT_TWO_PI = 0.5 * Math.log(2 * Math.PI);

    private NormalLaw() {}

    /** P(Z > z). */
    public static double upperTail(double z) {
        return 0.5 * Erfc.value(z / ROOT_TWO);
    }

    /** P(Z <= z). */
    public static double cumulative(double z) {
        return upperTail(-z);
    }

    /** Two-sided p-value of a deviate: P(|Z| >= |z|). */
    public static double twoSided(double z) {
        return Math.min(1, 2 * upperTail(Math.abs(z)));
    }

    /** The z that is exceeded with probability q, q in (0, 1). */
    public static double upperQuantile(double q) {
        if (q > 0.5) {
            return -upperQuantile(1 - q);
        }
        // P(Z > z) <= exp(-z²/2) / 2 gives a start above the root, and ln P(Z > z) is concave: Newton's steps come down
        // on the root without passing it.
        double z = Math.sqrt(-2 * Math.log(2 * q));
        for (int step = 0; step < 100; step++) {
            double tail = upperTail(z);
            double density = Math.exp(-0.5 * z * z - LOG_SQRT_TWO_PI);
            double change = tail / density * Math.log(tail / q);
            z += change;
            if (Math.abs(change) <= 1e-15 * Math.max(1, z)) {
                break;
            }
        }
        return z;
    }
}
