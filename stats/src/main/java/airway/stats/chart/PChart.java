package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Interval;
import airway.stats.Proportion;
import airway.stats.Reason;
import java.util.List;
import java.util.Set;

/**
 * Shewhart chart of proportions, x successes among n cases at each point.
 *
 * <pre>{@code
 * Answer<PChart> answer = PChart.of(months);
 * answer.fold(
 *         ok -> draw(ok.value().chart(), ok.cautions()),
 *         refused -> drawPoints(refused.shown().points(), refused.reason()));
 * }</pre>
 *
 * <p>Centre P = Σx/Σn over the baseline (the proportions themselves are never averaged); limits at a point of n cases P ± 3
 * √(P(1 - P)/n), clipped to [0, 1] (Shewhart WA 1931; NIST/SEMATECH e-Handbook of Statistical Methods 6.3.3.2, read as
 * quoted). Each point has its own limits from its own n; programs that use an average n differ.
 *
 * <p>Edges: n = 0 is a gap, without point and limits. No data at all: {@link Reason#NO_DATA}. Fewer than 10 baseline
 * points with data: {@link Reason#TOO_FEW_POINTS}. P = 0 or P = 1: {@link Reason#ZERO_WIDTH_LIMITS}. A refusal shows the
 * points, the centre if the baseline has data, and the number of baseline points with data.
 *
 * @param chart the points with their limits
 * @param smallDenominators whether more than a quarter of the baseline points have n min(P, 1 - P) below 5
 * @param dispersion the scatter of the baseline points about the centre
 */
public record PChart(ControlChart chart, boolean smallDenominators, Dispersion dispersion) {

    /** The chart with all points as baseline. */
    public static Answer<PChart> of(List<Proportion> subgroups) {
        return of(subgroups, Baseline.all(subgroups.size()));
    }

    /**
     * The chart with limits frozen on a baseline.
     *
     * <p>Cautions: {@link Caution#PROVISIONAL_LIMITS}, {@link Caution#SMALL_DENOMINATORS}, {@link Caution#OVERDISPERSED},
     * and {@link Caution#LIMIT_UNREACHABLE} when at any point one of the limits cannot be passed whatever the outcome.
     *
     * @param subgroups successes among cases, in order of time; 0 of 0 is a gap
     * @param baseline the points that set centre and limits
     * @throws IllegalArgumentException if the baseline runs beyond the subgroups
     */
    public static Answer<PChart> of(List<Proportion> subgroups, Baseline baseline) {
        CountedPoints points = CountedPoints.ofProportions(subgroups, baseline);
        if (points.refusal().isPresent()) {
            return points.refuse(points.refusal().get());
        }
        PChart chart = new PChart(points.chart(1), points.smallDenominators(), points.dispersion());
        return Answer.ok(chart, chart.cautions());
    }

    /**
     * Numbers of the points at which even nothing but successes would not lie above the upper limit, so that an
     * improvement cannot signal there.
     */
    public List<Integer> upperUnreachable() {
        return chart.unreachable(Signal.ABOVE, 1);
    }

    /** Numbers of the points at which even no success at all would not lie below the lower limit. */
    public List<Integer> lowerUnreachable() {
        return chart.unreachable(Signal.BELOW, 0);
    }

    /** Cases a point needs before it can lie above the upper limit: the smallest n above 9P/(1 - P). */
    public long casesToReachUpper() {
        return fewestAbove(chart.centre() / (1 - chart.centre()));
    }

    /** Cases a point needs before it can lie below the lower limit: the smallest n above 9(1 - P)/P. */
    public long casesToReachLower() {
        return fewestAbove((1 - chart.centre()) / chart.centre());
    }

    /** The same chart as part of a longer series, its first point at the given place. */
    PChart numberedFrom(int first) {
        return new PChart(chart.numberedFrom(first), smallDenominators, dispersion);
    }

    private Set<Caution> cautions() {
        Set<Caution> cautions = chart.cautions(new Interval(0, 1));
        if (smallDenominators) {
            cautions.add(Caution.SMALL_DENOMINATORS);
        }
        if (dispersion.excessive()) {
            cautions.add(Caution.OVERDISPERSED);
        }
        return cautions;
    }

    /** The least whole number above nine times the odds. */
    static long fewestAbove(double odds) {
        // The limit equals its bound exactly when n is 9 times the odds, a number that rounding may put on either side.
        double bound = 9 * odds;
        double nearest = Math.rint(bound);
        return (long) (Math.abs(bound - nearest) <= 1e-9 * bound ? nearest : Math.floor(bound)) + 1;
    }
}
