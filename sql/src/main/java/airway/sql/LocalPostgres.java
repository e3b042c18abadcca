package airway.sql;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.channels.FileChannel;
import java.nio.channels.OverlappingFileLockException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * A PostgreSQL server of our own below one directory: safe settings, passwords, loopback only.
 *
 * <pre>{@code
 * try (LocalPostgres server = LocalPostgres.start(home, null)) {
 *     Migrations.migrate(server.owner(), server.app().user());
 * }
 * }</pre>
 *
 * <p>The directory is held by a file lock while the server runs, so that no second program opens it. The server is a
 * child that stops by itself when this program is killed; if one is left behind all the same, the next start stops it.
 */
/*
 * Why not the test library that brings the binaries: it starts the server without fsync, without passwords, deletes
 * directories it takes for stale, and leaves an orphan behind when the program is killed.
 *
 * The signal of the parent's death is tied to the thread that made the child, not to the program: when that thread
 * ends, PostgreSQL is stopped. So the child is made by a thread that stays until the server ends.
 *
 * PostgreSQL refuses to run as root. Where the kernel allows it, "unshare -U" makes root nobody inside while files
 * stay root's; elsewhere another user of the machine must be named, who then owns the directory.
 */
public final class LocalPostgres implements AutoCloseable {
    /** The major version of the binaries that come along. A directory of another one is refused, never converted. */
    static final String MAJOR = "18";

    private static final Logger LOG = LoggerFactory.getLogger(LocalPostgres.class);
    private static final String DATABASE = "airway";
    private static final String OWNER = "airway_owner";
    private static final String APP = "airway_app";
    private static final Duration PATIENCE = Duration.ofSeconds(30);
    private static final boolean LINUX = System.getProperty("os.name").startsWith("Linux");

    private final Path data;
    private final Secrets secrets;
    private final int port;
    private final @Nullable Child child;

    private LocalPostgres(Path data, Secrets secrets, int port, @Nullable Child child) {
        this.data = data;
        this.secrets = secrets;
        this.port = port;
        this.child = child;
    }

    /** What belongs to a server that this program started and will stop. */
    private record Child(Process process, FileChannel lock, Path binaries, List<String> asUser) {}

    /**
     * Starts the server, after making its directory at the first start.
     *
     * @param home the directory that holds everything the server needs
     * @param osUser the user of the machine to run the server as when this program runs as root, or null
     * @throws CannotStart if the directory cannot be written, is in use, or holds another major version
     */
    public static LocalPostgres start(Path home, @Nullable String osUser) {
        try {
            Files.createDirectories(home);
            FileChannel lock = lock(home);
            if (lock == null) {
                throw new CannotStart(
                        "The database in " + home + " is in use by another running copy of this program.");
            }
            try {
                return startLocked(home, osUser, lock);
            } catch (RuntimeException | IOException e) {
                lock.close();
                throw e;
            }
        } catch (IOException e) {
            throw new CannotStart("The database directory " + home + " cannot be written: " + reason(e), e);
        }
    }

    /**
     * Uses the server that another copy of this program runs, or starts it for as long as this one needs it.
     *
     * @throws CannotStart as {@link #start}
     */
    public static LocalPostgres startOrAttach(Path home, @Nullable String osUser) {
        try {
            if (Files.isDirectory(home.resolve("data"))) {
                FileChannel lock = lock(home);
                if (lock == null) {
                    Path data = home.resolve("data");
                    List<String> pid = Files.readAllLines(data.resolve("postmaster.pid"));
                    return new LocalPostgres(data, Secrets.read(home), Integer.parseInt(pid.get(3)), null);
                }
                lock.close();
            }
        } catch (IOException | RuntimeException e) {
            throw new CannotStart("The running database in " + home + " cannot be joined: " + reason(e), e);
        }
        return start(home, osUser);
    }

    /** How the owner of the schema signs in. */
    public Login owner() {
        return new Login(url(DATABASE), OWNER, secrets.owner());
    }

    /** How the application signs in. */
    public Login app() {
        return new Login(url(DATABASE), APP, secrets.app());
    }

    /** How the superuser signs in to the maintenance database; for tests and repairs. */
    public Login superuser() {
        return new Login(url("postgres"), "postgres", secrets.superuser());
    }

    /** The same server and role, another database. */
    public String url(String database) {
        return "jdbc:postgresql://127.0.0.1:" + port + "/" + database;
    }

