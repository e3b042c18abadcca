package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Interval;
import airway.stats.Reason;
import airway.stats.Series;
import airway.stats.Shown;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import org.jspecify.annotations.Nullable;

/**
 * Chart of the time between rare events: a high point is good news.
 *
 * <p>The times are made nearly normal by y = t^(1/3.6), charted as single values ({@link XmrChart}), and centre and limits
 * raised to the power of 3.6 again; a negative lower limit becomes 0 (Nelson LS 1994, J Qual Technol 26:239-240; from memory).
 * Run rules go by the median.
 *
 * @param chart the times with their limits
 * @param transformedCentre mean of the baseline y
 * @param transformedMeanRange mean moving range of the baseline y
 */
public record TChart(ControlChart chart, double transformedCentre, double transformedMeanRange) {

    private static final double POWER = 3.6;

    /**
     * The chart with limits frozen on a baseline.
     *
     * <p>A negative time: {@link Reason#INVALID_INPUT}. Otherwise refusals as of {@link XmrChart}. A refusal shows the times
     * and the number of baseline points. Times of 0 are allowed; many of them mean that the hour ought to be recorded.
     *
     * @param times time from one event to the next, in one unit of the caller's choice, in order of time
     * @param baseline the points that set centre and limits
     * @throws IllegalArgumentException if the baseline runs beyond the series
     */
    public static Answer<TChart> of(Series times, Baseline baseline) {
        Plot plain = new Plot(times, baseline, OptionalDouble.empty());
        List<@Nullable Double> transformed = new ArrayList<>(times.size());
        for (OptionalDouble time : times.values()) {
            if (time.isPresent() && time.getAsDouble() < 0) {
                return Answer.refused(Reason.INVALID_INPUT, Shown.NOTHING.withPoints(times));
            }
            transformed.add(time.isPresent() ? (Double) Math.pow(time.getAsDouble(), 1 / POWER) : null);
        }
        return XmrChart.of(Series.withGaps(transformed), baseline, XmrChart.UNBOUNDED)
                .<Answer<TChart>>fold(
                        ok -> back(times, baseline, ok.value()), refused -> plain.refuse(refused.reason()));
    }

    private static Answer<TChart> back(Series times, Baseline baseline, XmrChart transformed) {
        double centre = transformed.chart().centre();
        double distance = 3 * transformed.sigma();
        Limits limits = new Limits(raise(centre - distance), raise(centre), raise(centre + distance));
        ControlChart chart = new Plot(times, baseline, OptionalDouble.of(limits.centre())).judgedBy(number -> limits);
        return Answer.ok(
                new TChart(chart, centre, transformed.meanRange()),
                chart.cautions(new Interval(0, Double.POSITIVE_INFINITY)));
    }

    private static double raise(double y) {
        return y <= 0 ? 0 : Math.pow(y, POWER);
    }
}
