package airway.registry.imports;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** A table and its mapping, read and compared with each other; nothing is stored yet. */
public final class ImportFile {
    private static final int MOST_BYTES = 5 * 1024 * 1024;

    private final CsvTable table;
    private final Mapping mapping;

    private ImportFile(CsvTable table, Mapping mapping) {
        this.table = table;
        this.mapping = mapping;
    }

    /**
     * Reads both files.
     *
     * @throws ImportRefused if one cannot be used, or they do not fit each other
     */
    public static ImportFile read(Path table, Path mapping) {
        Mapping meaning = MappingReader.read(bytes(mapping));
        CsvTable rows = CsvTable.read(bytes(table));
        meaning.check(rows);
        return new ImportFile(rows, meaning);
    }

    private static byte[] bytes(Path file) {
        try (var in = Files.newInputStream(file)) {
            return in.readNBytes(MOST_BYTES + 1);
        } catch (IOException e) {
            throw ImportRefused.usage("The file " + file + " cannot be read.");
        }
    }

    CsvTable table() {
        return table;
    }

    Mapping mapping() {
        return mapping;
    }
}
