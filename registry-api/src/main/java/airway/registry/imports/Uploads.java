package airway.registry.imports;

import airway.registry.access.Site;
import airway.registry.database.Acting;
import airway.registry.problem.Problem;
import airway.sql.CannotStart;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.ScheduledFuture;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.beans.factory.DisposableBean;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Component;

/**
 * Tables that were sent to the page. They lie in a folder that only the program's user may read, for as long as they
 * are needed and two hours at most; what a crash left behind is removed at the next start.
 */
@Component
@ConditionalOnWebApplication
class Uploads implements DisposableBean {
    private static final Logger LOG = LoggerFactory.getLogger(Uploads.class);
    private static final Duration KEPT = Duration.ofHours(2);
    private static final int MOST = 50;

    private final Path folder;
    private final Clock clock;
    private final Map<UUID, Upload> uploads = new ConcurrentHashMap<>();
    private final ExecutorService worker = Executors.newSingleThreadExecutor(Uploads::thread);
    private final ScheduledExecutorService sweeper = Executors.newSingleThreadScheduledExecutor(Uploads::thread);
    private final ScheduledFuture<?> sweeping;

    /**
     * Empties the folder of tables from an earlier run.
     *
     * @throws CannotStart if the folder cannot be written
     */
    Uploads(@Value("${airway.data-dir}") Path dataDirectory, Clock clock) {
        this.folder = dataDirectory.toAbsolutePath().normalize().resolve("tmp").resolve("import");
        this.clock = clock;
        try {
            delete(folder);
            Files.createDirectories(incoming());
            if (Files.getFileStore(folder).supportsFileAttributeView("posix")) {
                Files.setPosixFilePermissions(folder, PosixFilePermissions.fromString("rwx------"));
            }
        } catch (IOException e) {
            throw new CannotStart(
                    "The folder " + folder + " cannot be written: "
                            + e.getClass().getSimpleName() + ". Name another data directory with airway.data-dir.",
                    e);
        }
        this.sweeping = sweeper.scheduleAtFixedRate(this::sweep, 10, 10, TimeUnit.MINUTES);
    }

    /** Where the server puts what it receives until it is taken from there. */
    final Path incoming() {
        return folder.resolve("incoming");
    }

    /** A place for a new table. */
    Upload add() {
        sweep();
        if (uploads.values().stream()
                        .filter(upload -> upload.now().state() != Upload.State.TAKEN)
                        .count()
                >= MOST) {
            throw new Problem.Conflict(
                    "Many tables are waiting to be taken in; finish or throw away one of them first.", List.of());
        }
        UUID id = UUID.randomUUID();
        Path own = folder.resolve(id.toString());
        try {
            Files.createDirectory(own);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        Upload upload = new Upload(id, own, clock.instant(), Acting.current().actor());
        uploads.put(id, upload);
        return upload;
    }

    /**
     * An upload of the one who asks that is still there.
     *
     * @throws Problem.Missing if it was taken, thrown away or is too old
     */
    Upload find(UUID id) {
        Upload upload = uploads.get(id);
        if (upload == null || upload.actor() != Acting.current().actor()) {
            throw new Problem.Missing("import");
        }
        return upload;
    }

    /** Those of the one who asks, for a unit, that are worth going back to, the newest first. */
    List<Upload> open(Site site) {
        return uploads.values().stream()
                .filter(upload -> upload.actor() == Acting.current().actor())
                .filter(upload -> upload.now().state() != Upload.State.HELD)
                .filter(upload -> upload.site().code().equals(site.code()))
                .sorted(Comparator.comparing(Upload::at).reversed())
                .toList();
    }

    /** Goes through a table in the background, after those that came before. */
    void run(Upload upload, Imports imports, Take take) {
        Acting.Scope scope = Acting.current();
        worker.execute(() -> Acting.as(scope, () -> {
            try {
                ImportReport report = imports.run(upload.file(), take, upload);
                boolean taken = take == Take.ALL_OR_NOTHING && report.stored();
                upload.end(taken ? Upload.State.TAKEN : Upload.State.CHECKED, report, null);
                if (taken) {
                    Files.deleteIfExists(upload.table());
                }
            } catch (Upload.Stopped e) {
                upload.end(Upload.State.STOPPED, null, null);
            } catch (ImportRefused e) {
                upload.end(Upload.State.FAILED, null, e);
            } catch (IOException | RuntimeException e) {
                LOG.error("an import failed", e);
                upload.end(Upload.State.FAILED, null, null);
            }
            return upload;
        }));
    }

    /** Removes a table and all that was found out about it. */
    void discard(Upload upload) {
        upload.stop();
        uploads.remove(upload.id());
        try {
            delete(folder.resolve(upload.id().toString()));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private void sweep() {
        Instant oldest = clock.instant().minus(KEPT);
        uploads.values().stream()
                .filter(upload ->
                        upload.at().isBefore(oldest) && !upload.now().state().running())
                .toList()
                .forEach(this::discard);
    }

    /** Does not keep the program from ending. */
    private static Thread thread(Runnable work) {
        Thread thread = new Thread(work, "import");
        thread.setDaemon(true);
        return thread;
    }

    private static void delete(Path folder) throws IOException {
        if (Files.exists(folder)) {
            try (Stream<Path> files = Files.walk(folder)) {
                for (Path file : files.sorted(Comparator.reverseOrder()).toList()) {
                    Files.deleteIfExists(file);
                }
            }
        }
    }

    @Override
    public void destroy() throws IOException {
        sweeping.cancel(false);
        sweeper.shutdownNow();
        uploads.values().forEach(Upload::stop);
        worker.shutdownNow();
        delete(folder);
    }
}
