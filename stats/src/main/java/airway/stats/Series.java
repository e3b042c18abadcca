package airway.stats;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.OptionalDouble;
import org.jspecify.annotations.Nullable;

/**
 * Values in order of time, numbered from 1. A value may be missing: a gap, which is neither zero nor carried over from
 * its neighbour.
 */
public final class Series {

    private static final double LARGEST = 1e100;

    private final List<OptionalDouble> values;

    private Series(List<OptionalDouble> values) {
        this.values = values;
    }

    /**
     * A series without gaps.
     *
     * @param values the values, each in [-1e100, 1e100]
     * @throws IllegalArgumentException if a value is NaN or out of range
     */
    public static Series of(double... values) {
        return withGaps(Arrays.stream(values).boxed().toList());
    }

    /**
     * A series in which null stands for a gap.
     *
     * @param values the values, each null or in [-1e100, 1e100]
     * @throws IllegalArgumentException if a value is NaN or out of range
     */
    public static Series withGaps(List<? extends @Nullable Double> values) {
        List<OptionalDouble> checked = new ArrayList<>(values.size());
        for (Double value : values) {
            if (value != null && !(Math.abs(value) <= LARGEST)) {
                throw new IllegalArgumentException(
                        "value " + (checked.size() + 1) + " = " + value + ", must be missing or in [-1e100, 1e100]");
            }
            checked.add(value == null ? OptionalDouble.empty() : OptionalDouble.of(value));
        }
        return new Series(List.copyOf(checked));
    }

    /** Number of places, gaps included. */
    public int size() {
        return values.size();
    }

    /** Number of values that are not missing. */
    public int observed() {
        return observedIn(1, size());
    }

    /** Number of values that are not missing among the places from first to last, both included. */
    public int observedIn(int first, int last) {
        int observed = 0;
        for (OptionalDouble value : values.subList(first - 1, last)) {
            observed += value.isPresent() ? 1 : 0;
        }
        return observed;
    }

    /**
     * The value at a place.
     *
     * @param number the place, in [1, size]
     */
    public OptionalDouble at(int number) {
        return values.get(number - 1);
    }

    /** All places in order; a gap is an empty value. */
    public List<OptionalDouble> values() {
        return values;
    }

    /** The values that are not missing, in order. */
    public double[] present() {
        return presentIn(1, size());
    }

    /** The values that are not missing among the places from first to last, both included. */
    public double[] presentIn(int first, int last) {
        double[] present = new double[observedIn(first, last)];
        int number = 0;
        for (OptionalDouble value : values.subList(first - 1, last)) {
            if (value.isPresent()) {
                present[number++] = value.getAsDouble();
            }
        }
        return present;
    }

    @Override
    public boolean equals(@Nullable Object other) {
        return other instanceof Series that && values.equals(that.values);
    }

    @Override
    public int hashCode() {
        return values.hashCode();
    }

    @Override
    public String toString() {
        return "Series" + values;
    }
}
