package airway.stats.compare;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Shown;
import airway.stats.numeric.BetaLaw;

/**
 * The difference between two means, without supposing equal spread.
 *
 * @param difference mean of the first sample less that of the second, with its interval
 * @param t the difference over its standard error
 * @param df degrees of freedom, of Satterthwaite
 * @param p two-sided p-value
 */
public record WelchT(Estimate difference, double t, double df, double p) {

    /**
     * Welch's test (Welch BL 1947, Biometrika 34:28-35, doi:10.1093/biomet/34.1-2.28; Satterthwaite FE 1946, Biometrics
     * Bull 2:110-114, doi:10.2307/3002019; both from memory): with v = s²/n of each group, t = (x̄ - ȳ)/√(v₁ + v₂) on
     * (v₁ + v₂)²/(v₁²/(n₁ - 1) + v₂²/(n₂ - 1)) degrees of freedom.
     *
     * <p>An empty sample: {@link Reason#ONE_GROUP_EMPTY}. One observation in a sample: {@link
     * Reason#TOO_FEW_OBSERVATIONS}. No spread in either: {@link Reason#NO_VARIATION}. The last two show the difference.
     * Equal to {@code t.test} of R.
     *
     * @param first observations of the first group
     * @param second observations of the second group
     * @param confidence level, two-sided
     */
    public static Answer<WelchT> of(Sample first, Sample second, Confidence confidence) {
        if (first.isEmpty() || second.isEmpty()) {
            return Answer.refused(Reason.ONE_GROUP_EMPTY);
        }
        double difference = first.mean() - second.mean();
        Shown shown = Shown.NOTHING.withN(first.n() + second.n()).withEstimate(difference);
        if (first.n() == 1 || second.n() == 1) {
            return Answer.refused(Reason.TOO_FEW_OBSERVATIONS, shown);
        }
        double v1 = first.variance() / first.n();
        double v2 = second.variance() / second.n();
        double variance = v1 + v2;
        if (variance == 0) {
            return Answer.refused(Reason.NO_VARIATION, shown);
        }
        double share1 = v1 / variance;
        double share2 = v2 / variance;
        double df = 1 / (share1 * share1 / (first.n() - 1) + share2 * share2 / (second.n() - 1));
        double t = difference / Math.sqrt(variance);
        double half = BetaLaw.studentQuantile(confidence.alpha(), df) * Math.sqrt(variance);
        return Answer.ok(new WelchT(
                Estimate.of(difference, difference - half, difference + half), t, df, BetaLaw.studentTwoSided(t, df)));
    }
}
