package airway.registry.charts;

import static airway.sql.generated.charts.Tables.KEPT_AVERAGE;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.charts.Chart.Point;
import airway.registry.dictionary.Scheme;
import airway.sql.generated.charts.tables.KeptAverageTable;
import java.time.Instant;
import java.time.LocalDate;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.JSONB;
import org.jooq.Record;
import org.jooq.SelectWhereStep;
import org.jooq.impl.DSL;
import org.springframework.util.LinkedMultiValueMap;
import org.springframework.util.MultiValueMap;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Reads kept averages, and adds versions of them, inside a running transaction. */
final class KeptAverageQuery {
    private static final JsonMapper JSON = new JsonMapper();

    /** What names the records is compared in the database and never read here. */
    private static final List<Field<?>> READ = List.of(
            KEPT_AVERAGE.SITE_ID,
            KEPT_AVERAGE.KEPT_ID,
            KEPT_AVERAGE.VERSION,
            KEPT_AVERAGE.STATUS,
            KEPT_AVERAGE.MEASURE,
            KEPT_AVERAGE.SCHEME,
            KEPT_AVERAGE.SPAN,
            KEPT_AVERAGE.FILTERS,
            KEPT_AVERAGE.FROM_MONTH,
            KEPT_AVERAGE.TO_MONTH,
            KEPT_AVERAGE.STARTS,
            KEPT_AVERAGE.XS,
            KEPT_AVERAGE.NS,
            KEPT_AVERAGE.MIDDLES,
            KEPT_AVERAGE.REASON,
            KEPT_AVERAGE.WRITTEN_AT);

    private final DSLContext dsl;

