package airway.stats.sequential;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.Series;
import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.stream.IntStream;

/**
 * Two cumulative sums of measurements about a target, one for each direction (Page ES 1954, Biometrika 41:100-115,
 * doi:10.1093/biomet/41.1-2.100, from memory; NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.3, read as quoted): S⁺ =
 * max(0, S⁺ + x - target - k), S⁻ = max(0, S⁻ + target - k - x).
 *
 * <p>A signal where either sum lies strictly above h, by more than rounding; the sums go on, and every point above is listed. A
 * gap leaves both as they were. Programs that begin anew after a signal, or draw the lower sum as negative, differ.
 *
 * @param above the sum that rises when values lie above the target
 * @param below the sum that rises when values lie below the target
 * @param signals numbers of the points at which either sum lies above the limit
 */
public record TabularCusum(Series above, Series below, List<Integer> signals) {

    private static final double ROUNDING = 1e-9;
    private static final double LARGEST = 1e100;

    /** A chart with a copy of the signals. */
    public TabularCusum {
        signals = List.copyOf(signals);
    }

    /**
     * The sums over the points in order of time. No value at all: {@link Reason#NO_DATA}. A sum beyond 1e100 is told as an error
     * of the caller: the unit does not fit.
     *
     * @param values the points in order of time
     * @param target what the mean should be, in [-1e100, 1e100]
     * @param design allowance, limit and start, in the unit of the values
     * @throws IllegalArgumentException if the target is out of range or not a number, or a sum passes 1e100
     */
    public static Answer<TabularCusum> of(Series values, double target, TabularCusumDesign design) {
        if (!(Math.abs(target) <= LARGEST)) {
            throw new IllegalArgumentException("target = " + target + ", must be in [-1e100, 1e100]");
        }
        if (values.observed() == 0) {
            return Answer.refused(Reason.NO_DATA);
        }
        Series above = sums(values, 1, target, design);
        Series below = sums(values, -1, target, design);
        double limit = design.h() + ROUNDING * Math.max(1, design.h());
        List<Integer> signals = IntStream.rangeClosed(1, values.size())
                .filter(i -> above.at(i).orElse(0) > limit || below.at(i).orElse(0) > limit)
                .boxed()
                .toList();
        return Answer.ok(new TabularCusum(above, below, signals));
    }

    /** Number of the first point at which either sum lies above the limit, if any. */
    public OptionalInt firstSignal() {
        return signals.isEmpty() ? OptionalInt.empty() : OptionalInt.of(signals.get(0));
    }

    private static Series sums(Series values, int side, double target, TabularCusumDesign design) {
        double[] sum = {design.headStart()};
        return Series.numbered(values.size(), number -> {
            OptionalDouble value = values.at(number);
            if (value.isPresent()) {
                sum[0] = Math.max(0, sum[0] + side * (value.getAsDouble() - target) - design.k());
            }
            return value.isPresent() ? OptionalDouble.of(sum[0]) : value;
        });
    }
}
