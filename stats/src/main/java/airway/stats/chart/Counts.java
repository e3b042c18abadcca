package airway.stats.chart;

import airway.stats.Series;

/** Counts as a series. */
final class Counts {

    private Counts() {}

    /** Refuses a series with a value that is not a count. */
    static void check(Series counts) {
        for (double count : counts.present()) {
            if (!(count >= 0 && count == Math.rint(count))) {
                throw new IllegalArgumentException("count = " + count + ", must be a whole number of 0 or more");
            }
        }
    }
}
