package airway.sql;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.Comparator;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.testcontainers.DockerClientFactory;
import org.testcontainers.postgresql.PostgreSQLContainer;
import org.testcontainers.utility.DockerImageName;

/**
 * Real PostgreSQL for tests: one server per run, a clone of a migrated database per test.
 *
 * <p>A container where a Docker engine answers, else the server that comes along; {@code -Dairway.test.database=embedded}
 * or {@code container} forces one, {@code -Dairway.test.database.image=...} names the image.
 */
public final class TestDatabase {
    private static final String OWNER = "airway_owner";
    private static final String APP = "airway_app";
    private static final String PASSWORD = "for-tests-only";
    private static final AtomicInteger NUMBER = new AtomicInteger();

    private static @Nullable TestDatabase server;

    private final String kind;
    private final String prefix;
    private final Login superuser;

    /** Both ways into a fresh database. */
    public record Logins(Login owner, Login app) {}

    private TestDatabase(String kind, String prefix, Login superuser) {
        this.kind = kind;
        this.prefix = prefix;
        this.superuser = superuser;
    }

    /** A new database with the schema in it and no records. */
    public static Logins fresh() {
        TestDatabase here = server();
        String name = "test_" + NUMBER.incrementAndGet();
        here.run("create database " + name + " template registry_template owner " + OWNER);
        return here.logins(name);
    }

    /** A new database without any schema. */
    public static Logins empty() {
        TestDatabase here = server();
        String name = "empty_" + NUMBER.incrementAndGet();
        here.run("create database " + name + " owner " + OWNER);
        return here.logins(name);
    }

    private Logins logins(String database) {
        return new Logins(new Login(prefix + database, OWNER, PASSWORD), new Login(prefix + database, APP, PASSWORD));
    }

    private static synchronized TestDatabase server() {
        TestDatabase running = server;
        if (running == null) {
            running = start();
            for (String role : new String[] {OWNER, APP}) {
                running.run("do $$ begin if not exists (select from pg_roles where rolname = '" + role
                        + "') then create role " + role + " login; end if; end $$");
                running.run("alter role " + role + " password '" + PASSWORD + "'");
            }
            running.run("create database registry_template owner " + OWNER);
            Migrations.migrate(running.logins("registry_template").owner(), APP);
            server = running;
        }
        return running;
    }

    private static TestDatabase start() {
        String choice = System.getProperty("airway.test.database", "auto");
        boolean docker =
                !choice.equals("embedded") && DockerClientFactory.instance().isDockerAvailable();
        if (choice.equals("container") && !docker) {
            throw new IllegalStateException("airway.test.database is container, but no Docker engine answers");
        }
        TestDatabase started = docker ? container() : embedded();
        System.out.println("Tests run on PostgreSQL, " + started.kind);
        return started;
    }

    private static TestDatabase container() {
        PostgreSQLContainer container = new PostgreSQLContainer(
                DockerImageName.parse(System.getProperty("airway.test.database.image", "postgres:18-alpine"))
                        .asCompatibleSubstituteFor("postgres"));
        container.start();
        Runtime.getRuntime().addShutdownHook(new Thread(container::stop));
        String url = container.getJdbcUrl();
        return new TestDatabase(
                "container",
                url.substring(0, url.lastIndexOf('/') + 1),
                new Login(url, container.getUsername(), container.getPassword()));
    }

    private static TestDatabase embedded() {
        try {
            Path home = Files.createTempDirectory("registry-test");
            LocalPostgres postgres = LocalPostgres.start(home, null);
            Runtime.getRuntime().addShutdownHook(new Thread(() -> {
                postgres.close();
                delete(home);
            }));
            return new TestDatabase("embedded", postgres.url(""), postgres.superuser());
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** Changes the server itself, for what no role of ours may do. */
    static void change(String sql) {
        server().run(sql);
    }

    private void run(String sql) {
        try (Connection connection =
                        DriverManager.getConnection(superuser.url(), superuser.user(), superuser.password());
                Statement statement = connection.createStatement()) {
            statement.execute(sql);
        } catch (SQLException e) {
            throw new IllegalStateException(sql, e);
        }
    }

    /** Removes a directory and all in it. */
    public static void delete(Path directory) {
        try (Stream<Path> files = Files.walk(directory)) {
            files.sorted(Comparator.reverseOrder())
                    .forEach(file -> file.toFile().delete());
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
