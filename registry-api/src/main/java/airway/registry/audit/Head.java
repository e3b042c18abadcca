package airway.registry.audit;

import java.time.Instant;

/**
 * The newest seal at a moment, as it is kept outside the database.
 *
 * @param hash in hexadecimal, 64 characters
 * @param at when it was kept, to the second
 */
public record Head(long seq, String hash, Instant at) {}
