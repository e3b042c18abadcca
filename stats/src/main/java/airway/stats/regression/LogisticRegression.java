package airway.stats.regression;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Interval;
import airway.stats.Reason;
import airway.stats.Shown;
import airway.stats.numeric.NormalLaw;
import java.util.ArrayList;
import java.util.List;
import java.util.function.IntFunction;
import java.util.stream.IntStream;
import org.apache.commons.math3.linear.RealMatrix;

/**
 * Logistic regression: ln(p/(1 - p)) = β₀ + Σ βⱼxⱼ, p the probability of success.
 *
 * <pre>{@code
 * LogisticRegression.FIRTH.of(
 *         CovariatePatterns.of(1).add(new Proportion(9, 9), 1).add(new Proportion(7, 12), 0).build(),
 *         Confidence.DEFAULT)
 * }</pre>
 *
 * <p>{@link #PROFILE} is for up to some hundred cases, {@link #WALD} for more, {@link #FIRTH} when either is refused for
 * separation or there are fewer than ten of the rarer outcome for each covariate. Every method tells the latter by {@link
 * airway.stats.Caution#LOW_EVENTS_PER_VARIABLE}.
 *
 * <p>Refused: no cases, {@link Reason#NO_DATA}; all outcomes alike, {@link Reason#NO_VARIATION}; a covariate that is constant or
 * a combination of others (to 1 part in 10^10 of its variance), {@link Reason#COLLINEAR}, with the numbers of all covariates
 * involved.
 *
 * <p>What is measured after the choice that is compared (the view, the number of attempts) must not be a covariate.
 */
public enum LogisticRegression {

    /**
     * Maximum likelihood with β ± z times the standard error, from the inverse of Fisher's information. Equal to {@code glm} of R.
     *
     * <p>Complete or quasi-complete separation: {@link Reason#SEPARATION}, found by linear programming and not by a failure to
     * converge; many programs print an odds ratio of 10^7 there. Outcomes that overlap by less than 1e-9 standard deviations of
     * the covariates count as separated.
     */
    WALD {
        @Override
        Answer<LogisticModel> fit(Design design, Confidence confidence) {
            return MaximumLikelihood.of(design).map(fit -> {
                double[] values = design.original(fit.point().coefficients());
                RealMatrix covariance = design.original(fit.point().covariance());
                return model(design, fit.point().value(), column -> {
                    double standardError = Math.sqrt(covariance.getEntry(column, column));
                    double half = confidence.z() * standardError;
                    return new Coefficient(
                            Estimate.of(values[column], values[column] - half, values[column] + half),
                            standardError,
                            NormalLaw.twoSided(values[column] / standardError));
                });
            });
        }
    },

    /**
     * The same estimates and standard errors, with limits and p from the profile likelihood: the limits are where twice the
     * log-likelihood, all other coefficients at their best, lies z² below its maximum (Venzon DJ, Moolgavkar SH 1988, Appl Stat
     * 37:87-94, doi:10.2307/2347496; from memory). Found to 10 figures; {@code confint} of R interpolates and agrees to three.
     */
    PROFILE {
        @Override
        Answer<LogisticModel> fit(Design design, Confidence confidence) {
            return MaximumLikelihood.of(design).map(fit -> profiled(design, fit.point(), false, confidence));
        }
    },

    /**
     * Firth's method: the log-likelihood plus half the logarithm of the determinant of Fisher's information, which takes away
     * the first-order bias and has a maximum under separation too (Firth D 1993, Biometrika 80:27-38,
     * doi:10.1093/biomet/80.1.27; Heinze G, Schemper M 2002, Stat Med 21:2409-2419, doi:10.1002/sim.1047; from memory, with a
     * worked example quoted). Limits and p by the profile of the penalised likelihood, never by Wald; standard errors from the
     * inverse information. The intercept is penalised too, so that averages of predictions lie closer to one half than the
     * observed share.
     *
     * <p>Some programs print the log-likelihood with binomial coefficients, or profile with the penalty of the smaller model.
     */
    FIRTH {
        @Override
        Answer<LogisticModel> fit(Design design, Confidence confidence) {
            return new Likelihood(design, true)
                    .maximum()
                    .map(top -> Answer.ok(profiled(design, top, true, confidence)))
                    .orElseGet(() -> Answer.refused(Reason.SEPARATION, Shown.NOTHING.withN(design.n())));
        }
    };

    /**
     * Fits the model.
     *
     * @param patterns the cases by their covariates
     * @param confidence level of the limits, two-sided
     */
    public Answer<LogisticModel> of(CovariatePatterns patterns, Confidence confidence) {
        return Design.of(List.of(patterns)).then(design -> fit(design, confidence));
    }

    abstract Answer<LogisticModel> fit(Design design, Confidence confidence);

    static LogisticModel model(Design design, double logLikelihood, IntFunction<Coefficient> coefficient) {
        List<Coefficient> coefficients = new ArrayList<>();
        for (int column = 1; column < design.columns; column++) {
            coefficients.add(coefficient.apply(column));
        }
        return new LogisticModel(coefficient.apply(0), coefficients, logLikelihood, design.n(), design.successes());
    }

    private static LogisticModel profiled(
            Design design, Likelihood.Point top, boolean penalised, Confidence confidence) {
        double[] values = design.original(top.coefficients());
        RealMatrix covariance = design.original(top.covariance());
        double logLikelihood = top.value() + (penalised ? design.halfLogDeterminantOfScales() : 0);
        // Profiles know nothing of each other, and are what takes the time: each has a likelihood and a core of its
        // own.
        List<Coefficient> coefficients = IntStream.range(0, design.columns)
                .parallel()
                .mapToObj(column -> {
                    double scale = design.scale(column);
                    Profile profile;
                    if (column == 0) {
                        Likelihood asTheyAre = new Likelihood(design.uncentred(), penalised);
                        double[] there = top.coefficients().clone();
                        there[0] = values[0];
                        profile = new Profile(asTheyAre, asTheyAre.at(there), 0);
                    } else {
                        profile = new Profile(new Likelihood(design, penalised), top, column);
                    }
                    Interval limits = profile.within(confidence.z());
                    return new Coefficient(
                            Estimate.of(values[column], limits.lower() / scale, limits.upper() / scale),
                            Math.sqrt(covariance.getEntry(column, column)),
                            profile.p());
                })
                .toList();
        return model(design, logLikelihood, coefficients::get);
    }
}
