package airway.registry.kit;

import airway.registry.access.Site;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * Whom items touched: the uses of them after and before what was asked about, and how far the registry can know. Lots of
 * single-use items are found too; each of their uses is of one child.
 *
 * @param at when it was asked
 * @param items those that were found by what was asked
 * @param uses what they touched, by item and time
 * @param numbers hospital numbers by record, where they were asked for and are kept; else empty
 */
record LookBack(
        Site site,
        Asked asked,
        Instant at,
        List<Found> items,
        List<Use> uses,
        Coverage coverage,
        Map<UUID, String> numbers) {
    LookBack {
        items = List.copyOf(items);
        uses = List.copyOf(uses);
        numbers = Map.copyOf(numbers);
    }

    /** From what it is asked. */
    enum By {
        ITEM("An item, by the number on its label"),
        CYCLE("A processing cycle, by its number"),
        LABEL("A tracking label, by its number"),
        GTIN("All items of one GTIN"),
        LOT("A lot of single-use items, by its number"),
        TROLLEY("A trolley, by its title"),
        RECORD("A record, by its key"),
        PATIENT("A child, by the hospital number"),
        PERIOD("All items, in a period");

        private final String words;

        By(String words) {
            this.words = words;
        }

        /** As it reads on a page. */
        public String words() {
            return words;
        }

        String code() {
            return name().toLowerCase(Locale.ROOT);
        }

        /** Whether a line of a log is where it begins, and not the whole life of an item. */
        boolean fromLine() {
            return this == CYCLE || this == LABEL || this == TROLLEY || touched();
        }

        /** Whether it begins with uses, so that what was touched before tells as much as what was touched next. */
        boolean touched() {
            return this == RECORD || this == PATIENT;
        }

        static Optional<By> of(String code) {
            return Arrays.stream(values()).filter(by -> by.code().equals(code)).findFirst();
        }
    }

    /**
     * What is asked.
     *
     * @param value the number, title or key; null for a period
     * @param from uses from here on alone, or null
     * @param to uses before this alone, or null
     * @param cycles only while fewer passing cycles than this lie between; null for all
     * @param names whether hospital numbers are to be shown
     * @param reason why; goes into the audit
     */
    record Asked(
            By by,
            @Nullable String value,
            @Nullable Instant from,
            @Nullable Instant to,
            @Nullable Integer cycles,
            boolean names,
            String reason) {}

    /**
     * An item or a lot that was found.
     *
     * @param state of an item; null of a lot
     * @param left of a lot; null of an item
     * @param lines how many lines of its log it was found by
     */
    record Found(
            UUID id,
            String name,
            String kind,
            @Nullable State state,
            @Nullable String place,
            @Nullable Instant since,
            @Nullable Integer left,
            int lines) {}

    /** On which side of what was asked about a use lies. */
    enum Side {
        BEFORE("before"),
        ITSELF("asked about"),
        AFTER("after");

        private final String words;

        Side(String words) {
            this.words = words;
        }

        String words() {
            return words;
        }

        String code() {
            return name().toLowerCase(Locale.ROOT);
        }
    }

    /**
     * A use of an item or of a lot.
     *
     * @param item the item or the lot
     * @param units how many of a lot; null of an item
     * @param line its line in the log
     * @param record the record it names; null where it names none
     * @param cycles passing cycles between it and what was asked about; the fewest where that was several lines
     * @param uncertain told late or out of order, so that it is not certain what came first
     */
    record Use(
            Side side,
            UUID item,
            @Nullable Integer units,
            String name,
            String kind,
            int line,
            Instant at,
            @Nullable UUID record,
            @Nullable Integer attempt,
            int cycles,
            boolean uncertain) {}

    /**
     * How far the registry can know.
     *
     * @param from begin of the window, or null where there is no use
     * @param to its end
     * @param records records that count and begin in the window
     * @param named how many of them are named by a use of an item
     * @param withoutRecord uses in the window that name no record
     * @param late moves of the items found that were told late
     * @param withoutCycle returns of the items found without a number of a cycle
     * @param still items of the unit without any move in the window, those out of use left out
     */
    record Coverage(
            @Nullable Instant from,
            Instant to,
            int records,
            int named,
            int withoutRecord,
            int late,
            int withoutCycle,
            int still) {}
}
