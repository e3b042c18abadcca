package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.sql.Sql;
import airway.sql.TestDatabase;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.YearMonth;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.function.Function;
import org.jooq.DSLContext;
import org.jooq.SQLDialect;
import org.jooq.impl.DSL;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/**
 * Years of so many records that they are cut into parts and counts are kept of them, beside a small one. What charts count is held
 * against the fact rows, grouped plainly.
 */
class LargeYearsDatabaseTest {
    private static final TestDatabase.Logins LOGINS = TestDatabase.fresh();
    private static final Grouping MONTHS = Grouping.parse("month").orElseThrow();

    /**
     * One has years of 17,801 and 2,199 records, cut into 14,336, 3,465 and 2,199, the other a year of 5,000 before 2000, from where
     * starts are counted, and the third 6,000 of the same hours as the first.
     */
    private static final List<Site> UNITS = List.of(unit(1, "one"), unit(2, "other"), unit(3, "third"));

    private static final int ALL = Integer.MAX_VALUE;

    private static final List<Measure> MEASURES =
            List.of(Measure.FPS, Measure.AE_PER_ENCOUNTER, Measure.ENCOUNTERS_SEVERE);

    private static Site unit(int no, String code) {
        return new Site((short) no, code, code, "picu", ZoneOffset.UTC, true);
    }

    @BeforeAll
    static void rows() throws SQLException {
        for (Site unit : UNITS) {
            Sql.execute(LOGINS.owner(), "select access.add_site('" + unit.code() + "', 'Unit', 'picu', 'UTC', true)");
        }
        // Rows without records behind them: so many real ones take minutes.
        Sql.execute(LOGINS.owner(), "alter table analysis.fact drop constraint fact_site_id_encounter_id_version_fkey");
        Sql.execute(LOGINS.owner(), """
                insert into analysis.fact (site_id, encounter_id, version, started_at, day, month, nominal, fps, event_count,
                    ae_severe_a, ae_severe_b, ae_severe_c, spo2_low, device_mode, operator_grade)
                  select 1 + i / 20000 + i / 25000, md5(i::text)::uuid, 1, at, at::date, date_trunc('month', at), i % 50 = 0,
                    nullif(i % 4, 3) - 1, nullif(i % 7, 6) - 1, severe, severe, severe, 40 + i % 61,
                    1 + nullif(i % 5, 4) % 3, 1 + nullif(i % 6, 5)
                  from (
                    select i, nullif(i % 9, 8) % 3 - 1, timestamp '2024-01-01'
                      + interval '1 hour' * case when i < 17801 then i % 8760 when i < 20000 then 8784 + i % 8000 when i < 25000 then -217000 + i % 5000 else i % 6000 end
                    from generate_series(0, 30999) i) t (i, severe, at)
                """);
        Sql.execute(
                LOGINS.owner(),
                "insert into encounter.device_setup (site_id, device_setup_id, title, created_by) values (1, 'steel', 'Steel', 1)");
        Sql.execute(
                LOGINS.owner(),
                "update analysis.fact set setup_no = (select setup_no from encounter.device_setup) where site_id = 1 and fps = 1");
        // Two of one moment, with a cut between them, of which one had an event.
        Sql.execute(
                LOGINS.owner(),
                "update analysis.fact set event_count = (encounter_id = md5('7027')::uuid)::int where site_id = 1 and started_at = timestamp '2024-01-01' + interval '7027 hours'");
        Sql.execute(LOGINS.owner(), "analyze analysis.fact");
        Sql.rows(LOGINS.owner(), "select analysis.tally(100)");
    }

    @Test
    void keepsCountsOfLargePartsAlone() throws SQLException {
        assertThat(
                        Sql.rows(
                                LOGINS.owner(),
                                "select concat_ws(' ', site_id, year, part, (select sum(n) from unnest(times) n), counted) from analysis.tally_block order by block"))
                .containsExactly(
                        "1 2024 0 14336 t", "1 2024 1 3465 f", "1 2025 0 2199 f", "2 1999 0 5000 t", "3 2024 0 6000 t");
        assertThat(Sql.rows(
                        LOGINS.owner(),
                        "select distinct concat_ws(' ', site_id, year, part) from analysis.tally_count order by 1"))
                .containsExactly("1 2024 0", "2 1999 0", "3 2024 0");
    }