    KeptAverageQuery(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** Waits for whoever else is keeping averages of the unit; held until the transaction ends. */
    void hold(Site site) {
        dsl.execute("select pg_advisory_xact_lock(hashtextextended({0}, 0))", DSL.val("kept average " + site.no()));
    }

    /** The version that counts for a chart of one unit, also a withdrawn one. */
    Optional<KeptAverage> newest(ChartRequest about) {
        Site site = about.cohort().sites().get(0);
        Scheme scheme = about.scheme();
        return read().where(
                        KEPT_AVERAGE.SITE_ID.eq(site.no()),
                        KEPT_AVERAGE.MEASURE.eq(about.measure().id()),
                        KEPT_AVERAGE.SCHEME.isNotDistinctFrom(scheme == null ? null : scheme.name()),
                        KEPT_AVERAGE.SPAN.eq(about.span()),
                        KEPT_AVERAGE.FILTERS.eq(filters(about)))
                .orderBy(KEPT_AVERAGE.VERSION.desc())
                .limit(1)
                .fetchOptional(row -> kept(site, row));
    }

    /** Every version, the first one first; empty where there is none in the units in scope. */
    List<KeptAverage> versions(UUID id) {
        Map<Short, Site> sites = Sites.all(dsl).stream().collect(Collectors.toMap(Site::no, Function.identity()));
        return read().where(KEPT_AVERAGE.KEPT_ID.eq(id))
                .orderBy(KEPT_AVERAGE.VERSION)
                .fetch(row -> kept(Objects.requireNonNull(sites.get(row.get(KEPT_AVERAGE.SITE_ID))), row));
    }

    /** Those of a unit that stand, or that were withdrawn, in the order in which they were first kept. */
    List<KeptAverage> all(Site site, boolean withdrawn) {
        KeptAverageTable later = KEPT_AVERAGE.as("later");
        KeptAverageTable first = KEPT_AVERAGE.as("first");
        Condition newest = DSL.notExists(DSL.selectOne()
                .from(later)
                .where(
                        later.SITE_ID.eq(KEPT_AVERAGE.SITE_ID),
                        later.KEPT_ID.eq(KEPT_AVERAGE.KEPT_ID),
                        later.VERSION.gt(KEPT_AVERAGE.VERSION)));
        return read().where(
                        KEPT_AVERAGE.SITE_ID.eq(site.no()),
                        newest,
                        withdrawn
                                ? KEPT_AVERAGE.STATUS.eq(KeptAverage.WITHDRAWN)
                                : KEPT_AVERAGE.STATUS.ne(KeptAverage.WITHDRAWN))
                .orderBy(
                        DSL.field(DSL.select(first.WRITTEN_AT)
                                .from(first)
                                .where(
                                        first.SITE_ID.eq(KEPT_AVERAGE.SITE_ID),
                                        first.KEPT_ID.eq(KEPT_AVERAGE.KEPT_ID),
                                        first.VERSION.eq(1))),
                        KEPT_AVERAGE.KEPT_ID)
                .fetch(row -> kept(site, row));
    }

    /** Adds a version with what was counted just now. */
    void insert(UUID id, int version, ChartRequest about, KeptRecords.Taken taken, String reason) {
        List<Point> points = taken.points();
        Scheme scheme = about.scheme();
        dsl.insertInto(KEPT_AVERAGE)
                .set(KEPT_AVERAGE.SITE_ID, about.cohort().sites().get(0).no())
                .set(KEPT_AVERAGE.KEPT_ID, id)
                .set(KEPT_AVERAGE.VERSION, version)
                .set(KEPT_AVERAGE.STATUS, version == 1 ? "final" : "amended")
                .set(KEPT_AVERAGE.MEASURE, about.measure().id())
                .set(KEPT_AVERAGE.SCHEME, scheme == null ? null : scheme.name())
                .set(KEPT_AVERAGE.SPAN, about.span())
                .set(KEPT_AVERAGE.FILTERS, filters(about))
                .set(
                        KEPT_AVERAGE.FROM_MONTH,
                        Objects.requireNonNull(about.cohort().from()).atDay(1))
                .set(
                        KEPT_AVERAGE.TO_MONTH,
                        Objects.requireNonNull(about.cohort().to()).atDay(1))
                .set(KEPT_AVERAGE.STARTS, points.stream().map(Point::starts).toArray(LocalDate[]::new))
                .set(
                        KEPT_AVERAGE.XS,
                        points.stream().map(point -> point.counted().x()).toArray(Long[]::new))
                .set(
                        KEPT_AVERAGE.NS,
                        points.stream().map(point -> point.counted().n()).toArray(Long[]::new))
                .set(KEPT_AVERAGE.MIDDLES, points.stream().map(Point::value).toArray(Double[]::new))
                .set(KEPT_AVERAGE.ENCOUNTER_IDS, taken.encounters().toArray(UUID[]::new))
                .set(KEPT_AVERAGE.ENCOUNTER_VERSIONS, taken.versions().toArray(Integer[]::new))
                .set(KEPT_AVERAGE.REASON, reason)
                .execute();
    }

    /** Adds a version that takes an average back and holds what it was. */
    void withdraw(KeptAverage last, String reason) {
        List<Field<?>> same = List.of(
                KEPT_AVERAGE.SITE_ID,
                KEPT_AVERAGE.KEPT_ID,
                KEPT_AVERAGE.MEASURE,
                KEPT_AVERAGE.SCHEME,
                KEPT_AVERAGE.SPAN,
                KEPT_AVERAGE.FILTERS,
                KEPT_AVERAGE.FROM_MONTH,
                KEPT_AVERAGE.TO_MONTH,
                KEPT_AVERAGE.STARTS,
                KEPT_AVERAGE.XS,
                KEPT_AVERAGE.NS,
                KEPT_AVERAGE.MIDDLES,
                KEPT_AVERAGE.ENCOUNTER_IDS,
                KEPT_AVERAGE.ENCOUNTER_VERSIONS);
        List<Field<?>> into = new ArrayList<>(same);
        into.addAll(List.of(KEPT_AVERAGE.VERSION, KEPT_AVERAGE.STATUS, KEPT_AVERAGE.REASON));
        List<Field<?>> from = new ArrayList<>(same);
        from.addAll(List.of(KEPT_AVERAGE.VERSION.plus(1), DSL.val(KeptAverage.WITHDRAWN), DSL.val(reason)));
        dsl.insertInto(KEPT_AVERAGE, into)
                .select(DSL.select(from)
                        .from(KEPT_AVERAGE)
                        .where(
                                KEPT_AVERAGE.SITE_ID.eq(last.site().no()),
                                KEPT_AVERAGE.KEPT_ID.eq(last.id()),
                                KEPT_AVERAGE.VERSION.eq(last.version())))
                .execute();
    }

    /** What became of the records since the average was kept, and what is counted in its period today. */
    KeptRecords.Since since(KeptAverage kept, Instant now) {
        return new KeptRecords(dsl, kept.about(), now)
                .since(
                        DSL.select(KEPT_AVERAGE.ENCOUNTER_IDS)
                                .from(KEPT_AVERAGE)
                                .where(of(kept)),
                        DSL.select(KEPT_AVERAGE.ENCOUNTER_VERSIONS)
                                .from(KEPT_AVERAGE)
                                .where(of(kept)));
    }

    private static Condition of(KeptAverage kept) {
        return DSL.and(
                KEPT_AVERAGE.SITE_ID.eq(kept.site().no()),
                KEPT_AVERAGE.KEPT_ID.eq(kept.id()),
                KEPT_AVERAGE.VERSION.eq(kept.version()));
    }

    private SelectWhereStep<Record> read() {
        return dsl.select(READ).from(KEPT_AVERAGE);
    }

    private static KeptAverage kept(Site site, Record row) {
        MultiValueMap<String, String> asked = new LinkedMultiValueMap<>();
        asked.set("site_id", site.code());
        asked.set("by", row.get(KEPT_AVERAGE.SPAN));
        asked.set("from", YearMonth.from(row.get(KEPT_AVERAGE.FROM_MONTH)).toString());
        asked.set("to", YearMonth.from(row.get(KEPT_AVERAGE.TO_MONTH)).toString());
        String scheme = row.get(KEPT_AVERAGE.SCHEME);
        if (scheme != null) {
            asked.set("scheme", scheme);
        }
        JSON.readTree(row.get(KEPT_AVERAGE.FILTERS).data())
                .properties()
                .forEach(filter -> filter.getValue().forEach(code -> asked.add(filter.getKey(), code.asString())));
        ChartRequest about = KeptAverage.about(row.get(KEPT_AVERAGE.MEASURE), asked, site);
        LocalDate[] starts = row.get(KEPT_AVERAGE.STARTS);
        List<Point> points = new ArrayList<>();
        for (int i = 0; i < starts.length; i++) {
            String period = Points.period(about, i, starts[i]);
            points.add(new Point(
                    period,
                    about.byCalendar() ? about.grouping().words(YearMonth.from(starts[i])) : period,
                    starts[i],
                    new Counted(row.get(KEPT_AVERAGE.XS)[i], row.get(KEPT_AVERAGE.NS)[i], 0, 0, 0),
                    true,
                    row.get(KEPT_AVERAGE.MIDDLES)[i],
                    null,
                    null,
                    Set.of()));
        }
        return new KeptAverage(
                row.get(KEPT_AVERAGE.KEPT_ID),
                row.get(KEPT_AVERAGE.VERSION),
                row.get(KEPT_AVERAGE.STATUS),
                about,
                points,
                row.get(KEPT_AVERAGE.REASON),
                row.get(KEPT_AVERAGE.WRITTEN_AT).toInstant());
    }

    /** In one form for one meaning: variables and codes in order. */
    private static JSONB filters(ChartRequest about) {
        ObjectNode filters = JSON.createObjectNode();
        KeptAverage.filters(about).forEach((name, codes) -> {
            ArrayNode list = filters.putArray(name);
            codes.forEach(list::add);
        });
        return JSONB.jsonb(filters.toString());
    }
}
