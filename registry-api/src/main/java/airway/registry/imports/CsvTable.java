package airway.registry.imports;

import java.io.IOException;
import java.io.StringReader;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;

/**
 * A table as text: comma-separated values after RFC 4180 in UTF-8, names of columns in the first line.
 *
 * @param columns names, each once
 * @param rows cells without spaces around them; a row may be ragged
 */
record CsvTable(List<String> columns, List<Row> rows) {
    private static final int MOST_BYTES = 5 * 1024 * 1024;
    private static final int MOST_ROWS = 50_000;

    /** One row; the first below the names has number 1. */
    record Row(int number, List<String> cells) {}

    /**
     * Reads a table.
     *
     * @throws ImportRefused if it is too large, not UTF-8, not CSV, or its columns have no names of their own
     */
    static CsvTable read(byte[] bytes) {
        if (bytes.length > MOST_BYTES) {
            throw ImportRefused.usage("The file is larger than 5 MiB; split it.");
        }
        List<List<String>> lines = lines(text(bytes));
        if (lines.isEmpty()) {
            throw ImportRefused.usage("The file is empty; its first line must name the columns.");
        }
        if (lines.size() - 1 > MOST_ROWS) {
            throw ImportRefused.usage("The file has more than 50,000 rows; split it.");
        }
        List<Row> rows = new ArrayList<>();
        for (int i = 1; i < lines.size(); i++) {
            rows.add(new Row(i, lines.get(i)));
        }
        return new CsvTable(named(lines.get(0)), List.copyOf(rows));
    }

    private static String text(byte[] bytes) {
        try {
            String text = StandardCharsets.UTF_8
                    .newDecoder()
                    .decode(ByteBuffer.wrap(bytes))
                    .toString();
            return text.startsWith("\uFEFF") ? text.substring(1) : text;
        } catch (CharacterCodingException e) {
            throw ImportRefused.usage("The file is not UTF-8; save it again in that encoding.");
        }
    }

    private static List<List<String>> lines(String text) {
        CSVFormat format = CSVFormat.RFC4180.builder().setIgnoreEmptyLines(true).get();
        List<List<String>> lines = new ArrayList<>();
        try (CSVParser parser = CSVParser.parse(new StringReader(text), format)) {
            for (CSVRecord record : parser) {
                lines.add(record.stream().map(String::strip).toList());
            }
        } catch (IOException | UncheckedIOException | IllegalStateException e) {
            throw ImportRefused.usage("The file is not CSV as it should be: after row " + Math.max(0, lines.size() - 1)
                    + " a quotation mark is not closed, or something follows one.");
        }
        return lines;
    }

    private static List<String> named(List<String> columns) {
        Set<String> seen = new TreeSet<>();
        for (String column : columns) {
            if (column.isEmpty()) {
                throw ImportRefused.usage("A column has no name; the first line must name each.");
            }
            if (!seen.add(column)) {
                throw ImportRefused.usage("The column \"" + column + "\" stands twice in the first line.");
            }
        }
        return List.copyOf(columns);
    }
}
