package airway.registry.imports;

import java.io.BufferedInputStream;
import java.io.Closeable;
import java.io.FilterReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.Reader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Iterator;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;
import org.jspecify.annotations.Nullable;

/**
 * A table as text, one row at a time: comma-separated values after RFC 4180 in UTF-8, names of columns in the first
 * line. One row is held in memory, however long the file.
 */
final class CsvRows implements Closeable {
    /** What bytes that are not UTF-8 become; in a file it is the trace of an earlier wrong conversion. */
    static final String UNREADABLE = "\uFFFD";

    private static final int LONGEST_ROW = 1024 * 1024;
    private static final int LOOK = 512;

    private final List<String> columns;
    private final Bounded text;
    private final CSVParser parser;
    private final Iterator<CSVRecord> lines;
    private int number;

    /** One row, without spaces around its cells; it may be ragged. The first below the names has number 1. */
    record Row(int number, List<String> cells) {}

    private CsvRows(InputStream bytes) throws IOException {
        checkText(bytes);
        this.text = new Bounded(new InputStreamReader(bytes, StandardCharsets.UTF_8));
        this.parser = CSVParser.builder()
                .setReader(text)
                .setFormat(CSVFormat.RFC4180.builder().setIgnoreEmptyLines(true).get())
                .get();
        this.lines = parser.iterator();
        this.columns = named(line());
    }

    /**
     * Opens a table and reads the names of its columns.
     *
     * @throws ImportRefused if it cannot be read, is no text, or its columns have no names of their own
     */
    static CsvRows open(Path file) {
        InputStream bytes = null;
        try {
            bytes = new BufferedInputStream(Files.newInputStream(file));
            return new CsvRows(bytes);
        } catch (IOException e) {
            close(bytes);
            throw ImportRefused.unusable("The file " + file.getFileName() + " cannot be read.");
        } catch (ImportRefused e) {
            close(bytes);
            throw e;
        }
    }

    private static void close(@Nullable InputStream bytes) {
        try {
            if (bytes != null) {
                bytes.close();
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** Skips a byte order mark, and refuses what is no text at all: there a zero byte comes early. */
    private static void checkText(InputStream bytes) throws IOException {
        bytes.mark(LOOK);
        byte[] head = bytes.readNBytes(LOOK);
        for (byte one : head) {
            if (one == 0) {
                throw ImportRefused.noTable("The file is no text in UTF-8 but an archive, a workbook or another"
                        + " encoding, whatever its name says; save the sheet as CSV (UTF-8).");
            }
        }
        bytes.reset();
        if (new String(head, StandardCharsets.UTF_8).startsWith("\uFEFF")) {
            bytes.skipNBytes(3);
        }
    }

    List<String> columns() {
        return columns;
    }

    /**
     * The next row, or null after the last.
     *
     * @throws ImportRefused if quotation marks do not pair, or a row is longer than 1 MiB
     */
    @Nullable
    Row next() {
        List<String> cells = line();
        return cells == null ? null : new Row(++number, cells);
    }

    private @Nullable List<String> line() {
        try {
            text.begin();
            return lines.hasNext() ? lines.next().stream().map(String::strip).toList() : null;
        } catch (UncheckedIOException | IllegalStateException e) {
            throw ImportRefused.unusable("The file is not CSV as it should be: after row " + number
                    + " a quotation mark is not closed, or something follows one.");
        }
    }

    private static List<String> named(@Nullable List<String> columns) {
        if (columns == null) {
            throw ImportRefused.unusable("The file is empty; its first line must name the columns.");
        }
        Set<String> seen = new TreeSet<>();
        for (String column : columns) {
            if (column.isEmpty()) {
                throw ImportRefused.unusable("A column has no name; the first line must name each.");
            }
            if (column.contains(UNREADABLE)) {
                throw ImportRefused.unusable("The first line is not UTF-8; save the file again in that encoding.");
            }
            if (!seen.add(column)) {
                throw ImportRefused.unusable("The column \"" + column + "\" stands twice in the first line.");
            }
        }
        return List.copyOf(columns);
    }

    @Override
    public void close() throws IOException {
        parser.close();
    }

    /** Ends in a fault when one row goes on and on: an open quotation mark would take in the rest of the file. */
    private static final class Bounded extends FilterReader {
        private long read;

        Bounded(Reader text) {
            super(text);
        }

        void begin() {
            read = 0;
        }

        @Override
        public int read() throws IOException {
            read++;
            return in.read();
        }

        @Override
        public int read(char[] into, int offset, int length) throws IOException {
            if (read > LONGEST_ROW) {
                throw new IOException("a row without an end");
            }
            int got = in.read(into, offset, length);
            read += Math.max(got, 0);
            return got;
        }
    }
}
