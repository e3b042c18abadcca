package airway.registry.encounter;

import static airway.sql.generated.analysis.Tables.CODE;
import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.encounter.Tables.DEVICE_SETUP;
import static airway.sql.generated.encounter.Tables.ENCOUNTER_;
import static airway.sql.generated.encounter.Tables.VERSION;

import airway.registry.access.Site;
import airway.registry.cohort.CohortTable;
import airway.registry.cohort.Measure;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import java.util.function.Consumer;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.Select;
import org.jooq.SelectConditionStep;
import org.jooq.SelectField;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Reads the list of records, newest first, a page at a time: each page begins after the last row of the one before. */
final class RecordListQuery {
    /** More than this is told as "more than". */
    static final int MOST_COUNTED = 10_000;

    private static final int ROWS_A_FETCH = 500;
    private static final Set<Layer> FIRST = Set.of(Layer.FIRST);
    private static final Field<String> BAND = DSL.field(DSL.name("band", "code"), String.class);

    private final DSLContext dsl;
    private final Site site;

    RecordListQuery(DSLContext dsl, Site site) {
        this.dsl = dsl;
        this.site = site;
    }

    /** The start of the version that a page ended with; it never changes. */
    Optional<OffsetDateTime> startOf(RecordCursor cursor) {
        return dsl.select(VERSION.ENCOUNTER_START)
                .from(VERSION)
                .where(
                        VERSION.SITE_ID.eq(site.no()),
                        VERSION.ENCOUNTER_ID.eq(cursor.id()),
                        VERSION.VERSION_.eq(cursor.version()))
                .fetchOptional(VERSION.ENCOUNTER_START);
    }

    /** Up to {@code most} records after a place in the list. */
    List<RecordLine> page(RecordFilter filter, @Nullable RecordCursor after, @Nullable OffsetDateTime start, int most) {
        Field<OffsetDateTime> startedAt = filter.withdrawn() ? VERSION.ENCOUNTER_START : FACT.STARTED_AT;
        Field<UUID> id = filter.withdrawn() ? VERSION.ENCOUNTER_ID : FACT.ENCOUNTER_ID;
        Condition rest =
                after == null ? DSL.trueCondition() : DSL.row(startedAt, id).lt(start, after.id());
        Select<Record> rows =
                select(filter).and(rest).orderBy(startedAt.desc(), id.desc()).limit(most);
        Map<UUID, Integer> open = Map.of();
        Map<UUID, Integer> unlikely = Map.of();
        List<Record> fetched = List.copyOf(dsl.fetch(rows));
        if (!filter.withdrawn() && !fetched.isEmpty()) {
            List<UUID> ids =
                    fetched.stream().map(row -> row.get(VERSION.ENCOUNTER_ID)).toList();
            open = open(ids);
            unlikely = unlikely(ids);
        }
        List<RecordLine> lines = new ArrayList<>();
        for (Record row : fetched) {
            UUID here = row.get(VERSION.ENCOUNTER_ID);
            lines.add(line(row, open.getOrDefault(here, 0), unlikely.getOrDefault(here, 0)));
        }
        return lines;
    }

    /** All records of the filter one after the other, without holding them all. */
    void each(RecordFilter filter, Consumer<RecordLine> reader) {
        List<RecordLine> batch = page(filter, null, null, ROWS_A_FETCH);
        while (!batch.isEmpty()) {
            batch.forEach(reader);
            RecordLine last = batch.get(batch.size() - 1);
            batch = batch.size() < ROWS_A_FETCH
                    ? List.of()
                    : page(filter, last.cursor(), startOf(last.cursor()).orElseThrow(), ROWS_A_FETCH);
        }
    }

    /** How many records there are, up to one more than {@link #MOST_COUNTED}. */
    int count(RecordFilter filter) {
        return dsl.fetchCount(select(filter).limit(MOST_COUNTED + 1));
    }

