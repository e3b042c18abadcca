package airway.stats;

/**
 * A count of events in an amount of exposure, such as 3 extubations in 120 days on a ventilator. No exposure, 0, is
 * allowed: it is a gap, and has no value.
 *
 * @param events number of events, in [0, 10^9]
 * @param exposure time or number at risk, in one unit of the caller's choice; 0 or in [1e-9, 1e12]
 */
public record Rate(long events, double exposure) {

    private static final long MOST_EVENTS = 1_000_000_000;
    private static final double LEAST_EXPOSURE = 1e-9;
    private static final double MOST_EXPOSURE = 1e12;

    /**
     * A number of events in an exposure.
     *
     * @throws IllegalArgumentException if the events or the exposure are out of range or not a number
     */
    public Rate {
        if (events < 0 || events > MOST_EVENTS) {
            throw new IllegalArgumentException("events = " + events + ", must be in [0, " + MOST_EVENTS + "]");
        }
        if (!(exposure == 0 || (exposure >= LEAST_EXPOSURE && exposure <= MOST_EXPOSURE))) {
            throw new IllegalArgumentException("exposure = " + exposure + ", must be 0 or in [1e-9, 1e12]");
        }
    }

    /** Whether there is no exposure, so that there is nothing to estimate. */
    public boolean isEmpty() {
        return exposure == 0;
    }

    /**
     * Events per unit of exposure.
     *
     * @throws IllegalStateException if there is no exposure
     */
    public double value() {
        if (isEmpty()) {
            throw new IllegalStateException("no exposure has no rate");
        }
        return events / exposure;
    }
}
