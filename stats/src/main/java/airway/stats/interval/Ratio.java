package airway.stats.interval;

import airway.stats.Interval;
import java.util.OptionalDouble;

/**
 * A ratio with its interval.
 *
 * @param value the ratio; infinite with nothing below it, missing with nothing above and below
 * @param interval its confidence interval within [0, infinity]
 */
public record Ratio(OptionalDouble value, Interval interval) {

    static Ratio of(double value, double lower, double upper) {
        return new Ratio(
                Double.isNaN(value) ? OptionalDouble.empty() : OptionalDouble.of(value), new Interval(lower, upper));
    }
}
