package airway.registry.reviews;

import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.analysis.Tables.START;
import static airway.sql.generated.reviews.Tables.VERSION;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.cohort.Measure;
import airway.sql.generated.reviews.tables.VersionTable;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.UUID;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.SelectField;
import org.jooq.SelectJoinStep;
import org.jooq.Table;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/**
 * Reads cases out of a running transaction: the fact rows whose measures open a review, joined with what was written.
 */
final class ReviewQuery {
    private static final Condition OPENS =
            DSL.or(Case.OPENING.stream().map(ReviewQuery::opens).toList());

    private static final Field<Integer> RECORD_VERSION = START.VERSION.as("record_version");

    private final DSLContext dsl;
    private final Table<?> opened;
    private final Table<?> written;
    private final Field<Boolean> done;

    ReviewQuery(DSLContext dsl) {
        this.dsl = dsl;
        List<SelectField<?>> columns = new ArrayList<>(List.of(FACT.SITE_ID, FACT.ENCOUNTER_ID));
        Case.OPENING.forEach(measure -> columns.add(measure.column(null)));
        opened = DSL.select(columns).from(FACT).where(OPENS).asTable("opened");
        VersionTable later = VERSION.as("later");
        written = DSL.selectFrom(VERSION)
                .where(DSL.notExists(DSL.selectOne()
                        .from(later)
                        .where(
                                later.SITE_ID.eq(VERSION.SITE_ID),
                                later.ENCOUNTER_ID.eq(VERSION.ENCOUNTER_ID),
                                later.VERSION_.gt(VERSION.VERSION_))))
                .asTable("written");
        done = DSL.coalesce(of(VERSION.DONE), DSL.inline(false));
    }

    /** The fact row says yes. Inlined, so that the index of such rows serves it. */
    private static Condition opens(Measure measure) {
        return measure.column(null).eq(DSL.inline((short) 1));
    }

    private <T> Field<T> of(Field<T> column) {
        return column(written, column);
    }

    private <T> Field<T> opened(Field<T> column) {
        return column(opened, column);
    }

    /** Up to {@code most} cases after a place in the list: those not done first, each part newest first. */
    List<Case> page(Site site, ReviewFilter filter, @Nullable ReviewCursor after, int most) {
        Condition rest = DSL.trueCondition();
        if (after != null) {
            OffsetDateTime start = startOf(site, after).orElseThrow(ReviewListForm::noSuchPlace);
            Condition older = DSL.row(START.STARTED_AT, START.ENCOUNTER_ID).lt(start, after.id());
            rest = after.done() ? done.isTrue().and(older) : done.isTrue().or(older);
        }
        return cases(columns())
                .where(rows(site, filter), rest)
                .orderBy(done, START.STARTED_AT.desc(), START.ENCOUNTER_ID.desc())
                .limit(most)
                .fetch(row -> found(site, row));
    }

    /** How many cases of a filter are not done, and how many are. */
    record Counts(int waiting, int done) {}

    Counts counts(Site site, ReviewFilter filter) {
        Field<Integer> waiting = DSL.count().filterWhere(done.isFalse());
        Field<Integer> finished = DSL.count().filterWhere(done.isTrue());
        return cases(List.of(waiting, finished))
                .where(rows(site, filter))
                .fetchSingle(row -> new Counts(row.get(waiting), row.get(finished)));
    }

    /** How often each thing contributed, in the newest versions of a filter; those never named are left out. */
    Map<Contribution, Integer> contributed(Site site, ReviewFilter filter) {
        Field<String> named =
                DSL.field("unnest({0})", String.class, of(VERSION.CONTRIBUTED)).as("named");
        Map<Contribution, Integer> counts = new EnumMap<>(Contribution.class);
        var each = cases(List.of(named)).where(rows(site, filter)).asTable("each");
        Field<String> contribution = Objects.requireNonNull(each.field(named));
        dsl.select(contribution, DSL.count())
                .from(each)
                .groupBy(contribution)
                .forEach(row -> counts.put(Contribution.of(row.value1()), row.value2()));
        return counts;
    }

    /** A record of the units in scope as a case, whether or not it opens a review; empty where there is no such record. */
    Optional<Case> one(UUID id) {
        List<Site> sites = Sites.all(dsl);
        return dsl.select(columns())
                .select(START.SITE_ID)
                .from(START)
                .leftJoin(opened)
                .on(
                        opened(FACT.SITE_ID).eq(START.SITE_ID),
                        opened(FACT.ENCOUNTER_ID).eq(START.ENCOUNTER_ID))
                .leftJoin(written)
                .on(
                        of(VERSION.SITE_ID).eq(START.SITE_ID),
                        of(VERSION.ENCOUNTER_ID).eq(START.ENCOUNTER_ID))
                .where(START.ENCOUNTER_ID.eq(id), START.CURRENT.isTrue())
                .fetchOptional(row -> found(
                        sites.stream()
                                .filter(site -> site.no() == row.get(START.SITE_ID))
                                .findFirst()
                                .orElseThrow(),
                        row));
    }

