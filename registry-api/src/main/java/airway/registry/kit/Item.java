package airway.registry.kit;

import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A thing one can hold.
 *
 * @param name the number on its label
 * @param gtin of its mark, with the serial number, or null
 * @param giai asset number of its mark, or null
 * @param cyclesBefore cycles behind it when it was entered
 */
record Item(
        UUID id,
        Kind kind,
        String name,
        @Nullable String gtin,
        @Nullable String serial,
        @Nullable String giai,
        int cyclesBefore) {}
