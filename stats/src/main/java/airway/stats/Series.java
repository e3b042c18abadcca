package airway.stats;

import java.util.Arrays;
import java.util.Iterator;
import java.util.List;
import java.util.OptionalDouble;
import java.util.function.IntFunction;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;

/**
 * Values in order of time, numbered from 1. A value may be missing: a gap, which is neither zero nor carried over from
 * its neighbour.
 */
public final class Series {

    private static final double LARGEST = 1e100;

    /** NaN stands for a gap: a value never is. */
    private final double[] values;

    private Series(double[] values) {
        this.values = values;
    }

    /**
     * A series without gaps.
     *
     * @param values the values, each in [-1e100, 1e100]
     * @throws IllegalArgumentException if a value is NaN or out of range
     */
    public static Series of(double... values) {
        return numbered(values.length, number -> OptionalDouble.of(values[number - 1]));
    }

    /**
     * A series in which null stands for a gap.
     *
     * @param values the values, each null or in [-1e100, 1e100]
     * @throws IllegalArgumentException if a value is NaN or out of range
     */
    public static Series withGaps(List<? extends @Nullable Double> values) {
        Iterator<? extends @Nullable Double> inOrder = values.iterator();
        return numbered(values.size(), number -> {
            Double value = inOrder.next();
            return value == null ? OptionalDouble.empty() : OptionalDouble.of(value);
        });
    }

    /**
     * The series of what a function gives for each place in turn.
     *
     * @param size number of places
     * @param valueAt the value at a place from 1 to size, empty for a gap, else in [-1e100, 1e100]
     * @throws IllegalArgumentException if a value is NaN or out of range
     */
    public static Series numbered(int size, IntFunction<OptionalDouble> valueAt) {
        double[] values = new double[size];
        for (int number = 1; number <= size; number++) {
            OptionalDouble value = valueAt.apply(number);
            if (value.isPresent() && !(Math.abs(value.getAsDouble()) <= LARGEST)) {
                throw new IllegalArgumentException(
                        "value " + number + " = " + value.getAsDouble() + ", must be missing or in [-1e100, 1e100]");
            }
            values[number - 1] = value.orElse(Double.NaN);
        }
        return new Series(values);
    }

    /** Number of places, gaps included. */
    public int size() {
        return values.length;
    }

    /** Number of values that are not missing. */
    public int observed() {
        return observedIn(1, size());
    }

    /** Number of values that are not missing among the places from first to last, both included. */
    public int observedIn(int first, int last) {
        int observed = 0;
        for (int i = first - 1; i < last; i++) {
            observed += Double.isNaN(values[i]) ? 0 : 1;
        }
        return observed;
    }

    /**
     * The value at a place.
     *
     * @param number the place, in [1, size]
     */
    public OptionalDouble at(int number) {
        double value = values[number - 1];
        return Double.isNaN(value) ? OptionalDouble.empty() : OptionalDouble.of(value);
    }

    /** All places in order; a gap is an empty value. */
    public List<OptionalDouble> values() {
        return IntStream.rangeClosed(1, size()).mapToObj(this::at).toList();
    }

    /** The values that are not missing, in order. */
    public double[] present() {
        return presentIn(1, size());
    }

    /** The values that are not missing among the places from first to last, both included. */
    public double[] presentIn(int first, int last) {
        double[] present = new double[observedIn(first, last)];
        int number = 0;
        for (int i = first - 1; i < last; i++) {
            if (!Double.isNaN(values[i])) {
                present[number++] = values[i];
            }
        }
        return present;
    }

    @Override
    public boolean equals(@Nullable Object other) {
        return other instanceof Series that && Arrays.equals(values, that.values);
    }

    @Override
    public int hashCode() {
        return Arrays.hashCode(values);
    }

    @Override
    public String toString() {
        return "Series" + values();
    }
}
