package airway.stats.numeric;

import java.util.Arrays;

/**
 * Fisher's noncentral hypergeometric distribution: successes X in the first of two groups, given the successes of both
 * together, when the odds of success in the first are a multiple of those in the second.
 *
 * <p>Probabilities are built outwards from the most probable outcome by the ratio of neighbours; nothing overflows, and
 * outcomes less than 1e-300 times as probable as the most probable one are taken to be impossible.
 */
public final class Hypergeometric {

    private static final double NEGLIGIBLE = 1e-300;

    /** Outcomes whose probabilities differ by no more than this factor count as equally probable. */
    private static final double TIE = 1 + 1e-7;

    private final long first;
    private final double[] probabilities;

    private Hypergeometric(long first, double[] probabilities) {
        this.first = first;
        this.probabilities = probabilities;
    }

    /** The smallest possible X. */
    public static long lowest(long n2, long successes) {
        return Math.max(0, successes - n2);
    }

    /** The largest possible X. */
    public static long highest(long n1, long successes) {
        return Math.min(n1, successes);
    }

    /**
     * The distribution of X.
     *
     * @param n1 cases of the first group
     * @param n2 cases of the second group
     * @param successes successes of both groups, in [0, n1 + n2]
     * @param oddsRatio odds of success in the first over those in the second, above 0
     */
    public static Hypergeometric of(long n1, long n2, long successes, double oddsRatio) {
        long low = lowest(n2, successes);
        long high = highest(n1, successes);
        Step step = x -> oddsRatio * (n1 - x) / (x + 1.0) * (successes - x) / (n2 - successes + x + 1.0);
        long mode = low;
        for (long end = high; mode < end; ) {
            long middle = mode + (end - mode) / 2;
            if (step.up(middle) >= 1) {
                mode = middle + 1;
            } else {
                end = middle;
            }
        }
        double[] above = weights(mode, high - mode, (x, i) -> step.up(x + i));
        double[] below = weights(mode, mode - low, (x, i) -> 1 / step.up(x - i - 1));
        double[] all = new double[above.length + below.length + 1];
        for (int i = 0; i < below.length; i++) {
            all[below.length - 1 - i] = below[i];
        }
        all[below.length] = 1;
        System.arraycopy(above, 0, all, below.length + 1, above.length);
        double total = Arrays.stream(all).sum();
        return new Hypergeometric(
                mode - below.length,
                Arrays.stream(all).map(weight -> weight / total).toArray());
    }

    /** P(X = x). */
    public double probability(long x) {
        return x < first || x >= first + probabilities.length ? 0 : probabilities[(int) (x - first)];
    }

    /** P(X >= x). */
    public double atLeast(long x) {
        double sum = 0;
        for (int i = probabilities.length - 1; i >= Math.max(0, x - first); i--) {
            sum += probabilities[i];
        }
        return sum;
    }

    /** The expected X. */
    public double mean() {
        double sum = 0;
        for (int i = 0; i < probabilities.length; i++) {
            sum += i * probabilities[i];
        }
        return first + sum;
    }

    /** Two-sided p-value of x: the probability of all outcomes that are no more probable than x, equal ones included. */
    public double twoSided(long x) {
        double bound = probability(x) * TIE;
        return Arrays.stream(probabilities)
                .filter(probability -> probability <= bound)
                .sorted()
                .sum();
    }

    /** The largest two-sided p-value of any outcome that does not exceed the bound, equal ones included; 0 if all do. */
    public double largestTwoSidedUpTo(double bound) {
        // The least probable outcomes first, from both ends towards the most probable one.
        double largest = 0;
        double sum = 0;
        int left = 0;
        int right = probabilities.length - 1;
        while (left <= right) {
            double next = Math.min(probabilities[left], probabilities[right]) * TIE;
            while (left <= right && probabilities[left] <= next) {
                sum += probabilities[left++];
            }
            while (left <= right && probabilities[right] <= next) {
                sum += probabilities[right--];
            }
            if (sum > bound * TIE) {
                break;
            }
            largest = sum;
        }
        return largest;
    }

    private static double[] weights(long mode, long most, Neighbour ratio) {
        double[] weights = new double[(int) Math.min(most, 64)];
        double weight = 1;
        int number = 0;
        for (long i = 0; i < most; i++) {
            weight *= ratio.of(mode, i);
            if (weight < NEGLIGIBLE) {
                break;
            }
            if (number == weights.length) {
                weights = Arrays.copyOf(weights, (int) Math.min(most, 2L * weights.length));
            }
            weights[number++] = weight;
        }
        return Arrays.copyOf(weights, number);
    }

    /** P(X = x + 1) / P(X = x). */
    private interface Step {
        double up(long x);
    }

    /** The ratio of the i-th neighbour of the mode to the one before. */
    private interface Neighbour {
        double of(long mode, long i);
    }
}
