package airway.stats.strata;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.numeric.GammaLaw;
import java.util.List;

/**
 * The test of Cochran, Mantel and Haenszel: do two groups differ once compared within strata?
 *
 * @param chi2 the statistic without continuity correction, on 1 degree of freedom
 * @param p P(chi-square >= chi2)
 * @param corrected the statistic with continuity correction
 * @param correctedP P(chi-square >= corrected)
 * @param strataUsed number of strata with all four margins above 0
 * @param strataLeftOut number of the others
 */
public record CochranMantelHaenszel(
        double chi2, double p, double corrected, double correctedP, int strataUsed, int strataLeftOut) {

    /**
     * (Σ(a - E))²/ΣV, and with correction max(0, |Σ(a - E)| - ½)²/ΣV, where in each stratum E and V are mean and variance of the
     * first group's successes given all four margins, V = n₁n₂m(N - m)/(N²(N - 1)) (Mantel N, Haenszel W 1959, J Natl Cancer Inst
     * 22:719-748, doi:10.1093/jnci/22.4.719; from memory).
     *
     * <p>No stratum with all four margins above 0: {@link Reason#NO_INFORMATIVE_STRATA}. Equal to {@code mantelhaen.test} of R,
     * which corrects unless told otherwise, and leaves the correction out when |Σ(a - E)| is below ½.
     *
     * @param strata the groups in each stratum
     */
    public static Answer<CochranMantelHaenszel> of(List<Stratum> strata) {
        List<Stratum> informative = strata.stream().filter(Stratum::informative).toList();
        if (informative.isEmpty()) {
            return Answer.refused(Reason.NO_INFORMATIVE_STRATA);
        }
        double excess = 0;
        double variance = 0;
        for (Stratum stratum : informative) {
            double n = stratum.cases();
            double successes = stratum.successes();
            double share = stratum.first().n() / n;
            excess += stratum.first().x() - share * successes;
            variance += share * (stratum.second().n() / n) * successes * ((n - successes) / (n - 1));
        }
        double chi2 = excess * excess / variance;
        double less = Math.max(0, Math.abs(excess) - 0.5);
        double corrected = less * less / variance;
        return Answer.ok(new CochranMantelHaenszel(
                chi2,
                GammaLaw.chiSquareUpperTail(chi2, 1),
                corrected,
                GammaLaw.chiSquareUpperTail(corrected, 1),
                informative.size(),
                strata.size() - informative.size()));
    }

    /** Degrees of freedom: 1. */
    public int df() {
        return 1;
    }
}
