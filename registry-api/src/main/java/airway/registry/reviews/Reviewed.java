package airway.registry.reviews;

import airway.registry.access.Site;
import java.time.YearMonth;
import java.util.List;
import java.util.Locale;
import org.jooq.DSLContext;

/**
 * How far the case reviews of a unit and period have come, for other rooms that print it. It names no case.
 *
 * @param waiting cases that are not done
 * @param done cases that are
 * @param contributed what was named as having contributed, the most often named first; a case may name several
 */
public record Reviewed(int waiting, int done, List<Named> contributed) {
    /** So many reviews name this. */
    public record Named(String what, int cases) {}

    /** Inside a running transaction; both months belong to the period. */
    public static Reviewed of(DSLContext dsl, Site site, YearMonth from, YearMonth to) {
        ReviewQuery query = new ReviewQuery(dsl);
        ReviewFilter filter = new ReviewFilter(from, to, null, null);
        ReviewQuery.Counts counts = query.counts(site, filter);
        return new Reviewed(
                counts.waiting(),
                counts.done(),
                query.contributed(site, filter).entrySet().stream()
                        .map(one -> new Named(one.getKey().label().toLowerCase(Locale.ROOT), one.getValue()))
                        .sorted((a, b) -> b.cases() - a.cases())
                        .toList());
    }
}
