package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Interval;
import airway.stats.Rate;
import airway.stats.Reason;
import java.util.List;
import java.util.Set;

/**
 * Shewhart chart of rates, events per unit of exposure at each point.
 *
 * <p>Centre U = Σc/Σa over the baseline; limits at a point of exposure a: U ± 3 √(U/a), the lower at least 0 (Shewhart WA
 * 1931; from memory).
 *
 * <p>Edges: an exposure of 0 is a gap. No data at all: {@link Reason#NO_DATA}. Fewer than 10 baseline points with data:
 * {@link Reason#TOO_FEW_POINTS}. No events in the baseline: {@link Reason#ZERO_WIDTH_LIMITS}. A refusal shows the points, the
 * centre if the baseline has data, and the number of baseline points with data. {@link Caution#LIMIT_UNREACHABLE} says that
 * at some point the lower limit is 0, so that fewer events cannot signal there.
 *
 * @param chart the points with their limits
 * @param dispersion the scatter of the baseline points about the centre
 */
public record UChart(ControlChart chart, Dispersion dispersion) {

    /** The chart with all points as baseline. */
    public static Answer<UChart> of(List<Rate> points) {
        return of(points, Baseline.all(points.size()));
    }

    /**
     * The chart with limits frozen on a baseline.
     *
     * @param points events in exposures, in order of time; an exposure of 0 is a gap
     * @param baseline the points that set centre and limits
     * @throws IllegalArgumentException if the baseline runs beyond the points
     */
    public static Answer<UChart> of(List<Rate> points, Baseline baseline) {
        CountedPoints counted = CountedPoints.ofRates(points, baseline);
        if (counted.refusal().isPresent()) {
            return counted.refuse(counted.refusal().get());
        }
        UChart chart = new UChart(counted.chart(1), counted.dispersion());
        Set<Caution> cautions = chart.chart.cautions(new Interval(0, Double.POSITIVE_INFINITY));
        if (chart.dispersion.excessive()) {
            cautions.add(Caution.OVERDISPERSED);
        }
        return Answer.ok(chart, cautions);
    }

    /** Numbers of the points at which even no event at all would not lie below the lower limit. */
    public List<Integer> lowerUnreachable() {
        return chart.unreachable(Signal.BELOW, 0);
    }

    /** Cases a point needs before it can lie below the lower limit, exposure being counted in cases: the least above 9/U. */
    public long casesToReachLower() {
        return PChart.fewestAbove(1 / chart.centre());
    }
}
