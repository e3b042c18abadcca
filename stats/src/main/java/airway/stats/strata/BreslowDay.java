package airway.stats.strata;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Reason;
import airway.stats.numeric.GammaLaw;
import java.util.List;
import java.util.Set;

/**
 * Is the odds ratio the same in every stratum? With few strata the test misses much: a large p is no proof that it is.
 *
 * @param chi2 the statistic of Breslow and Day
 * @param p P(chi-square >= chi2)
 * @param tarone the statistic with Tarone's correction
 * @param taroneP P(chi-square >= tarone)
 * @param df degrees of freedom: informative strata less 1
 * @param strataLeftOut number of strata with a margin of 0
 */
public record BreslowDay(double chi2, double p, double tarone, double taroneP, int df, int strataLeftOut) {

    private static final double HETEROGENEOUS_BELOW = 0.10;

    /**
     * Σ(a - A)²/V, A the expected first count and V its variance at the pooled odds ratio of {@link MantelHaenszel#ODDS_RATIO}
     * and the margins of each stratum (Breslow NE, Day NE 1980, Statistical Methods in Cancer Research I); less (Σ(a - A))²/ΣV
     * (Tarone RE 1985, Biometrika 72:91-95, doi:10.1093/biomet/72.1.91); both from memory. Programs that print the
     * sum alone, or take the conditional odds ratio in place of the pooled one, differ.
     *
     * <p>Tarone's p below 0.10 brings {@link Caution#HETEROGENEOUS}: the strata are then shown apart, and no pooled number comes
     * first. Fewer than two strata with all four margins above 0: {@link Reason#NO_INFORMATIVE_STRATA}. A pooled odds ratio
     * of 0 or infinity: {@link Reason#ZERO_CELL}.
     *
     * @param strata the groups in each stratum
     */
    public static Answer<BreslowDay> of(List<Stratum> strata) {
        List<Stratum> informative = strata.stream().filter(Stratum::informative).toList();
        if (informative.size() < 2) {
            return Answer.refused(Reason.NO_INFORMATIVE_STRATA);
        }
        double oddsRatio = MantelHaenszel.oddsRatio(informative);
        if (oddsRatio == 0 || Double.isInfinite(oddsRatio)) {
            return Answer.refused(Reason.ZERO_CELL);
        }
        double chi2 = 0;
        double excess = 0;
        double variance = 0;
        for (Stratum stratum : informative) {
            double expected = expected(stratum, oddsRatio);
            double ofStratum = 1
                    / (1 / expected
                            + 1 / (stratum.successes() - expected)
                            + 1 / (stratum.first().n() - expected)
                            + 1 / (stratum.second().n() - stratum.successes() + expected));
            double distance = stratum.first().x() - expected;
            chi2 += distance * distance / ofStratum;
            excess += distance;
            variance += ofStratum;
        }
        double tarone = Math.max(0, chi2 - excess * excess / variance);
        int df = informative.size() - 1;
        double taroneP = GammaLaw.chiSquareUpperTail(tarone, df);
        return Answer.ok(
                new BreslowDay(
                        chi2,
                        GammaLaw.chiSquareUpperTail(chi2, df),
                        tarone,
                        taroneP,
                        df,
                        strata.size() - informative.size()),
                taroneP < HETEROGENEOUS_BELOW ? Set.of(Caution.HETEROGENEOUS) : Set.of());
    }

    /** The first count that, with the margins of the stratum, has this odds ratio: a root of a quadratic. */
    private static double expected(Stratum stratum, double oddsRatio) {
        double n1 = stratum.first().n();
        double m = stratum.successes();
        double linear = stratum.second().n() - m + oddsRatio * (m + n1);
        double root = Math.sqrt(Math.max(0, linear * linear + 4 * (1 - oddsRatio) * oddsRatio * m * n1));
        // Of the two ways to write the root, the one in which nothing cancels.
        return linear > 0 ? 2 * oddsRatio * m * n1 / (linear + root) : (root - linear) / (2 * (1 - oddsRatio));
    }
}
