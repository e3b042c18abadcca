package airway.registry.quality;

import java.util.Locale;

/**
 * Records beside a count of another source. Neither need be a part of the other, so this is no share and has no interval.
 *
 * @param records here
 * @param counted by the other source
 */
record Ratio(long records, long counted) {
    static final Ratio NOTHING = new Ratio(0, 0);

    /** Below this number only the counts are told. Source: the registry's table of minimum numbers. */
    private static final int FEWEST = 5;

    Ratio plus(Ratio other) {
        return new Ratio(records + other.records, counted + other.counted);
    }

    /** "17 records for 20 counted, a ratio of 0.85", or the two counts where a ratio would say too much. */
    String words() {
        String counts = String.format(
                Locale.ROOT, "%,d %s for %,d counted", records, records == 1 ? "record" : "records", counted);
        return counted < FEWEST
                ? counts
                : counts + String.format(Locale.ROOT, ", a ratio of %.2f", (double) records / counted);
    }
}
