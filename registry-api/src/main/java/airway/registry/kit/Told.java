package airway.registry.kit;

import java.time.Instant;
import java.time.LocalDate;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * What is told with a move; null where it was not.
 *
 * @param at when it was done
 * @param place where it is since
 * @param label number of the tracking label
 * @param destination where it was sent
 * @param cycle number of a processing cycle
 * @param cycleEndedAt when the cycle ended
 * @param cyclePassed whether it passed
 * @param useBy last day on which the pack may be used
 * @param packWhole whether the pack was seen to be whole
 * @param checked whether inspection and check of light or picture were passed
 * @param encounter the record it was used in
 * @param attempt the attempt of that record, from 1
 */
record Told(
        Instant at,
        @Nullable String place,
        @Nullable String label,
        @Nullable String destination,
        @Nullable String cycle,
        @Nullable Instant cycleEndedAt,
        @Nullable Boolean cyclePassed,
        @Nullable LocalDate useBy,
        @Nullable Boolean packWhole,
        @Nullable Boolean checked,
        @Nullable UUID encounter,
        @Nullable Integer attempt,
        @Nullable String reason) {
    static Told nothing(Instant at) {
        return new Told(at, null, null, null, null, null, null, null, null, null, null, null, null);
    }

    /** The same as a cycle that passed when it was done. */
    Told wiped() {
        return new Told(
                at, place, label, destination, cycle, at, true, useBy, packWhole, checked, encounter, attempt, reason);
    }

    /** When the cycle ended, if it passed; else null. */
    @Nullable
    Instant passedAt() {
        return cycle != null && Boolean.TRUE.equals(cyclePassed) ? cycleEndedAt : null;
    }
}
