package airway.stats.strata;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Interval;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.Shown;
import java.util.List;
import java.util.Set;

/**
 * Direct standardisation of two groups with the usual normal interval, for the researcher who wants to compare with
 * published work. {@link LikeForLike} is what a screen shows.
 *
 * @param recordedFirst the first group as recorded
 * @param recordedSecond the second group as recorded
 * @param first standardised proportion of the first group
 * @param second standardised proportion of the second group
 * @param difference first less second, with limits in [-1, 1]
 * @param standardError standard error of the difference
 */
public record DirectStandardisation(
        Proportion recordedFirst,
        Proportion recordedSecond,
        double first,
        double second,
        Estimate difference,
        double standardError) {

    /**
     * Weights w of the strata as in {@link LikeForLike#of}, S₁ - S₂ ± z √(Σw²p₁q₁/n₁ + Σw²p₂q₂/n₂) (Fleiss JL, Levin B,
     * Paik MC 2003, Statistical Methods for Rates and Proportions, 3rd ed, doi:10.1002/0471445428; from memory).
     *
     * <p>The interval is too narrow when a stratum has few cases: 2 to 5 a group in three strata covered 77 to 83 % at 95 %, in
     * one stratum 61 to 74 % (simulated). Not to be shown where a group has fewer than 10 in some stratum.
     *
     * <p>No stratum, or only empty ones: {@link Reason#NO_INFORMATIVE_STRATA}. A stratum in which one group has cases and
     * the other none: {@link Reason#ONE_GROUP_EMPTY}; there is nothing to stand for it. Nothing but successes or nothing but
     * failures in every group of every stratum: {@link Reason#NO_VARIATION}, the difference shown.
     *
     * @param strata the groups in each stratum
     * @param confidence level, two-sided
     * @throws IllegalArgumentException if a group has more than 10^9 cases in all
     */
    public static Answer<DirectStandardisation> of(List<Stratum> strata, Confidence confidence) {
        List<Stratum> present =
                strata.stream().filter(stratum -> stratum.cases() > 0).toList();
        if (present.isEmpty()) {
            return Answer.refused(Reason.NO_INFORMATIVE_STRATA);
        }
        if (!present.stream().allMatch(Stratum::comparable)) {
            return Answer.refused(Reason.ONE_GROUP_EMPTY);
        }
        List<List<Proportion>> groups = present.stream().map(Stratum::groups).toList();
        double[] weights = WeightedArm.sharesOfCases(groups);
        WeightedArm one = WeightedArm.of(groups, 0, weights);
        WeightedArm two = WeightedArm.of(groups, 1, weights);
        double difference = one.value() - two.value();
        double standardError = Math.sqrt(one.variance() + two.variance());
        if (standardError == 0) {
            return Answer.refused(Reason.NO_VARIATION, Shown.NOTHING.withEstimate(difference));
        }
        double half = confidence.z() * standardError;
        var standardised = new DirectStandardisation(
                LikeForLike.total(present.stream().map(Stratum::first).toList()),
                LikeForLike.total(present.stream().map(Stratum::second).toList()),
                one.value(),
                two.value(),
                new Estimate(difference, new Interval(difference - half, difference + half).clippedTo(-1, 1)),
                standardError);
        return Answer.ok(standardised, standardised.reversal() ? Set.of(Caution.REVERSAL) : Set.of());
    }

    /** Difference of the proportions as recorded, first less second. */
    public double recordedDifference() {
        return recordedFirst.value() - recordedSecond.value();
    }

    /** Whether the difference as recorded and the standardised one have opposite signs (Simpson's paradox). */
    public boolean reversal() {
        return LikeForLike.opposite(recordedDifference(), difference.value());
    }
}
