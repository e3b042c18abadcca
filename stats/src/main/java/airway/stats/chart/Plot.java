package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Series;
import airway.stats.Shown;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.IntFunction;

/**
 * Points with a baseline, before they have limits: what the control charts do in the same way.
 *
 * @param values what is plotted
 * @param baseline where the limits will come from
 * @param centre the centre line, unless no baseline point has data
 */
record Plot(Series values, Baseline baseline, OptionalDouble centre) {

    /** Values with the mean of those in the baseline as centre line. */
    static Plot aboutTheMean(Series values, Baseline baseline) {
        baseline.checkWithin(values.size());
        Sample known = Sample.of(values.presentIn(baseline.first(), baseline.last()));
        return new Plot(values, baseline, known.isEmpty() ? OptionalDouble.empty() : OptionalDouble.of(known.mean()));
    }

    /** Number of baseline points that have data. */
    int baselinePoints() {
        return values.observedIn(baseline.first(), baseline.last());
    }

    /** Why there can be no limits at all: no data, or too few points of them. */
    Optional<Reason> tooLittle() {
        if (values.observed() == 0) {
            return Optional.of(Reason.NO_DATA);
        }
        return baselinePoints() < ControlChart.FEWEST_POINTS ? Optional.of(Reason.TOO_FEW_POINTS) : Optional.empty();
    }

    /** A refusal that shows the points, the centre if there is one, and how many baseline points have data. */
    <T> Answer<T> refuse(Reason reason) {
        return Answer.refused(
                reason,
                Shown.NOTHING.withN(baselinePoints()).withEstimate(centre).withPoints(values));
    }

    /** The chart, each point judged by the limits at its place. */
    ControlChart judgedBy(IntFunction<Limits> limitsAt) {
        List<ChartPoint> points = new ArrayList<>(values.size());
        for (int i = 1; i <= values.size(); i++) {
            OptionalDouble value = values.at(i);
            points.add(
                    value.isPresent()
                            ? ChartPoint.judged(i, value.getAsDouble(), limitsAt.apply(i))
                            : ChartPoint.gap(i));
        }
        return new ControlChart(points, centre.orElseThrow(), baseline, baselinePoints());
    }
}
