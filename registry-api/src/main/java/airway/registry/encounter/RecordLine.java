package airway.registry.encounter;

import java.time.Instant;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A record in the list.
 *
 * @param answers of the encounter
 * @param derived what was worked out; null for a withdrawn record
 * @param setup key of the set-up of attempt 1; null where none was named
 * @param setupTitle what the unit calls it
 * @param open open questions of the first layer
 * @param unlikely values outside their usual range that were confirmed; of a withdrawn record they are not told apart
 * @param confirmed other answers that were asked about and confirmed
 * @param reason why it was withdrawn, or put right; null for a first version
 */
record RecordLine(
        UUID id,
        int version,
        String status,
        Instant start,
        Answers answers,
        @Nullable Worked derived,
        @Nullable String setup,
        @Nullable String setupTitle,
        int open,
        int unlikely,
        int confirmed,
        @Nullable String reason) {
    /** The part of the fact row that a list tells. */
    record Worked(
            Derived.Verdict fps,
            Derived.Verdict fpsStrict,
            Derived.Verdict fpsClean,
            @Nullable Integer attempts,
            @Nullable Integer lowest,
            String ageBand) {}

    RecordCursor cursor() {
        return new RecordCursor(id, version);
    }
}
