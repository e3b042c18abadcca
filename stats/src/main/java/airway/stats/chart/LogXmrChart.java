package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.Series;

/**
 * Chart of single positive values with a long tail, such as times: an {@link XmrChart} of their natural logarithms, centre and
 * limits set back. The centre is the geometric mean, and the limits lie at one factor above and below it (common practice, no
 * source of its own; the chart of the logarithms is that of {@link XmrChart}).
 *
 * @param chart the values with their limits
 * @param ofLogs the chart of the logarithms
 */
public record LogXmrChart(ControlChart chart, XmrChart ofLogs) {

    /**
     * The chart with limits frozen on a baseline.
     *
     * <p>A value of 0 or less: {@link Reason#INVALID_INPUT}. Otherwise refusals as of {@link XmrChart}. A refusal shows the
     * values and the number of baseline points.
     *
     * @param values above 0, in one unit of the caller's choice, in order of time
     * @param baseline the points that set centre and limits
     * @throws IllegalArgumentException if the baseline runs beyond the series
     */
    public static Answer<LogXmrChart> of(Series values, Baseline baseline) {
        return TransformedChart.of(values, baseline, Double.MIN_VALUE, Math::log, Math::exp)
                .then(made -> made.with(new LogXmrChart(made.chart(), made.transformed())));
    }
}
