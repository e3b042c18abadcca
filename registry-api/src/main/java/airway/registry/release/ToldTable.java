package airway.registry.release;

import java.time.Instant;
import java.util.UUID;

/**
 * A table that was told.
 *
 * @param recipient who was told
 * @param purpose what for
 * @param at when
 */
record ToldTable(UUID id, CountTable table, String recipient, String purpose, Instant at) {}
