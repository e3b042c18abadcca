package airway.stats.power;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Reason;
import airway.stats.numeric.NormalLaw;

/**
 * A plan to compare two proportions by a two-sided test.
 *
 * <pre>{@code
 * new TwoProportions(0.70, 0.85, Confidence.DEFAULT).sampleSize(0.80, 1)   // 121 in each group
 * }</pre>
 *
 * @param p1 proportion expected in the first group, in [0, 1]
 * @param p2 proportion expected in the second group, in [0, 1]
 * @param confidence 1 less the level of the test
 */
public record TwoProportions(double p1, double p2, Confidence confidence) {

    private static final double SMALLEST_DIFFERENCE = 1e-9;

    /**
     * A plan for two proportions.
     *
     * @throws IllegalArgumentException if a proportion is not in [0, 1] or not a number
     */
    public TwoProportions {
        check("p1", p1);
        check("p2", p2);
    }

    /**
     * Cases needed in each group, without and with continuity correction.
     *
     * @param exact cases of the first group without correction, not rounded
     * @param n1 the same, rounded up
     * @param n2 cases of the second group without correction, rounded up
     * @param correctedExact cases of the first group with correction, not rounded
     * @param correctedN1 the same, rounded up
     * @param correctedN2 cases of the second group with correction, rounded up
     */
    public record SampleSize(
            double exact, long n1, long n2, double correctedExact, long correctedN1, long correctedN2) {}

    /**
     * The cases that show the difference with a given probability (Fleiss JL 1981, Statistical Methods for Rates and
     * Proportions, 2nd ed; from memory). With r = n₂/n₁, δ = p₁ - p₂ and p̄ = (p₁ + r p₂)/(r + 1): n₁ = [z(α/2) √((r + 1)p̄q̄) +
     * z(β) √(r p₁q₁ + p₂q₂)]² / (r δ²); with correction n₁/4 (1 + √(1 + 2(r + 1)/(n₁ r |δ|)))². n₂ is r times n₁ before rounding.
     *
     * <p>Proportions closer together than 1e-9 are refused with {@link Reason#INVALID_INPUT}: no number of cases shows a
     * difference that is not there.
     *
     * @param power probability of finding the difference, in (1 - confidence, 1)
     * @param ratio cases of the second group for each of the first, in [0.001, 1000]
     * @throws IllegalArgumentException if power or ratio is out of range
     */
    public Answer<SampleSize> sampleSize(double power, double ratio) {
        if (!(power > confidence.alpha() && power < 1)) {
            throw new IllegalArgumentException("power = " + power + ", must be in (" + confidence.alpha() + ", 1)");
        }
        if (!(ratio >= 0.001 && ratio <= 1000)) {
            throw new IllegalArgumentException("ratio = " + ratio + ", must be in [0.001, 1000]");
        }
        double difference = Math.abs(p1 - p2);
        if (difference < SMALLEST_DIFFERENCE) {
            return Answer.refused(Reason.INVALID_INPUT);
        }
        double mean = (p1 + ratio * p2) / (ratio + 1);
        double ifEqual = confidence.z() * Math.sqrt((ratio + 1) * variance(mean));
        double ifDifferent = NormalLaw.upperQuantile(1 - power) * Math.sqrt(ratio * variance(p1) + variance(p2));
        double root = (ifEqual + ifDifferent) / difference;
        double n = root * root / ratio;
        double correction = 1 + Math.sqrt(1 + 2 * (ratio + 1) / (n * ratio * difference));
        double corrected = n / 4 * correction * correction;
        return Answer.ok(new SampleSize(
                n, ceiling(n), ceiling(ratio * n), corrected, ceiling(corrected), ceiling(ratio * corrected)));
    }

    /**
     * The probability of finding the difference with n cases in each group: Φ((√n |p₁ - p₂| - z(α/2) √(2p̄q̄))/√(p₁q₁ +
     * p₂q₂)), so that it is the inverse of {@link #sampleSize}. The tail on the far side is left out; programs that add it
     * differ where the power is close to the level.
     *
     * <p>p₁ and p₂ both 0 or 1: 1 if the numerator is positive, else 0; if both are equal, half the level.
     *
     * @param casesPerGroup cases in each group, in [1, 10^9]
     * @throws IllegalArgumentException if the number of cases is out of range
     */
    public double power(long casesPerGroup) {
        if (casesPerGroup < 1 || casesPerGroup > 1_000_000_000) {
            throw new IllegalArgumentException("casesPerGroup = " + casesPerGroup + ", must be in [1, 1000000000]");
        }
        double above = Math.sqrt((double) casesPerGroup) * Math.abs(p1 - p2)
                - confidence.z() * Math.sqrt(2 * variance((p1 + p2) / 2));
        double sd = Math.sqrt(variance(p1) + variance(p2));
        if (sd == 0) {
            return p1 == p2 ? confidence.tail() : above > 0 ? 1 : 0;
        }
        return NormalLaw.cumulative(above / sd);
    }

    private static double variance(double p) {
        return p * (1 - p);
    }

    private static long ceiling(double n) {
        return (long) Math.ceil(n);
    }

    private static void check(String name, double p) {
        if (!(p >= 0 && p <= 1)) {
            throw new IllegalArgumentException(name + " = " + p + ", must be in [0, 1]");
        }
    }
}
