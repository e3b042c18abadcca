package airway.stats;

/**
 * A count of successes among cases, x of n. No cases at all, 0 of 0, is allowed: it is an empty group or a gap in a
 * chart, and has no value.
 *
 * @param x successes, in [0, n]
 * @param n cases, in [0, 10^9]
 */
public record Proportion(long x, long n) {

    private static final long MOST_CASES = 1_000_000_000;

    /**
     * x successes among n cases.
     *
     * @throws IllegalArgumentException if n is not in [0, 10^9], or x not in [0, n]
     */
    public Proportion {
        if (n < 0 || n > MOST_CASES) {
            throw new IllegalArgumentException("n = " + n + ", must be in [0, " + MOST_CASES + "]");
        }
        if (x < 0 || x > n) {
            throw new IllegalArgumentException("x = " + x + ", must be in [0, " + n + "]");
        }
    }

    /** Whether there are no cases, so that there is nothing to estimate. */
    public boolean isEmpty() {
        return n == 0;
    }

    /**
     * The share of successes, x/n.
     *
     * @throws IllegalStateException if there are no cases
     */
    public double value() {
        if (isEmpty()) {
            throw new IllegalStateException("0 of 0 has no value");
        }
        return (double) x / n;
    }

    /** The cases that were not successes, n - x. */
    public long failures() {
        return n - x;
    }

    /** The same cases counted the other way round: n - x of n. */
    public Proportion complement() {
        return new Proportion(n - x, n);
    }
}
