package airway.registry.research;

import java.time.Instant;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * A step of a request.
 *
 * @param version counts from 1
 * @param reason why it was refused or withdrawn
 * @param by who took it
 * @param approval what was approved, where it was
 */
record Step(
        int version,
        Status status,
        @Nullable String reason,
        int by,
        Instant at,
        @Nullable Approval approval) {
    /** How a request stands. */
    enum Status {
        ASKED("Waits for the data guardian"),
        APPROVED("Approved"),
        REFUSED("Refused"),
        WITHDRAWN("Withdrawn");

        private final String words;

        Status(String words) {
            this.words = words;
        }

        String code() {
            return name().toLowerCase(Locale.ROOT);
        }

        String words() {
            return words;
        }

        /** Whether nothing can follow. */
        boolean last() {
            return this == REFUSED || this == WITHDRAWN;
        }
    }
}
