package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Series;
import airway.stats.Shown;
import java.util.List;

/**
 * Run chart: points about a median, and two rules for a change that lasts. The default, and the default beside the limits of
 * a Shewhart chart.
 *
 * @param median the centre line
 * @param observed number of points with data
 * @param useful number of points off the median
 * @param runs number of runs on one side of the median
 * @param longestRun the points of the first of the longest runs
 * @param limits how long a run may be and how few crossings there may be
 */
public record RunChart(double median, int observed, int useful, int runs, List<Integer> longestRun, RunLimits limits) {

    /** Points off the median below which the rules are not applied. */
    public static final int FEWEST_USEFUL_POINTS = 10;

    /** A run chart with a copy of the points. */
    public RunChart {
        longestRun = List.copyOf(longestRun);
    }

    /** The chart about the median of all points. */
    public static Answer<RunChart> of(Series values) {
        return of(values, Baseline.all(values.size()));
    }

    /**
     * The chart about the median of a baseline, all points judged by it (Anhøj J, Olesen AV 2014, PLoS ONE 9(11):e113825,
     * doi:10.1371/journal.pone.0113825; from the abstract). {@link RunLimits} gives the two limits. Points on the median,
     * within 1e-9, are not useful: left out, they neither break a run nor lengthen it; so also missing points.
     *
     * <p>About 5 % of charts signal by chance, fewer when the median is the chart's own. No data in the baseline: {@link
     * Reason#NO_DATA}. Fewer than 10 useful points, so also when all are alike: {@link Reason#TOO_FEW_USEFUL_POINTS}, with
     * median, number of useful points and points shown.
     *
     * @param values the points in order of time
     * @param baseline the points whose median is the centre line
     * @throws IllegalArgumentException if the baseline runs beyond the series
     */
    public static Answer<RunChart> of(Series values, Baseline baseline) {
        baseline.checkWithin(values.size());
        Sample known = Sample.of(values.presentIn(baseline.first(), baseline.last()));
        if (known.isEmpty()) {
            return Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0).withPoints(values));
        }
        return about(known.median(), values);
    }

    /**
     * The chart about a median that was kept from before; refuses as {@link #of(Series, Baseline)}.
     *
     * @param median the centre line, finite
     * @param values the points in order of time
     * @throws IllegalArgumentException if the median is not finite
     */
    public static Answer<RunChart> about(double median, Series values) {
        if (!Double.isFinite(median)) {
            throw new IllegalArgumentException("median = " + median + ", must be finite");
        }
        Runs runs = Runs.about(median, values);
        if (runs.useful() < FEWEST_USEFUL_POINTS) {
            return Answer.refused(
                    Reason.TOO_FEW_USEFUL_POINTS,
                    Shown.NOTHING.withN(runs.useful()).withEstimate(median).withPoints(values));
        }
        return Answer.ok(new RunChart(
                median,
                values.observed(),
                runs.useful(),
                runs.runs().size(),
                runs.longest(),
                RunLimits.of(runs.useful())));
    }

    /** How often the line crosses the median: one less than the runs. */
    public int crossings() {
        return runs - 1;
    }

    /** Whether the longest run is longer than its limit. */
    public boolean signalsByLongestRun() {
        return longestRun.size() > limits.longestRun();
    }

    /** Whether the crossings are fewer than their limit. */
    public boolean signalsByCrossings() {
        return crossings() < limits.crossings();
    }
}
