package airway.registry.quality;

import java.time.Instant;
import java.util.List;
import java.util.UUID;

/**
 * A record that asks for another look.
 *
 * @param field of the record page to begin with, or empty
 * @param more what the words only count, for those who want to see it
 * @param others the records that look like it
 */
record Item(UUID id, Instant start, String words, String field, List<String> more, List<UUID> others) {}
