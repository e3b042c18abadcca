package airway.registry.charts;

import static airway.sql.generated.analysis.Tables.CODE;
import static airway.sql.generated.analysis.Tables.FACT;

import airway.registry.RegistryApplication;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import airway.registry.dictionary.Scheme;
import airway.sql.LocalPostgres;
import airway.sql.Login;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.ZoneOffset;
import java.util.Arrays;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.jooq.Field;
import org.jooq.impl.DSL;
import org.springframework.boot.Banner;
import org.springframework.boot.WebApplicationType;
import org.springframework.boot.builder.SpringApplicationBuilder;
import org.springframework.context.ConfigurableApplicationContext;

/**
 * How long the counts of a chart take, as the room asks for them: one transaction through jOOQ with the scope set and row
 * security on. Beside it, in turns, the plain aggregate of the same rows as the owner of the table.
 */
final class ChartSpeed {
    private static final int UNITS = 40;
    private static final int YEARS = 10;
    private static final int WARM_UP = 3;
    private static final int ROUNDS = Integer.getInteger("rounds", 40);

    /** Milliseconds at the 95th percentile, and times the plain aggregate. */
    private static final double GOAL = 100;

    private static final double GOAL_RATIO = 1.2;

    private static final Map<Stratum, Set<String>> NONE = Map.of();
    private static final Map<Stratum, Set<String>> ONE = Map.of(Stratum.DEVICE_MODE, Set.of("direct"));
    private static final Map<Stratum, Set<String>> THREE = new LinkedHashMap<>(Map.of(
            Stratum.DEVICE_MODE, Set.of("direct"),
            Stratum.OPERATOR_GRADE, Set.of("junior", "senior"),
            Stratum.UPPER_AIRWAY_OBSTRUCTION, Set.of("no", Stratum.BLANK.value())));

    private final ActorTransactions transactions;
    private final List<Site> units;
    private final Login owner;
    private final Login app;

    /**
     * What is asked, in words, and of which rows.
     *
     * @param each whether each unit by itself
     */
    private record Request(
            String words, Measure measure, int units, Map<Stratum, Set<String>> filters, String by, boolean each) {
        Request(String words, Measure measure, int units, Map<Stratum, Set<String>> filters, String by) {
            this(words, measure, units, filters, by, false);
        }
    }

    private static final List<Request> REQUESTS = List.of(
            new Request("all units", Measure.FPS, UNITS, NONE, "month"),
            new Request("all units", Measure.FPS, UNITS, NONE, "quarter"),
            new Request("all units", Measure.KIT_FAILURE_USE, UNITS, NONE, "year"),
            new Request("all units, one stratum", Measure.FPS, UNITS, ONE, "month"),
            new Request("all units, one stratum", Measure.KIT_FAILURE_USE, UNITS, ONE, "quarter"),
            new Request("all units, one stratum", Measure.FPS, UNITS, ONE, "month", true),
            new Request("all units, three strata", Measure.FPS, UNITS, THREE, "month"),
            new Request("all units, three strata", Measure.KIT_FAILURE_USE, UNITS, THREE, "month"),
            new Request("all units", Measure.AE_PER_ENCOUNTER, UNITS, NONE, "month"),
            new Request("all units, three strata", Measure.AE_PER_ENCOUNTER, UNITS, THREE, "month"),
            new Request("all units", Measure.SPO2_LOW_MEDIAN, UNITS, NONE, "month"),
            new Request("all units, three strata", Measure.SPO2_LOW_MEDIAN, UNITS, THREE, "month"),
            new Request("largest unit", Measure.FPS, 1, NONE, "month"),
            new Request("largest unit, one stratum", Measure.FPS, 1, ONE, "month"),
            new Request("largest unit, one stratum", Measure.KIT_FAILURE_USE, 1, ONE, "year"),
            new Request("largest unit, three strata", Measure.FPS, 1, THREE, "quarter"),
            new Request("largest unit, one stratum", Measure.SPO2_LOW_MEDIAN, 1, ONE, "month"),
            new Request("largest unit", Measure.FPS, 1, NONE, "n:250"),
            new Request("largest unit, one stratum", Measure.FPS, 1, ONE, "n:250"),
            new Request("all units, one stratum", Measure.FPS, UNITS, ONE, "n:2500"),
            new Request("all units", Measure.FPS, UNITS, NONE, "n:2500"));

