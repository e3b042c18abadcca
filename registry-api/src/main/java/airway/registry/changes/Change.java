package airway.registry.changes;

import java.time.LocalDate;
import java.util.UUID;

/**
 * A change of practice in a unit.
 *
 * @param on the first day of the new practice, in the zone of the unit
 * @param name what was changed, in a few words
 * @param reason why
 * @param cutsChart whether charts begin a new phase on that day; else they only carry a note
 */
public record Change(UUID id, LocalDate on, String name, String reason, boolean cutsChart) {
    /** Whether both say the same. */
    boolean saysAs(Change other) {
        return on.equals(other.on)
                && name.equals(other.name)
                && reason.equals(other.reason)
                && cutsChart == other.cutsChart;
    }
}
