package airway.registry.kit;

import java.time.Instant;
import java.time.LocalDate;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A line in the log of a trolley: what was found at a check, or that somebody opened it.
 *
 * @param version its place in the log, from 1
 * @param status final, amended (it stands for an earlier one) or withdrawn (it takes an earlier one back)
 * @param corrects the line that it stands for, or null
 * @param layout the version of the trolley that was checked
 * @param slots what should have lain there by that version
 * @param by who entered it
 * @param enteredAt when it was entered
 */
record Check(
        UUID trolley,
        int version,
        String status,
        @Nullable Integer corrects,
        int layout,
        List<Slot> slots,
        Found found,
        @Nullable String reason,
        int by,
        Instant enteredAt) {
    Check {
        slots = List.copyOf(slots);
    }

    /** What kind of line it is. */
    enum Kind {
        /** Every slot was looked at. */
        FULL("Full check"),
        /** The seal was whole, and its number was read. */
        SHORT("Short check"),
        /** The seal was broken to take something out. */
        OPENED("Opened");

        private final String words;

        Kind(String words) {
            this.words = words;
        }

        String words() {
            return words;
        }

        String code() {
            return name().toLowerCase(Locale.ROOT);
        }

        static Optional<Kind> of(String code) {
            return Arrays.stream(values())
                    .filter(kind -> kind.code().equals(code))
                    .findFirst();
        }
    }

    /** How far the recordings of a device are: only that it was done, never the recordings. */
    enum Recordings {
        NONE("None on it"),
        ON_DEVICE("On it, not copied"),
        COPIED("Copied, the copy not checked"),
        VERIFIED("Copied, and the copy checked"),
        CLEARED("Cleared, after the copy was checked");

        private final String words;

        Recordings(String words) {
            this.words = words;
        }

        /** As it reads on a page. */
        public String words() {
            return words;
        }

        String code() {
            return name().toLowerCase(Locale.ROOT);
        }

        static Optional<Recordings> of(String code) {
            return Arrays.stream(values())
                    .filter(one -> one.code().equals(code))
                    .findFirst();
        }
    }

    /**
     * What was found of a slot.
     *
     * @param count how many
     * @param useBy the earliest last day on which one may be used, or null where none stands on it
     */
    record Line(int count, @Nullable LocalDate useBy) {}

    /**
     * What was found; null where it was not asked.
     *
     * @param sealFound whole, broken or none
     * @param sealRead the number that was read on it
     * @param sealApplied the number of the new seal
     * @param lines of each slot, in the order of the trolley; empty unless the check is full
     * @param battery charge in percent
     */
    record Found(
            Kind kind,
            Instant at,
            @Nullable String sealFound,
            @Nullable String sealRead,
            @Nullable String sealApplied,
            List<Line> lines,
            @Nullable Boolean light,
            @Nullable Integer battery,
            @Nullable Boolean memoryFree,
            @Nullable Recordings recordings,
            @Nullable String note) {
        Found {
            lines = List.copyOf(lines);
        }

        /** Of a row that says no more than that it takes another back. */
        static Found nothing(Kind kind, Instant at) {
            return new Found(kind, at, null, null, null, List.of(), null, null, null, null, null);
        }
    }
}
