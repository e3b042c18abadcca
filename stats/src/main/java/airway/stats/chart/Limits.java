package airway.stats.chart;

/**
 * Centre line and control limits at one point.
 *
 * @param lower lower control limit
 * @param centre centre line
 * @param upper upper control limit
 */
public record Limits(double lower, double centre, double upper) {

    private static final double ROUNDING = 1e-9;

    /**
     * Limits in order.
     *
     * @throws IllegalArgumentException if a limit is NaN, or the upper lies below the lower
     */
    public Limits {
        if (!(lower <= upper)) {
            throw new IllegalArgumentException("lower = " + lower + ", upper = " + upper + ", must be lower <= upper");
        }
        if (Double.isNaN(centre)) {
            throw new IllegalArgumentException("centre = NaN, must be a number");
        }
    }

    /** Limits at a distance from the centre on both sides, clipped to [low, high]. */
    static Limits about(double centre, double distance, double low, double high) {
        return new Limits(Math.max(low, centre - distance), centre, Math.min(high, centre + distance));
    }

    /**
     * Where a value lies. A point on the limit is within it; a value counts as beyond when it passes the limit by more
     * than 1e-9 times the larger of 1 and the limit's size, so that rounding never makes a signal.
     */
    public Signal judge(double value) {
        if (value > upper + ROUNDING * Math.max(1, Math.abs(upper))) {
            return Signal.ABOVE;
        }
        if (value < lower - ROUNDING * Math.max(1, Math.abs(lower))) {
            return Signal.BELOW;
        }
        return Signal.NONE;
    }
}
