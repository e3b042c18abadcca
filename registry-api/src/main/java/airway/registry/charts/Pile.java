package airway.registry.charts;

import airway.registry.cohort.Measure;
import java.util.Arrays;
import java.util.TreeMap;

/** Counts encounters that come along one by one, as SQL counts those of a group. */
final class Pile {
    private static final int FIRST_ROOM = 128;

    private final Measure measure;
    private long x;
    private long n;
    private long leftOut;
    private long unknown;
    private long nominal;
    private int[] values = new int[0];

    Pile(Measure measure) {
        this.measure = measure;
    }

    /**
     * @param answer what was measured: below 0 it does not count, and -1 is not known
     * @param madeUp whether its date was made up for order only
     */
    void add(short answer, boolean madeUp) {
        if (madeUp) {
            nominal++;
        }
        if (answer < 0) {
            leftOut++;
            unknown += answer == -1 ? 1 : 0;
            return;
        }
        n++;
        if (measure.shape() != Measure.Shape.VALUE) {
            x += answer;
            return;
        }
        if (answer >= values.length) {
            values = Arrays.copyOf(values, Math.max(FIRST_ROOM, 2 * (answer + 1)));
        }
        values[answer]++;
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