    /** Stops the server if this program started it; waits until all is on disk. */
    @Override
    public void close() {
        if (child == null) {
            return;
        }
        try (FileChannel held = child.lock()) {
            stop(child.binaries(), data, child.asUser());
            if (!child.process().waitFor(PATIENCE.toSeconds(), TimeUnit.SECONDS)) {
                LOG.error("PostgreSQL did not stop within {} s and was ended", PATIENCE.toSeconds());
                child.process().destroyForcibly();
            }
            LOG.debug("PostgreSQL stopped, {} released", held);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    private static LocalPostgres startLocked(Path home, @Nullable String osUser, FileChannel lock) throws IOException {
        Path binaries = unpack(home);
        Path data = home.resolve("data");
        List<String> asUser = asUser(osUser);
        if (osUser != null && !asUser.isEmpty()) {
            give(home, osUser);
        }
        if (!Files.exists(data.resolve("PG_VERSION"))) {
            initialise(home, binaries, data, asUser, osUser);
        }
        String major = Files.readString(data.resolve("PG_VERSION")).strip();
        if (!major.equals(MAJOR)) {
            throw new CannotStart("The database in " + home + " was made by PostgreSQL " + major
                    + " and this program brings " + MAJOR + "; docs/howto/run-the-database.md says how to move it.");
        }
        Secrets secrets = Secrets.read(home);
        int port = freePort();
        Process process = launch(home, binaries, data, asUser, port, secrets);
        LocalPostgres server = new LocalPostgres(data, secrets, port, new Child(process, lock, binaries, asUser));
        server.prepare();
        return server;
    }

    private static @Nullable FileChannel lock(Path home) throws IOException {
        FileChannel channel =
                FileChannel.open(home.resolve("lock"), StandardOpenOption.CREATE, StandardOpenOption.WRITE);
        try {
            if (channel.tryLock() != null) {
                return channel;
            }
        } catch (OverlappingFileLockException heldByThisProgram) {
            LOG.debug("{} is held by this program", home);
        }
        channel.close();
        return null;
    }

    /** The words before each command of the server: nothing for an ordinary user. */
    private static List<String> asUser(@Nullable String osUser) throws IOException {
        if (!LINUX || !"root".equals(System.getProperty("user.name"))) {
            return List.of();
        }
        if (osUser != null) {
            return List.of("setpriv", "--reuid=" + osUser, "--regid=" + primaryGroup(osUser), "--init-groups");
        }
        if (succeeds(List.of("unshare", "-U", "true"))) {
            return List.of("unshare", "-U");
        }
        throw new CannotStart("PostgreSQL does not run as root and this kernel does not allow a user namespace:"
                + " start as another user, or name one with airway.database.os-user.");
    }

    private static String primaryGroup(String osUser) throws IOException {
        try {
            return run(List.of("id", "-g", osUser)).strip();
        } catch (CannotStart e) {
            throw new CannotStart("airway.database.os-user names " + osUser + ", whom this machine does not know.", e);
        }
    }

    private static void give(Path home, String osUser) throws IOException {
        run(List.of("chown", "-R", osUser, home.toString()));
    }

    /** Makes the directory aside and renames it, so that a half-made one never counts. */
    private static void initialise(Path home, Path binaries, Path data, List<String> asUser, @Nullable String osUser)
            throws IOException {
        Secrets secrets = Secrets.create(home);
        Path fresh = home.resolve("data.new");
        Path password = home.resolve("password.new");
        run(List.of("rm", "-rf", fresh.toString(), password.toString()));
        Secrets.writePrivately(password, secrets.superuser());
        if (osUser != null && !asUser.isEmpty()) {
            give(home, osUser);
        }
        run(with(
                asUser,
                binaries.resolve("bin/initdb").toString(),
                "-D",
                fresh.toString(),
                "-U",
                "postgres",
                "--auth=scram-sha-256",
                "--pwfile=" + password,
                "--data-checksums",
                "--encoding=UTF8",
                "--locale-provider=builtin",
                "--builtin-locale=C.UTF-8",
                "--locale=C",
                "--no-instructions"));
        Files.delete(password);
        Files.move(fresh, data, StandardCopyOption.ATOMIC_MOVE);
    }

    private static Process launch(Path home, Path binaries, Path data, List<String> asUser, int port, Secrets secrets)
            throws IOException {
        List<String> command = new ArrayList<>(asUser);
        if (LINUX && succeeds(List.of("setpriv", "--version"))) {
            command.addAll(List.of("setpriv", "--pdeathsig", "INT"));
        }
        command.addAll(List.of(
                binaries.resolve("bin/postgres").toString(),
                "-D",
                data.toString(),
                "-p",
                String.valueOf(port),
                "-c",
                "listen_addresses=127.0.0.1",
                "-c",
                "unix_socket_directories=",
                "-c",
                "max_connections=60",
                "-c",
                "timezone=UTC",
                "-c",
                "log_statement=none",
                "-c",
                "log_min_error_statement=panic",
                "-c",
                "log_parameter_max_length_on_error=0"));
        Path log = home.resolve("postgres.log");
        long end = System.nanoTime() + PATIENCE.toNanos();
        while (true) {
            Process process = spawn(command, log);
            if (answers(process, port, secrets, end)) {
                return process;
            }
            if (System.nanoTime() > end) {
                process.destroyForcibly();
                throw new CannotStart("PostgreSQL did not start; its own words are in " + log + ".");
            }
            // We hold the lock, so whatever still sits on the directory is an orphan of a program that was killed.
            stop(binaries, data, asUser);
            pause();
        }
    }

    private static Process spawn(List<String> command, Path log) throws IOException {
        ProcessBuilder builder = new ProcessBuilder(command)
                .redirectErrorStream(true)
                .redirectOutput(ProcessBuilder.Redirect.appendTo(log.toFile()));
        CompletableFuture<Process> born = new CompletableFuture<>();
        Thread keeper = new Thread(
                () -> {
                    try {
                        Process process = builder.start();
                        born.complete(process);
                        process.waitFor();
                    } catch (IOException e) {
                        born.completeExceptionally(e);
                    } catch (InterruptedException e) {
                        Thread.currentThread().interrupt();
                    }
                },
                "postgres");
        keeper.setDaemon(true);
        keeper.start();
        try {
            return born.get();
        } catch (ExecutionException e) {
            throw new IOException(e.getCause());
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IOException(e);
        }
    }

    private static boolean answers(Process process, int port, Secrets secrets, long end) {
        String url = "jdbc:postgresql://127.0.0.1:" + port + "/postgres";
        while (process.isAlive() && System.nanoTime() < end) {
            try (Connection connection = DriverManager.getConnection(url, "postgres", secrets.superuser())) {
                return connection.isValid(5);
            } catch (SQLException notYet) {
                pause();
            }
        }
        return false;
    }

    /** Makes roles and database at the first start; a start that was killed half-way is finished by the next. */
    private void prepare() {
        Login superuser = superuser();
        try (Connection connection =
                        DriverManager.getConnection(superuser.url(), superuser.user(), superuser.password());
                Statement statement = connection.createStatement()) {
            for (Login login : List.of(owner(), app())) {
                statement.execute("do $$ begin if not exists (select from pg_roles where rolname = '" + login.user()
                        + "') then create role " + login.user() + " login; end if; end $$");
                statement.execute("alter role " + login.user() + " password '" + login.password() + "'");
            }
            boolean there;
            try (var rows = statement.executeQuery("select from pg_database where datname = '" + DATABASE + "'")) {
                there = rows.next();
            }
            if (!there) {
                statement.execute("create database " + DATABASE + " owner " + OWNER);
            }
        } catch (SQLException e) {
            throw new CannotStart("The new database could not be made ready: " + reason(e), e);
        }
    }

    private static void stop(Path binaries, Path data, List<String> asUser) throws IOException {
        succeeds(with(
                asUser,
                binaries.resolve("bin/pg_ctl").toString(),
                "stop",
                "-D",
                data.toString(),
                "-m",
                "fast",
                "-w",
                "-t",
                String.valueOf(PATIENCE.toSeconds())));
    }

    private static Path unpack(Path home) throws IOException {
        try (InputStream archive = LocalPostgres.class.getResourceAsStream(Binaries.resource())) {
            if (archive == null) {
                throw new CannotStart("No PostgreSQL comes along for this machine: name one with"
                        + " airway.database.mode=external and spring.datasource.url.");
            }
            return Binaries.unpack(archive.readAllBytes(), home);
        }
    }

    private static int freePort() throws IOException {
        try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            return socket.getLocalPort();
        }
    }

    private static List<String> with(List<String> before, String... words) {
        List<String> command = new ArrayList<>(before);
        command.addAll(List.of(words));
        return command;
    }

    private static boolean succeeds(List<String> command) throws IOException {
        try {
            run(command);
            return true;
        } catch (CannotStart e) {
            LOG.debug("{}", e.getMessage());
            return false;
        }
    }

    private static String run(List<String> command) throws IOException {
        Process process;
        try {
            process = new ProcessBuilder(command).redirectErrorStream(true).start();
        } catch (IOException notThere) {
            throw new CannotStart(command.get(0) + " is not on this machine.", notThere);
        }
        String words = new String(process.getInputStream().readAllBytes(), java.nio.charset.StandardCharsets.UTF_8);
        try {
            if (process.waitFor() != 0) {
                throw new CannotStart(command.get(0) + " failed: " + words.strip());
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IOException(e);
        }
        return words;
    }

    private static void pause() {
        try {
            TimeUnit.MILLISECONDS.sleep(40);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    private static String reason(Exception e) {
        return e.getClass().getSimpleName() + " " + e.getMessage();
    }
}
