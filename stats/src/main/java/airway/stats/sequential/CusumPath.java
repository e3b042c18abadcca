package airway.stats.sequential;

import airway.stats.Series;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;

/**
 * The way of a cumulative sum that never falls below 0 (Page ES 1954, Biometrika 41:100-115, doi:10.1093/biomet/41.1-2.100;
 * from memory): S = max(0, S + score), and a signal where S reaches the limit.
 *
 * @param sums the sum after each case, before any restart; a gap where the outcome is unknown, which leaves the sum as it is
 * @param signals numbers of the cases at which the sum reached the limit
 */
public record CusumPath(Series sums, List<Integer> signals) {

    /** Sums this close to the limit have reached it, and this close to 0 are 0: rounding decides nothing. */
    static final double ROUNDING = 1e-9;

    /** A path with a copy of the signals. */
    public CusumPath {
        signals = List.copyOf(signals);
    }

    /** The sums of the scores, gaps left out. */
    static CusumPath of(Series scores, double h, AfterSignal afterSignal) {
        List<Integer> signals = new ArrayList<>();
        double[] sum = {0};
        Series sums = Series.numbered(scores.size(), number -> {
            OptionalDouble score = scores.at(number);
            if (score.isEmpty()) {
                return score;
            }
            double after = Math.max(0, sum[0] + score.getAsDouble());
            boolean signal = after > h - ROUNDING;
            if (signal) {
                signals.add(number);
            }
            sum[0] = signal && afterSignal == AfterSignal.RESTART ? 0 : after;
            return OptionalDouble.of(after);
        });
        return new CusumPath(sums, signals);
    }

    /** Number of the first case at which the sum reached the limit, if any. */
    public OptionalInt firstSignal() {
        return signals.isEmpty() ? OptionalInt.empty() : OptionalInt.of(signals.get(0));
    }

    /** Refuses a limit that is not in (0, 20]. */
    static void checkLimit(double h) {
        if (!(h > 0 && h <= CusumDesign.HIGHEST_LIMIT)) {
            throw new IllegalArgumentException("h = " + h + ", must be in (0, " + CusumDesign.HIGHEST_LIMIT + "]");
        }
    }
}
