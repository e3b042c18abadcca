package airway.registry.charts;

import static airway.sql.generated.analysis.Tables.KIT_ROWS;
import static org.jooq.impl.DSL.count;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import java.time.Instant;
import java.time.LocalDate;
import java.time.YearMonth;
import java.time.ZoneOffset;
import java.util.SortedMap;
import java.util.TreeMap;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Counts a measure of the kit by the spans of a chart: one select over its rows, grouped in SQL. */
final class KitCountQuery {
    private final DSLContext dsl;
    private final Instant now;

    /**
     * @param now until when what is not over was watched
     */
    KitCountQuery(DSLContext dsl, Instant now) {
        this.dsl = dsl;
        this.now = now;
    }

    /** By first month of each span of the calendar that has a case. */
    SortedMap<YearMonth, Counted> bySpan(ChartRequest request) {
        Cohort cohort = request.cohort();
        boolean values = request.measure().shape() == Measure.Shape.VALUE;
        var rows = KIT_ROWS.call(
                request.measure().id(),
                cohort.sites().stream().map(Site::no).toArray(Short[]::new),
                day(cohort.from(), false),
                day(cohort.to(), true),
                now.atOffset(ZoneOffset.UTC));
        // A median needs every value; of a share two counts are enough.
        Field<Short> value = values ? rows.ANSWER : DSL.inline((Short) null);
        Field<Boolean> waiting = values ? rows.WAITING : DSL.inline(false);
        Field<Integer> yes = count().filterWhere(rows.ANSWER.eq((short) 1));
        SortedMap<YearMonth, Counted> spans = new TreeMap<>();
        dsl.select(rows.MONTH, value.as("value"), waiting.as("waiting"), yes.as("x"), count().as("n"))
                .from(rows)
                .groupBy(values ? new Field<?>[] {rows.MONTH, value, waiting} : new Field<?>[] {rows.MONTH})
                .forEach(row -> spans.merge(
                        request.grouping().start(YearMonth.from(row.get(rows.MONTH))),
                        counted(row, values),
                        Counted::plus));
        return spans;
    }

    private static Counted counted(Record row, boolean values) {
        long n = row.get("n", Long.class);
        if (!values) {
            return new Counted(row.get("x", Long.class), n, 0, 0, 0);
        }
        Histogram alike = Histogram.of(row.get("value", Integer.class), n);
        return row.get("waiting", Boolean.class)
                ? new Counted(0, n, 0, 0, 0, Histogram.EMPTY, alike)
                : new Counted(n, n, 0, 0, 0, alike, Histogram.EMPTY);
    }

    private static @Nullable LocalDate day(@Nullable YearMonth month, boolean last) {
        return month == null ? null : last ? month.atEndOfMonth() : month.atDay(1);
    }
}
