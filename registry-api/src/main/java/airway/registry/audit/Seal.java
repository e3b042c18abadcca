package airway.registry.audit;

import org.jspecify.annotations.Nullable;

/**
 * A link of the chain.
 *
 * @param seq place, from 1 without a gap
 * @param previous hash of the seal before, in hexadecimal, or null for the first
 * @param hash SHA-256 in hexadecimal, 64 characters
 */
record Seal(long seq, long entryId, @Nullable String previous, String hash) {}
