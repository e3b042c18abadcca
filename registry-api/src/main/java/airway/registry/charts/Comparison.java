package airway.registry.charts;

import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import airway.registry.dictionary.Scheme;
import airway.stats.Estimate;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Groups of encounters beside each other, as recorded: nothing is allowed for.
 *
 * @param scheme the scheme of severity that decides; null where none does
 * @param by variable that makes the groups
 * @param comparable whether two groups at least hold enough first attempts
 */
record Comparison(
        Measure measure,
        @Nullable Scheme scheme,
        String by,
        String title,
        Cohort cohort,
        List<Group> groups,
        boolean comparable) {
    /** First attempts that a group needs to be compared. Source: the registry's table of minimum numbers. */
    static final int FEWEST = 20;

    /** One group; the estimate is null without a case. */
    record Group(
            String code,
            String label,
            Counted counted,
            @Nullable Estimate estimate) {
        boolean comparable() {
            return counted.n() >= FEWEST;
        }

        boolean countsOnly() {
            return counted.n() < Percent.FEWEST;
        }
    }

    /** Dates do not matter here, but the reader is told where records have made-up ones. */
    boolean nominal() {
        return groups.stream().anyMatch(group -> group.counted().nominal() > 0);
    }
}