    /** How many withdrawn records of the period there are. */
    int withdrawn(RecordFilter filter) {
        return dsl.fetchCount(ENCOUNTER_.join(VERSION).on(current()), withdrawnRows(filter));
    }

    /** For each of several filters, how many records there would be: one look at the rows of the unit. */
    List<Integer> counts(List<RecordFilter> filters) {
        List<SelectField<Integer>> counts = new ArrayList<>();
        for (RecordFilter filter : filters) {
            counts.add(DSL.count().filterWhere(rows(filter)));
        }
        Record row = dsl.select(counts)
                .from(FACT)
                .join(VERSION)
                .on(ofFact())
                .where(FACT.SITE_ID.eq(site.no()))
                .fetchSingle();
        List<Integer> found = new ArrayList<>();
        for (int i = 0; i < filters.size(); i++) {
            found.add(row.get(i, Integer.class));
        }
        return found;
    }

    private Map<UUID, Integer> open(List<UUID> ids) {
        Field<Integer> open = DSL.count();
        return dsl.select(AskedTable.ENCOUNTER_ID, open)
                .from(AskedTable.of(FACT.SITE_ID.eq(site.no()).and(FACT.ENCOUNTER_ID.in(ids)), FIRST))
                .where(DSL.condition(AskedTable.BLANK))
                .groupBy(AskedTable.ENCOUNTER_ID)
                .fetchMap(AskedTable.ENCOUNTER_ID, open);
    }

    private Map<UUID, Integer> unlikely(List<UUID> ids) {
        Field<Integer> unlikely = DSL.count();
        return dsl.select(UnlikelyTable.ENCOUNTER_ID, unlikely)
                .from(UnlikelyTable.of(FACT.SITE_ID.eq(site.no()).and(FACT.ENCOUNTER_ID.in(ids))))
                .where(DSL.condition(UnlikelyTable.CONFIRMED))
                .groupBy(UnlikelyTable.ENCOUNTER_ID)
                .fetchMap(UnlikelyTable.ENCOUNTER_ID, unlikely);
    }

    private SelectConditionStep<Record> select(RecordFilter filter) {
        List<SelectField<?>> columns = new ArrayList<>(List.of(VERSION.fields()));
        if (filter.withdrawn()) {
            return dsl.select(columns)
                    .from(ENCOUNTER_)
                    .join(VERSION)
                    .on(current())
                    .where(withdrawnRows(filter));
        }
        columns.addAll(List.of(
                FACT.FPS,
                FACT.FPS_STRICT,
                FACT.FPS_CLEAN,
                FACT.TRACHEAL_ATTEMPTS,
                FACT.SPO2_LOWEST,
                DEVICE_SETUP.DEVICE_SETUP_ID,
                DEVICE_SETUP.TITLE,
                BAND));
        return dsl.select(columns)
                .from(FACT)
                .join(VERSION)
                .on(ofFact())
                .leftJoin(DEVICE_SETUP)
                .on(DEVICE_SETUP.SITE_ID.eq(FACT.SITE_ID), DEVICE_SETUP.SETUP_NO.eq(FACT.SETUP_NO))
                .leftJoin(CODE.as("band"))
                .on(CODE.as("band").VARIABLE.eq("age_band"), CODE.as("band").NO.eq(FACT.AGE_BAND))
                .where(rows(filter));
    }

    private static Condition ofFact() {
        return VERSION.SITE_ID
                .eq(FACT.SITE_ID)
                .and(VERSION.ENCOUNTER_ID.eq(FACT.ENCOUNTER_ID))
                .and(VERSION.VERSION_.eq(FACT.VERSION));
    }

    private static Condition current() {
        return VERSION.SITE_ID
                .eq(ENCOUNTER_.SITE_ID)
                .and(VERSION.ENCOUNTER_ID.eq(ENCOUNTER_.ENCOUNTER_ID))
                .and(VERSION.VERSION_.eq(ENCOUNTER_.CURRENT_VERSION));
    }

