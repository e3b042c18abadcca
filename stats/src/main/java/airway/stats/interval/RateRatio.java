package airway.stats.interval;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Rate;
import airway.stats.Reason;
import airway.stats.numeric.BinomialLaw;

/**
 * The ratio of two rates with an exact interval.
 *
 * @param estimate (x₁/T₁)/(x₂/T₂) with its interval; infinite, with an infinite upper limit, when x₂ = 0
 * @param p two-sided p-value against a ratio of 1
 */
public record RateRatio(Estimate estimate, double p) {

    /**
     * The conditional method: given x₁ + x₂, x₁ is binomial with probability T₁r/(T₁r + T₂). Its Clopper-Pearson limits π
     * give r = π/(1 - π) T₂/T₁; p is the probability of all outcomes no more probable than x₁ when r = 1 (Lehmann EL 1959,
     * Testing Statistical Hypotheses; from memory).
     *
     * <p>x₁ = 0: estimate and lower limit 0. x₁ = x₂ = 0: {@link Reason#NO_VARIATION}. No exposure in a group: {@link
     * Reason#ONE_GROUP_EMPTY}. Equal to {@code poisson.test} of R with two samples.
     *
     * @param first events in the exposure of the first group
     * @param second events in the exposure of the second group, whose rate is the divisor
     * @param confidence level, two-sided
     */
    public static Answer<RateRatio> exact(Rate first, Rate second, Confidence confidence) {
        if (first.isEmpty() || second.isEmpty()) {
            return Answer.refused(Reason.ONE_GROUP_EMPTY);
        }
        double events = (double) first.events() + second.events();
        if (events == 0) {
            return Answer.refused(Reason.NO_VARIATION);
        }
        double exposures = second.exposure() / first.exposure();
        double expectedShare = first.exposure() / (first.exposure() + second.exposure());
        return Answer.ok(new RateRatio(
                Estimate.of(
                        first.value() / second.value(),
                        lowerOdds((double) first.events(), events, confidence) * exposures,
                        exposures / lowerOdds((double) second.events(), events, confidence)),
                BinomialLaw.twoSided(first.events(), (long) events, expectedShare)));
    }

    /** Lower limit of the odds of an event falling to a group that had so many of all. */
    private static double lowerOdds(double some, double all, Confidence confidence) {
        double share = ProportionInterval.CLOPPER_PEARSON.lower(some, all, confidence);
        return share / (1 - share);
    }
}
