package airway.registry.encounter;

import airway.registry.access.Site;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A version of a record as it is kept, with what was worked out and what is still open.
 *
 * @param reason why this version was made; null for the first
 * @param incomplete pointers of open questions of the layers first and detail
 * @param setups the set-ups that the attempts name
 */
public record Recorded(
        UUID id,
        int version,
        String status,
        Instant recordedAt,
        String dictionaryVersion,
        @Nullable Reason reason,
        Site site,
        Encounter encounter,
        List<String> incomplete,
        Derived derived,
        Map<String, DeviceSetup> setups) {
    /** The same version with other answers: to show what a change would make of it. */
    Recorded with(Encounter other) {
        return new Recorded(
                id, version, status, recordedAt, dictionaryVersion, reason, site, other, incomplete, derived, setups);
    }
}
