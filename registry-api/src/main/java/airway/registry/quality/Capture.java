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

    /** More records than the other source knows of: one of the two is wrong. */
    boolean over() {
        return matched == null && records > counted;
    }

    /** How many entries of a list are recorded; nothing for a count, whose intubations were not matched. */
    Share share() {
        return matched == null ? Share.NOTHING : new Share(matched, counted);
    }

    /** The records beside a count; nothing for a list. */
    Ratio ratio() {
        return matched == null ? new Ratio(records, counted) : Ratio.NOTHING;
    }

    String words() {
        if (byList()) {
            return share().estimate();
        }
        return ratio().words() + (over() ? ": look at both" : ", not matched");
    }
}
