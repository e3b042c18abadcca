package airway.stats.compare;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.Sample;

/**
 * The rank-sum test of two samples (Wilcoxon F 1945, Biometrics Bull 1:80-83, doi:10.2307/3001968; Mann HB, Whitney DR
 * 1947, Ann Math Stat 18:50-60, doi:10.1214/aoms/1177730491; both from memory).
 *
 * @param u number of pairs in which the observation of the first sample is the larger, ties counting one half
 * @param p two-sided p-value against the same distribution in both groups
 * @param exact whether p comes from all permutations, and not from the normal approximation
 */
public record RankSum(double u, double p, boolean exact) {

    private static final int MOST_FOR_PERMUTATION = 100;

    /**
     * Ranks both samples together, ties sharing their mean rank. Up to 100 observations in all p is exact: the share of
     * all allocations of these ranks to the two groups whose rank sum is at least as far from its mean. Above, it is normal
     * with the variance corrected for ties and a continuity correction of one half.
     *
     * <p>An empty sample: {@link Reason#ONE_GROUP_EMPTY}. All observations alike: {@link Reason#NO_VARIATION}. {@code
     * wilcox.test} of R is exact only without ties and below 50 in each group; some programs report the larger of the two
     * possible u, or leave the corrections out.
     *
     * @param first observations of the first group
     * @param second observations of the second group
     */
    public static Answer<RankSum> of(Sample first, Sample second) {
        if (first.isEmpty() || second.isEmpty()) {
            return Answer.refused(Reason.ONE_GROUP_EMPTY);
        }
        Ranks ranks = Ranks.of(first, second);
        if (ranks.allTied()) {
            return Answer.refused(Reason.NO_VARIATION);
        }
        double u = ranks.sum() - first.n() * (first.n() + 1.0) / 2;
        boolean exact = first.n() + second.n() <= MOST_FOR_PERMUTATION;
        return Answer.ok(new RankSum(u, exact ? ranks.permutationP() : ranks.normalP(), exact));
    }
}
