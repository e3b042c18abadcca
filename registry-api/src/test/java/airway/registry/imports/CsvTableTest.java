package airway.registry.imports;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.util.List;
import org.junit.jupiter.api.Test;

class CsvTableTest {

    @Test
    void readsQuotedCommasQuotesAndLineBreaks() {
        CsvTable table = table("\uFEFFa,\"b, c\"\r\n\" 1 \",\"say \"\"x\"\"\ntwice\"\r\n");

        assertThat(table.columns()).containsExactly("a", "b, c");
        assertThat(table.rows()).containsExactly(new CsvTable.Row(1, List.of("1", "say \"x\"\ntwice")));
    }

    @Test
    void keepsARaggedRowForTheRowToBeRejected() {
        assertThat(table("a,b\n1\n1,2\n").rows())
                .containsExactly(new CsvTable.Row(1, List.of("1")), new CsvTable.Row(2, List.of("1", "2")));
    }

    @Test
    void refusesAQuotationMarkThatIsNotClosed() {
        assertThatThrownBy(() -> table("a,b\n1,2\n1,\"2\n"))
                .isInstanceOf(ImportRefused.class)
                .hasMessageContaining("after row 1");
    }

    @Test
    void refusesColumnsWithoutNamesOfTheirOwn() {
        assertThatThrownBy(() -> table("a,a\n1,2\n")).hasMessageContaining("\"a\" stands twice");
        assertThatThrownBy(() -> table("a,\n1,2\n")).hasMessageContaining("no name");
        assertThatThrownBy(() -> table("")).hasMessageContaining("empty");
    }

    @Test
    void refusesAnotherEncoding() {
        assertThatThrownBy(() -> CsvTable.read("a\n\u00e9\n".getBytes(StandardCharsets.ISO_8859_1)))
                .isInstanceOf(ImportRefused.class)
                .hasMessageContaining("UTF-8");
    }

    @Test
    void refusesMoreThanFiveMebibytesOrFiftyThousandRows() {
        assertThatThrownBy(() -> CsvTable.read(new byte[5 * 1024 * 1024 + 1])).hasMessageContaining("5 MiB");
        assertThat(table("a\n" + "1\n".repeat(50_000)).rows()).hasSize(50_000);
        assertThatThrownBy(() -> table("a\n" + "1\n".repeat(50_001))).hasMessageContaining("50,000");
    }

    private static CsvTable table(String text) {
        return CsvTable.read(text.getBytes(StandardCharsets.UTF_8));
    }
}
