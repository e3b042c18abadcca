package airway.stats.chart;

import airway.stats.numeric.BinomialLaw;

/**
 * How long the longest run about the median may be, and how few crossings there may be, before a run chart signals.
 *
 * @param longestRun a longer run signals
 * @param crossings fewer crossings signal
 */
public record RunLimits(int longestRun, int crossings) {

    private static final double RARE = 0.05;

    /**
     * The limits of Anhøj and Olesen (2014, PLoS ONE 9(11):e113825, doi:10.1371/journal.pone.0113825; the rule for runs from
     * the abstract, that for crossings from memory): log₂ n + 3 to the nearest whole number, and the smallest q with P(X
     * &lt;= q) of at least 0.05, X binomial with n - 1 trials of probability ½.
     *
     * <p>A run has to be longer than its limit, and the crossings fewer. A prose account with "at least" about doubles the
     * false alarms.
     *
     * @param useful number of points off the median, 1 or more
     * @throws IllegalArgumentException if there is no such point
     */
    public static RunLimits of(int useful) {
        if (useful < 1) {
            throw new IllegalArgumentException("useful = " + useful + ", must be 1 or more");
        }
        int longestRun = (int) Math.rint(Math.log(useful) / Math.log(2) + 3);
        int rarer = (int) BinomialLaw.largestWithAtMost(Math.nextDown(RARE), useful - 1, 0.5);
        return new RunLimits(longestRun, rarer + 1);
    }
}
