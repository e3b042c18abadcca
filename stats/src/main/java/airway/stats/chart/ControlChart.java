package airway.stats.chart;

import airway.stats.Caution;
import airway.stats.Interval;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;

/**
 * What every Shewhart chart has in common: points with limits, frozen on a baseline.
 *
 * <p>Limits need at least {@value #FEWEST_POINTS} baseline points with data and are provisional below {@value
 * #FIRM_POINTS} (house rule; there is no agreed number in the literature).
 *
 * @param points all places of the series in order, gaps included
 * @param centre the centre line
 * @param baseline where centre and limits come from
 * @param baselinePoints number of baseline points that have data
 */
public record ControlChart(List<ChartPoint> points, double centre, Baseline baseline, int baselinePoints) {

    /** Baseline points with data below which no limits are given. */
    public static final int FEWEST_POINTS = 10;

    /** Baseline points with data from which limits are firm. */
    public static final int FIRM_POINTS = 20;

    /** A chart with a copy of the points. */
    public ControlChart {
        points = List.copyOf(points);
    }

    /** Whether the limits rest on so few points that they are provisional. */
    public boolean provisional() {
        return baselinePoints < FIRM_POINTS;
    }

    /** Numbers of the points that lie strictly beyond their limits. */
    public List<Integer> signals() {
        return points.stream()
                .filter(point -> point.signal() != Signal.NONE)
                .map(ChartPoint::number)
                .toList();
    }

    /** Numbers of the points at which even the most extreme value possible would not signal on the given side. */
    List<Integer> unreachable(Signal side, double extreme) {
        return points.stream()
                .filter(point -> point.cannotSignal(side, extreme))
                .map(ChartPoint::number)
                .toList();
    }

    /** The cautions that any chart of values within the given bounds may need. */
    Set<Caution> cautions(Interval possible) {
        Set<Caution> cautions = EnumSet.noneOf(Caution.class);
        if (provisional()) {
            cautions.add(Caution.PROVISIONAL_LIMITS);
        }
        if (points.stream()
                .anyMatch(point -> point.cannotSignal(Signal.BELOW, possible.lower())
                        || point.cannotSignal(Signal.ABOVE, possible.upper()))) {
            cautions.add(Caution.LIMIT_UNREACHABLE);
        }
        return cautions;
    }

    /** The same chart as part of a longer series, its first point at the given place. */
    ControlChart numberedFrom(int first) {
        int moved = first - 1;
        return new ControlChart(
                points.stream()
                        .map(point ->
                                new ChartPoint(point.number() + moved, point.value(), point.limits(), point.signal()))
                        .toList(),
                centre,
                new Baseline(baseline.first() + moved, baseline.last() + moved),
                baselinePoints);
    }
}
