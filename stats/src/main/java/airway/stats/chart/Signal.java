package airway.stats.chart;

/** Where a point lies against its control limits. */
public enum Signal {
    /** Within the limits or on one of them, or no limits, or a gap. */
    NONE,
    /** Strictly above the upper limit. */
    ABOVE,
    /** Strictly below the lower limit. */
    BELOW
}
