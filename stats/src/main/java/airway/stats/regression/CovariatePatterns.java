package airway.stats.regression;

import airway.stats.Proportion;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Cases grouped by their covariates: for each pattern of values that occurs, how many of its cases succeeded. A model learns
 * no more from the single rows, and a million of them with a few covariates of few values need a few hundred patterns.
 *
 * <pre>{@code
 * CovariatePatterns.of(2).add(true, 0, 3.5).add(false, 1, 3.5).add(new Proportion(7, 9), 1, 0).build()
 * }</pre>
 *
 * <p>The covariates are numbered from 1. The intercept is not among them: every model has one.
 */
public final class CovariatePatterns {

    private static final double LARGEST = 1e9;
    private static final int MOST_COVARIATES = 100;

    private final int covariates;
    private final double[][] values;
    private final double[] successes;
    private final double[] cases;

    private CovariatePatterns(int covariates, double[][] values, double[] successes, double[] cases) {
        this.covariates = covariates;
        this.values = values;
        this.successes = successes;
        this.cases = cases;
    }

    /**
     * Begins to gather cases.
     *
     * @param covariates number of covariates, in [0, 100]
     * @throws IllegalArgumentException if the number is out of range
     */
    public static Builder of(int covariates) {
        if (covariates < 0 || covariates > MOST_COVARIATES) {
            throw new IllegalArgumentException(
                    "covariates = " + covariates + ", must be in [0, " + MOST_COVARIATES + "]");
        }
        return new Builder(covariates);
    }

    /** Number of covariates, without the intercept. */
    public int covariates() {
        return covariates;
    }

    /** Number of different patterns. */
    public int size() {
        return values.length;
    }

    /** Number of cases. */
    public long n() {
        return (long) Arrays.stream(cases).sum();
    }

    /** Number of cases that succeeded. */
    public long successes() {
        return (long) Arrays.stream(successes).sum();
    }

    double value(int pattern, int covariate) {
        return values[pattern][covariate - 1];
    }

    double successes(int pattern) {
        return successes[pattern];
    }

    double cases(int pattern) {
        return cases[pattern];
    }

    /** Gathers cases by their covariates; memory grows with the patterns, not with the cases. */
    public static final class Builder {

        private final int covariates;
        private final Map<Values, double[]> counts = new LinkedHashMap<>();

        private Builder(int covariates) {
            this.covariates = covariates;
        }

        /**
         * Adds one case.
         *
         * @param success whether it succeeded
         * @param values its covariates, each in [-1e9, 1e9]
         * @return this
         * @throws IllegalArgumentException if there are more or fewer values than covariates, or one is NaN or out of range
         */
        public Builder add(boolean success, double... values) {
            return add(success ? 1 : 0, 1, values);
        }

        /**
         * Adds cases that share their covariates.
         *
         * @param outcomes successes among cases; no cases add nothing
         * @param values their covariates, each in [-1e9, 1e9]
         * @return this
         * @throws IllegalArgumentException if there are more or fewer values than covariates, or one is NaN or out of range
         */
        public Builder add(Proportion outcomes, double... values) {
            return add(outcomes.x(), outcomes.n(), values);
        }

        /** The patterns gathered so far. */
        public CovariatePatterns build() {
            return new CovariatePatterns(
                    covariates,
                    counts.keySet().stream().map(Values::array).toArray(double[][]::new),
                    counts.values().stream().mapToDouble(count -> count[0]).toArray(),
                    counts.values().stream().mapToDouble(count -> count[1]).toArray());
        }

        private Builder add(long x, long n, double[] values) {
            if (values.length != covariates) {
                throw new IllegalArgumentException("covariates = " + values.length + ", must be " + covariates);
            }
            double[] copy = new double[covariates];
            for (int j = 0; j < covariates; j++) {
                if (!(Math.abs(values[j]) <= LARGEST)) {
                    throw new IllegalArgumentException(
                            "covariate " + (j + 1) + " = " + values[j] + ", must be in [-1e9, 1e9]");
                }
                // Minus zero and zero are one value.
                copy[j] = values[j] + 0.0;
            }
            if (n > 0) {
                double[] count = counts.computeIfAbsent(new Values(copy), key -> new double[2]);
                count[0] += x;
                count[1] += n;
            }
            return this;
        }
    }

    /** The covariates of a pattern, compared by value. */
    private static final class Values {

        private final double[] array;

        Values(double[] array) {
            this.array = array;
        }

        double[] array() {
            return array;
        }

        @Override
        public boolean equals(@Nullable Object other) {
            return other instanceof Values that && Arrays.equals(array, that.array);
        }

        @Override
        public int hashCode() {
            // Small whole numbers differ in their high bits only: multiplied, so that all bits count.
            long hash = 0;
            for (double value : array) {
                hash = (hash ^ Double.doubleToLongBits(value)) * 0x9E3779B97F4A7C15L;
                hash ^= hash >>> 32;
            }
            return (int) hash;
        }
    }
}
