package airway.stats.regression;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import java.util.List;
import org.apache.commons.math3.linear.RealMatrix;

/**
 * What a logistic model says in percentages: the average risk if every case had been exposed and if none had, all other
 * covariates as they are. This is what a clinician is shown; odds ratios are for the researcher's table.
 *
 * @param exposed average predicted probability of success with the exposure set to 1, with limits in [0, 1]
 * @param unexposed the same with the exposure set to 0
 * @param difference exposed less unexposed, with limits in [-1, 1]
 * @param standardError standard error of the difference
 * @param n cases
 */
public record StandardisedRisk(
        Estimate exposed, Estimate unexposed, Estimate difference, double standardError, long n) {

    /**
     * Averages the predictions of the maximum-likelihood model; standard errors by the delta method, for the cases as they are
     * (marginal standardisation: Greenland S 2004, Am J Epidemiol 160:301-305, doi:10.1093/aje/kwh221; from memory).
     *
     * <p>Refused for the reasons of {@link LogisticRegression#WALD}. The interval is normal: where almost all or almost none
     * succeed it may end at 0 or 1 too early. Programs that take the covariates as drawn from a population add their variance, and
     * those that set every covariate to its mean answer another question.
     *
     * @param patterns the cases
     * @param exposure number of the covariate that is the exposure, from 1; it is 0 or 1 in every pattern
     * @param confidence level, two-sided
     * @throws IllegalArgumentException if there is no such covariate, or it takes another value than 0 and 1
     */
    public static Answer<StandardisedRisk> of(CovariatePatterns patterns, int exposure, Confidence confidence) {
        if (exposure < 1 || exposure > patterns.covariates()) {
            throw new IllegalArgumentException(
                    "exposure = " + exposure + ", must be in [1, " + patterns.covariates() + "]");
        }
        for (int i = 0; i < patterns.size(); i++) {
            double value = patterns.value(i, exposure);
            if (value != 0 && value != 1) {
                throw new IllegalArgumentException("exposure = " + value + ", must be 0 or 1");
            }
        }
        return MaximumLikelihood.of(List.of(patterns)).map(fit -> of(fit, exposure, confidence));
    }

    private static StandardisedRisk of(MaximumLikelihood fit, int exposure, Confidence confidence) {
        AverageRisk exposed = AverageRisk.of(fit, exposure, 1);
        AverageRisk unexposed = AverageRisk.of(fit, exposure, 0);
        RealMatrix covariance = fit.point().covariance();
        AverageRisk difference = exposed.less(unexposed);
        double z = confidence.z();
        return new StandardisedRisk(
                exposed.estimate(covariance, z, 0),
                unexposed.estimate(covariance, z, 0),
                difference.estimate(covariance, z, -1),
                difference.standardError(covariance),
                fit.design().n());
    }
}