    @Test
    void countsWhatTheFactRowsTellWhateverIsKept() throws SQLException {
        countsWhatTheFactRowsTell("tallied");
        Sql.execute(LOGINS.owner(), "insert into analysis.tally_due (site_id, year) values (1, 2024)");
        countsWhatTheFactRowsTell("a year is read from its rows");
        Sql.execute(LOGINS.owner(), "delete from analysis.tally_due");
        Sql.execute(LOGINS.owner(), "update analysis.tally_count set numbers = array_fill(0, array[12, 4])");
        long told = count(
                Measure.FPS,
                cohort(Map.of()),
                query -> query.bySpan(MONTHS).values().stream()
                        .mapToLong(Counted::n)
                        .sum());
        assertThat(told).as("the counts are what is read").isLessThan(31_000 - 14_336);
        Sql.execute(
                LOGINS.owner(),
                "insert into analysis.tally_due (site_id, year) values (1, 2024), (2, 1999), (3, 2024)");
        Sql.rows(LOGINS.owner(), "select analysis.tally(100)");
    }

    @Test
    void putsInOrderWhatTheFactRowsTellWhateverIsKept() throws SQLException {
        putsInOrderWhatTheFactRowsTell("tallied");
        Sql.execute(LOGINS.owner(), "insert into analysis.tally_due (site_id, year) values (1, 2024), (2, 1999)");
        putsInOrderWhatTheFactRowsTell("two years are read from their rows");
        Sql.execute(LOGINS.owner(), "delete from analysis.tally_due");
    }

    private static void putsInOrderWhatTheFactRowsTell(String how) throws SQLException {
        YearMonth march = YearMonth.of(2024, 3);
        Map<Stratum, Set<String>> direct = Map.of(Stratum.DEVICE_MODE, Set.of("direct", Stratum.BLANK.value()));
        Map<Cohort, String> cohorts = Map.of(
                cohort(Map.of()),
                "true",
                cohort(direct),
                String.join(" and ", conditions(direct, "true")),
                new Cohort(UNITS, march, march.plusMonths(2), direct, Set.of(), true),
                String.join(" and ", conditions(direct, "month between '2024-03-01' and '2024-05-01'")));
        for (Map.Entry<Cohort, String> cohort : cohorts.entrySet()) {
            for (Measure measure : List.of(
                    Measure.FPS, Measure.AE_PER_ENCOUNTER, Measure.ENCOUNTERS_SEVERE, Measure.SPO2_LOW_MEDIAN)) {
                String as = how + ": " + measure + " of " + cohort.getValue();
                String answer = measure.column(null).getName();
                String ordered = "(select *, count(*) filter (where " + answer
                        + " >= 0) over (order by started_at, site_id, encounter_id) as no from analysis.fact where "
                        + cohort.getValue() + ") f";
                for (int size : List.of(3, 250)) {
                    List<String> groups = new ArrayList<>();
                    count(measure, cohort.getKey(), query -> query.byEncounters(size, ALL))
                            .forEach((number, group) -> groups.add(
                                    number + " " + group.starts().getEpochSecond() + " " + words(group.counted())));
                    assertThat(groups)
                            .as(as + " of each " + size)
                            .hasSizeGreaterThan(3)
                            .isEqualTo(rows(
                                    "(greatest(no, 1) - 1) / " + size,
                                    ", extract(epoch from min(started_at))::bigint",
                                    measure == Measure.SPO2_LOW_MEDIAN ? "least(" + answer + ", 0)" : answer,
                                    ordered,
                                    Map.of(),
                                    "true"));
                }
                int unwanted = measure.unwanted();
                CountQuery.Events events = count(measure, cohort.getKey(), query -> query.events(unwanted, ALL));
                assertThat(events.before()).as(as).isZero();
                List<String> cases = cases(events);
                List<String> expected = new ArrayList<>(Sql.rows(
                        LOGINS.owner(),
                        "select extract(epoch from started_at)::bigint || ' ' || no - lag(no, 1, 0::bigint) over (order by started_at, site_id, encounter_id) from "
                                + ordered + " where " + answer + " = " + unwanted
                                + " order by started_at, site_id, encounter_id"));
                expected.add("since "
                        + Sql.rows(
                                        LOGINS.owner(),
                                        "select max(no) - coalesce(max(no) filter (where " + answer + " = " + unwanted
                                                + "), 0) from " + ordered)
                                .get(0));
                assertThat(cases).as("between events: " + as).isEqualTo(expected);
                int told = events.latest().size();
                CountQuery.Events last = count(measure, cohort.getKey(), query -> query.events(unwanted, 7));
                assertThat(last.before()).as(as).isEqualTo(Math.max(0, told - 7));
                assertThat(cases(last).subList(Math.min(1, told), cases(last).size()))
                        .as("between the last seven: " + as)
                        .isEqualTo(expected.subList(Math.max(Math.min(1, told), told - 6), expected.size()));
                SortedMap<Integer, CountQuery.Group> few =
                        count(measure, cohort.getKey(), query -> query.byEncounters(3, 2));
                assertThat(few).as(as).hasSize(3);
                assertThat(few.values().stream()
                                .mapToLong(group -> group.counted().n())
                                .sum())
                        .as("the rest is in one: " + as)
                        .isEqualTo(count(measure, cohort.getKey(), CountQuery::total)
                                .n());
            }
        }
    }

