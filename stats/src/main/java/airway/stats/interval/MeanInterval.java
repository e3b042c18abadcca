package airway.stats.interval;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Shown;
import airway.stats.numeric.BetaLaw;

/** Interval for a mean. For times and saturations, which are skewed, the median says more. */
public final class MeanInterval {

    private MeanInterval() {}

    /**
     * The mean with Student's interval, mean ± t s/√n, t on n - 1 degrees of freedom (Student 1908, Biometrika 6:1-25,
     * doi:10.1093/biomet/6.1.1).
     *
     * <p>No observations: {@link Reason#NO_DATA}. One: {@link Reason#TOO_FEW_OBSERVATIONS}. All alike: {@link
     * Reason#NO_VARIATION}. The last two show the mean. Equal to {@code t.test} of R.
     *
     * @param sample observations, independent of each other
     * @param confidence level, two-sided
     */
    public static Answer<Estimate> student(Sample sample, Confidence confidence) {
        if (sample.isEmpty()) {
            return Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0));
        }
        Shown mean = Shown.NOTHING.withN(sample.n()).withEstimate(sample.mean());
        if (sample.n() == 1) {
            return Answer.refused(Reason.TOO_FEW_OBSERVATIONS, mean);
        }
        if (sample.sd() == 0) {
            return Answer.refused(Reason.NO_VARIATION, mean);
        }
        double half =
                BetaLaw.studentQuantile(confidence.alpha(), sample.n() - 1.0) * sample.sd() / Math.sqrt(sample.n());
        return Answer.ok(Estimate.of(sample.mean(), sample.mean() - half, sample.mean() + half));
    }
}
