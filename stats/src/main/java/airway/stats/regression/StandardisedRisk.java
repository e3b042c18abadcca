package airway.stats.regression;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Interval;
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
        Average exposed = Average.of(fit, exposure, 1);
        Average unexposed = Average.of(fit, exposure, 0);
        RealMatrix covariance = fit.point().covariance();
        Average difference = exposed.less(unexposed);
        return new StandardisedRisk(
                exposed.estimate(covariance, confidence, 0),
                unexposed.estimate(covariance, confidence, 0),
                difference.estimate(covariance, confidence, -1),
                difference.standardError(covariance),
                fit.design().n());
    }

    /** An average over all cases, and its slopes in the coefficients. */
    private static final class Average {

        private final double value;
        private final double[] slopes;

        private Average(double value, double[] slopes) {
            this.value = value;
            this.slopes = slopes;
        }

        static Average of(MaximumLikelihood fit, int column, double exposure) {
            Design design = fit.design();
            double[] slopes = new double[design.columns];
            double value = 0;
            double n = design.n();
            double set = design.standardised(column, exposure);
            for (int i = 0; i < design.rows; i++) {
                double[] z = design.row(i);
                double[] coefficients = fit.point().coefficients();
                double p =
                        Design.inverseLogit(design.logOdds(i, coefficients) + (set - z[column]) * coefficients[column]);
                z[column] = set;
                double share = design.cases[i] / n;
                value += share * p;
                for (int j = 0; j < slopes.length; j++) {
                    slopes[j] += share * p * (1 - p) * z[j];
                }
            }
            return new Average(Math.min(1, value), slopes);
        }

        Average less(Average other) {
            double[] apart = slopes.clone();
            for (int j = 0; j < apart.length; j++) {
                apart[j] -= other.slopes[j];
            }
            return new Average(value - other.value, apart);
        }

        double standardError(RealMatrix covariance) {
            double[] product = covariance.operate(slopes);
            double variance = 0;
            for (int j = 0; j < product.length; j++) {
                variance += product[j] * slopes[j];
            }
            return Math.sqrt(variance);
        }

        Estimate estimate(RealMatrix covariance, Confidence confidence, double least) {
            double half = confidence.z() * standardError(covariance);
            return new Estimate(value, new Interval(value - half, value + half).clippedTo(least, 1));
        }
    }
}
