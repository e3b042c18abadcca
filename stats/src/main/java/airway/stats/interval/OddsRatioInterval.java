package airway.stats.interval;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.numeric.Hypergeometric;
import airway.stats.numeric.Solver;
import java.util.function.DoubleUnaryOperator;

/**
 * Interval for the ratio of the odds of success in two independent groups; a, b are the successes and failures of the
 * first, c, d of the second. Exchanging the groups gives the reciprocals.
 */
public enum OddsRatioInterval {

    /**
     * The conditional maximum-likelihood estimate with exact limits (Cornfield J 1956, Proc 3rd Berkeley Symp 4:135-148; from
     * memory), from the distribution of a given all four margins: the lower limit makes P(X >= a) = α/2, the upper P(X <= a)
     * = α/2.
     *
     * <p>a at the smallest possible value: estimate and lower limit 0; at the largest: estimate and upper limit infinite. An
     * empty margin is refused with {@link Reason#NO_VARIATION}. The estimate is not ad/bc. {@code fisher.test} of R gives
     * the same quantities, solved less finely: 396.2 for 397.0 as the upper limit of 7/34 against 1/34.
     */
    CONDITIONAL_EXACT {
        @Override
        public Answer<Estimate> of(Proportion first, Proportion second, Confidence confidence) {
            long successes = first.x() + second.x();
            if (first.isEmpty() || second.isEmpty() || successes == 0 || successes == first.n() + second.n()) {
                return Answer.refused(Reason.NO_VARIATION);
            }
            return Answer.ok(Estimate.of(
                    mostLikely(first, second),
                    exactLower(first, second, confidence),
                    1 / exactLower(second, first, confidence)));
        }
    },

    /**
     * The normal interval on the logarithm (Woolf B 1955, Ann Hum Genet 19:251-253,
     * doi:10.1111/j.1469-1809.1955.tb01348.x; from memory): ad/bc, and exp(ln(ad/bc) ± z √(1/a + 1/b + 1/c + 1/d)).
     *
     * <p>A group without cases is refused with {@link Reason#ONE_GROUP_EMPTY}, any other zero with {@link
     * Reason#ZERO_CELL}; many programs add one half without saying so.
     */
    WOOLF {
        @Override
        public Answer<Estimate> of(Proportion first, Proportion second, Confidence confidence) {
            if (first.isEmpty() || second.isEmpty()) {
                return Answer.refused(Reason.ONE_GROUP_EMPTY);
            }
            double a = first.x();
            double b = first.failures();
            double c = second.x();
            double d = second.failures();
            if (a == 0 || b == 0 || c == 0 || d == 0) {
                return Answer.refused(Reason.ZERO_CELL);
            }
            double ratio = a / b * (d / c);
            double spread = Math.exp(confidence.z() * Math.sqrt(1 / a + 1 / b + 1 / c + 1 / d));
            return Answer.ok(Estimate.of(ratio, ratio / spread, ratio * spread));
        }
    };

    /**
     * The odds ratio with its interval.
     *
     * @param first successes among cases of the first group
     * @param second successes among cases of the second group, whose odds are the divisor
     * @param confidence level, two-sided
     */
    public abstract Answer<Estimate> of(Proportion first, Proportion second, Confidence confidence);

    private static double mostLikely(Proportion first, Proportion second) {
        long successes = first.x() + second.x();
        if (first.x() == Hypergeometric.lowest(second.n(), successes)) {
            return 0;
        }
        if (first.x() == Hypergeometric.highest(first.n(), successes)) {
            return Double.POSITIVE_INFINITY;
        }
        return oddsRatio(log -> law(first, second, log).mean() - first.x());
    }

    private static double exactLower(Proportion first, Proportion second, Confidence confidence) {
        if (first.x() == Hypergeometric.lowest(second.n(), first.x() + second.x())) {
            return 0;
        }
        return oddsRatio(log -> law(first, second, log).atLeast(first.x()) - confidence.tail());
    }

    /** The odds ratio at which a function of its logarithm that rises from below zero to above crosses zero. */
    private static double oddsRatio(DoubleUnaryOperator rising) {
        double low = -1;
        while (rising.applyAsDouble(low) > 0) {
            low *= 2;
        }
        double high = 1;
        while (rising.applyAsDouble(high) < 0) {
            high *= 2;
        }
        return Math.exp(Solver.root(rising, low, high, 1e-14));
    }

    private static Hypergeometric law(Proportion first, Proportion second, double logOddsRatio) {
        return Hypergeometric.of(first.n(), second.n(), first.x() + second.x(), Math.exp(logOddsRatio));
    }
}
