package airway.registry.charts;

import java.util.Arrays;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;

/** Whole values and how often each was met, as SQL counts them. */
record Histogram(SortedMap<Integer, Long> counts) {
    static final Histogram EMPTY = new Histogram(new TreeMap<>());

    static Histogram of(int value, long times) {
        return new Histogram(new TreeMap<>(Map.of(value, times)));
    }

    Histogram plus(Histogram other) {
        SortedMap<Integer, Long> all = new TreeMap<>(counts);
        other.counts.forEach((value, times) -> all.merge(value, times, Long::sum));
        return new Histogram(all);
    }

    /** Every value as often as it was met, in rising order. */
    double[] sorted() {
        return counts.entrySet().stream()
                .flatMapToDouble(entry -> {
                    double[] alike = new double[Math.toIntExact(entry.getValue())];
                    Arrays.fill(alike, entry.getKey());
                    return Arrays.stream(alike);
                })
                .toArray();
    }
}
