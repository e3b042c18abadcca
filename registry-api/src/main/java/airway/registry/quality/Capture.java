package airway.registry.quality;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * Intubations of a month by another source, and how many of them are recorded here.
 *
 * @param counted by the other source
 * @param matched of a list, entries for which a record was found; null where only a count was typed
 * @param enteredAt when it was entered
 * @param records here, of the same month: with an attempt, tube changes apart
 */
record Capture(int counted, @Nullable Integer matched, Instant enteredAt, int records) {
    boolean byList() {
        return matched != null;
    }

    /** More records than the other source knows of: one of the two is wrong, and no share can be told. */
    boolean over() {
        return matched == null && records > counted;
    }

    /** How many of those counted are recorded; nothing where that cannot be told. */
    Share share() {
        return over() ? Share.NOTHING : new Share(matched == null ? records : matched, counted);
    }

    String words() {
        if (over()) {
            return records + " records, " + counted + " counted: look at both";
        }
        return share().estimate() + (byList() ? "" : ", not matched");
    }
}
