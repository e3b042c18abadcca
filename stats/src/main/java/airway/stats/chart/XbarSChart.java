package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Series;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.OptionalDouble;
import java.util.function.ToDoubleFunction;
import org.jspecify.annotations.Nullable;

/**
 * Shewhart chart of the means of groups and of their standard deviations, the groups of any size.
 *
 * <p>Centre = mean of all baseline observations; σ = mean of s/c₄(n) over the baseline groups of two or more; limits of a mean
 * centre ± 3σ/√n; of a standard deviation c₄(n)σ ± 3σ√(1 - c₄(n)²), the lower at least 0 (Shewhart WA 1931; Montgomery DC,
 * Introduction to Statistical Quality Control; both from memory). For groups of equal size this is the textbook chart;
 * programs that pool variances differ where sizes do.
 *
 * @param means the means with their limits; a group without observations is a gap
 * @param deviations the standard deviations with their limits; a group of fewer than two is a gap
 * @param sigma the standard deviation within groups
 */
public record XbarSChart(ControlChart means, List<ChartPoint> deviations, double sigma) {

    /** A chart with a copy of the deviations. */
    public XbarSChart {
        deviations = List.copyOf(deviations);
    }

    /**
     * The chart with limits frozen on a baseline.
     *
     * <p>No observations: {@link Reason#NO_DATA}. Fewer than 10 baseline groups with observations: {@link
     * Reason#TOO_FEW_POINTS}. No baseline group of two: {@link Reason#NO_WITHIN_GROUP_VARIATION}. All observations alike within
     * each group: {@link Reason#ZERO_WIDTH_LIMITS}. A refusal shows the means, the centre if the baseline has data, and the
     * number of baseline groups with observations.
     *
     * @param groups observations in order of time
     * @param baseline the groups that set centre and limits
     * @throws IllegalArgumentException if the baseline runs beyond the groups
     */
    public static Answer<XbarSChart> of(List<Sample> groups, Baseline baseline) {
        baseline.checkWithin(groups.size());
        List<Sample> inBaseline = groups.subList(baseline.first() - 1, baseline.last());
        Sample all = Sample.of(inBaseline.stream()
                .flatMapToDouble(group -> Arrays.stream(group.sorted()))
                .toArray());
        Plot plot = new Plot(
                seriesOf(groups, 1, Sample::mean),
                baseline,
                all.isEmpty() ? OptionalDouble.empty() : OptionalDouble.of(all.mean()));
        if (plot.tooLittle().isPresent()) {
            return plot.refuse(plot.tooLittle().get());
        }
        OptionalDouble within = inBaseline.stream()
                .filter(group -> group.n() >= 2)
                .mapToDouble(group -> group.sd() / ControlConstants.c4(group.n()))
                .average();
        if (within.isEmpty()) {
            return plot.refuse(Reason.NO_WITHIN_GROUP_VARIATION);
        }
        double sigma = within.getAsDouble();
        if (sigma == 0) {
            return plot.refuse(Reason.ZERO_WIDTH_LIMITS);
        }
        ControlChart means = plot.judgedBy(number -> Limits.about(
                all.mean(),
                3 * sigma / Math.sqrt(groups.get(number - 1).n()),
                Double.NEGATIVE_INFINITY,
                Double.POSITIVE_INFINITY));
        ControlChart deviations = new Plot(seriesOf(groups, 2, Sample::sd), baseline, within)
                .judgedBy(number -> deviationLimits(groups.get(number - 1).n(), sigma));
        return Answer.ok(new XbarSChart(means, deviations.points(), sigma), means.cautions(XmrChart.UNBOUNDED));
    }

    /** Numbers of the groups whose standard deviation lies strictly beyond its limits. */
    public List<Integer> deviationSignals() {
        return deviations.stream()
                .filter(point -> point.signal() != Signal.NONE)
                .map(ChartPoint::number)
                .toList();
    }

    private static Limits deviationLimits(int n, double sigma) {
        double c4 = ControlConstants.c4(n);
        return Limits.about(c4 * sigma, 3 * sigma * Math.sqrt(1 - c4 * c4), 0, Double.POSITIVE_INFINITY);
    }

    /** A number for each group, a gap for those with too few observations. */
    private static Series seriesOf(List<Sample> groups, int fewest, ToDoubleFunction<Sample> number) {
        List<@Nullable Double> values = new ArrayList<>(groups.size());
        for (Sample group : groups) {
            values.add(group.n() < fewest ? null : (Double) number.applyAsDouble(group));
        }
        return Series.withGaps(values);
    }
}
