package airway.registry.charts;

import static airway.sql.generated.analysis.Tables.FACT;
import static org.jooq.impl.DSL.arrayAgg;
import static org.jooq.impl.DSL.count;
import static org.jooq.impl.DSL.field;
import static org.jooq.impl.DSL.min;
import static org.jooq.impl.DSL.name;

import airway.registry.charts.Chart.Point;
import airway.registry.cohort.CohortTable;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.Record1;
import org.jooq.Select;
import org.jooq.Table;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/**
 * The points of a period that is kept, with the records behind them, and what became of these later; each in one statement, so
 * that all is of one moment. Points of a stretch from one event to the next tell days, and their n the encounters.
 */
final class KeptRecords {
    private static final Field<Integer> NUMBER = field(name("now", "number"), Integer.class);
    private static final Field<Short> ANSWER = field(name("now", "answer"), Short.class);
    private static final Field<UUID> IS = field(name("now", "encounter_id"), UUID.class);
    private static final Field<Integer> VERSION = field(name("now", "version"), Integer.class);
    private static final Field<OffsetDateTime> STARTS =
            min(field(name("now", "started_at"), OffsetDateTime.class)).as("starts");
    private static final Field<Integer> TIMES = count(IS).as("times");

    private final DSLContext dsl;
    private final ChartRequest about;
    private final Points points;

    /** @param about a chart whose cohort is the period */
    KeptRecords(DSLContext dsl, ChartRequest about, Instant now) {
        this.dsl = dsl;
        this.about = about.kind().grouped() ? about : about.drawnAs(ChartKind.T);
        this.points = new Points(this.about, now);
    }

    /**
     * What is kept.
     *
     * @param encounters keys of all encounters of the cohort, also of those that do not count
     * @param versions the version of each of them
     */
    record Taken(List<Point> points, List<UUID> encounters, List<Integer> versions) {}

    /**
     * What became of encounters that were taken before.
     *
     * @param points of the period, as they are today
     * @param changed how many of them have another version by now
     * @param added encounters that belong to the cohort now and did not then
     * @param gone encounters that belonged to it then and do not now: withdrawn, or put right so that they belong elsewhere
     */
    record Since(List<Point> points, long changed, long added, long gone) {
        boolean isNothing() {
            return changed + added + gone == 0;
        }
    }

    /** The points as they stand, with the encounters behind them. */
    Taken take() {
        if (about.byCalendar()) {
            CountQuery.Taken taken = query().take(about.grouping());
            return new Taken(points.spans(taken.spans()), taken.encounters(), taken.versions());
        }
        Field<UUID[]> encounters = arrayAgg(IS).as("encounters");
        Field<Integer[]> versions = arrayAgg(VERSION).as("versions");
        List<UUID> ids = new ArrayList<>();
        List<Integer> all = new ArrayList<>();
        Stretches stretches = new Stretches();
        dsl.select(NUMBER, ANSWER, TIMES, STARTS, encounters, versions)
                .from(numbered())
                .groupBy(NUMBER, ANSWER)
                .forEach(row -> {
                    stretches.add(row);
                    ids.addAll(Arrays.asList(row.get(encounters)));
                    all.addAll(Arrays.asList(row.get(versions)));
                });
        return new Taken(stretches.points(), ids, all);
    }

    /**
     * Compares the cohort with encounters that were taken before.
     *
     * @param encounters selects the array of their keys
     * @param versions selects the array of their versions, in the same order
     */
    Since since(Select<Record1<UUID[]>> encounters, Select<Record1<Integer[]>> versions) {
        if (about.byCalendar()) {
            CountQuery.Since since = query().since(about.grouping(), encounters, versions);
            return new Since(points.spans(since.spans()), since.changed(), since.added(), since.gone());
        }
        Table<?> then = DSL.table("unnest({0}, {1})", DSL.field(encounters), DSL.field(versions))
                .as("then", "encounter_id", "version");
        Field<UUID> was = field(name("then", "encounter_id"), UUID.class);
        Field<Integer> changed = count().filterWhere(VERSION.ne(field(name("then", "version"), Integer.class)));
        Field<Integer> added = count().filterWhere(was.isNull());
        Field<Integer> gone = count().filterWhere(IS.isNull());
        long[] told = new long[3];
        Stretches stretches = new Stretches();
        dsl.select(NUMBER, ANSWER, TIMES, STARTS, changed, added, gone)
                .from(numbered())
                .fullJoin(then)
                .on(IS.eq(was))
                .groupBy(NUMBER, ANSWER)
                .forEach(row -> {
                    told[0] += row.get(changed);
                    told[1] += row.get(added);
                    told[2] += row.get(gone);
                    if (row.get(NUMBER) != null) {
                        stretches.add(row);
                    }
                });
        return new Since(stretches.points(), told[0], told[1], told[2]);
    }

