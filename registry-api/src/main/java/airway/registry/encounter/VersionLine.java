package airway.registry.encounter;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * A version of a record in short.
 *
 * @param writtenAt when it was written
 * @param reason why it was made; null for the first
 */
public record VersionLine(
        int number,
        String status,
        Instant writtenAt,
        @Nullable Reason reason) {}