    private static List<String> cases(CountQuery.Events events) {
        List<String> cases = new ArrayList<>();
        events.latest().forEach(event -> cases.add(event.at().getEpochSecond() + " " + event.cases()));
        cases.add("since " + events.since());
        return cases;
    }

    private static void countsWhatTheFactRowsTell(String how) throws SQLException {
        for (Measure measure : MEASURES) {
            String answer = measure.column(null).getName();
            for (Map<Stratum, Set<String>> filters : List.<Map<Stratum, Set<String>>>of(
                    Map.of(),
                    Map.of(Stratum.DEVICE_MODE, Set.of("direct")),
                    Map.of(Stratum.DEVICE_MODE, Set.of("direct", Stratum.BLANK.value())),
                    Map.of(Stratum.OPERATOR_GRADE, Set.of(Stratum.BLANK.value())),
                    Map.of(
                            Stratum.DEVICE_MODE,
                            Set.of("direct"),
                            Stratum.OPERATOR_GRADE,
                            Set.of("junior", "senior")))) {
                String as = how + ": " + measure + " of " + filters;
                List<String> together = count(measure, cohort(filters), query -> words(query.bySpan(MONTHS)));
                assertThat(together).as(as).hasSizeGreaterThan(12).isEqualTo(rows("month", answer, filters, "true"));
                Map<String, Map<YearMonth, Counted>> units = new TreeMap<>();
                units.putAll(count(measure, cohort(filters), query -> query.bySpanOfEachUnit(MONTHS)));
                List<String> ofUnits = new ArrayList<>();
                units.forEach((unit, spans) -> words(spans).forEach(words -> ofUnits.add(unit + " " + words)));
                assertThat(ofUnits)
                        .as(as)
                        .hasSizeGreaterThan(20)
                        .isEqualTo(rows(
                                "(select code from access.site s where s.site_id = fact.site_id), month",
                                answer,
                                filters,
                                "true"));
            }
            List<String> ofCodes = new ArrayList<>();
            Map<String, Map<YearMonth, Counted>> codes = new TreeMap<>();
            codes.putAll(count(measure, cohort(Map.of()), query -> query.bySpanOfEach(MONTHS, Stratum.OPERATOR_GRADE)));
            codes.forEach((code, spans) -> words(spans).forEach(words -> ofCodes.add(code + " " + words)));
            assertThat(ofCodes)
                    .as(how + ": " + measure + " of each grade")
                    .hasSizeGreaterThan(60)
                    .isEqualTo(rows(
                            "coalesce((select code from analysis.code where variable = 'operator_grade' and no = operator_grade), '"
                                    + Stratum.BLANK.value() + "'), month",
                            answer,
                            Map.of(),
                            "true"));
            Cohort steel = new Cohort(UNITS, null, null, Map.of(), Set.of("steel"), true);
            List<String> withSteel = count(measure, steel, query -> words(query.bySpan(MONTHS)));
            assertThat(withSteel)
                    .as(how + ": " + measure + " with one set-up")
                    .hasSizeGreaterThan(12)
                    .isEqualTo(rows("month", answer, Map.of(), "setup_no is not null"));
            Cohort spring = new Cohort(UNITS, YearMonth.of(2024, 3), YearMonth.of(2024, 5), Map.of(), Set.of(), true);
            List<String> inSpring = count(measure, spring, query -> words(query.bySpan(MONTHS)));
            assertThat(inSpring)
                    .as(how + ": " + measure + " in spring")
                    .isEqualTo(rows("month", answer, Map.of(), "month between '2024-03-01' and '2024-05-01'"));
        }
        Counted values = count(Measure.SPO2_LOW_MEDIAN, cohort(Map.of()), CountQuery::total);
        assertThat(values.n()).as(how + ": how many values").isEqualTo(31_000);
    }

