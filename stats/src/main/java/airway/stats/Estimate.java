package airway.stats;

/**
 * A number computed from data, with the interval that belongs to it. The interval of some methods need not hold the
 * value: the adjusted interval of Agresti and Caffo is centred elsewhere, for example.
 *
 * @param value the estimate, not NaN; infinite for a ratio with nothing below it
 * @param interval its confidence interval
 */
public record Estimate(double value, Interval interval) {

    /**
     * An estimate with its interval.
     *
     * @throws IllegalArgumentException if the value is NaN
     */
    public Estimate {
        if (Double.isNaN(value)) {
            throw new IllegalArgumentException("value = NaN, must be a number");
        }
    }

    /** An estimate with the interval from lower to upper. */
    public static Estimate of(double value, double lower, double upper) {
        return new Estimate(value, new Interval(lower, upper));
    }

    /** Lower limit of the interval. */
    public double lower() {
        return interval.lower();
    }

    /** Upper limit of the interval. */
    public double upper() {
        return interval.upper();
    }
}