    private ChartSpeed(ConfigurableApplicationContext registry) {
        this.transactions = registry.getBean(ActorTransactions.class);
        LocalPostgres server = registry.getBean(LocalPostgres.class);
        this.owner = server.owner();
        this.app = server.app();
        Sites sites = registry.getBean(Sites.class);
        IntStream.rangeClosed(1, UNITS)
                .forEach(no -> sites.add("unit-" + no, "Unit " + no, "picu", ZoneOffset.UTC, true));
        this.units = sites.all();
    }

    /**
     * Measures.
     *
     * @param args numbers of encounters
     */
    public static void main(String[] args) throws IOException, SQLException {
        Path home = Files.createTempDirectory("registry-bench");
        try (ConfigurableApplicationContext registry = new SpringApplicationBuilder(RegistryApplication.class)
                .web(WebApplicationType.NONE)
                .bannerMode(Banner.Mode.OFF)
                .logStartupInfo(false)
                .run("--airway.data-dir=" + home.resolve("data"), "--airway.keys-dir=" + home.resolve("keys"))) {
            ChartSpeed speed = Acting.asProgram(() -> new ChartSpeed(registry));
            for (String rows : args) {
                speed.fill(Long.parseLong(rows));
                speed.measure(Long.parseLong(rows));
            }
        } finally {
            try (Stream<Path> files = Files.walk(home)) {
                files.sorted(Comparator.reverseOrder())
                        .forEach(file -> file.toFile().delete());
            }
        }
    }

    /** Writes fact rows as the application may: with the scope set, row security on. */
    private void fill(long rows) throws SQLException {
        try (Connection connection = open(owner);
                Statement statement = connection.createStatement()) {
            // The rows have no records behind them; a chart reads none.
            statement.execute(
                    "alter table analysis.fact drop constraint if exists" + " fact_site_id_encounter_id_version_fkey");
            statement.execute(
                    "truncate analysis.fact, analysis.tally, analysis.tally_block, analysis.tally_count, analysis.tally_value, analysis.tally_due");
        }
        try (Connection connection = open(app);
                Statement statement = connection.createStatement()) {
            connection.setAutoCommit(false);
            statement.execute("select access.enter(1), setseed(0.5)");
            statement.execute(rowsOf(rows));
            connection.commit();
        }
        try (Connection connection = open(owner);
                Statement statement = connection.createStatement()) {
            statement.execute("vacuum (analyze) analysis.fact");
        }
        long start = System.nanoTime();
        int years = Acting.asProgram(() -> new Tallying(transactions).all());
        System.out.printf(
                Locale.ROOT,
                "%n%,d records tallied by %,d years of units in %.0f s%n",
                rows,
                years,
                (System.nanoTime() - start) / 1e9);
        try (Connection connection = open(owner);
                Statement statement = connection.createStatement()) {
            statement.execute(
                    "vacuum (analyze) analysis.tally, analysis.tally_block, analysis.tally_count, analysis.tally_value, analysis.tally_due");
            try (ResultSet sizes = statement.executeQuery(
                    "select pg_size_pretty(pg_total_relation_size('analysis.fact')),"
                            + " pg_size_pretty(pg_total_relation_size('analysis.tally') + pg_total_relation_size('analysis.tally_value') + pg_total_relation_size('analysis.tally_count'))")) {
                sizes.next();
                System.out.println("fact rows take " + sizes.getString(1) + ", tallies " + sizes.getString(2));
            }
        }
    }

