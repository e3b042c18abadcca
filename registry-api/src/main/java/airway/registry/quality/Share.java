package airway.registry.quality;

import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.interval.ProportionInterval;
import java.util.Locale;

/**
 * So many of so many.
 *
 * @param x those of which it is true
 * @param n all that were looked at
 */
record Share(long x, long n) {
    static final Share NOTHING = new Share(0, 0);

    /** Below this number only the count is told. Source: the registry's table of minimum numbers. */
    private static final int FEWEST = 5;

    Share plus(Share other) {
        return new Share(x + other.x, n + other.n);
    }

    /** "28 of 43 (65%)", "3 of 4" where a percentage would say too much, or "no value" without a case. */
    String words() {
        if (n == 0) {
            return "no value";
        }
        String count = String.format(Locale.ROOT, "%,d of %,d", x, n);
        return n < FEWEST ? count : count + " (" + percent((double) x / n) + ")";
    }

    /** The same with its 95% Wilson interval, where the share stands for more than was looked at. */
    String estimate() {
        if (n < FEWEST) {
            return words();
        }
        Estimate wilson = ProportionInterval.WILSON
                .of(new Proportion(x, n), Confidence.DEFAULT)
                .orElseThrow();
        return words() + ", 95% interval " + percent(wilson.lower()) + " to " + percent(wilson.upper());
    }

    private String percent(double fraction) {
        return String.format(Locale.ROOT, n < 100 ? "%.0f%%" : "%.1f%%", 100 * fraction);
    }
}
