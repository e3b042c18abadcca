package airway.stats.numeric;

/** The score limit of a proportion, which single intervals and the combination of many share. */
public final class ScoreLimit {

    private ScoreLimit() {}

    /**
     * Wilson's lower limit for x of n, n above 0, at a deviate z of 0 or more; exactly 0 at x = 0. The upper limit is 1
     * minus the lower limit for the failures.
     */
    public static double lower(double x, double n, double z) {
        // The smaller root of (n + z²) p² - (2x + z²) p + x²/n = 0, written so that nothing cancels.
        return x == 0 ? 0 : x * x / n / (x + z * z / 2 + z * Math.sqrt(x * (n - x) / n + z * z / 4));
    }
}