    /** In the order of time, as records come in; a few units are large and many small. */
    private String rowsOf(long rows) {
        Map<String, String> columns = new LinkedHashMap<>();
        columns.put("site_id", units.get(0).no() + " + floor(" + UNITS + " * power(random(), 1.5))");
        columns.put("encounter_id", "lpad(to_hex(i), 32, '0')::uuid");
        columns.put("version", "1");
        columns.put("started_at", "date_trunc('second', at)");
        columns.put("day", "at::date");
        columns.put("month", "date_trunc('month', at)::date");
        columns.put("nominal", "random() < 0.01");
        columns.put("tracheal_attempts", "1 + floor(power(random(), 4) * 4)");
        columns.put("spo2_lowest", "100 - floor(power(random(), 3) * 60)");
        for (Measure measure : Measure.ofEncounters()) {
            List<Scheme> schemes = measure.bySeverity() ? List.of(Scheme.values()) : List.of(Scheme.DEFAULT);
            schemes.forEach(scheme -> columns.put(
                    measure.column(scheme).getName(),
                    "case when random() < 0.06 then null when random() < 0.06 then -1"
                            + (measure.shape() == Measure.Shape.VALUE
                                    ? " else 40 + floor(random() * 61) end"
                                    : " when random() < 0.7 then 1 else 0 end")));
        }
        Map<String, Integer> codes =
                Acting.asProgram(() -> transactions.read(dsl -> dsl.select(CODE.VARIABLE, DSL.max(CODE.NO))
                        .from(CODE)
                        .groupBy(CODE.VARIABLE)
                        .fetchMap(row -> row.value1(), row -> row.value2().intValue())));
        for (Stratum stratum : Stratum.values()) {
            columns.put(
                    stratum.variable(),
                    "case when random() > 0.08 then 1 + floor(power(random(), 1.6) * " + codes.get(stratum.variable())
                            + ") end");
        }
        return "insert into analysis.fact (" + String.join(", ", columns.keySet()) + ") select "
                + String.join(", ", columns.values()) + " from (select i, timestamp '2016-01-01' + interval '" + YEARS
                + " years' * (i / " + rows + "::float) as at from generate_series(0, " + (rows - 1) + ") i) t";
    }

    private void measure(long rows) throws SQLException {
        System.out.printf(Locale.ROOT, "%n%,d encounters, %d units, %d years%n%n", rows, UNITS, YEARS);
        System.out.println(
                "| counts of | by | median ms | p95 ms | plain median | plain p95 | ratio of medians | goals |");
        System.out.println("| --- | --- | --- | --- | --- | --- | --- | --- |");
        try (Connection plain = open(owner);
                Statement statement = plain.createStatement()) {
            for (Request request : REQUESTS) {
                Cohort cohort = new Cohort(
                        units.subList(0, request.units()),
                        null,
                        null,
                        request.filters(),
                        Set.of(),
                        request.units() == units.size());
                String sql = plain(request);
                double[] room = new double[ROUNDS];
                double[] bare = new double[ROUNDS];
                for (int round = -WARM_UP; round < ROUNDS; round++) {
                    int at = Math.max(round, 0);
                    long start = System.nanoTime();
                    long mine = count(request, cohort);
                    long middle = System.nanoTime();
                    long theirs = count(statement, sql);
                    room[at] = (middle - start) / 1e6;
                    bare[at] = (System.nanoTime() - middle) / 1e6;
                    if (mine != theirs) {
                        throw new IllegalStateException(request + ": " + mine + " and " + theirs);
                    }
                }
                print(request, room, bare);
            }
        }
    }

