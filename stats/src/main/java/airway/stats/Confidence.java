package airway.stats;

import airway.stats.numeric.NormalLaw;

/**
 * A two-sided level of confidence, such as 0.95.
 *
 * @param level share of intervals that hold the true value in the long run, in (0, 1)
 */
public record Confidence(double level) {

    /** The level used unless another is asked for: 95 %. */
    public static final Confidence DEFAULT = new Confidence(0.95);

    /**
     * A level of confidence.
     *
     * @throws IllegalArgumentException if the level is not in (0, 1) or not a number
     */
    public Confidence {
        if (!(level > 0 && level < 1)) {
            throw new IllegalArgumentException("level = " + level + ", must be in (0, 1)");
        }
    }

    /** Probability left outside the interval, both sides together: 1 - level. */
    public double alpha() {
        return 1 - level;
    }

    /** Probability left outside on each side: (1 - level) / 2. */
    public double tail() {
        return (1 - level) / 2;
    }

    /** Standard normal deviate that is exceeded with probability (1 - level) / 2, at full precision: 1.959964 at 95 %. */
    public double z() {
        return NormalLaw.upperQuantile(tail());
    }
}
