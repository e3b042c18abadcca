package airway.registry.release;

import airway.registry.access.Site;
import airway.registry.cohort.Measure;
import airway.registry.dictionary.Scheme;
import java.time.Instant;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.UUID;
import org.jooq.DSLContext;

/**
 * Shares that a paper tells to readers outside the unit, inside the organisation: held against all that was told before, and
 * remembered like a table. A share of a stretch of time is a table of one line.
 */
public final class ToldShares {
    private static final UUID NOT_KEPT = new UUID(0, 0);

    private ToldShares() {}

    /**
     * A share of encounters in a stretch of time.
     *
     * @param from first month, inclusive
     * @param to last month, inclusive
     * @param x cases with the outcome, 0 to n
     * @param n cases, 1 or more
     */
    public record Share(Measure measure, YearMonth from, YearMonth to, long x, long n) {
        private Counting counting() {
            return new Counting(measure, measure.bySeverity() ? Scheme.DEFAULT : null);
        }

        private CountTable table(Site site) {
            Lines lines = new Lines(null, 12);
            return new CountTable(
                    new TableSpec(site, counting(), lines, from, to, Map.of()),
                    Audience.INSIDE,
                    List.of(new CountTable.Line(lines.codes(from, to), n, x)),
                    n,
                    x);
        }
    }

    /** The smallest number of cases with or without the outcome that such a paper may tell. */
    public static int threshold() {
        return Audience.INSIDE.threshold();
    }

    /**
     * Those among some shares with which, beside all that was told before and the shares before them, no number below the
     * threshold can be worked out.
     *
     * @param wanted shares in none of which cases with or without the outcome are fewer than the threshold, zero apart
     */
    public static Set<Share> tellable(DSLContext dsl, Site site, List<Share> wanted) {
        List<ToldTable> told = new ArrayList<>(new TableStore(dsl)
                .all(site).stream()
                        .filter(table -> wanted.stream()
                                .anyMatch(share -> share.counting()
                                        .nests(table.table().spec().counting())))
                        .toList());
        Set<Share> tellable = new LinkedHashSet<>();
        if (wanted.isEmpty()) {
            return tellable;
        }
        List<TableSpec> specs = new ArrayList<>();
        told.forEach(table -> specs.add(table.table().spec()));
        wanted.forEach(share -> specs.add(share.table(site).spec()));
        List<FactRow> rows = TableQuery.rows(dsl, specs);
        for (Share share : wanted) {
            CountTable table = share.table(site);
            if (Differencing.givenAwayWith(table, told, rows).isEmpty()) {
                tellable.add(share);
                told.add(new ToldTable(NOT_KEPT, table, "", "", Instant.EPOCH));
            }
        }
        return tellable;
    }

    /** Waits until nobody else is telling numbers of the unit; held until the transaction ends. */
    public static void hold(DSLContext dsl, Site site) {
        new TableStore(dsl).hold(site);
    }

    /** Remembers shares as told; what was told cannot be taken back. */
    public static void tell(DSLContext dsl, Site site, Iterable<Share> shares, String recipient, String purpose) {
        TableStore store = new TableStore(dsl);
        for (Share share : shares) {
            store.insert(UUID.randomUUID(), share.table(site), recipient, purpose);
        }
    }
}
