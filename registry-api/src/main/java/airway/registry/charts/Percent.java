package airway.registry.charts;

import airway.stats.Estimate;
import java.util.Locale;

/** Numbers for people: rounded here and nowhere earlier, with the count beside every percentage. */
final class Percent {
    /** Below this number of cases only the count is told. Source: the registry's table of minimum numbers. */
    static final int FEWEST = 5;

    private Percent() {}

    /** A fraction as a whole percentage, with one decimal from 100 cases on. */
    static String of(double fraction, long n) {
        return String.format(Locale.ROOT, n < 100 ? "%.0f%%" : "%.1f%%", 100 * fraction);
    }

    /** "28 of 43 (65%)", or "3 of 4" where a percentage would say too much, or "none" without a case. */
    static String count(Counted counted) {
        if (counted.n() == 0) {
            return "none";
        }
        String count = counted.x() + " of " + counted.n();
        return counted.n() < FEWEST ? count : count + " (" + of((double) counted.x() / counted.n(), counted.n()) + ")";
    }

    /** "50% to 78%". */
    static String interval(Estimate estimate, long n) {
        return of(estimate.lower(), n) + " to " + of(estimate.upper(), n);
    }
}
