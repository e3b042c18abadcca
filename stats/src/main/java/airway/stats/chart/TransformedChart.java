package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Interval;
import airway.stats.Reason;
import airway.stats.Series;
import airway.stats.Shown;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.function.DoubleUnaryOperator;
import org.jspecify.annotations.Nullable;

/**
 * Values that are charted as single values after they are made nearly normal, with centre and limits set back.
 *
 * @param chart the values with their limits
 * @param transformed the chart of the transformed values
 */
record TransformedChart(ControlChart chart, XmrChart transformed) {

    /**
     * @param least values below it are refused with {@link Reason#INVALID_INPUT}
     * @param there from a value to the transformed one, rising
     * @param back from a transformed value to the value it stands for
     */
    static Answer<TransformedChart> of(
            Series values, Baseline baseline, double least, DoubleUnaryOperator there, DoubleUnaryOperator back) {
        List<@Nullable Double> transformed = new ArrayList<>(values.size());
        for (OptionalDouble value : values.values()) {
            if (value.isPresent() && value.getAsDouble() < least) {
                return Answer.refused(Reason.INVALID_INPUT, Shown.NOTHING.withPoints(values));
            }
            transformed.add(value.isPresent() ? (Double) there.applyAsDouble(value.getAsDouble()) : null);
        }
        Plot plain = new Plot(values, baseline, OptionalDouble.empty());
        return XmrChart.of(Series.withGaps(transformed), baseline, XmrChart.UNBOUNDED)
                .<Answer<TransformedChart>>fold(
                        ok -> Answer.ok(back(values, baseline, ok.value(), back)),
                        refused -> plain.refuse(refused.reason()));
    }

    private static TransformedChart back(Series values, Baseline baseline, XmrChart xmr, DoubleUnaryOperator back) {
        double centre = xmr.chart().centre();
        double distance = 3 * xmr.sigma();
        Limits limits = new Limits(
                back.applyAsDouble(centre - distance),
                back.applyAsDouble(centre),
                back.applyAsDouble(centre + distance));
        return new TransformedChart(
                new Plot(values, baseline, OptionalDouble.of(limits.centre())).judgedBy(number -> limits), xmr);
    }

    /** The chart with its cautions. */
    <T> Answer<T> with(T answer) {
        return Answer.ok(answer, chart.cautions(new Interval(0, Double.POSITIVE_INFINITY)));
    }
}
