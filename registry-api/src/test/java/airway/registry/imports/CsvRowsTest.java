package airway.registry.imports;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class CsvRowsTest {
    @TempDir
    Path here = Path.of("");

    /** A table with all its rows. */
    private record Table(List<String> columns, List<CsvRows.Row> rows) {}

    @Test
    void readsQuotedCommasQuotesAndLineBreaks() {
        Table table = table("\uFEFFa,\"b, c\"\r\n\" 1 \",\"say \"\"x\"\"\ntwice\"\r\n");

        assertThat(table.columns()).containsExactly("a", "b, c");
        assertThat(table.rows()).containsExactly(new CsvRows.Row(1, List.of("1", "say \"x\"\ntwice")));
    }

    @Test
    void keepsARaggedRowForTheRowToBeRejected() {
        assertThat(table("a,b\n1\n1,2\n").rows())
                .containsExactly(new CsvRows.Row(1, List.of("1")), new CsvRows.Row(2, List.of("1", "2")));
    }

    @Test
    void refusesAQuotationMarkThatIsNotClosed() {
        assertThatThrownBy(() -> table("a,b\n1,2\n1,\"2\n"))
                .isInstanceOf(ImportRefused.class)
                .hasMessageContaining("after row 1");
        assertThatThrownBy(() -> table("a,b\n1,2\n1,\"2\n" + "3,4\n".repeat(400_000)))
                .as("the rest of a long file is not read into one cell")
                .isInstanceOf(ImportRefused.class)
                .hasMessageContaining("after row 1");
        assertThatThrownBy(() -> table("a,b\n1,\"2\"3\n")).hasMessageContaining("after row 0");
    }

    @Test
    void refusesColumnsWithoutNamesOfTheirOwn() {
        assertThatThrownBy(() -> table("a,a\n1,2\n")).hasMessageContaining("\"a\" stands twice");
        assertThatThrownBy(() -> table("a,\n1,2\n")).hasMessageContaining("no name");
        assertThatThrownBy(() -> table("")).hasMessageContaining("empty");
    }

    @Test
    void refusesWhatIsNoText() throws IOException {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        try (ZipOutputStream zip = new ZipOutputStream(bytes)) {
            zip.putNextEntry(new ZipEntry("a.csv"));
            zip.write("a,b\n1,2\n".getBytes(StandardCharsets.UTF_8));
        }
        assertThatThrownBy(() -> table(bytes.toByteArray()))
                .isInstanceOfSatisfying(
                        ImportRefused.class, e -> assertThat(e.why()).isEqualTo(ImportRefused.Why.NO_TABLE));
        assertThatThrownBy(() -> table("a,b\n1,2\n".getBytes(StandardCharsets.UTF_16)))
                .isInstanceOf(ImportRefused.class);
        assertThatThrownBy(() -> CsvRows.open(here.resolve("absent.csv"))).hasMessageContaining("absent.csv");
    }

    @Test
    void marksWhatIsNotUtf8WhereItStands() {
        assertThat(table("a,b\n1,\u00e9\n2,x\n".getBytes(StandardCharsets.ISO_8859_1))
                        .rows())
                .containsExactly(
                        new CsvRows.Row(1, List.of("1", CsvRows.UNREADABLE)), new CsvRows.Row(2, List.of("2", "x")));
        assertThatThrownBy(() -> table("\u00e9,b\n1,2\n".getBytes(StandardCharsets.ISO_8859_1)))
                .hasMessageContaining("UTF-8");
    }

    private Table table(String text) {
        return table(text.getBytes(StandardCharsets.UTF_8));
    }

    private Table table(byte[] bytes) {
        try {
            Path file = Files.write(here.resolve("table.csv"), bytes);
            try (CsvRows rows = CsvRows.open(file)) {
                List<CsvRows.Row> all = new ArrayList<>();
                for (CsvRows.Row row = rows.next(); row != null; row = rows.next()) {
                    all.add(row);
                }
                return new Table(rows.columns(), all);
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
