package airway.stats.regression;

import java.util.List;

/**
 * A fitted logistic model.
 *
 * @param intercept log odds of success where all covariates are 0
 * @param coefficients one for each covariate, in order
 * @param logLikelihood log-likelihood of the single cases, without binomial coefficients; for Firth's method with the penalty
 * @param n cases
 * @param successes cases that succeeded
 */
public record LogisticModel(
        Coefficient intercept, List<Coefficient> coefficients, double logLikelihood, long n, long successes) {

    /** Copies the list. */
    public LogisticModel {
        coefficients = List.copyOf(coefficients);
    }
}
