package airway.stats.strata;

import airway.stats.Answer;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.Sample;

/**
 * How alike two groups are in one covariate: their difference in standard deviations. It does not grow with the number of
 * cases, as a p-value does.
 *
 * @param value first less second, in standard deviations; infinite when the groups differ and neither varies
 */
public record StandardisedDifference(double value) {

    private static final double IMBALANCED_ABOVE = 0.1;

    /**
     * For a covariate that a case has or has not: (p₁ - p₂)/√((p₁q₁ + p₂q₂)/2) (Austin PC 2009, Stat Med 28:3083-3107,
     * doi:10.1002/sim.3697; from memory). Equal proportions: 0, also when nobody or everybody has it. A group without cases:
     * {@link Reason#ONE_GROUP_EMPTY}.
     *
     * @param first cases with the covariate among those of the first group
     * @param second the same of the second group
     */
    public static Answer<StandardisedDifference> ofProportions(Proportion first, Proportion second) {
        if (first.isEmpty() || second.isEmpty()) {
            return Answer.refused(Reason.ONE_GROUP_EMPTY);
        }
        return Answer.ok(of(first.value() - second.value(), variance(first), variance(second)));
    }

    /**
     * For a measurement: (x̄ - ȳ)/√((s²ₓ + s²ᵧ)/2) (Austin, the same). An empty sample: {@link Reason#ONE_GROUP_EMPTY}. One
     * observation in a sample: {@link Reason#TOO_FEW_OBSERVATIONS}.
     *
     * @param first the covariate in the first group
     * @param second the covariate in the second group
     */
    public static Answer<StandardisedDifference> ofMeans(Sample first, Sample second) {
        if (first.isEmpty() || second.isEmpty()) {
            return Answer.refused(Reason.ONE_GROUP_EMPTY);
        }
        if (first.n() == 1 || second.n() == 1) {
            return Answer.refused(Reason.TOO_FEW_OBSERVATIONS);
        }
        return Answer.ok(of(first.mean() - second.mean(), first.variance(), second.variance()));
    }

    /**
     * Whether the groups differ by more than a tenth of a standard deviation, so that a comparison that does not allow for
     * the covariate is {@link airway.stats.Caution#CRUDE_ONLY}. The tenth is Austin's.
     */
    public boolean imbalanced() {
        return Math.abs(value) > IMBALANCED_ABOVE;
    }

    private static StandardisedDifference of(double difference, double variance1, double variance2) {
        return new StandardisedDifference(difference == 0 ? 0 : difference / Math.sqrt(variance1 / 2 + variance2 / 2));
    }

    private static double variance(Proportion group) {
        return group.value() * (1 - group.value());
    }
}
