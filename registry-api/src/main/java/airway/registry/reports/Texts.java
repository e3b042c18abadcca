package airway.registry.reports;

import org.jspecify.annotations.Nullable;

/**
 * What people write into a report; null where nothing is written. Lines are kept.
 *
 * @param context why the unit looks at this, and what a reader has to know of it
 * @param learned what was learned
 * @param nextSteps what will be done
 * @param askedFor decisions asked of the board
 * @param readWithCare what else makes the numbers uncertain
 */
record Texts(
        @Nullable String context,
        @Nullable String learned,
        @Nullable String nextSteps,
        @Nullable String askedFor,
        @Nullable String readWithCare) {
    static final Texts NONE = new Texts(null, null, null, null, null);
}
