package airway.stats;

/** What a reader has to know beside a result. A caution never suppresses the result. */
public enum Caution {
    /** Limits that rest on 10 to 19 points: drawn dashed and called provisional. */
    PROVISIONAL_LIMITS,
    /** More than a quarter of the points have too few cases for the normal approximation. */
    SMALL_DENOMINATORS,
    /** At some point no outcome whatever could lie beyond one of the limits. */
    LIMIT_UNREACHABLE,
    /** The points scatter more than chance alone explains. */
    OVERDISPERSED,
    /** Neighbouring points resemble each other, or alternate, more than chance explains. */
    AUTOCORRELATED,
    /** The kind of cases differs between the baseline and the later points. */
    CASE_MIX_CHANGED,
    /** The groups differ in something that matters, and the comparison does not allow for it. */
    CRUDE_ONLY,
    /** The comparison as recorded and the one like for like point in opposite directions. */
    REVERSAL,
    /** The effect differs between strata, so that one pooled number misleads. */
    HETEROGENEOUS,
    /** Fewer than 40 clusters: the robust interval tends to be too narrow. */
    FEW_CLUSTERS,
    /** Fewer than ten events for each variable of the model. */
    LOW_EVENTS_PER_VARIABLE,
    /** More than a tenth of the outcomes are missing. */
    MISSING_HIGH,
    /** Looking at many charts, or often, makes signals by chance certain. */
    MULTIPLE_LOOKS
}
