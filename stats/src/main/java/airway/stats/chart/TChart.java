package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Series;
import airway.stats.Shown;
import airway.stats.interval.MeanInterval;
import java.util.Arrays;
import java.util.OptionalDouble;

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
        return TransformedChart.of(times, baseline, 0, TChart::transform, TChart::raise)
                .then(made -> made.with(new TChart(
                        made.chart(),
                        made.transformed().chart().centre(),
                        made.transformed().meanRange())));
    }

    /**
     * The centre with the interval of the mean of the y (Student's, {@link MeanInterval}), raised to the power of 3.6. Where events
     * come at random it lies near the median of the times, and below their mean.
     *
     * <p>A negative time: {@link Reason#INVALID_INPUT}. Otherwise refusals as of {@link MeanInterval#student}, the centre shown.
     *
     * @param times time from one event to the next, independent of each other
     * @param confidence level, two-sided
     */
    public static Answer<Estimate> centre(Series times, Confidence confidence) {
        double[] all = times.present();
        if (Arrays.stream(all).anyMatch(time -> time < 0)) {
            return Answer.refused(Reason.INVALID_INPUT, Shown.NOTHING.withPoints(times));
        }
        return MeanInterval.student(
                        Sample.of(Arrays.stream(all).map(TChart::transform).toArray()), confidence)
                .fold(
                        ok -> Answer.ok(Estimate.of(
                                raise(ok.value().value()),
                                raise(ok.value().lower()),
                                raise(ok.value().upper()))),
                        refused -> Answer.refused(refused.reason(), raised(refused.shown())));
    }

    private static Shown raised(Shown shown) {
        OptionalDouble centre = shown.estimate();
        return centre.isEmpty() ? shown : shown.withEstimate(raise(centre.getAsDouble()));
    }

    private static double transform(double time) {
        return Math.pow(time, 1 / POWER);
    }

    private static double raise(double y) {
        return y <= 0 ? 0 : Math.pow(y, POWER);
    }
}
