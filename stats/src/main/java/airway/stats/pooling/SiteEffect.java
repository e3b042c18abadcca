package airway.stats.pooling;

import airway.stats.Answer;
import airway.stats.Proportion;
import airway.stats.Reason;

/**
 * One effect as one site found it.
 *
 * @param effect the effect on a scale on which it is about normal: a log odds, a log ratio, a difference; in [-1e6, 1e6]
 * @param variance its sampling variance, in [1e-12, 1e12]
 */
public record SiteEffect(double effect, double variance) {

    /**
     * An effect with its variance.
     *
     * @throws IllegalArgumentException if either is NaN or out of range
     */
    public SiteEffect {
        if (!(Math.abs(effect) <= 1e6)) {
            throw new IllegalArgumentException("effect = " + effect + ", must be in [-1e6, 1e6]");
        }
        if (!(variance >= 1e-12 && variance <= 1e12)) {
            throw new IllegalArgumentException("variance = " + variance + ", must be in [1e-12, 1e12]");
        }
    }

    /**
     * The log odds of a proportion, ln(x/(n - x)), with variance 1/x + 1/(n - x). Where x is 0 or n, and only there, one half is
     * added to both; programs that add it everywhere differ. No cases: {@link Reason#NO_DATA}.
     *
     * @param proportion successes among cases of the site
     */
    public static Answer<SiteEffect> logit(Proportion proportion) {
        if (proportion.isEmpty()) {
            return Answer.refused(Reason.NO_DATA);
        }
        double more = proportion.x() == 0 || proportion.failures() == 0 ? 0.5 : 0;
        double successes = proportion.x() + more;
        double failures = proportion.failures() + more;
        return Answer.ok(new SiteEffect(Math.log(successes / failures), 1 / successes + 1 / failures));
    }
}