    /** Every version of a review, the first one first. */
    List<Kept> versions(UUID id) {
        return dsl.selectFrom(VERSION)
                .where(VERSION.ENCOUNTER_ID.eq(id))
                .orderBy(VERSION.VERSION_)
                .fetch(row -> kept(row, VERSION));
    }

    private List<SelectField<?>> columns() {
        List<SelectField<?>> columns = new ArrayList<>(
                List.of(START.ENCOUNTER_ID, RECORD_VERSION, START.STARTED_AT, START.PRECISION, START.WITHDRAWN));
        Case.OPENING.forEach(measure -> columns.add(opened(measure.column(null))));
        columns.addAll(Arrays.asList(written.fields()));
        return columns;
    }

    private SelectJoinStep<Record> cases(List<SelectField<?>> columns) {
        return dsl.select(columns)
                .from(opened)
                .fullJoin(written)
                .on(
                        of(VERSION.SITE_ID).eq(opened(FACT.SITE_ID)),
                        of(VERSION.ENCOUNTER_ID).eq(opened(FACT.ENCOUNTER_ID)))
                .join(START)
                .on(
                        START.SITE_ID.eq(DSL.coalesce(opened(FACT.SITE_ID), of(VERSION.SITE_ID))),
                        START.ENCOUNTER_ID.eq(DSL.coalesce(opened(FACT.ENCOUNTER_ID), of(VERSION.ENCOUNTER_ID))),
                        START.CURRENT.isTrue());
    }

    private Condition rows(Site site, ReviewFilter filter) {
        List<Condition> conditions = new ArrayList<>(List.of(START.SITE_ID.eq(site.no())));
        if (filter.from() != null) {
            conditions.add(START.STARTED_AT.ge(
                    filter.from().atDay(1).atStartOfDay(site.zone()).toOffsetDateTime()));
        }
        if (filter.to() != null) {
            conditions.add(START.STARTED_AT.lt(
                    filter.to().plusMonths(1).atDay(1).atStartOfDay(site.zone()).toOffsetDateTime()));
        }
        if (filter.why() != null) {
            conditions.add(opened(filter.why().column(null)).eq((short) 1));
        }
        if (filter.done() != null) {
            conditions.add(done.eq(filter.done()));
        }
        return DSL.and(conditions);
    }

    /** The start of the version that a page ended with; it never changes. */
    private Optional<OffsetDateTime> startOf(Site site, ReviewCursor cursor) {
        return dsl.select(START.STARTED_AT)
                .from(START)
                .where(
                        START.SITE_ID.eq(site.no()),
                        START.ENCOUNTER_ID.eq(cursor.id()),
                        START.VERSION.eq(cursor.version()))
                .fetchOptional(START.STARTED_AT);
    }

    private Case found(Site site, Record row) {
        List<Measure> why = Case.OPENING.stream()
                .filter(measure -> Objects.equals(row.get(opened(measure.column(null))), (short) 1))
                .toList();
        return new Case(
                site,
                row.get(START.ENCOUNTER_ID),
                row.get(RECORD_VERSION),
                row.get(START.STARTED_AT).toInstant(),
                row.get(START.PRECISION),
                row.get(START.WITHDRAWN),
                why,
                row.get(of(VERSION.VERSION_)) == null ? null : kept(row, written));
    }

    private static Kept kept(Record row, Table<?> from) {
        String code = row.get(column(from, VERSION.REASON_CODE));
        return new Kept(
                new Review(
                        Arrays.stream(row.get(column(from, VERSION.CONTRIBUTED)))
                                .map(Contribution::of)
                                .sorted()
                                .toList(),
                        row.get(column(from, VERSION.LEARNING_POINT)),
                        row.get(column(from, VERSION.ACTION)),
                        row.get(column(from, VERSION.DUE_ON)),
                        row.get(column(from, VERSION.DONE))),
                row.get(column(from, VERSION.VERSION_)),
                code == null
                        ? null
                        : new Amendment(Amendment.Code.of(code), row.get(column(from, VERSION.REASON_TEXT))),
                row.get(column(from, VERSION.WRITTEN_AT)).toInstant());
    }

    private static <T> Field<T> column(Table<?> from, Field<T> column) {
        return Objects.requireNonNull(from.field(column));
    }
}
