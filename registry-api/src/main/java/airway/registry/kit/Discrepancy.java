package airway.registry.kit;

import airway.registry.access.Site;
import airway.registry.dictionary.Dictionary;
import java.time.Instant;
import java.util.Arrays;
import java.util.Locale;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * What a record and the log of the kit do not agree on, or what a record leaves to the kit keeper.
 *
 * @param record the record; nothing of it is shown but this key
 * @param attempt the attempt of that record, from 1
 * @param told what the record says: a label as typed, or the code of a kit problem
 * @param item the item, where one is known
 * @param itemName the number on its label
 * @param lot the lot, where one is known
 * @param lotName its number
 * @param since when it was raised
 * @param end how it ended, or null while it is open
 */
record Discrepancy(
        Site site,
        UUID id,
        UUID record,
        int attempt,
        Kind kind,
        String told,
        @Nullable UUID item,
        @Nullable String itemName,
        @Nullable UUID lot,
        @Nullable String lotName,
        Instant since,
        @Nullable End end) {
    /**
     * How it ended.
     *
     * @param reason why somebody closed it; null where the record no longer says so
     * @param item the item that a label was found to be, or null
     * @param lot the lot that a label was found to be, or null
     */
    record End(
            @Nullable String reason,
            Instant at,
            @Nullable UUID item,
            @Nullable UUID lot) {}

    /** The item, or what a label was found to be; null where there is none. */
    @Nullable
    UUID itemInTheEnd() {
        return end == null || end.item() == null ? item : end.item();
    }

    /** The lot, or what a label was found to be; null where there is none. */
    @Nullable
    UUID lotInTheEnd() {
        return end == null || end.lot() == null ? lot : end.lot();
    }

    /** What it is about. */
    enum Kind {
        ITEM_UNKNOWN(
                "This label names no item and no lot of the unit",
                "Find what it was, and look whether it is dirty; enter it if it is new. Then close this with the label it has"
                        + " here: the record is linked."),
        STOCK_NONE("More of this lot was used than came", "Count what is left, and enter what came."),
        STATE_ODD("Used although it was not ready", "Find it, look at its label, and hold it if in doubt."),
        EXPIRED("Used after its use-by day", "Tell whoever decides about it by local policy."),
        USED_TWICE(
                "Named by two records without a passing cycle in between",
                "Find out which record is right; it may matter to both children."),
        PROCESSED_SINCE(
                "Told late: a cycle has passed since this use", "It counts as dirty again; process it once more."),
        NO_LONGER_NAMED("A record no longer names it", "It stays dirty, since nobody can tell: process it once more."),
        KIT_PROBLEM("Kit problem", "Find the item and mend it, or hold it."),
        RECORDING("A recording was made", "Copy it to where recordings belong, then clear it from the device.");

        private final String words;
        private final String mend;

        Kind(String words, String mend) {
            this.words = words;
            this.mend = mend;
        }

        String code() {
            return name().toLowerCase(Locale.ROOT);
        }

        String words() {
            return words;
        }

        /** What to do about it. */
        String mend() {
            return mend;
        }

        /** Whether it came of naming an item, and goes with the naming. */
        boolean ofAUse() {
            return this == STATE_ODD
                    || this == STOCK_NONE
                    || this == EXPIRED
                    || this == USED_TWICE
                    || this == PROCESSED_SINCE;
        }

        static Kind of(String code) {
            return Arrays.stream(values())
                    .filter(kind -> kind.code().equals(code))
                    .findFirst()
                    .orElseThrow();
        }
    }

    /** What the record said, in words. */
    String toldWords() {
        return kind == Kind.KIT_PROBLEM
                ? Dictionary.current().variable("kit_issue").label(told)
                : kind == Kind.RECORDING ? "On the device, not known to be copied" : told;
    }

    /** Whether the record no longer says so, rather than somebody having closed it. */
    boolean lapsed() {
        return end != null && end.reason() == null;
    }

    /** Whether a record says the same as this one. */
    boolean says(int attempt, Kind kind, String told) {
        return this.attempt == attempt && this.kind == kind && this.told.equals(told);
    }
}