    private Condition withdrawnRows(RecordFilter filter) {
        Field<LocalDate> month = DSL.field(
                "date_trunc('month', {0} at time zone {1})::date",
                LocalDate.class, VERSION.ENCOUNTER_START, DSL.val(site.zone().getId()));
        Condition rows = ENCOUNTER_.SITE_ID.eq(site.no()).and(VERSION.STATUS.eq(DSL.inline("entered-in-error")));
        if (filter.cohort().from() != null) {
            rows = rows.and(month.ge(filter.cohort().from().atDay(1)));
        }
        return filter.cohort().to() == null
                ? rows
                : rows.and(month.le(filter.cohort().to().atDay(1)));
    }

    private static Condition rows(RecordFilter filter) {
        List<Condition> conditions = new ArrayList<>(List.of(CohortTable.rows(filter.cohort())));
        RecordFilter.Attempts attempts = filter.attempts();
        if (attempts == RecordFilter.Attempts.NOT_KNOWN) {
            conditions.add(FACT.TRACHEAL_ATTEMPTS.isNull());
        } else if (attempts != null) {
            if (attempts.least() != null) {
                conditions.add(FACT.TRACHEAL_ATTEMPTS.ge(attempts.least().shortValue()));
            }
            if (attempts.most() != null) {
                conditions.add(FACT.TRACHEAL_ATTEMPTS.le(attempts.most().shortValue()));
            }
        }
        if (filter.firstPass() != null) {
            conditions.add(
                    switch (filter.firstPass()) {
                        case YES -> FACT.FPS.eq((short) 1);
                        case NO -> FACT.FPS.eq((short) 0);
                        case EXCLUDED -> Measure.FPS.leavesOut();
                    });
        }
        if (filter.leftOut() != null) {
            conditions.add(filter.leftOut().leavesOut());
        }
        if (filter.warning() != null) {
            Condition confirmed = DSL.condition("cardinality({0}) > 0", VERSION.CONFIRMED);
            conditions.add(
                    switch (filter.warning()) {
                        case OPEN -> AskedTable.open(FIRST);
                        case CONFIRMED -> confirmed;
                        case ANY -> confirmed.or(AskedTable.open(FIRST));
                    });
        }
        return DSL.and(conditions);
    }

    private static RecordLine line(Record row, int open, int unlikely) {
        boolean counts = row.field(BAND) != null;
        String reason = row.get(VERSION.REASON_CODE);
        return new RecordLine(
                row.get(VERSION.ENCOUNTER_ID),
                row.get(VERSION.VERSION_),
                row.get(VERSION.STATUS),
                row.get(VERSION.ENCOUNTER_START).toInstant(),
                EncounterQuery.answers(Level.ENCOUNTER, row.into(VERSION.fields())),
                counts
                        ? new RecordLine.Worked(
                                Derived.Verdict.of(row.get(FACT.FPS)),
                                Derived.Verdict.of(row.get(FACT.FPS_STRICT)),
                                Derived.Verdict.of(row.get(FACT.FPS_CLEAN)),
                                integer(row.get(FACT.TRACHEAL_ATTEMPTS)),
                                integer(row.get(FACT.SPO2_LOWEST)),
                                String.valueOf(row.get(BAND)))
                        : null,
                counts ? row.get(DEVICE_SETUP.DEVICE_SETUP_ID) : null,
                counts ? row.get(DEVICE_SETUP.TITLE) : null,
                open,
                unlikely,
                (int) Arrays.stream(row.get(VERSION.CONFIRMED)).distinct().count() - unlikely,
                reason == null
                        ? null
                        : Reason.Code.of(reason).orElse(Reason.Code.OTHER).label());
    }

    private static @Nullable Integer integer(@Nullable Short value) {
        return value == null ? null : Integer.valueOf(value);
    }
}
