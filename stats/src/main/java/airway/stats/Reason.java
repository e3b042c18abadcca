package airway.stats;

/**
 * Why a statistic cannot be given. The list is closed: a screen has one sentence for each, in the reader's language, and
 * never shows a blank.
 */
public enum Reason {
    /** Nothing was observed: no case, no exposure, or the outcome missing in every record. */
    NO_DATA,
    /** The values contradict each other or their meaning, such as a negative time. */
    INVALID_INPUT,
    /** One of the groups to be compared has no cases. */
    ONE_GROUP_EMPTY,
    /** All observations are alike, so that nothing can be told apart. */
    NO_VARIATION,
    /** A count of zero stands where the formula divides by it. */
    ZERO_CELL,
    /** The interval of the difference holds zero, so that its reciprocal has no interval. */
    CI_SPANS_NULL,
    /** Too few observations for an interval at the level asked for. */
    TOO_FEW_OBSERVATIONS,
    /** Too few points with data to set control limits. */
    TOO_FEW_POINTS,
    /** Too few points off the median for the rules of a run chart. */
    TOO_FEW_USEFUL_POINTS,
    /** The control limits would coincide with the centre line. */
    ZERO_WIDTH_LIMITS,
    /** No group of two or more, so that the spread within groups is unknown. */
    NO_WITHIN_GROUP_VARIATION,
    /** No stratum tells anything about the comparison. */
    NO_INFORMATIVE_STRATA,
    /** Some combination of the variables predicts the outcome without error. */
    SEPARATION,
    /** Some variable is a combination of others. */
    COLLINEAR,
    /** Too few clusters for a variance that is robust against clustering. */
    TOO_FEW_CLUSTERS,
    /** There is only one group, so that nothing can be compared. */
    SINGLE_GROUP,
    /** There is only one unit, so that nothing can be pooled. */
    SINGLE_UNIT,
    /** Too few units to judge their spread. */
    TOO_FEW_UNITS,
    /** No event was seen in the time observed. */
    NO_EVENTS
}
