package airway.registry.research;

import airway.registry.RegistryApplication;
import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.Acting;
import airway.registry.problem.Problem;
import airway.registry.testing.Tester;
import airway.sql.LocalPostgres;
import airway.sql.Login;
import airway.sql.TestDatabase;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.lang.management.MemoryPoolMXBean;
import java.lang.management.MemoryType;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.ZoneOffset;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.OptionalInt;
import java.util.UUID;
import java.util.function.Supplier;
import java.util.stream.Stream;
import org.springframework.boot.Banner;
import org.springframework.boot.WebApplicationType;
import org.springframework.boot.builder.SpringApplicationBuilder;
import org.springframework.context.ConfigurableApplicationContext;

/** How long a package of many encounters takes from the question to the file, and how much of the heap. */
final class PackageSize {
    private static final Map<String, List<String>> ASKED = Map.of(
            "variables",
            List.of(
                    "age_days",
                    "encounter_start",
                    "weight_kg",
                    "indication_main",
                    "sex",
                    "fps",
                    "tracheal_attempts",
                    "spo2_lowest",
                    "ae_severe"),
            "purpose",
            List.of("How long it takes"),
            "recipient",
            List.of("Nobody"),
            "approval_reference",
            List.of("None"),
            "approval_expires",
            List.of("2149-12-31"));

    private PackageSize() {}

    /**
     * Measures.
     *
     * @param args number of encounters
     */
    public static void main(String[] args) throws IOException, SQLException {
        long rows = Long.parseLong(args[0]);
        Path home = Files.createTempDirectory("registry-bench");
        try (ConfigurableApplicationContext registry = new SpringApplicationBuilder(RegistryApplication.class)
                .web(WebApplicationType.NONE)
                .bannerMode(Banner.Mode.OFF)
                .logStartupInfo(false)
                .run("--airway.data-dir=" + home.resolve("data"), "--airway.keys-dir=" + home.resolve("keys"))) {
            LocalPostgres server = registry.getBean(LocalPostgres.class);
            Sites sites = registry.getBean(Sites.class);
            Site unit = Acting.asProgram(() -> sites.add("large", "Large unit", "picu", ZoneOffset.UTC, true));
            fill(server.owner(), unit, rows);
            measure(registry, new TestDatabase.Logins(server.owner(), server.app()), rows, unit);
        } finally {
            try (Stream<Path> files = Files.walk(home)) {
                files.sorted(Comparator.reverseOrder())
                        .forEach(file -> file.toFile().delete());
            }
        }
    }

    /** Records as far as the engine reads them: invented, of one unit, of six years. */
    private static void fill(Login owner, Site unit, long rows) throws SQLException {
        try (Connection connection = DriverManager.getConnection(owner.url(), owner.user(), owner.password());
                Statement statement = connection.createStatement()) {
            for (String table : List.of("encounter.encounter", "encounter.version", "analysis.fact")) {
                statement.execute("alter table " + table + " disable trigger user");
            }
            statement.execute("select setseed(0.5)");
            statement.execute("""
                    create temporary table made as
                    select lpad(to_hex(i), 32, '0')::uuid as id, timestamptz '2020-01-01Z' + random() * interval '6 years' as at,
                           floor(6570 * power(random(), 4))::int as days, random() < 0.1 as severe, random() as chance
                    from generate_series(1, %d) i""".formatted(rows));
            String no = String.valueOf(unit.no());
            connection.setAutoCommit(false);
            statement.execute("insert into encounter.encounter select " + no + ", id, 1 from made");
            statement.execute("""
                    insert into encounter.version (site_id, encounter_id, version, status, recorded_at, recorded_by,
                      dictionary_version, encounter_start, encounter_kind, age_days, weight_kg, indication_main)
                    select %s, id, 1, 'final', at, 1, '1', at, 'initial', days, round((3 + days / 200.0)::numeric, 1),
                      (array['apnoea', 'shock', 'oxygenation', 'procedure', 'consciousness'])[1 + floor(chance * 5)::int]
                    from made""".formatted(no));
            statement.execute("""
                    insert into encounter.patient (site_id, encounter_id, version, sex, research_opt_out)
                    select %s, id, 1, case when days / 2 * 2 = days then 'f' else 'm' end, 'no' from made""".formatted(no));
            statement.execute("""
                    insert into analysis.fact (site_id, encounter_id, version, started_at, day, month, nominal, tracheal_attempts,
                      spo2_lowest, fps, ae_any, ae_severe_a, ae_severe_b, ae_severe_c)
                    select %s, id, 1, at, at::date, date_trunc('month', at)::date, false, 1 + floor(chance * 3), 60 + chance * 40,
                      (chance < 0.7)::int, severe::int, severe::int, severe::int, severe::int from made""".formatted(no));
            connection.commit();
            connection.setAutoCommit(true);
            statement.execute(
                    "vacuum (analyze) encounter.encounter, encounter.version, encounter.patient, analysis.fact");
        }
    }

