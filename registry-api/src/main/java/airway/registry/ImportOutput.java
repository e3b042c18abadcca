package airway.registry;

import airway.registry.imports.Complaint;
import airway.registry.imports.ImportReport;
import airway.registry.imports.Take;
import airway.registry.imports.Watcher;
import java.io.IOException;
import java.io.PrintStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * Data of an import to standard output, words to standard error, row by row. What may yet be taken back waits in a
 * file of its own: a script must not read of a record that never came to be.
 */
final class ImportOutput implements Watcher, AutoCloseable {
    private static final int STEP = 5_000;

    private final @Nullable Path waiting;
    private final PrintStream data;
    private int told;
    private boolean waits;

    ImportOutput(Take take) {
        try {
            waiting = take == Take.ALL_OR_NOTHING ? Files.createTempFile("import", ".csv") : null;
            data = waiting == null
                    ? System.out
                    : new PrintStream(Files.newOutputStream(waiting), false, StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        if (take != Take.CHECK_ONLY) {
            data.println("row,encounter_id");
        }
    }

    @Override
    public void taken(int row, UUID id) {
        data.println(row + "," + id);
    }

    @Override
    public void rejected(int row, List<Complaint> complaints) {
        for (Complaint complaint : complaints) {
            System.err.println("row " + row + (complaint.column().isEmpty() ? "" : ", " + complaint.column()) + ": "
                    + complaint.code() + ": " + complaint.mend());
        }
    }

    @Override
    public void reached(int row, int rows) {
        if (row / STEP > told) {
            told = row / STEP;
            System.err.println(row + " of " + rows + " rows");
        }
    }

    @Override
    public void waits() {
        if (!waits) {
            waits = true;
            System.err.println("Another import into this unit is running; waiting for it to end.");
        }
    }

    /** Lets out what waited, if it is kept. */
    void end(ImportReport report) {
        data.flush();
        if (waiting != null && report.stored()) {
            try {
                Files.copy(waiting, System.out);
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }
    }

    @Override
    public void close() {
        if (waiting != null) {
            data.close();
            try {
                Files.deleteIfExists(waiting);
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }
    }
}
