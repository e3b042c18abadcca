package airway.stats.chart;

import java.util.Optional;
import java.util.OptionalDouble;

/**
 * One place on a control chart.
 *
 * @param number place in the series, from 1
 * @param value what is plotted; empty at a gap
 * @param limits centre line and limits at this place; empty at a gap
 * @param signal whether the value lies beyond a limit
 */
public record ChartPoint(int number, OptionalDouble value, Optional<Limits> limits, Signal signal) {

    /** A value judged by its limits. */
    public static ChartPoint judged(int number, double value, Limits limits) {
        return new ChartPoint(number, OptionalDouble.of(value), Optional.of(limits), limits.judge(value));
    }

    /** A place without data. */
    public static ChartPoint gap(int number) {
        return new ChartPoint(number, OptionalDouble.empty(), Optional.empty(), Signal.NONE);
    }

    /** Whether the limits here are such that even the most extreme value possible would not signal on the given side. */
    boolean cannotSignal(Signal side, double extreme) {
        return limits.isPresent() && limits.get().judge(extreme) != side;
    }

    /** Whether nothing was observed here. */
    public boolean isGap() {
        return value.isEmpty();
    }
}
