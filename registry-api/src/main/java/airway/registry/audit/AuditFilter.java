package airway.registry.audit;

import airway.registry.access.Site;
import java.time.LocalDate;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * Which entries are listed; null means any.
 *
 * @param from first day, inclusive, UTC
 * @param to last day, inclusive, UTC
 * @param actor number of who did it
 * @param objectId the one thing it was done to
 */
record AuditFilter(
        @Nullable LocalDate from,
        @Nullable LocalDate to,
        @Nullable Site site,
        @Nullable String action,
        @Nullable String object,
        @Nullable Integer actor,
        @Nullable UUID objectId) {}
