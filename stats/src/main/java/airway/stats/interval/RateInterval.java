package airway.stats.interval;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Rate;
import airway.stats.Reason;
import airway.stats.numeric.GammaLaw;

/**
 * Exact intervals for counts of rare events (Garwood F 1936, Biometrika 28:437-442, doi:10.1093/biomet/28.3-4.437; from
 * memory).
 */
public final class RateInterval {

    private RateInterval() {}

    /**
     * Events per unit of exposure, x/T, with the limits between which a Poisson count x has at least α/2 on either side:
     * half the α/2 quantile of chi-square on 2x degrees of freedom, and half the 1 - α/2 quantile on 2x + 2, divided by T.
     *
     * <p>x = 0: the lower limit is 0. No exposure: {@link Reason#NO_DATA}. Equal to {@code poisson.test} of R.
     *
     * @param rate events in an exposure
     * @param confidence level, two-sided
     */
    public static Answer<Estimate> exact(Rate rate, Confidence confidence) {
        if (rate.isEmpty()) {
            return Answer.refused(Reason.NO_DATA);
        }
        return Answer.ok(scaled(rate.events(), rate.exposure(), confidence));
    }

    /**
     * Observed over expected events, with the exact limits of the observed count divided by the expected. The expected
     * number is taken to be known without error.
     *
     * @param observed number of events, in [0, 10^9]
     * @param expected their expected number, in [1e-9, 1e12]; 0 or less is refused with {@link Reason#INVALID_INPUT}
     * @param confidence level, two-sided
     * @throws IllegalArgumentException if the observed number is negative, or either is out of range
     */
    public static Answer<Estimate> observedOverExpected(long observed, double expected, Confidence confidence) {
        if (expected <= 0) {
            return Answer.refused(Reason.INVALID_INPUT);
        }
        return exact(new Rate(observed, expected), confidence);
    }

    private static Estimate scaled(long events, double exposure, Confidence confidence) {
        double lower = events == 0 ? 0 : GammaLaw.quantile(confidence.tail(), (double) events);
        double upper = GammaLaw.upperQuantile(confidence.tail(), events + 1.0);
        return Estimate.of(events / exposure, lower / exposure, upper / exposure);
    }
}
