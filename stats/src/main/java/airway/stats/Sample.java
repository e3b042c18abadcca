package airway.stats;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** Observations of one quantity, in no particular order. None at all is allowed: an empty group. */
public final class Sample {

    private static final double LARGEST = 1e100;

    private final double[] sorted;

    private Sample(double[] sorted) {
        this.sorted = sorted;
    }

    /**
     * The sample of the given values, which are copied.
     *
     * @param values observations, each in [-1e100, 1e100]
     * @throws IllegalArgumentException if a value is NaN or out of range
     */
    public static Sample of(double... values) {
        for (double value : values) {
            if (!(Math.abs(value) <= LARGEST)) {
                throw new IllegalArgumentException("value = " + value + ", must be in [-1e100, 1e100]");
            }
        }
        double[] sorted = values.clone();
        Arrays.sort(sorted);
        return new Sample(sorted);
    }

    /** Number of observations. */
    public int n() {
        return sorted.length;
    }

    /** Whether there are no observations. */
    public boolean isEmpty() {
        return sorted.length == 0;
    }

    /** The observations in rising order, as a copy. */
    public double[] sorted() {
        return sorted.clone();
    }

    /**
     * The observation of a rank.
     *
     * @param rank in [1, n], 1 being the smallest
     */
    public double ofRank(int rank) {
        return sorted[rank - 1];
    }

    /**
     * Arithmetic mean.
     *
     * @throws IllegalStateException if there are no observations
     */
    public double mean() {
        refuseEmpty();
        double first = sorted[0];
        // About the smallest value, so that equal observations give exactly that value.
        return first + Arrays.stream(sorted).map(value -> value - first).sum() / n();
    }

    /**
     * Variance with divisor n - 1; 0 for a single observation.
     *
     * @throws IllegalStateException if there are no observations
     */
    public double variance() {
        double mean = mean();
        return n() == 1
                ? 0
                : Arrays.stream(sorted)
                                .map(value -> (value - mean) * (value - mean))
                                .sum()
                        / (n() - 1);
    }

    /** Standard deviation, the root of {@link #variance()}. */
    public double sd() {
        return Math.sqrt(variance());
    }

    /**
     * Median: the middle observation, or half way between the two in the middle.
     *
     * @throws IllegalStateException if there are no observations
     */
    public double median() {
        return quantile(0.5);
    }

    /**
     * Quantiles of type 7 (Hyndman RJ, Fan Y 1996, Am Stat 50:361-365, doi:10.1080/00031305.1996.10473566; from
     * memory): for probability p the observation at rank 1 + (n - 1)p, linear between two. This is the default of R;
     * other programs often use type 6 and give quartiles further apart.
     *
     * @param probabilities each in [0, 1]
     * @return one quantile for each probability, or {@link Reason#NO_DATA} without observations
     * @throws IllegalArgumentException if a probability is not in [0, 1] or not a number
     */
    public Answer<List<Double>> quantiles(double... probabilities) {
        for (double p : probabilities) {
            if (!(p >= 0 && p <= 1)) {
                throw new IllegalArgumentException("probability = " + p + ", must be in [0, 1]");
            }
        }
        if (isEmpty()) {
            return Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0));
        }
        List<Double> quantiles = new ArrayList<>(probabilities.length);
        for (double p : probabilities) {
            quantiles.add(quantile(p));
        }
        return Answer.ok(List.copyOf(quantiles));
    }

    private double quantile(double p) {
        refuseEmpty();
        double place = (n() - 1) * p;
        int below = (int) Math.floor(place);
        int above = Math.min(below + 1, n() - 1);
        return sorted[below] + (place - below) * (sorted[above] - sorted[below]);
    }

    private void refuseEmpty() {
        if (isEmpty()) {
            throw new IllegalStateException("no observations have no mean and no quantiles");
        }
    }

    @Override
    public boolean equals(@Nullable Object other) {
        return other instanceof Sample that && Arrays.equals(sorted, that.sorted);
    }

    @Override
    public int hashCode() {
        return Arrays.hashCode(sorted);
    }

    @Override
    public String toString() {
        return "Sample" + Arrays.toString(sorted);
    }
}
