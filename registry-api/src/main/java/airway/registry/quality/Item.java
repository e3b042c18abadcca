package airway.registry.quality;

import java.time.Instant;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A record that asks for another look.
 *
 * @param field of the record page to begin with, or empty
 * @param other the record beside it, for a pair; else null
 */
record Item(
        UUID id,
        Instant start,
        String words,
        String field,
        @Nullable UUID other) {}
