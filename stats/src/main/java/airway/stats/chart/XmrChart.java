package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Interval;
import airway.stats.Reason;
import airway.stats.Series;
import java.util.List;
import java.util.OptionalDouble;

/**
 * Shewhart chart of single values and of the distances between neighbours (individuals and moving ranges).
 *
 * <p>Centre = mean of the baseline values; σ = mean range/d₂(2) with d₂(2) = 2/√π; limits centre ± 3σ; upper limit of the ranges
 * D₄(2) = 3.26653 times their mean, no lower limit (Shewhart WA 1931; NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.2,
 * read as quoted). No range is taken across a gap or across the start of the baseline; large ranges are not screened out.
 * Programs that round d₂ to 1.128 or 3/d₂ to 2.66 differ in the fourth figure.
 *
 * @param chart the values with their limits
 * @param ranges the moving ranges with their limits, a gap at the first point; no run rules, neighbours share a value
 * @param meanRange mean of the moving ranges in the baseline
 */
public record XmrChart(ControlChart chart, List<ChartPoint> ranges, double meanRange) {

    /** Everything is possible: for values without bounds. */
    public static final Interval UNBOUNDED = new Interval(Double.NEGATIVE_INFINITY, Double.POSITIVE_INFINITY);

    private static final double RANGE_FACTOR = ControlConstants.of(2).rangeFactorUpper();

    /** A chart with a copy of the ranges. */
    public XmrChart {
        ranges = List.copyOf(ranges);
    }

    /**
     * The chart with limits frozen on a baseline.
     *
     * <p>No data: {@link Reason#NO_DATA}. Fewer than 10 baseline values, or no two of them neighbours: {@link
     * Reason#TOO_FEW_POINTS}. All ranges 0: {@link Reason#ZERO_WIDTH_LIMITS}. A refusal shows the points, the mean if the
     * baseline has data, and the number of baseline values.
     *
     * @param values the points in order of time
     * @param baseline the points that set centre and limits
     * @param possible the values that can occur, such as 0 to 100 for a saturation: limits are clipped to them
     * @throws IllegalArgumentException if a value is not possible, or the baseline runs beyond the series
     */
    public static Answer<XmrChart> of(Series values, Baseline baseline, Interval possible) {
        for (double value : values.present()) {
            if (!possible.contains(value)) {
                throw new IllegalArgumentException(
                        "value = " + value + ", must be in [" + possible.lower() + ", " + possible.upper() + "]");
            }
        }
        Plot plot = Plot.aboutTheMean(values, baseline);
        if (plot.tooLittle().isPresent()) {
            return plot.refuse(plot.tooLittle().get());
        }
        MovingRanges moving = new MovingRanges(values);
        OptionalDouble meanRange = moving.mean(baseline);
        if (meanRange.isEmpty()) {
            return plot.refuse(Reason.TOO_FEW_POINTS);
        }
        double mean = meanRange.getAsDouble();
        if (mean == 0) {
            return plot.refuse(Reason.ZERO_WIDTH_LIMITS);
        }
        Limits limits = Limits.about(
                plot.centre().orElseThrow(), 3 * mean / MovingRanges.D2, possible.lower(), possible.upper());
        Limits rangeLimits = new Limits(0, mean, RANGE_FACTOR * mean);
        ControlChart chart = plot.judgedBy(number -> limits);
        ControlChart ranges = new Plot(moving.ranges(), baseline, meanRange).judgedBy(number -> rangeLimits);
        return Answer.ok(new XmrChart(chart, ranges.points(), mean), chart.cautions(possible));
    }

    /** Standard deviation as the limits take it: mean range/d₂(2). */
    public double sigma() {
        return meanRange / MovingRanges.D2;
    }

    /** Numbers of the points whose distance from the point before lies beyond the limit of ranges. */
    public List<Integer> rangeSignals() {
        return ranges.stream()
                .filter(range -> range.signal() != Signal.NONE)
                .map(ChartPoint::number)
                .toList();
    }
}