    private CountQuery query() {
        return new CountQuery(dsl, about.measure(), about.scheme(), about.cohort());
    }

    /** The encounters in order of their start, each with the number of its group, or of the last event up to it. */
    private Table<?> numbered() {
        Field<Short> answer = about.measure().column(about.scheme());
        Field<Integer> number = about.kind().grouped()
                ? field(
                        "(greatest(count(*) filter (where {0} >= 0) over (order by {1}, {2}), 1) - 1)::integer / {3}",
                        Integer.class,
                        answer,
                        FACT.STARTED_AT,
                        FACT.ENCOUNTER_ID,
                        DSL.inline(about.grouping().size()))
                : field(
                        "(count(*) filter (where {0} = {3}) over (order by {1}, {2}))::integer",
                        Integer.class,
                        answer,
                        FACT.STARTED_AT,
                        FACT.ENCOUNTER_ID,
                        DSL.inline(about.measure().unwanted()));
        return dsl.select(
                        FACT.ENCOUNTER_ID.as("encounter_id"),
                        FACT.VERSION.as("version"),
                        FACT.STARTED_AT.as("started_at"),
                        answer.as("answer"),
                        number.as("number"))
                .from(FACT)
                .where(CohortTable.rows(about.cohort()))
                .asTable("now");
    }

    /** Rows of one number and one answer each, put together to whole groups, or to whole stretches. */
    private final class Stretches {
        private final SortedMap<Integer, Counted> counts = new TreeMap<>();
        private final SortedMap<Integer, Instant> starts = new TreeMap<>();

        private void add(Record row) {
            int number = row.get(NUMBER);
            Short answer = row.get(ANSWER);
            Instant at = row.get(STARTS).toInstant();
            counts.merge(number, counted(answer, row.get(TIMES)), Counted::plus);
            if (about.kind().grouped()
                    || (answer != null && answer == about.measure().unwanted())) {
                starts.merge(number, at, (one, other) -> one.isBefore(other) ? one : other);
            }
        }

        private Counted counted(@Nullable Short answer, long times) {
            if (answer == null || answer < 0) {
                return new Counted(0, 0, times, answer == null ? 0 : times, 0);
            }
            return switch (about.measure().shape()) {
                case PROPORTION, BETWEEN -> new Counted(answer == 1 ? times : 0, times, 0, 0, 0);
                case RATE -> new Counted(answer * times, times, 0, 0, 0);
                case VALUE -> new Counted(0, times, 0, 0, 0, Histogram.of(answer, times));
            };
        }

        private List<Point> points() {
            return (about.kind().grouped() ? groups() : between())
                    .stream().filter(Point::complete).toList();
        }

        private List<Point> groups() {
            SortedMap<Integer, CountQuery.Group> groups = new TreeMap<>();
            starts.forEach((number, at) ->
                    groups.put(number, new CountQuery.Group(counts.getOrDefault(number, Counted.NOTHING), at)));
            return points.groups(groups);
        }

        /** A number holds its event and the cases after it; number 0 what lies before the first event. */
        private List<Point> between() {
            List<CountQuery.Event> events = new ArrayList<>();
            starts.forEach((number, at) -> events.add(new CountQuery.Event(
                    at, counts.getOrDefault(number - 1, Counted.NOTHING).n())));
            return points.between(new CountQuery.Events(0, events, 0));
        }
    }
}
