package airway.registry.reports;

import airway.registry.charts.Percent;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.interval.DifferenceInterval;
import airway.stats.interval.ProportionInterval;
import java.util.Optional;

/**
 * What was counted of a measure in a stretch of time.
 *
 * @param x intubations with the outcome
 * @param n intubations that count
 * @param outside those that do not count by definition
 * @param unknown those whose answer is not known
 * @param givesAway whether beside what was told outside the unit before it would tell a small number
 */
record Tally(long x, long n, long outside, long unknown, boolean givesAway) {
    static final Tally NOTHING = new Tally(0, 0, 0, 0);
    static final String NO_VALUE = "no value: nothing could be counted";

    Tally(long x, long n, long outside, long unknown) {
        this(x, n, outside, unknown, false);
    }

    Tally givingAway(boolean gives) {
        return new Tally(x, n, outside, unknown, gives);
    }

    Tally plus(Tally other) {
        return new Tally(x + other.x, n + other.n, outside + other.outside, unknown + other.unknown);
    }

    /** The proportion with its 95% interval (Wilson); empty where nothing could be counted. */
    Optional<Estimate> estimate() {
        return ProportionInterval.WILSON.of(proportion(), Confidence.DEFAULT).toOptional();
    }

    /** The difference from an earlier stretch with its 95% interval (Newcombe); empty where one of them has no case. */
    Optional<Estimate> less(Tally earlier) {
        return DifferenceInterval.NEWCOMBE
                .of(proportion(), earlier.proportion(), Confidence.DEFAULT)
                .toOptional();
    }

    private Proportion proportion() {
        return new Proportion(x, n);
    }

    /** Enough for a percentage. */
    boolean bearsPercentage() {
        return n >= Percent.FEWEST;
    }

    /** "28 of 43 (65%, 95% interval 50% to 78%)", "3 of 4, too few for a percentage", or that there is no value. */
    String words() {
        if (n == 0) {
            return NO_VALUE;
        }
        String count = x + " of " + n;
        return bearsPercentage()
                ? estimate()
                        .map(estimate -> count + " (" + Percent.of(estimate.value(), n) + ", 95% interval "
                                + Percent.interval(estimate, n) + ")")
                        .orElse(count)
                : count + ", too few for a percentage";
    }
}
