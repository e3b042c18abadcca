package airway.registry.release;

import airway.registry.access.Site;
import airway.registry.cohort.Stratum;
import java.time.YearMonth;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;

/**
 * What a table counts.
 *
 * @param from first month, inclusive
 * @param to last month, inclusive; wholly in the past, so that the table does not grow by itself
 * @param filters codes by variable; several codes of one variable mean any of them
 */
record TableSpec(
        Site site, Counting counting, Lines lines, YearMonth from, YearMonth to, Map<Stratum, Set<String>> filters) {

    /** The variables it asks about. */
    Set<Stratum> strata() {
        Set<Stratum> strata = new TreeSet<>(filters.keySet());
        if (lines.stratum() != null) {
            strata.add(lines.stratum());
        }
        return strata;
    }

    /** Whether encounters like these are counted in one of its lines. */
    boolean has(FactRow row) {
        return !row.month().isBefore(from)
                && !row.month().isAfter(to)
                && filters.entrySet().stream()
                        .allMatch(filter -> filter.getValue().contains(row.code(filter.getKey())))
                && (row.answer(counting) == 0 || row.answer(counting) == 1);
    }

    String line(FactRow row) {
        return lines.code(row.month(), row);
    }

    boolean overlaps(TableSpec other) {
        return !other.to.isBefore(from) && !other.from.isAfter(to);
    }
}
