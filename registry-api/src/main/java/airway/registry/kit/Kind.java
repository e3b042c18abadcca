package airway.registry.kit;

import airway.registry.access.Site;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A kind of reusable item with what its maker says about reprocessing. Nothing is built in: what stands here was entered.
 *
 * @param version counts from 1
 * @param title what the unit calls it, with its size
 * @param instructions where the instructions of the maker are found; without them nothing of the kind is released
 * @param cycleLimit how many cycles the maker allows, or null where none is stated
 * @param leastReady how many should be ready, or null
 */
record Kind(
        Site site,
        UUID id,
        int version,
        String title,
        @Nullable String instructions,
        @Nullable Integer cycleLimit,
        @Nullable Integer leastReady) {}
