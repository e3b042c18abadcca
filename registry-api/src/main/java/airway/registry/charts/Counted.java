package airway.registry.charts;

/**
 * What was counted for one point or group.
 *
 * @param x encounters with the outcome, or events of a rate; 0 of values, which have none
 * @param n encounters that count
 * @param leftOut encounters of the cohort that do not count, by definition or because the answer is not known
 * @param unknown of these, the ones whose answer is not known
 * @param nominal of all, the ones whose date was made up for order only
 * @param values the values of those that count, where they are values
 * @param waiting of those that count and still wait for their event, or never had it: how long they were watched without it
 */
record Counted(long x, long n, long leftOut, long unknown, long nominal, Histogram values, Histogram waiting) {
    static final Counted NOTHING = new Counted(0, 0, 0, 0, 0);

    Counted(long x, long n, long leftOut, long unknown, long nominal) {
        this(x, n, leftOut, unknown, nominal, Histogram.EMPTY);
    }

    Counted(long x, long n, long leftOut, long unknown, long nominal, Histogram values) {
        this(x, n, leftOut, unknown, nominal, values, Histogram.EMPTY);
    }

    Counted plus(Counted other) {
        return new Counted(
                x + other.x,
                n + other.n,
                leftOut + other.leftOut,
                unknown + other.unknown,
                nominal + other.nominal,
                values.plus(other.values),
                waiting.plus(other.waiting));
    }
}
