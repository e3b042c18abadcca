package airway.registry.charts;

import airway.stats.Estimate;
import java.util.Locale;

/** Numbers for people: rounded here and nowhere earlier, with the count beside every percentage. */
public final class Percent {
    /** Below this number of cases only the count is told. Source: the registry's table of minimum numbers. */
    public static final int FEWEST = 5;

    private Percent() {}

    /** A fraction as a whole percentage, with one decimal from 100 cases on. */
    public static String of(double fraction, long n) {
        return String.format(Locale.ROOT, n < 100 ? "%.0f%%" : "%.1f%%", 100 * fraction);
    }

    /**
     * A difference of two fractions with its limits, in points: "6 points (95% interval −1 to 13)". A limit that is not 0
     * is not written as 0, so that what is said of the interval can be seen in it.
     */
    public static String points(Estimate difference) {
        int decimals = 0;
        while (decimals < 2 && (hides(difference.lower(), decimals) || hides(difference.upper(), decimals))) {
            decimals++;
        }
        String value = signed(difference.value(), decimals);
        return value + (value.equals("1") ? " point" : " points") + " (95% interval "
                + signed(difference.lower(), decimals) + " to " + signed(difference.upper(), decimals) + ")";
    }

    private static boolean hides(double fraction, int decimals) {
        return fraction != 0 && signed(fraction, decimals).matches("0(\\.0+)?");
    }

    private static String signed(double fraction, int decimals) {
        String points = String.format(Locale.ROOT, "%." + decimals + "f", 100 * fraction);
        return points.matches("-0(\\.0+)?") ? points.substring(1) : points.replace("-", "−");
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
    public static String interval(Estimate estimate, long n) {
        return of(estimate.lower(), n) + " to " + of(estimate.upper(), n);
    }
}
