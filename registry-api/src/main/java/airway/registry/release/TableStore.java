package airway.registry.release;

import static airway.sql.generated.release.Tables.TOLD_TABLE;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Scheme;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jooq.JSONB;
import org.jooq.Record;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Keeps the tables that were told, inside a running transaction. */
final class TableStore {
    private static final JsonMapper JSON = new JsonMapper();

    private final DSLContext dsl;

    TableStore(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** Waits until nobody else is telling tables of the unit; held until the transaction ends. */
    void hold(Site site) {
        dsl.execute("select pg_advisory_xact_lock(hashtextextended({0}, 0))", DSL.val("release " + site.no()));
    }

    /** All tables of a unit that were told, the newest first. */
    List<ToldTable> all(Site site) {
        return dsl.selectFrom(TOLD_TABLE)
                .where(TOLD_TABLE.SITE_ID.eq(site.no()))
                .orderBy(TOLD_TABLE.TOLD_AT.desc(), TOLD_TABLE.TABLE_ID)
                .fetch(row -> told(site, row));
    }

    Optional<ToldTable> find(UUID id) {
        return dsl.selectFrom(TOLD_TABLE)
                .where(TOLD_TABLE.TABLE_ID.eq(id))
                .fetchOptional()
                .flatMap(row -> Sites.all(dsl).stream()
                        .filter(site -> site.no() == row.get(TOLD_TABLE.SITE_ID))
                        .findFirst()
                        .map(site -> told(site, row)));
    }

    void insert(UUID id, CountTable table, String recipient, String purpose) {
        TableSpec spec = table.spec();
        Scheme scheme = spec.counting().scheme();
        Long x = table.x();
        dsl.insertInto(TOLD_TABLE)
                .set(TOLD_TABLE.SITE_ID, spec.site().no())
                .set(TOLD_TABLE.TABLE_ID, id)
                .set(TOLD_TABLE.MEASURE, spec.counting().measure().id())
                .set(TOLD_TABLE.SCHEME, scheme == null ? null : scheme.name())
                .set(TOLD_TABLE.BY_VARIABLE, spec.lines().by())
                .set(TOLD_TABLE.FIRST_MONTH, spec.from().atDay(1))
                .set(TOLD_TABLE.LAST_MONTH, spec.to().atDay(1))
                .set(TOLD_TABLE.FILTERS, JSONB.valueOf(filters(spec).toString()))
                .set(TOLD_TABLE.AUDIENCE, table.audience().code())
                .set(TOLD_TABLE.RECIPIENT, recipient)
                .set(TOLD_TABLE.PURPOSE, purpose)
                .set(TOLD_TABLE.LINES, JSONB.valueOf(lines(table).toString()))
                .set(TOLD_TABLE.N, (int) table.n())
                .set(TOLD_TABLE.X, x == null ? null : x.intValue())
                .execute();
    }

    private static ObjectNode filters(TableSpec spec) {
        ObjectNode filters = JSON.createObjectNode();
        spec.filters().forEach((stratum, codes) -> {
            ArrayNode list = filters.putArray(stratum.variable());
            codes.forEach(list::add);
        });
        return filters;
    }

    private static ArrayNode lines(CountTable table) {
        ArrayNode lines = JSON.createArrayNode();
        table.lines().forEach(line -> {
            ObjectNode one = lines.addObject();
            ArrayNode codes = one.putArray("codes");
            line.codes().forEach(codes::add);
            one.put("n", line.n()).put("x", line.x());
        });
        return lines;
    }

    private static ToldTable told(Site site, Record row) {
        Map<Stratum, Set<String>> filters = new TreeMap<>();
        JSON.readTree(row.get(TOLD_TABLE.FILTERS).data()).properties().forEach(filter -> {
            Set<String> codes = new LinkedHashSet<>();
            filter.getValue().forEach(code -> codes.add(code.asString()));
            filters.put(Stratum.named(filter.getKey()).orElseThrow(), codes);
        });
        List<CountTable.Line> lines = new ArrayList<>();
        for (JsonNode line : JSON.readTree(row.get(TOLD_TABLE.LINES).data())) {
            List<String> codes = new ArrayList<>();
            line.path("codes").forEach(code -> codes.add(code.asString()));
            lines.add(new CountTable.Line(codes, number(line.path("n")), number(line.path("x"))));
        }
        String scheme = row.get(TOLD_TABLE.SCHEME);
        Integer x = row.get(TOLD_TABLE.X);
        TableSpec spec = new TableSpec(
                site,
                new Counting(
                        Measure.named(row.get(TOLD_TABLE.MEASURE)).orElseThrow(),
                        scheme == null ? null : Scheme.valueOf(scheme)),
                Lines.named(row.get(TOLD_TABLE.BY_VARIABLE)).orElseThrow(),
                YearMonth.from(row.get(TOLD_TABLE.FIRST_MONTH)),
                YearMonth.from(row.get(TOLD_TABLE.LAST_MONTH)),
                filters);
        return new ToldTable(
                row.get(TOLD_TABLE.TABLE_ID),
                new CountTable(
                        spec,
                        Audience.named(row.get(TOLD_TABLE.AUDIENCE)).orElseThrow(),
                        lines,
                        row.get(TOLD_TABLE.N),
                        x == null ? null : x.longValue()),
                row.get(TOLD_TABLE.RECIPIENT),
                row.get(TOLD_TABLE.PURPOSE),
                row.get(TOLD_TABLE.TOLD_AT).toInstant());
    }

    private static @Nullable Long number(JsonNode number) {
        return number.isNumber() ? number.asLong() : null;
    }
}
