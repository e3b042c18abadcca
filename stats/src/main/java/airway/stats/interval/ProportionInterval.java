package airway.stats.interval;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Interval;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.numeric.BetaLaw;
import airway.stats.numeric.ScoreLimit;

/**
 * Interval for one proportion, x successes among n cases.
 *
 * <pre>{@code
 * ProportionInterval.WILSON.of(new Proportion(81, 263), Confidence.DEFAULT)   // 0.3080, 0.2553 to 0.3662
 * }</pre>
 *
 * <p>{@link #WILSON} is for charts, tables and exports; {@link #CLOPPER_PEARSON} for a claim of safety, where coverage has
 * to be guaranteed; the other three are for comparison with published work. The interval x/n plus or minus z standard
 * errors (Wald) is left out on purpose: it has no width at x = 0 and x = n.
 *
 * <p>Every method is symmetric: the limits for n - x of n are 1 minus the limits for x of n, in reverse. In the formulas
 * z is {@link Confidence#z()}, p = x/n, q = 1 - p, and B(t; a, b) the t-quantile of the beta distribution.
 *
 * <p>Edges: n = 0 is refused with {@link Reason#NO_DATA}. At x = 0 the lower limit is exactly 0, at x = n the upper limit
 * exactly 1, with every method but {@link #AGRESTI_COULL}, where clipping to [0, 1] has the same effect. Counts up to
 * 10^9 are computed to at least nine figures.
 */
public enum ProportionInterval {

    /**
     * The score interval (Wilson EB 1927, JASA 22:209-212, doi:10.1080/01621459.1927.10502953; formula from memory,
     * checked against printed values): [x + z²/2 ± z √(npq + z²/4)] / (n + z²).
     *
     * <p>Mean coverage at 95 % is close to nominal; the lowest, for p from 0.01 to 0.99, is 86 % at n = 10 and 91 % at n =
     * 20 and 50. Equal to {@code prop.test(correct = FALSE)} of R.
     */
    WILSON {
        @Override
        double lower(double x, double n, Confidence confidence) {
            return ScoreLimit.lower(x, n, confidence.z());
        }
    },

    /**
     * The score interval with continuity correction (Newcombe RG 1998, Stat Med 17:857-872,
     * doi:10.1002/(SICI)1097-0258(19980430)17:8&lt;857::AID-SIM777&gt;3.0.CO;2-E, method 4; from memory): lower = [2x +
     * z² - 1 - z √(z² - 2 - 1/n + 4p(nq + 1))] / 2(n + z²), upper by symmetry.
     *
     * <p>Always corrects by one half, as Newcombe does. {@code prop.test} of R corrects by less where x is within one half
     * of n/2, so that the two differ at x = n/2.
     */
    WILSON_CC {
        @Override
        double lower(double x, double n, Confidence confidence) {
            if (x == 0) {
                return 0;
            }
            double z2 = confidence.z() * confidence.z();
            double root = Math.sqrt(z2 * (z2 - 2 - 1 / n + 4 * x / n * (n - x + 1)));
            return Math.max(0, (2 * x + z2 - 1 - root) / (2 * (n + z2)));
        }
    },

    /**
     * The exact interval (Clopper CJ, Pearson ES 1934, Biometrika 26:404-413, doi:10.1093/biomet/26.4.404; from
     * memory): B(α/2; x, n - x + 1) and B(1 - α/2; x + 1, n - x).
     *
     * <p>Covers at least at the level, at the price of width. α/2 lies in each tail also at x = 0 and x = n: 0 of 20 gives
     * an upper limit of 0.168. Equal to {@code binom.test} of R. Some programs put all of α into one tail at the ends and
     * give 0.139 there.
     */
    CLOPPER_PEARSON {
        @Override
        double lower(double x, double n, Confidence confidence) {
            return x == 0 ? 0 : BetaLaw.quantile(confidence.tail(), x, n - x + 1);
        }
    },

    /**
     * The equal-tailed Bayesian interval with Jeffreys' prior (Brown LD, Cai TT, DasGupta A 2001, Stat Sci 16:101-133,
     * doi:10.1214/ss/1009213286; from memory): B(α/2; x + ½, n - x + ½) and B(1 - α/2; the same).
     *
     * <p>At x = 0 the lower limit is set to 0, at x = n the upper to 1, as Brown and colleagues do; the other limit keeps
     * α/2. Programs that give the bare quantile differ at these ends. At low levels the interval may leave out x/n.
     */
    JEFFREYS {
        @Override
        double lower(double x, double n, Confidence confidence) {
            return x == 0 ? 0 : BetaLaw.quantile(confidence.tail(), x + 0.5, n - x + 0.5);
        }
    },

    /**
     * The adjusted Wald interval (Agresti A, Coull BA 1998, Am Stat 52:119-126, doi:10.1080/00031305.1998.10480550;
     * from memory): m ± z √(m(1 - m)/(n + z²)) about m = (x + z²/2)/(n + z²), clipped to [0, 1].
     *
     * <p>Many programs do not clip. Some add 2 successes and 2 failures at every level; here z²/2 of each.
     */
    AGRESTI_COULL {
        @Override
        double lower(double x, double n, Confidence confidence) {
            double z2 = confidence.z() * confidence.z();
            double middle = (x + z2 / 2) / (n + z2);
            double rest = (n - x + z2 / 2) / (n + z2);
            return Math.max(0, middle - Math.sqrt(z2 * middle * rest / (n + z2)));
        }
    };

    /**
     * The proportion with its interval.
     *
     * @param proportion successes among cases
     * @param confidence level, two-sided
     * @return the estimate x/n with limits in [0, 1], or {@link Reason#NO_DATA} if n = 0
     */
    public Answer<Estimate> of(Proportion proportion, Confidence confidence) {
        if (proportion.isEmpty()) {
            return Answer.refused(Reason.NO_DATA);
        }
        return Answer.ok(new Estimate(proportion.value(), limits(proportion, confidence)));
    }

    /** The limits for a proportion that is not empty. */
    Interval limits(Proportion proportion, Confidence confidence) {
        double n = proportion.n();
        double x = proportion.x();
        double failures = proportion.failures();
        return new Interval(lower(x, n, confidence), 1 - lower(failures, n, confidence));
    }

    /** The lower limit for x of n, n above 0. The upper is 1 minus the lower limit for the failures. */
    abstract double lower(double x, double n, Confidence confidence);
}
