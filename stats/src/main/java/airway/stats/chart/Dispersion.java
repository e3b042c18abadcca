package airway.stats.chart;

import airway.stats.numeric.GammaLaw;

/**
 * Do the points scatter more than chance alone explains? The sum of squared standardised distances from the centre,
 * against chi-square.
 *
 * @param chi2 sum of z² over the baseline points with data
 * @param df their number less one
 * @param p P(chi-square > chi2), the upper tail only
 * @param phi chi2/df, about 1 when only chance is at work
 */
public record Dispersion(double chi2, int df, double p, double phi) {

    private static final double ALARMING_P = 0.01;
    private static final double ALARMING_PHI = 1.5;

    /** The test of a sum of squares from the given number of points, two or more. */
    static Dispersion of(double chi2, int points) {
        int df = points - 1;
        return new Dispersion(chi2, df, GammaLaw.chiSquareUpperTail(chi2, df), chi2 / df);
    }

    /** Whether the scatter deserves a caution: p below 0.01 and phi above 1.5 (house rule). */
    public boolean excessive() {
        return p < ALARMING_P && phi > ALARMING_PHI;
    }
}
