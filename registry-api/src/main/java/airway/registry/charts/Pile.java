package airway.registry.charts;

import airway.registry.cohort.Measure;
import java.util.Arrays;
import java.util.TreeMap;

/** Counts encounters of blocks, as SQL counts those of a group. */
final class Pile {
    private static final int FIRST_ROOM = 128;
    private static final int[] NONE = new int[0];

    private final Measure measure;
    private long x;
    private long n;
    private long leftOut;
    private long unknown;
    private long nominal;
    private int[] values = NONE;

    Pile(Measure measure) {
        this.measure = measure;
    }

    /**
     * Puts encounters on it of which the same was measured.
     *
     * @param answer what was measured: below 0 they do not count, and -1 is not known
     * @param times how many they are
     */
    void add(int answer, int times) {
        if (answer < 0) {
            leftOut += times;
            unknown += answer == -1 ? times : 0;
            return;
        }
        n += times;
        if (measure.shape() != Measure.Shape.VALUE) {
            x += (long) answer * times;
            return;
        }
        if (answer >= values.length) {
            values = Arrays.copyOf(values, Math.max(FIRST_ROOM, 2 * (answer + 1)));
        }
        values[answer] += times;
    }

    /** Of those that are on it the date was made up for order only so many times. */
    void addMadeUp(int times) {
        nominal += times;
    }

    long n() {
        return n;
    }

    Counted counted() {
        Histogram histogram = Histogram.EMPTY;
        if (values.length > 0) {
            TreeMap<Integer, Long> times = new TreeMap<>();
            for (int value = 0; value < values.length; value++) {
                if (values[value] > 0) {
                    times.put(value, (long) values[value]);
                }
            }
            histogram = new Histogram(times);
        }
        return new Counted(x, n, leftOut, unknown, nominal, histogram);
    }
}
