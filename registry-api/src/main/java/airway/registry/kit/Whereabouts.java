package airway.registry.kit;

import java.time.Instant;
import java.time.LocalDate;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * Where an item is now, without its log: what a list of items needs.
 *
 * @param since when it came into its state
 * @param place where it is, as last told; null where nobody told
 * @param label the tracking label it is away under, else null
 * @param useBy last day of its pack, or null where none was told since it was processed
 * @param cycles cycles behind it, those before its first move here among them
 * @param proposed what waits for a second person, or null
 */
record Whereabouts(
        UUID id,
        String name,
        Kind kind,
        State state,
        Instant since,
        @Nullable String place,
        @Nullable String label,
        @Nullable LocalDate useBy,
        int cycles,
        @Nullable State proposed) {
    /** What is past its use-by day is not ready, wherever it lies; no day at all is not ready either, unless it has no pack. */
    boolean usable(LocalDate today) {
        return state.group() == State.Group.READY && (useBy == null ? kind.wiped() : !useBy.isBefore(today));
    }
}
