package airway.registry.kit;

import java.time.Duration;
import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * A line in the log of an item.
 *
 * @param version its place in the log, from 1
 * @param done what was done: the code of the state it went into, {@link #UNDO}, {@link #PROPOSED},
 *     {@link #CONFIRMED}, {@link #NAMED}, {@link #UNNAMED} or {@link #WIPED}
 * @param to the state after; of a proposal the state it stays in
 * @param proposes what the first of two people proposes, else null
 * @param told what was told with it
 * @param by who entered it
 * @param enteredAt when it was entered
 */
record Move(int version, String done, State to, @Nullable State proposes, Told told, int by, Instant enteredAt) {
    static final String UNDO = "undo";
    static final String PROPOSED = "proposed";
    static final String CONFIRMED = "confirmed";

    /** A record names it as used, or no longer does. */
    static final String NAMED = "named";

    static final String UNNAMED = "unnamed";

    /** It was wiped, and waits for its check: for kinds whose maker says that this is enough. */
    static final String WIPED = "wiped";

    /** From here on a move counts as entered late; our own choice, no source. */
    static final Duration LATE = Duration.ofMinutes(30);

    boolean late() {
        return told.at().plus(LATE).isBefore(enteredAt);
    }
}
