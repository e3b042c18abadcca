package airway.stats.chart;

/**
 * The points from which centre line and limits are computed; later points are judged by them and do not change them.
 *
 * @param first number of the first point, 1 or more
 * @param last number of the last point, included
 */
public record Baseline(int first, int last) {

    /**
     * The points from first to last.
     *
     * @throws IllegalArgumentException if the first is below 1, or the last below the first less one
     */
    public Baseline {
        if (first < 1) {
            throw new IllegalArgumentException("first = " + first + ", must be 1 or more");
        }
        if (last < first - 1) {
            throw new IllegalArgumentException("last = " + last + ", must be " + (first - 1) + " or more");
        }
    }

    /** All points of a series of the given length, which may be 0. */
    public static Baseline all(int points) {
        return new Baseline(1, points);
    }

    /** Whether the point belongs to the baseline. */
    public boolean holds(int number) {
        return first <= number && number <= last;
    }

    /** Refuses a baseline that runs beyond the series. */
    void checkWithin(int points) {
        if (last > points) {
            throw new IllegalArgumentException("last = " + last + ", must be in [" + (first - 1) + ", " + points + "]");
        }
    }
}
