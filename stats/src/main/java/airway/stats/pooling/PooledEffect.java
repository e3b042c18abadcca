package airway.stats.pooling;

import airway.stats.Estimate;
import airway.stats.Interval;
import java.util.Optional;

/**
 * The effects of several sites, pooled.
 *
 * @param estimate the average effect with its interval
 * @param standardError its standard error, of the kind that the interval rests on
 * @param tau2 variance of the true effects between sites; 0 when they differ no more than chance explains
 * @param q Cochran's Q, on one degree of freedom less than there are sites
 * @param qP P(chi-square >= q)
 * @param i2 I², the share of the scatter that chance does not explain, in [0, 1)
 * @param prediction where the true effect of a further site may lie; from three sites on
 * @param sites number of sites
 */
public record PooledEffect(
        Estimate estimate,
        double standardError,
        double tau2,
        double q,
        double qP,
        double i2,
        Optional<Interval> prediction,
        int sites) {

    private static final int FEWEST_TO_JUDGE = 5;

    /** Whether there are fewer than 5 sites, so that beside the interval belongs: too few sites to judge how much they differ. */
    public boolean tooFewToJudgeHeterogeneity() {
        return sites < FEWEST_TO_JUDGE;
    }

    /** The average as a proportion, if the effects were log odds: 1/(1 + exp(-x)) of the estimate and its limits. */
    public Estimate asProportion() {
        return Estimate.of(
                inverseLogit(estimate.value()), inverseLogit(estimate.lower()), inverseLogit(estimate.upper()));
    }

    private static double inverseLogit(double logOdds) {
        return 1 / (1 + Math.exp(-logOdds));
    }
}
