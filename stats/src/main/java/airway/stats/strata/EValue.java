package airway.stats.strata;

import airway.stats.Estimate;
import airway.stats.Interval;

/**
 * The strength that an unrecorded difference would need: by which risk ratio it would have to go with the group and with the
 * outcome, both at least, to account for a difference between groups alone.
 *
 * @param estimate the strength that would account for the risk ratio itself, 1 or more
 * @param limit the strength that would move the interval to 1; exactly 1 when it holds 1, and the estimate is then not to be
 *     shown
 */
public record EValue(double estimate, double limit) {

    /**
     * R + √(R(R - 1)) for a risk ratio R above 1, or its reciprocal below; the same for the limit nearer to 1 (VanderWeele TJ,
     * Ding P 2017, Ann Intern Med 167:268-274, doi:10.7326/M16-2607; from memory). For a risk that is common, take the ratio of
     * the rarer outcome: of failure, not of success. A ratio of odds is no risk ratio.
     *
     * @param riskRatio risk ratio with its interval, all in [0, infinity]
     * @throws IllegalArgumentException if the ratio or a limit is negative
     */
    public static EValue of(Estimate riskRatio) {
        Interval interval = riskRatio.interval();
        if (riskRatio.value() < 0 || interval.lower() < 0) {
            throw new IllegalArgumentException("riskRatio = " + riskRatio.value() + ", " + interval.lower() + " to "
                    + interval.upper() + ", must be in [0, Infinity]");
        }
        double nearer = interval.lower() > 1 ? interval.lower() : Math.min(1, interval.upper());
        return new EValue(strength(riskRatio.value()), strength(nearer));
    }

    private static double strength(double ratio) {
        double above = ratio < 1 ? 1 / ratio : ratio;
        return Double.isInfinite(above) ? above : above + Math.sqrt(above) * Math.sqrt(above - 1);
    }
}
