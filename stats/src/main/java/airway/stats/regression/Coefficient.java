package airway.stats.regression;

import airway.stats.Estimate;

/**
 * One coefficient of a logistic model.
 *
 * @param estimate change of the log odds of success for one unit of the covariate, or the log odds where all covariates are 0;
 *     with its interval
 * @param standardError its standard error
 * @param p two-sided p-value against 0
 */
public record Coefficient(Estimate estimate, double standardError, double p) {

    /** The odds ratio for one unit of the covariate, with its interval. */
    public Estimate oddsRatio() {
        return Estimate.of(Math.exp(estimate.value()), Math.exp(estimate.lower()), Math.exp(estimate.upper()));
    }
}
