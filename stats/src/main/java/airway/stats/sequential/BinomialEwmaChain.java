package airway.stats.sequential;

import airway.stats.chart.Limits;
import airway.stats.chart.Signal;
import airway.stats.numeric.BinomialLaw;

/**
 * A moving average of proportions of equal size that has not left its limits yet, the limits growing with the points. Values are
 * shared out between the two nearest of 400 steps within the final limits.
 */
final class BinomialEwmaChain {

    private static final int STEPS = 400;
    private static final double NEGLIGIBLE = 1e-14;

    /** Changes of the hazard by less than this share, so many times in a row, mean that it has settled. */
    private static final double SETTLED = 1e-11;

    /** Points for which a settled hazard has to last. */
    private static final int LONG_ENOUGH = 20;

    /** Points without any chance of a signal after which there never will be one. */
    private static final int NEVER = 500;

    private final EwmaDesign design;
    private final double p0;
    private final double varianceOfPoint;
    private final long n;
    private final long fewest;
    private final double[] chances;
    private final double low;
    private final double step;
    private double variance;
    private double[] masses;

    /** The chart about p₀ with n cases a point, when the proportion is p, in (0, 1). */
    BinomialEwmaChain(EwmaDesign design, double p0, long n, double p) {
        this.design = design;
        this.p0 = p0;
        this.n = n;
        varianceOfPoint = p0 * (1 - p0) / n;
        fewest = BinomialLaw.largestWithAtMost(NEGLIGIBLE, n, p) + 1;
        long most = n - BinomialLaw.largestWithAtMost(NEGLIGIBLE, n, 1 - p) - 1;
        chances = new double[(int) (most - fewest + 1)];
        for (int i = 0; i < chances.length; i++) {
            chances[i] = BinomialLaw.probability(fewest + i, n, p);
        }
        Limits widest = limits(design.finalSd() * design.finalSd() * varianceOfPoint);
        low = widest.lower();
        step = (widest.upper() - low) / STEPS;
        masses = new double[STEPS + 1];
        share(masses, p0, 1);
    }

    /**
     * Average number of points up to and including the signal: the sum of the probabilities of having none yet. Once the
     * chance of a signal at the next point has settled, the rest is a geometric series.
     */
    double averageRunLength() {
        double total = 0;
        double before = 1;
        double hazard = -1;
        int settled = 0;
        while (before > 1e-15) {
            total += before;
            double latest = advance() / before;
            settled = Math.abs(latest - hazard) <= SETTLED * latest ? settled + 1 : 0;
            hazard = latest;
            before = alive();
            if (settled >= (hazard == 0 ? NEVER : LONG_ENOUGH)) {
                return total + before / hazard;
            }
        }
        return total;
    }

    /** Takes one point more, and gives the probability that the first signal comes with it. */
    private double advance() {
        double lambda = design.lambda();
        variance = lambda * lambda * varianceOfPoint + (1 - lambda) * (1 - lambda) * variance;
        Limits limits = limits(variance);
        double[] next = new double[masses.length];
        double signal = 0;
        for (int from = 0; from < masses.length; from++) {
            if (masses[from] == 0) {
                continue;
            }
            for (int i = 0; i < chances.length; i++) {
                double value = lambda * (fewest + i) / n + (1 - lambda) * (low + from * step);
                double mass = masses[from] * chances[i];
                if (limits.judge(value) == Signal.NONE) {
                    share(next, value, mass);
                } else {
                    signal += mass;
                }
            }
        }
        masses = next;
        return signal;
    }

    /** Probability that there has been no signal yet. */
    private double alive() {
        double sum = 0;
        for (double mass : masses) {
            sum += mass;
        }
        return sum;
    }

    private Limits limits(double ofVariance) {
        double half = design.width() * Math.sqrt(ofVariance);
        return new Limits(Math.max(0, p0 - half), p0, Math.min(1, p0 + half));
    }

    /** Puts a mass on the two steps beside the value so that their mean is the value. */
    private void share(double[] onto, double value, double mass) {
        double place = Math.max(0, Math.min(STEPS, (value - low) / step));
        int below = (int) Math.min(STEPS - 1, Math.floor(place));
        double above = place - below;
        onto[below] += mass * (1 - above);
        onto[below + 1] += mass * above;
    }
}
