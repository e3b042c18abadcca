package airway.stats.chart;

import airway.stats.numeric.BinomialLaw;

/**
 * How many runs are to be expected when the points above and below the median follow each other at random.
 *
 * @param lower fewest runs; fewer signal
 * @param upper most runs; more signal
 * @param belowLower probability of fewer
 * @param aboveUpper probability of more
 */
public record RunCountLimits(int lower, int upper, double belowLower, double aboveUpper) {

    /**
     * The limits that leave at most the given probability on each side, from the exact distribution of the number of
     * runs (Swed FS, Eisenhart C 1943, Ann Math Stat 14:66-87, doi:10.1214/aoms/1177731494; the distribution computed,
     * not read).
     *
     * <p>A widely copied table gives 5 to 12 runs for 16 points; for 8 above and 8 below the exact limits are 5 to 13. With
     * no point on one side there is one run, and the limits are 1 and 1.
     *
     * @param above number of points above the median, 0 or more
     * @param below number of points below the median, 0 or more, not both 0
     * @param eachTail probability on each side, in (0, 0.5)
     * @throws IllegalArgumentException if a number is out of range
     */
    public static RunCountLimits of(int above, int below, double eachTail) {
        if (above < 0 || below < 0 || above + below == 0) {
            throw new IllegalArgumentException(
                    "above = " + above + ", below = " + below + ", must be 0 or more and not both 0");
        }
        if (!(eachTail > 0 && eachTail < 0.5)) {
            throw new IllegalArgumentException("eachTail = " + eachTail + ", must be in (0, 0.5)");
        }
        int lower = 1;
        double belowLower = 0;
        while (belowLower + probability(lower, above, below) <= eachTail) {
            belowLower += probability(lower, above, below);
            lower++;
        }
        int upper = most(above, below);
        double aboveUpper = 0;
        while (aboveUpper + probability(upper, above, below) <= eachTail) {
            aboveUpper += probability(upper, above, below);
            upper--;
        }
        return new RunCountLimits(lower, upper, belowLower, aboveUpper);
    }

    private static int most(int above, int below) {
        return above == below ? 2 * above : 2 * Math.min(above, below) + 1;
    }

    /** P(U = runs): of the two sides one has half of the runs, rounded up, and the other the rest. */
    private static double probability(int runs, int above, int below) {
        int more = (runs + 1) / 2;
        int fewer = runs / 2;
        return ways(above, more, below, fewer, above + below) + ways(above, fewer, below, more, above + below);
    }

    /** Share of all orders in which the points above make so many runs and those below so many, one side beginning. */
    private static double ways(int above, int runsAbove, int below, int runsBelow, int points) {
        if (runsAbove > above
                || runsBelow > below
                || (runsAbove == 0) != (above == 0)
                || (runsBelow == 0) != (below == 0)) {
            return 0;
        }
        return Math.exp(
                compositions(above, runsAbove) + compositions(below, runsBelow) - BinomialLaw.logChoose(points, above));
    }

    /** ln of the ways to cut so many points into so many runs. */
    private static double compositions(int points, int runs) {
        return points == 0 ? 0 : BinomialLaw.logChoose(points - 1, runs - 1);
    }
}