    @Test
    void readsTheRowsOfAYearThatChangedAndNoOthers() throws SQLException {
        Sql.execute(LOGINS.owner(), "insert into analysis.tally_due (site_id, year) values (1, 2025)");
        try (Connection connection = Sql.connect(LOGINS.app())) {
            connection.setAutoCommit(false);
            DSLContext dsl = DSL.using(connection, SQLDialect.POSTGRES);
            dsl.execute("select access.enter(1)");
            Cohort cohort = cohort(Map.of(Stratum.DEVICE_MODE, Set.of("direct")));
            CountQuery query = new CountQuery(dsl, Measure.FPS, null, cohort);
            query.bySpan(MONTHS);
            query.bySpanOfEachUnit(MONTHS);
            query.byEncounters(25, Points.MOST);
            long read = dsl.fetchSingle(
                            "select seq_tup_read + idx_tup_fetch from pg_stat_xact_user_tables where schemaname = 'analysis' and relname = 'fact'")
                    .get(0, Long.class);
            assertThat(read).isBetween(3 * 2_199L / 5, 3 * 2_199L);
        } finally {
            Sql.execute(LOGINS.owner(), "delete from analysis.tally_due");
        }
    }

    private static Cohort cohort(Map<Stratum, Set<String>> filters) {
        return new Cohort(UNITS, null, null, filters, Set.of(), true);
    }

    private static <T> T count(Measure measure, Cohort cohort, Function<CountQuery, T> counting) throws SQLException {
        try (Connection connection = Sql.connect(LOGINS.app())) {
            connection.setAutoCommit(false);
            DSLContext dsl = DSL.using(connection, SQLDialect.POSTGRES);
            dsl.execute("select access.enter(1)");
            return counting.apply(new CountQuery(dsl, measure, null, cohort));
        }
    }

    private static List<String> words(Map<YearMonth, Counted> spans) {
        List<String> words = new ArrayList<>();
        new TreeMap<>(spans).forEach((month, one) -> words.add(month.atDay(1) + " " + words(one)));
        return words;
    }

    private static String words(Counted one) {
        return one.x() + " " + one.n() + " " + one.leftOut() + " " + one.unknown() + " " + one.nominal();
    }

    private static List<String> rows(String by, String answer, Map<Stratum, Set<String>> filters, String when)
            throws SQLException {
        return rows(by, "", answer, "analysis.fact", filters, when);
    }

    private static List<String> conditions(Map<Stratum, Set<String>> filters, String when) {
        List<String> conditions = new ArrayList<>(List.of(when));
        filters.forEach((stratum, codes) -> {
            String listed = "'" + String.join("', '", codes) + "'";
            conditions.add("coalesce((select code from analysis.code where variable = '" + stratum.variable()
                    + "' and no = " + stratum.variable() + "), '" + Stratum.BLANK.value() + "') in (" + listed + ")");
        });
        return conditions;
    }

    private static List<String> rows(
            String by, String told, String answer, String from, Map<Stratum, Set<String>> filters, String when)
            throws SQLException {
        return Sql.rows(
                LOGINS.owner(),
                "select concat_ws(' ', " + by + told
                        + ", coalesce(sum(%1$s) filter (where %1$s > 0), 0),".formatted(answer)
                        + " count(*) filter (where %1$s >= 0), count(*) filter (where coalesce(%1$s, -2) < 0),"
                                .formatted(answer)
                        + " count(*) filter (where %1$s = -1), count(*) filter (where nominal))".formatted(answer)
                        + " from " + from + " where " + String.join(" and ", conditions(filters, when)) + " group by "
                        + by
                        + " order by " + by);
    }
}
