package airway.registry.imports;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/**
 * A table and its mapping, looked through once and compared with each other; nothing is stored yet.
 *
 * <p>The table stays where it is and is read row by row each time, so its length does not matter.
 */
public final class ImportFile {
    private static final int LONGEST_MAPPING = 1024 * 1024;

    private final Path table;
    private final Mapping mapping;
    private final List<String> columns;
    private final int rows;

    private ImportFile(Path table, Mapping mapping, List<String> columns, int rows) {
        this.table = table;
        this.mapping = mapping;
        this.columns = columns;
        this.rows = rows;
    }

    /**
     * Reads the mapping, and looks through the table.
     *
     * @throws ImportRefused if one cannot be used, or they do not fit each other
     */
    public static ImportFile read(Path table, Path mapping) {
        try (var in = Files.newInputStream(mapping)) {
            byte[] json = in.readNBytes(LONGEST_MAPPING + 1);
            if (json.length > LONGEST_MAPPING) {
                throw ImportRefused.unusable("The mapping is larger than 1 MiB.");
            }
            return read(table, MappingReader.read(json), Integer.MAX_VALUE);
        } catch (IOException e) {
            throw ImportRefused.unusable("The file " + mapping + " cannot be read.");
        }
    }

    /**
     * Looks through a table.
     *
     * @param most how many rows it may have
     * @throws ImportRefused if it cannot be used, does not fit the mapping, or has more rows
     */
    static ImportFile read(Path table, Mapping mapping, int most) {
        try (CsvRows rows = CsvRows.open(table)) {
            mapping.check(rows.columns());
            int count = 0;
            while (rows.next() != null) {
                count++;
                if (count > most) {
                    throw ImportRefused.tooLarge(
                            "The file has more than %,d rows; split it, or use the command, which has no limit."
                                    .formatted(most));
                }
            }
            return new ImportFile(table, mapping, rows.columns(), count);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** The rows from the first on. */
    CsvRows open() {
        return CsvRows.open(table);
    }

    Mapping mapping() {
        return mapping;
    }

    List<String> columns() {
        return columns;
    }

    /** How many rows there are below the names. */
    int rows() {
        return rows;
    }
}
