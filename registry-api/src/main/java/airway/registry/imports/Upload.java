package airway.registry.imports;

import airway.registry.access.Site;
import airway.registry.web.CsvField;
import java.io.IOException;
import java.io.PrintStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.UUID;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;
import org.jspecify.annotations.Nullable;

/**
 * A table that was sent to the page, and how far it has come. Asked by the page while one worker goes through it, so
 * whatever changes is read and written under its lock.
 */
final class Upload implements Watcher {
    /** How many things to mend the page shows; all of them are in the file to download. */
    static final int SHOWN = 200;

    /** Where an upload stands. */
    public enum State {
        HELD,
        CHECKING,
        CHECKED,
        TAKING,
        TAKEN,
        STOPPED,
        FAILED;

        public boolean running() {
            return this == CHECKING || this == TAKING;
        }
    }

    /** One thing to mend, with the row it is in. */
    public record Line(int row, Complaint complaint) {}

    /**
     * How things stand at one moment.
     *
     * @param report null until a way through is finished
     * @param lines the first things to mend
     * @param refusal why it cannot be done; null where it failed for no known reason
     */
    public record Now(
            State state,
            int reached,
            int rows,
            boolean waiting,
            @Nullable ImportReport report,
            List<Line> lines,
            int complaints,
            @Nullable ImportRefused refusal) {}

    /** Ends a way through because somebody pressed stop. */
    static final class Stopped extends RuntimeException {
        Stopped() {
            super(null, null, false, false);
        }
    }

    private final UUID id;
    private final Path folder;
    private final Instant at;
    private final int actor;
    private final ReentrantLock lock = new ReentrantLock();
    private final Condition changed = lock.newCondition();
    private final List<Line> lines = new ArrayList<>();
    private State state = State.HELD;
    private String mapping = "";
    private @Nullable Site site;
    private @Nullable ImportFile file;
    private @Nullable ImportReport report;
    private @Nullable ImportRefused refusal;
    private int reached;
    private int complaints;
    private boolean waiting;
    private boolean stop;

    Upload(UUID id, Path folder, Instant at, int actor) {
        this.actor = actor;
        this.id = id;
        this.folder = folder;
        this.at = at;
    }

    UUID id() {
        return id;
    }

    /** Who sent it; nobody else sees it. */
    int actor() {
        return actor;
    }

    Instant at() {
        return at;
    }

    /** Where the table lies. */
    Path table() {
        return folder.resolve("table.csv");
    }

    /** Where all things to mend lie, as CSV. */
    Path toMend() {
        return folder.resolve("to-mend.csv");
    }

    /** Begins to check the table with a mapping that fits it; false while something else is done with it. */
    boolean check(Site ofUnit, String text, ImportFile fits) {
        lock.lock();
        try {
            boolean begun = begin(List.of(State.HELD, State.CHECKED, State.STOPPED, State.FAILED), State.CHECKING);
            if (begun) {
                site = ofUnit;
                mapping = text;
                file = fits;
            }
            return begun;
        } finally {
            lock.unlock();
        }
    }

    /** Begins to take in what was checked; false when that was begun before, so that pressing twice takes once. */
    boolean take() {
        return begin(List.of(State.CHECKED), State.TAKING);
    }

    Site site() {
        lock.lock();
        try {
            if (site == null) {
                throw new IllegalStateException("no mapping fits yet");
            }
            return site;
        } finally {
            lock.unlock();
        }
    }

    ImportFile file() {
        lock.lock();
        try {
            if (file == null) {
                throw new IllegalStateException("no mapping fits yet");
            }
            return file;
        } finally {
            lock.unlock();
        }
    }

    /** The mapping as it was typed; empty before one fits. */
    String mapping() {
        lock.lock();
        try {
            return mapping;
        } finally {
            lock.unlock();
        }
    }

    Now now() {
        lock.lock();
        try {
            int rows = file == null ? 0 : file.rows();
            return new Now(state, reached, rows, waiting, report, List.copyOf(lines), complaints, refusal);
        } finally {
            lock.unlock();
        }
    }

    private boolean begin(List<State> from, State to) {
        lock.lock();
        try {
            if (!from.contains(state)) {
                return false;
            }
            Files.writeString(toMend(), "row,column,field,fault,mend\r\n");
            state = to;
            lines.clear();
            complaints = 0;
            reached = 0;
            report = null;
            refusal = null;
            stop = false;
            return true;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        } finally {
            lock.unlock();
        }
    }

    void end(State to, @Nullable ImportReport told, @Nullable ImportRefused refused) {
        lock.lock();
        try {
            state = to;
            report = told;
            refusal = refused;
            waiting = false;
            changed.signalAll();
        } finally {
            lock.unlock();
        }
    }

    /** Waits a moment for a short table, so that its report comes as the answer itself. */
    Now await(long ms) {
        lock.lock();
        try {
            long left = TimeUnit.MILLISECONDS.toNanos(ms);
            while (state.running() && left > 0) {
                left = changed.awaitNanos(left);
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        } finally {
            lock.unlock();
        }
        return now();
    }

    void stop() {
        lock.lock();
        try {
            stop = true;
        } finally {
            lock.unlock();
        }
    }

    @Override
    public void rejected(int row, List<Complaint> told) {
        lock.lock();
        try (PrintStream out = new PrintStream(
                Files.newOutputStream(toMend(), StandardOpenOption.APPEND), false, StandardCharsets.UTF_8)) {
            for (Complaint complaint : told) {
                complaints++;
                if (lines.size() < SHOWN) {
                    lines.add(new Line(row, complaint));
                }
                out.print(row + "," + CsvField.quoted(complaint.column()) + "," + CsvField.quoted(complaint.field())
                        + "," + complaint.code() + "," + CsvField.quoted(complaint.mend()) + "\r\n");
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        } finally {
            lock.unlock();
        }
    }

    @Override
    public void reached(int row, int rows) {
        lock.lock();
        try {
            reached = row;
            waiting = false;
        } finally {
            lock.unlock();
        }
        goOn();
    }

    @Override
    public void waits() {
        lock.lock();
        try {
            waiting = true;
        } finally {
            lock.unlock();
        }
        goOn();
    }

    private void goOn() {
        lock.lock();
        try {
            if (stop) {
                throw new Stopped();
            }
        } finally {
            lock.unlock();
        }
    }
}
