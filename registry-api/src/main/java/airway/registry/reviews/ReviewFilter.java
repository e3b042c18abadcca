package airway.registry.reviews;

import airway.registry.cohort.Measure;
import java.time.YearMonth;
import org.jspecify.annotations.Nullable;

/**
 * Which cases are listed.
 *
 * @param from first month, inclusive, or null for the first there is
 * @param to last month, inclusive, or null for the last there is
 * @param why what opens them, or null for any
 * @param done only those whose review is done, or is not; null for both
 */
record ReviewFilter(
        @Nullable YearMonth from,
        @Nullable YearMonth to,
        @Nullable Measure why,
        @Nullable Boolean done) {
    static final ReviewFilter ALL = new ReviewFilter(null, null, null, null);
}
