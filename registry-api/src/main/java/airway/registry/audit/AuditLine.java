package airway.registry.audit;

import java.time.Instant;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * An entry of the audit to be read.
 *
 * @param seq its place in the chain; null while it waits to be sealed
 * @param site code of the unit; null for what belongs to no unit
 * @param about the person or token it was done to
 * @param reason what was typed; never leaves in an export
 * @param detail coded words and numbers about it, as JSON
 */
record AuditLine(
        long id,
        @Nullable Long seq,
        Instant at,
        Who actor,
        String action,
        String object,
        @Nullable UUID objectId,
        @Nullable Integer version,
        @Nullable String site,
        @Nullable String siteTitle,
        @Nullable Who about,
        @Nullable String reasonCode,
        @Nullable String reason,
        @Nullable String detail) {
    /** Somebody, or a program, that acts. */
    record Who(int no, String title) {}
}
