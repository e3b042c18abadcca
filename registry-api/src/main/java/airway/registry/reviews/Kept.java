package airway.registry.reviews;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * A version of a review as it is kept.
 *
 * @param amendment why this version was made; null for the first
 * @param writtenAt when it was written
 */
record Kept(Review review, int version, @Nullable Amendment amendment, Instant writtenAt) {}
