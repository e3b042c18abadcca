package airway.registry.changes;

import airway.registry.access.Site;
import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * A version of a change as it is kept.
 *
 * @param status final, amended or entered-in-error
 * @param amendment why this version was made; null for the first
 * @param writtenAt when it was written
 */
record Kept(
        Site site,
        Change change,
        int version,
        String status,
        @Nullable Amendment amendment,
        Instant writtenAt) {
    static final String WITHDRAWN = "entered-in-error";

    boolean withdrawn() {
        return status.equals(WITHDRAWN);
    }

    /** The next version of the same change. */
    Kept next(Change change, String status, Amendment amendment) {
        return new Kept(site, change, version + 1, status, amendment, writtenAt);
    }
}
