package airway.stats.pooling;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Reason;
import airway.stats.Shown;
import airway.stats.numeric.BetaLaw;
import airway.stats.numeric.GammaLaw;
import java.util.List;
import java.util.Optional;

/**
 * Random-effects pooling of one effect from each site. With weights w = 1/(v + τ²) the average is μ = Σwy/Σw.
 *
 * <p>{@link #HARTUNG_KNAPP} is what is shown; the others are for comparison with published work. Every method gives Q = Σ(y -
 * μ)²/v about the average with τ² = 0, I² = max(0, (Q - df)/Q), and from three sites on the prediction interval μ ± t √(τ² +
 * 1/Σw), t on k - 2 degrees of freedom (Higgins JPT, Thompson SG, Spiegelhalter DJ 2009, J R Stat Soc A 172:137-159,
 * doi:10.1111/j.1467-985X.2008.00552.x; from memory). Some programs take the normal, or k - 1 degrees of freedom.
 *
 * <p>No site: {@link Reason#NO_DATA}. One: {@link Reason#SINGLE_UNIT}, its effect shown.
 */
public enum RandomEffects {

    /**
     * τ² = max(0, (Q - (k - 1)) / (Σ1/v - Σ1/v² / Σ1/v)), and μ ± z/√Σw (DerSimonian R, Laird N 1986, Control Clin Trials 7:177-188,
     * doi:10.1016/0197-2456(86)90046-2; from memory). Too narrow with few sites.
     */
    DERSIMONIAN_LAIRD {
        @Override
        double tau2(Sites sites) {
            Sites.Average fixed = sites.average(0);
            double excess = fixed.squares() - (sites.number() - 1);
            return Math.max(0, excess / (fixed.weights() - fixed.squaredWeights() / fixed.weights()));
        }

        @Override
        Spread spread(Sites.Average average, int sites, Confidence confidence) {
            return new Spread(average.standardError(), confidence.z());
        }
    },

    /** τ² by restricted maximum likelihood, and μ ± z/√Σw (Viechtbauer W 2005, J Educ Behav Stat 30:261-293; from memory). */
    REML {
        @Override
        double tau2(Sites sites) {
            return sites.restrictedMaximum();
        }

        @Override
        Spread spread(Sites.Average average, int sites, Confidence confidence) {
            return new Spread(average.standardError(), confidence.z());
        }
    },

    /**
     * τ² by restricted maximum likelihood, standard error √(q/Σw) with q = Σw(y - μ)²/(k - 1), but not below 1, and t on k - 1 degrees
     * of freedom (Hartung J, Knapp G 2001, Stat Med 20:3875-3889, doi:10.1002/sim.1009; q of at least 1 as in Knapp G, Hartung J
     * 2003, Stat Med 22:2693-2710, doi:10.1002/sim.1482; from memory). Never narrower than with the normal distribution.
     */
    HARTUNG_KNAPP {
        @Override
        double tau2(Sites sites) {
            return sites.restrictedMaximum();
        }

        @Override
        Spread spread(Sites.Average average, int sites, Confidence confidence) {
            double q = Math.max(1, average.squares() / (sites - 1));
            return new Spread(average.standardError() * Math.sqrt(q), student(sites - 1, confidence));
        }
    },

    /**
     * The same with q as it comes: absurdly narrow when a few sites happen to agree, and refused with {@link
     * Reason#NO_VARIATION} when they agree to the last figure.
     */
    HARTUNG_KNAPP_PLAIN {
        @Override
        double tau2(Sites sites) {
            return sites.restrictedMaximum();
        }

        @Override
        Spread spread(Sites.Average average, int sites, Confidence confidence) {
            double q = average.squares() / (sites - 1);
            return new Spread(average.standardError() * Math.sqrt(q), student(sites - 1, confidence));
        }
    };

    /**
     * Pools the sites.
     *
     * @param effects the effect of each site, all on the same scale; for ratios without sites that had no events in both groups
     * @param confidence level, two-sided
     */
    public Answer<PooledEffect> of(List<SiteEffect> effects, Confidence confidence) {
        if (effects.isEmpty()) {
            return Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0));
        }
        int number = effects.size();
        if (number == 1) {
            return Answer.refused(
                    Reason.SINGLE_UNIT,
                    Shown.NOTHING.withN(1).withEstimate(effects.get(0).effect()));
        }
        Sites sites = Sites.of(effects);
        double tau2 = tau2(sites);
        Sites.Average average = sites.average(tau2);
        Spread spread = spread(average, number, confidence);
        if (spread.standardError == 0) {
            return Answer.refused(
                    Reason.NO_VARIATION, Shown.NOTHING.withN(number).withEstimate(average.value()));
        }
        double q = sites.average(0).squares();
        double df = number - 1.0;
        return Answer.ok(new PooledEffect(
                around(average.value(), spread.deviate * spread.standardError),
                spread.standardError,
                tau2,
                q,
                GammaLaw.chiSquareUpperTail(q, df),
                q > df ? (q - df) / q : 0,
                number < 3
                        ? Optional.empty()
                        : Optional.of(around(
                                        average.value(),
                                        student(number - 2, confidence)
                                                * Math.hypot(Math.sqrt(tau2), average.standardError()))
                                .interval()),
                number));
    }

    /** Variance of the true effects between sites. */
    abstract double tau2(Sites sites);

    /** What the interval rests on. */
    abstract Spread spread(Sites.Average average, int sites, Confidence confidence);

    /** A standard error, and how many of them the limits are away. */
    record Spread(double standardError, double deviate) {}

    private static double student(int df, Confidence confidence) {
        return BetaLaw.studentQuantile(confidence.alpha(), df);
    }

    private static Estimate around(double value, double half) {
        return Estimate.of(value, value - half, value + half);
    }
}
