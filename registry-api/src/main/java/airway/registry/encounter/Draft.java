package airway.registry.encounter;

import java.time.Instant;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A record being filled in: what was typed so far, kept for whoever of the unit goes on with it.
 *
 * @param id the key of the filling-in; the record saved under it ends the draft
 * @param revision how often it was written
 * @param typed null where what is kept does not open: it was damaged, or its key is gone
 */
record Draft(UUID id, int revision, @Nullable Typed typed, Instant begunAt, Instant writtenAt) {}
