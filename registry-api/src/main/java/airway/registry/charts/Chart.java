package airway.registry.charts;

import airway.stats.Caution;
import airway.stats.Estimate;
import airway.stats.Reason;
import airway.stats.chart.Limits;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * A p chart with everything that stands on it.
 *
 * @param total all points together
 * @param overall the proportion of all points together with its interval, or null without a case
 * @param centre the average that the limits stand around, or null
 * @param refusal why there are no limits, or null
 * @param reach for which points a limit can never be passed
 */
record Chart(
        ChartRequest request,
        List<Point> points,
        Counted total,
        @Nullable Estimate overall,
        @Nullable Double centre,
        @Nullable Reason refusal,
        boolean provisional,
        Set<Caution> cautions,
        Reach reach) {

    /**
     * One point.
     *
     * @param period its name in the API
     * @param words its name for people
     * @param complete false while its span still runs: drawn hollow, never a signal
     * @param estimate proportion with its Wilson interval, or null without a case
     * @param limits limits of this point, or null
     */
    record Point(
            String period,
            String words,
            Counted counted,
            boolean complete,
            @Nullable Estimate estimate,
            @Nullable Limits limits,
            boolean signal) {}

    /**
     * Where a rise or fall could never show as a point beyond its limit.
     *
     * @param upper number of points whose upper limit is 100 %
     * @param casesForUpper cases a point needs for an upper limit under 100 %
     * @param lower number of points whose lower limit is 0 %
     * @param casesForLower cases a point needs for a lower limit over 0 %
     */
    record Reach(int upper, long casesForUpper, int lower, long casesForLower) {
        static final Reach NOT_ASKED = new Reach(0, 0, 0, 0);
    }

    /** What was counted over the complete points: the limits and the average rest on these. */
    Counted judged() {
        return points.stream().filter(Point::complete).map(Point::counted).reduce(Counted.NOTHING, Counted::plus);
    }

    /** The points beyond their limits. */
    List<Point> signals() {
        return points.stream().filter(Point::signal).toList();
    }

    /** Points that hold a case. */
    List<Point> withData() {
        return points.stream().filter(point -> point.counted().n() > 0).toList();
    }

    /** Dates made up for order only stand behind some of it. */
    boolean nominal() {
        return total.nominal() > 0;
    }
}
