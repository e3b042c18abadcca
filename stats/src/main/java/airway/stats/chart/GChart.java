package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Interval;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Series;
import airway.stats.Shown;
import airway.stats.numeric.BetaLaw;
import java.util.Arrays;

/**
 * Chart of the number of cases between rare events: a high point is good news.
 *
 * <p>The lower limit is 0 or close to it: the chart cannot show events that come closer together. For deterioration use a
 * cumulative sum. The distribution is skewed, so that run rules go by the median.
 *
 * @param chart the points with their limits
 * @param median median of the baseline
 */
public record GChart(ControlChart chart, double median) {

    /** How the limits are set. */
    public enum Kind {
        /**
         * The default: the smallest g with F(g) of at least 0.00135 and of at least 0.99865, F geometric with probability 1/(1 +
         * mean).
         */
        PROBABILITY {
            @Override
            Limits limits(double mean) {
                return new Limits(quantile(TAIL, mean), mean, quantile(1 - TAIL, mean));
            }
        },

        /**
         * Mean ± 3 √(mean (mean + 1)), the lower at least 0 (Benneyan JC 2001, Health Care Manag Sci 4:305-318; the formula read
         * in the documentation of software). Passed by chance by 1.8 % of points, not by 0.135 %.
         */
        THREE_SIGMA {
            @Override
            Limits limits(double mean) {
                return Limits.about(mean, 3 * Math.sqrt(mean * (mean + 1)), 0, Double.POSITIVE_INFINITY);
            }
        };

        private static final double TAIL = 0.00135;

        abstract Limits limits(double mean);

        /** The smallest g with 1 - (1 - p)^(g + 1) of at least q, p = 1/(1 + mean). */
        private static double quantile(double q, double mean) {
            return Math.max(0, Math.ceil(Math.log1p(-q) / Math.log(mean / (1 + mean)) - 1));
        }
    }

    /**
     * The chart with limits frozen on a baseline.
     *
     * <p>No data: {@link Reason#NO_DATA}. Fewer than 10 baseline points: {@link Reason#TOO_FEW_POINTS}. All baseline points 0:
     * {@link Reason#ZERO_WIDTH_LIMITS}. A refusal shows the points, the mean and the number of baseline points.
     *
     * @param gaps cases between one event and the next, whole numbers of 0 or more, in order of time
     * @param baseline the points that set centre and limits
     * @param kind how the limits are set
     * @throws IllegalArgumentException if a number is negative or not whole, or the baseline runs beyond the series
     */
    public static Answer<GChart> of(Series gaps, Baseline baseline, Kind kind) {
        Counts.check(gaps);
        Plot plot = Plot.aboutTheMean(gaps, baseline);
        if (plot.tooLittle().isPresent()) {
            return plot.refuse(plot.tooLittle().get());
        }
        double mean = plot.centre().orElseThrow();
        if (mean == 0) {
            return plot.refuse(Reason.ZERO_WIDTH_LIMITS);
        }
        Limits limits = kind.limits(mean);
        ControlChart chart = plot.judgedBy(number -> limits);
        double median =
                Sample.of(gaps.presentIn(baseline.first(), baseline.last())).median();
        return Answer.ok(new GChart(chart, median), chart.cautions(new Interval(0, Double.POSITIVE_INFINITY)));
    }

    /**
     * The mean number of cases between events, with the limits between which the number of cases that m events took has at least α/2
     * on either side: (1 - p)/p for p the 1 - α/2 quantile of a beta distribution with parameters m and s, and the α/2 quantile of
     * one with m and s + 1, s cases lying between m events. These are the exact limits of a proportion (Clopper CJ, Pearson ES 1934,
     * Biometrika 26:404-413, doi:10.1093/biomet/26.4.404; from memory) where the number of events was fixed beforehand and not that
     * of cases. Equal to solving {@code pnbinom} of R for its probability.
     *
     * <p>No gaps: {@link Reason#NO_DATA}. No case between any events: the lower limit is 0.
     *
     * @param gaps cases between one event and the next, whole numbers of 0 or more; events come with one probability, whatever was
     *     before
     * @param confidence level, two-sided
     * @throws IllegalArgumentException if a number is negative or not whole
     */
    public static Answer<Estimate> centre(Series gaps, Confidence confidence) {
        Counts.check(gaps);
        double[] all = gaps.present();
        if (all.length == 0) {
            return Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0));
        }
        double between = Arrays.stream(all).sum();
        double lower = between == 0 ? 0 : odds(BetaLaw.quantile(1 - confidence.tail(), all.length, between));
        double upper = odds(BetaLaw.quantile(confidence.tail(), all.length, between + 1));
        return Answer.ok(Estimate.of(between / all.length, lower, upper));
    }

    private static double odds(double p) {
        return (1 - p) / p;
    }
}
