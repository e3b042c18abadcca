package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Interval;
import airway.stats.Reason;
import airway.stats.Series;

/**
 * Shewhart chart of counts from equal opportunity: the same number of cases, the same time at each point. Otherwise {@link
 * UChart}.
 *
 * <p>Centre C = mean of the baseline counts, limits C ± 3 √C, the lower at least 0 (Shewhart WA 1931; NIST/SEMATECH e-Handbook of
 * Statistical Methods 6.3.3.1, read as quoted). Refusals as of {@link UChart}.
 *
 * @param chart the points with their limits
 */
public record CChart(ControlChart chart) {

    /**
     * The chart with limits frozen on a baseline.
     *
     * @param counts whole numbers of 0 or more, in order of time, or gaps
     * @param baseline the points that set centre and limits
     * @throws IllegalArgumentException if a count is negative or not whole, or the baseline runs beyond the counts
     */
    public static Answer<CChart> of(Series counts, Baseline baseline) {
        Counts.check(counts);
        Plot plot = Plot.aboutTheMean(counts, baseline);
        if (plot.tooLittle().isPresent()) {
            return plot.refuse(plot.tooLittle().get());
        }
        double centre = plot.centre().orElseThrow();
        if (centre == 0) {
            return plot.refuse(Reason.ZERO_WIDTH_LIMITS);
        }
        Limits limits = Limits.about(centre, 3 * Math.sqrt(centre), 0, Double.POSITIVE_INFINITY);
        ControlChart chart = plot.judgedBy(number -> limits);
        return Answer.ok(new CChart(chart), chart.cautions(new Interval(0, Double.POSITIVE_INFINITY)));
    }
}
