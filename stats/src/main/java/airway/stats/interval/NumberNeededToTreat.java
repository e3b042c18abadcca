package airway.stats.interval;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.Reason;

/**
 * The number of cases in which one more success is to be expected, if the difference between two groups is due to what
 * distinguishes them: the reciprocal of the difference.
 */
public final class NumberNeededToTreat {

    private NumberNeededToTreat() {}

    /**
     * 1/d with limits 1/u and 1/l, where l, u are Newcombe's limits of d = x₁/n₁ - x₂/n₂ ({@link
     * DifferenceInterval#NEWCOMBE}).
     *
     * <p>The sign of d is kept: a negative number is the cases in which one success less is to be expected. When l to u
     * holds 0 the numbers in between run through infinity, and the interval is refused with {@link
     * Reason#CI_SPANS_NULL} (Altman DG 1998, BMJ 317:1309-1312, doi:10.1136/bmj.317.7168.1309; from memory). An empty
     * group: {@link Reason#ONE_GROUP_EMPTY}.
     *
     * @param first successes among cases of the first group
     * @param second successes among cases of the second group
     * @param confidence level, two-sided
     */
    public static Answer<Estimate> newcombe(Proportion first, Proportion second, Confidence confidence) {
        return DifferenceInterval.NEWCOMBE
                .of(first, second, confidence)
                .then(difference -> difference.interval().contains(0)
                        ? Answer.refused(Reason.CI_SPANS_NULL)
                        : Answer.ok(
                                Estimate.of(1 / difference.value(), 1 / difference.upper(), 1 / difference.lower())));
    }
}
