package airway.registry.charts;

/**
 * What was counted for one point or group.
 *
 * @param x encounters with the outcome
 * @param n encounters that count
 * @param leftOut encounters of the cohort that do not count, by definition or because the answer is not known
 * @param unknown of these, the ones whose answer is not known
 * @param nominal of all, the ones whose date was made up for order only
 */
record Counted(long x, long n, long leftOut, long unknown, long nominal) {
    static final Counted NOTHING = new Counted(0, 0, 0, 0, 0);

    Counted plus(Counted other) {
        return new Counted(
                x + other.x, n + other.n, leftOut + other.leftOut, unknown + other.unknown, nominal + other.nominal);
    }
}
