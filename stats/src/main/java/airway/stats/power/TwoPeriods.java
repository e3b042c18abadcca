package airway.stats.power;

import airway.stats.Confidence;
import airway.stats.Proportion;
import airway.stats.interval.DifferenceInterval;
import airway.stats.numeric.BinomialLaw;
import airway.stats.numeric.Solver;
import java.util.OptionalDouble;

/**
 * What two periods side by side can show: the proportion of one against that of the other, as when the last twelve months are
 * set against the twelve before.
 *
 * <pre>{@code
 * new TwoPeriods(48, 48, 0.62, Confidence.DEFAULT).smallestChange(0.80)   // 86 % or more, or 34 % or less
 * }</pre>
 *
 * <p>A change shows when Newcombe's interval of the difference ({@link DifferenceInterval#NEWCOMBE}) leaves out 0 on the side of
 * the change. Its probability is summed over all outcomes of both periods, exactly, but for those of less than 10^-13. Formulas
 * of sample size, which take the normal distribution, differ with few cases.
 *
 * @param before cases of the first period, in [1, 100000]
 * @param after cases of the second period, in [1, 100000]
 * @param proportion true proportion in the first period, in [0, 1]
 * @param confidence level of the interval
 */
public record TwoPeriods(long before, long after, double proportion, Confidence confidence) {

    private static final long MOST_CASES = 100_000;
    private static final double NEGLIGIBLE = 1e-13;
    private static final double FINEST = 1e-9;

    /**
     * Two periods.
     *
     * @throws IllegalArgumentException if a number of cases or the proportion is out of range or not a number
     */
    public TwoPeriods {
        checkCases("before", before);
        checkCases("after", after);
        checkProportion("proportion", proportion);
    }

    /**
     * The smallest change on either side that shows with a given probability.
     *
     * @param rise the true proportion in the second period from which on a rise shows; empty when no rise whatever does
     * @param fall the true proportion in the second period up to which a fall shows; empty when no fall whatever does
     */
    public record SmallestChange(OptionalDouble rise, OptionalDouble fall) {}

    /**
     * The smallest change that shows with the given probability. In whole percent the rise is rounded up and the fall down.
     *
     * @param power probability that the change shows, in [0.5, 0.999]
     * @throws IllegalArgumentException if the power is out of range or not a number
     */
    public SmallestChange smallestChange(double power) {
        if (!(power >= 0.5 && power <= 0.999)) {
            throw new IllegalArgumentException("power = " + power + ", must be in [0.5, 0.999]");
        }
        OptionalDouble fall = complement().smallestRise(power);
        return new SmallestChange(
                smallestRise(power), fall.isPresent() ? OptionalDouble.of(1 - fall.getAsDouble()) : fall);
    }

    /**
     * Probability that a change to the given proportion shows, on its own side of 0.
     *
     * @param changed true proportion in the second period, in [0, 1]; if it is that of the first, the probability that chance
     *     alone is taken for a rise
     * @throws IllegalArgumentException if the proportion is not in [0, 1] or not a number
     */
    public double power(double changed) {
        checkProportion("changed", changed);
        return changed >= proportion ? new Rise(this).power(changed) : new Rise(complement()).power(1 - changed);
    }

    private TwoPeriods complement() {
        return new TwoPeriods(before, after, 1 - proportion, confidence);
    }

    private OptionalDouble smallestRise(double power) {
        Rise rise = new Rise(this);
        return rise.power(1) < power
                ? OptionalDouble.empty()
                : OptionalDouble.of(Solver.root(changed -> rise.power(changed) - power, proportion, 1, FINEST));
    }

    /** The outcomes of the first period that can happen, each with the successes of the second that would show a rise. */
    private static final class Rise {
        private final long after;
        private final long first;
        private final double[] probability;
        private final long[] needed;

        Rise(TwoPeriods periods) {
            after = periods.after;
            first = firstPossible(periods.before, periods.proportion);
            long last = periods.before - firstPossible(periods.before, 1 - periods.proportion);
            probability = new double[(int) (last - first + 1)];
            needed = new long[probability.length];
            // A share that is no larger than the earlier one never shows a rise.
            long successes = first * after / periods.before;
            for (int i = 0; i < needed.length; i++) {
                probability[i] = chance(first + i, periods.before, periods.proportion);
                // The more successes before, the more are needed after.
                var earlier = new Proportion(first + i, periods.before);
                while (successes <= after && !shows(earlier, new Proportion(successes, after), periods.confidence)) {
                    successes++;
                }
                needed[i] = successes;
            }
        }

        double power(double changed) {
            double sum = 0;
            for (int i = 0; i < needed.length; i++) {
                sum += probability[i] * BinomialLaw.atLeast(needed[i], after, changed);
            }
            return sum;
        }

        private static boolean shows(Proportion earlier, Proportion later, Confidence confidence) {
            return DifferenceInterval.NEWCOMBE
                            .of(later, earlier, confidence)
                            .orElseThrow()
                            .lower()
                    > 0;
        }

        private static long firstPossible(long n, double p) {
            return p == 0 ? 0 : p == 1 ? n : BinomialLaw.largestWithAtMost(NEGLIGIBLE / 2, n, p) + 1;
        }

        private static double chance(long x, long n, double p) {
            return p == 0 || p == 1 ? 1 : BinomialLaw.probability(x, n, p);
        }
    }

    private static void checkCases(String name, long cases) {
        if (cases < 1 || cases > MOST_CASES) {
            throw new IllegalArgumentException(name + " = " + cases + ", must be in [1, " + MOST_CASES + "]");
        }
    }

    private static void checkProportion(String name, double p) {
        if (!(p >= 0 && p <= 1)) {
            throw new IllegalArgumentException(name + " = " + p + ", must be in [0, 1]");
        }
    }
}
