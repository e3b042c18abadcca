package airway.stats.regression;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.Shown;
import java.util.List;
import java.util.Optional;

/** A logistic model fitted by maximum likelihood, in the terms of its design. */
record MaximumLikelihood(Design design, Likelihood likelihood, Likelihood.Point point) {

    /** Fits all tables as one. */
    static Answer<MaximumLikelihood> of(List<CovariatePatterns> tables) {
        return Design.of(tables).then(MaximumLikelihood::of);
    }

    static Answer<MaximumLikelihood> of(Design design) {
        Likelihood likelihood = new Likelihood(design, false);
        return (Separation.in(design) ? Optional.<Likelihood.Point>empty() : likelihood.maximum())
                .map(point -> Answer.ok(new MaximumLikelihood(design, likelihood, point)))
                .orElseGet(() -> Answer.refused(Reason.SEPARATION, Shown.NOTHING.withN(design.n())));
    }
}
