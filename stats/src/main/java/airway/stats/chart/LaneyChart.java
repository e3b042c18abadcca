package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Proportion;
import airway.stats.Rate;
import airway.stats.Reason;
import java.util.List;
import java.util.OptionalDouble;

/**
 * Chart of proportions (p′) or rates (u′) whose limits allow for more, or less, scatter than chance alone: for very large
 * denominators, after the causes of the scatter were looked for. Never a means to silence signals: shown beside the chart
 * without the allowance.
 *
 * @param chart the points with their limits
 * @param sigmaZ scatter between neighbours over what chance explains; below 1 the chart without the allowance is preferred
 */
public record LaneyChart(ControlChart chart, double sigmaZ) {

    /**
     * The p′ chart of Laney (2002, Qual Eng 14:531-537, doi:10.1081/QEN-120003555; from memory): centre P = Σx/Σn;
     * limits P ± 3 σ_i σ_z with σ_i = √(P(1 - P)/n_i), σ_z the mean of |z_i - z_{i-1}| over d₂(2) = 2/√π, and z_i =
     * (p_i - P)/σ_i; clipped to [0, 1]. Ranges are taken only between neighbours in the baseline that both have data.
     *
     * <p>Refusals as of {@link PChart}; also {@link Reason#TOO_FEW_POINTS} if no two neighbours have data, and {@link
     * Reason#ZERO_WIDTH_LIMITS} if σ_z = 0. Programs that take the standard deviation of z, or 1.128 for d₂, differ.
     *
     * @param points successes among cases, in order of time; 0 of 0 is a gap
     * @param baseline the points that set centre and limits
     * @throws IllegalArgumentException if the baseline runs beyond the points
     */
    public static Answer<LaneyChart> ofProportions(List<Proportion> points, Baseline baseline) {
        return of(CountedPoints.ofProportions(points, baseline));
    }

    /**
     * The u′ chart: the same for rates, with σ_i = √(U/a_i), the lower limit at least 0.
     *
     * @param points events in exposures, in order of time; an exposure of 0 is a gap
     * @param baseline the points that set centre and limits
     * @throws IllegalArgumentException if the baseline runs beyond the points
     */
    public static Answer<LaneyChart> ofRates(List<Rate> points, Baseline baseline) {
        return of(CountedPoints.ofRates(points, baseline));
    }

    private static Answer<LaneyChart> of(CountedPoints points) {
        if (points.refusal().isPresent()) {
            return points.refuse(points.refusal().get());
        }
        OptionalDouble meanRange =
                new MovingRanges(points.z()).mean(points.plot().baseline());
        if (meanRange.isEmpty()) {
            return points.refuse(Reason.TOO_FEW_POINTS);
        }
        double sigmaZ = meanRange.getAsDouble() / MovingRanges.D2;
        if (sigmaZ == 0) {
            return points.refuse(Reason.ZERO_WIDTH_LIMITS);
        }
        ControlChart chart = points.chart(sigmaZ);
        return Answer.ok(new LaneyChart(chart, sigmaZ), chart.cautions(points.possible()));
    }
}
