package airway.registry.cohort;

import airway.registry.access.Site;
import java.time.YearMonth;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Which encounters: units, period and filters.
 *
 * @param sites the units, never empty
 * @param from first month, inclusive, or null for the first there is
 * @param to last month, inclusive, or null for the last there is
 * @param filters codes by variable; several codes of one variable mean any of them
 * @param setups keys of set-ups of attempt 1; empty for all
 * @param everywhere whether these are all units that the one who asks may see, so that no row has to be asked for its unit again
 */
public record Cohort(
        List<Site> sites,
        @Nullable YearMonth from,
        @Nullable YearMonth to,
        Map<Stratum, Set<String>> filters,
        Set<String> setups,
        boolean everywhere) {

    /** Encounters of some units. */
    public Cohort(
            List<Site> sites,
            @Nullable YearMonth from,
            @Nullable YearMonth to,
            Map<Stratum, Set<String>> filters,
            Set<String> setups) {
        this(sites, from, to, filters, setups, false);
    }

    /** Units of several kinds together: their patients differ, and so do their rates. */
    public boolean mixesKinds() {
        return sites.stream().map(Site::kind).distinct().count() > 1;
    }
}