    private static void print(Request request, double[] room, double[] bare) {
        Arrays.sort(room);
        Arrays.sort(bare);
        double ratio = room[ROUNDS / 2] / bare[ROUNDS / 2];
        double p95 = room[ROUNDS * 95 / 100];
        System.out.printf(
                Locale.ROOT,
                "| %s, %s | %s | %.1f | %.1f | %.1f | %.1f | %.2f | %s |%n",
                request.measure().id(),
                request.words(),
                request.by() + (request.each() ? " and unit" : ""),
                room[ROUNDS / 2],
                p95,
                bare[ROUNDS / 2],
                bare[ROUNDS * 95 / 100],
                ratio,
                p95 <= GOAL && ratio <= GOAL_RATIO ? "met" : "missed");
    }

    /** As the room does; the sum of all that was counted. */
    private long count(Request request, Cohort cohort) {
        Grouping grouping = Grouping.parse(request.by()).orElseThrow();
        return Acting.asProgram(() -> transactions.read(dsl -> {
            CountQuery query = new CountQuery(dsl, request.measure(), null, cohort);
            Stream<Counted> counted = request.each()
                    ? query.bySpanOfEachUnit(grouping).values().stream().flatMap(unit -> unit.values().stream())
                    : grouping.calendar()
                            ? query.bySpan(grouping).values().stream()
                            : query.byEncounters(grouping.size(), Points.MOST).values().stream()
                                    .map(CountQuery.Group::counted);
            return counted.mapToLong(one -> one.x() + one.n() + one.leftOut() + one.unknown() + one.nominal())
                    .sum();
        }));
    }

    private static long count(Statement statement, String sql) throws SQLException {
        long sum = 0;
        try (ResultSet rows = statement.executeQuery(sql)) {
            while (rows.next()) {
                for (int column = 2; column <= 6; column++) {
                    sum += rows.getLong(column);
                }
            }
        }
        return sum;
    }

    private String plain(Request request) {
        Field<Short> answer = request.measure().column(null);
        String where = Stream.concat(
                        request.units() == UNITS
                                ? Stream.of()
                                : Stream.of(FACT.SITE_ID.getName() + " = "
                                        + units.get(0).no()),
                        request.filters().entrySet().stream().map(filter -> plain(filter.getKey(), filter.getValue())))
                .collect(Collectors.joining(" and "));
        String rows = "analysis.fact" + (where.isEmpty() ? "" : " where " + where);
        // Of values no sum is taken: each is counted, since a median needs all of them.
        boolean values = request.measure().shape() == Measure.Shape.VALUE;
        String counts = (values ? ", 0" : ", count(*) filter (where %1$s = 1)") + ", count(*) filter (where %1$s >= 0),"
                + " count(*) filter (where %1$s is null or %1$s < 0), count(*) filter (where %1$s < 0),"
                + " count(*) filter (where nominal) from ";
        Grouping grouping = Grouping.parse(request.by()).orElseThrow();
        String sql = grouping.calendar()
                ? "select month" + counts + rows + " group by month" + (values ? ", %1$s" : "")
                        + (request.each() ? ", site_id" : "")
                : "select (greatest(no, 1) - 1) / " + grouping.size() + counts + "(select " + answer.getName()
                        + ", nominal, count(*) filter (where %1$s >= 0) over (order by started_at, encounter_id) as no from "
                        + rows + ") t group by 1";
        return sql.formatted(answer.getName());
    }

    private String plain(Stratum stratum, Set<String> codes) {
        String numbers = Acting.asProgram(() -> transactions.read(dsl -> dsl
                .select(CODE.NO)
                .from(CODE)
                .where(CODE.VARIABLE.eq(stratum.variable()), CODE.CODE_.in(codes))
                .fetch(CODE.NO)
                .stream()
                .map(String::valueOf)
                .collect(Collectors.joining(", "))));
        String coded = stratum.variable() + " in (" + numbers + ")";
        return codes.contains(Stratum.BLANK.value()) ? "(" + coded + " or " + stratum.variable() + " is null)" : coded;
    }

    private static Connection open(Login login) throws SQLException {
        return DriverManager.getConnection(login.url(), login.user(), login.password());
    }
}
