package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Series;
import airway.stats.Shown;
import java.util.List;

/**
 * Run chart with rules that catch smaller changes and raise more false alarms: more than a third of two-year monthly charts
 * signal by chance. Optional, labelled "sensitive rules", never mixed with those of {@link RunChart}.
 *
 * @param median the median of the same points, which the limits of the number of runs need
 * @param above number of points above it
 * @param below number of points below it
 * @param runs number of runs on one side of the median
 * @param limits how many runs chance allows
 * @param shifts first and last point of each run of 6 or more
 * @param longestTrend number of points of the longest rise or fall
 */
public record SensitiveRunChart(
        double median, int above, int below, int runs, RunCountLimits limits, List<Stretch> shifts, int longestTrend) {

    private static final int SHIFT = 6;
    private static final int TREND = 5;
    private static final double EACH_TAIL = 0.025;

    /**
     * A stretch of points.
     *
     * @param first number of its first point
     * @param last number of its last point
     */
    public record Stretch(int first, int last) {}

    /** A chart with a copy of the shifts. */
    public SensitiveRunChart {
        shifts = List.copyOf(shifts);
    }

    /**
     * The rules of Perla, Provost and Murray (2011, BMJ Qual Saf 20:46-51, doi:10.1136/bmjqs.2009.037895; from the abstract,
     * the thresholds from memory). A shift is a run of 6 or more useful points; a trend is 5 or more points all rising or
     * all falling, a point equal to its neighbour being skipped; the number of runs is judged by {@link RunCountLimits} with
     * 2.5 % on each side. Their rule for an astronomical point is a matter of the eye and is not automated.
     *
     * <p>Points on the median and missing points are left out, as in {@link RunChart}. No data: {@link Reason#NO_DATA}.
     * Fewer than 10 useful points: {@link Reason#TOO_FEW_USEFUL_POINTS}, with median, number of useful points and points
     * shown.
     *
     * @param values the points in order of time
     */
    public static Answer<SensitiveRunChart> of(Series values) {
        Sample known = Sample.of(values.present());
        if (known.isEmpty()) {
            return Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0).withPoints(values));
        }
        double median = known.median();
        Runs runs = Runs.about(median, values);
        if (runs.useful() < RunChart.FEWEST_USEFUL_POINTS) {
            return Answer.refused(
                    Reason.TOO_FEW_USEFUL_POINTS,
                    Shown.NOTHING.withN(runs.useful()).withEstimate(median).withPoints(values));
        }
        return Answer.ok(new SensitiveRunChart(
                median,
                runs.above(),
                runs.below(),
                runs.runs().size(),
                RunCountLimits.of(runs.above(), runs.below(), EACH_TAIL),
                runs.runs().stream()
                        .filter(run -> run.size() >= SHIFT)
                        .map(run -> new Stretch(run.get(0), run.get(run.size() - 1)))
                        .toList(),
                longestTrend(values.present())));
    }

    /** Number of points off the median. */
    public int useful() {
        return above + below;
    }

    /** Whether some run has 6 points or more. */
    public boolean signalsByShift() {
        return !shifts.isEmpty();
    }

    /** Whether 5 points or more rise or fall in a row. */
    public boolean signalsByTrend() {
        return longestTrend >= TREND;
    }

    /** Whether there are fewer runs than chance allows. */
    public boolean signalsByTooFewRuns() {
        return runs < limits.lower();
    }

    /** Whether there are more runs than chance allows. */
    public boolean signalsByTooManyRuns() {
        return runs > limits.upper();
    }

    /** Number of points of the longest rise or fall, equal neighbours skipped. */
    static int longestTrend(double[] values) {
        int longest = 1;
        int length = 1;
        double direction = 0;
        for (int i = 1; i < values.length; i++) {
            double step = Math.signum(values[i] - values[i - 1]);
            if (step == 0) {
                continue;
            }
            length = step == direction ? length + 1 : 2;
            direction = step;
            longest = Math.max(longest, length);
        }
        return longest;
    }
}
