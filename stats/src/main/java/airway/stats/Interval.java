package airway.stats;

/**
 * A closed interval of real numbers. Either end may be infinite, as the upper limit of a ratio with nothing below it.
 *
 * @param lower lower limit, not NaN
 * @param upper upper limit, not NaN, not below the lower
 */
public record Interval(double lower, double upper) {

    /**
     * An interval from lower to upper.
     *
     * @throws IllegalArgumentException if a limit is NaN or the limits are in the wrong order
     */
    public Interval {
        if (!(lower <= upper)) {
            throw new IllegalArgumentException("lower = " + lower + ", upper = " + upper + ", must be lower <= upper");
        }
    }

    /** Whether the value lies in the interval, its ends included. NaN lies in no interval. */
    public boolean contains(double value) {
        return lower <= value && value <= upper;
    }

    /** Upper limit less lower limit; infinite when a limit is. */
    public double width() {
        return upper - lower;
    }

    /** The part of this interval that lies in [low, high]; a limit beyond an end is put on that end. */
    public Interval clippedTo(double low, double high) {
        return new Interval(Math.min(high, Math.max(low, lower)), Math.max(low, Math.min(high, upper)));
    }
}
