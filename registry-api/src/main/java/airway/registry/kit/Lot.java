package airway.registry.kit;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Locale;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A lot of a single-use kind, and how many of it are left.
 *
 * @param lot its number, as it stands on the pack
 * @param gtin of its pack, or null
 * @param useBy the last day on which it may be used, or null where the pack states none
 * @param version the last line of its log
 * @param left how many there are by its log; below 0 when records used more than came
 */
record Lot(
        UUID id,
        Kind kind,
        String lot,
        @Nullable String gtin,
        @Nullable LocalDate useBy,
        int version,
        int left) {
    /** From so many days before the end on it is told of, and told of with more weight; our own choice, no source. */
    static final int SOON_DAYS = 60;

    static final int VERY_SOON_DAYS = 7;

    /** What is to be seen to. */
    enum Alert {
        NONE,
        SOON,
        VERY_SOON,
        EXPIRED,
        /** Records used more than came. */
        BELOW_ZERO
    }

    Alert alert(LocalDate today) {
        if (left < 0) {
            return Alert.BELOW_ZERO;
        }
        if (left == 0 || useBy == null || useBy.isAfter(today.plusDays(SOON_DAYS))) {
            return Alert.NONE;
        }
        return useBy.isBefore(today)
                ? Alert.EXPIRED
                : useBy.isAfter(today.plusDays(VERY_SOON_DAYS)) ? Alert.SOON : Alert.VERY_SOON;
    }

    /** How many of it may still be used. */
    int usable(LocalDate today) {
        return useBy != null && useBy.isBefore(today) ? 0 : Math.max(0, left);
    }

    /** How many of a kind may still be used. */
    static int usable(List<Lot> lots, Kind kind, LocalDate today) {
        return lots.stream()
                .filter(lot -> lot.kind().equals(kind))
                .mapToInt(lot -> lot.usable(today))
                .sum();
    }

    /** As one would say it. */
    String words() {
        return kind.title() + ", lot " + lot;
    }

    /**
     * A line of the log of a lot.
     *
     * @param change how many came, or went (below 0)
     * @param left how many there are by it
     */
    record Line(
            int version,
            Move move,
            int change,
            int left,
            Instant at,
            @Nullable UUID record,
            @Nullable Integer attempt,
            @Nullable String reason) {}

    /** What can happen to a lot. */
    enum Move {
        RECEIVED("Came"),
        USED("Used"),
        UNUSED("No longer named as used"),
        DISCARDED("Thrown away"),
        COUNTED("Counted");

        private final String words;

        Move(String words) {
            this.words = words;
        }

        String words() {
            return words;
        }

        String code() {
            return name().toLowerCase(Locale.ROOT);
        }

        static Move of(String code) {
            return valueOf(code.toUpperCase(Locale.ROOT));
        }
    }
}