    private static String outcome(Requests requests, Map<String, List<String>> asked) {
        try {
            Requests.Looked looked = requests.look(requests.ask(asked).id());
            return "told as " + Objects.requireNonNull(looked.outlook().plan()).levels();
        } catch (Problem.TooClose e) {
            return "too close";
        }
    }

    private static void measure(
            ConfigurableApplicationContext registry, TestDatabase.Logins logins, long rows, Site unit) {
        Requests requests = registry.getBean(Requests.class);
        Packages packages = registry.getBean(Packages.class);
        System.out.printf(
                Locale.ROOT,
                "%n%,d encounters, %,d MiB of heap%n%n| step | seconds | heap at most, MiB |%n| --- | --- | --- |%n",
                rows,
                Runtime.getRuntime().maxMemory() >> 20);
        Acting.Scope researcher = person(logins, unit, Role.RESEARCHER);
        Acting.Scope guardian = person(logins, unit, Role.DATA_GUARDIAN);
        UUID id = timed("ask", researcher, () -> requests.ask(ASKED).id());
        Requests.Looked looked = timed("look", guardian, () -> requests.look(id));
        OptionalInt loss = Objects.requireNonNull(looked.outlook().plan()).lossToAccept();
        timed(
                "say yes",
                guardian,
                () -> requests.approve(id, 1, looked.digest(), loss.isPresent() ? loss.getAsInt() : null));
        Packages.Link link = timed("make the package", researcher, () -> packages.link(id));
        System.out.printf(
                Locale.ROOT,
                "%n%,d rows in a file of %,d KiB; told as %s%n",
                link.rows(),
                link.file().bytes() >> 10,
                looked.outlook().plan().levels());
        timed("fetch it", researcher, () -> packages.fetch(link.secret()));
        Map<String, List<String>> beside = new HashMap<>(ASKED);
        beside.put("variables", List.of("indication_main", "age_days", "sex", "fps"));
        System.out.printf(
                Locale.ROOT,
                "beside it, other answers of the same records: %s%n",
                timed("ask beside it", researcher, () -> outcome(requests, beside)));
        beside.put("to", List.of("2025-06"));
        System.out.printf(
                Locale.ROOT,
                "beside it, half a year less: %s%n",
                timed("ask beside it, half a year less", researcher, () -> outcome(requests, beside)));
    }

    private static Acting.Scope person(TestDatabase.Logins logins, Site unit, Role role) {
        return new Acting.Scope(Tester.fresh(logins).with(unit.no(), role).actor(), List.of(role.code()), false);
    }

    private static <T> T timed(String what, Acting.Scope who, Supplier<T> work) {
        List<MemoryPoolMXBean> heap = ManagementFactory.getMemoryPoolMXBeans().stream()
                .filter(pool -> pool.getType() == MemoryType.HEAP)
                .toList();
        heap.forEach(MemoryPoolMXBean::resetPeakUsage);
        long start = System.nanoTime();
        T made = Acting.as(who, work);
        System.out.printf(
                Locale.ROOT,
                "| %s | %.1f | %d |%n",
                what,
                (System.nanoTime() - start) / 1e9,
                heap.stream().mapToLong(pool -> pool.getPeakUsage().getUsed()).sum() >> 20);
        return made;
    }
}
