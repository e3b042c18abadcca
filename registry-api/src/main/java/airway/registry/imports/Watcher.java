package airway.registry.imports;

import java.util.List;
import java.util.UUID;

/**
 * Hears what becomes of each row while it happens, so that nobody must hold all of it.
 *
 * <p>Whatever it throws ends the import; under {@link Take#ALL_OR_NOTHING} nothing is then stored.
 */
public interface Watcher {
    /** A row became a record. Under {@link Take#ALL_OR_NOTHING} this holds only once the report is there. */
    default void taken(int row, UUID id) {}

    default void rejected(int row, List<Complaint> complaints) {}

    /** All rows up to this one were looked at. */
    default void reached(int row, int rows) {}

    /** Another import into the unit is running and is waited for. */
    default void waits() {}
}
