package airway.registry.imports;

import airway.registry.dictionary.Variable;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.JsonNodeFactory;

/**
 * What the cells of a column mean.
 *
 * @param column the column
 * @param with a second column that is needed to tell, or null
 * @param variable the variable that is answered
 * @param codes the answer for each cell, or pair of cells; empty where the cell is the answer
 * @param notKnown cells that say "asked, not known"
 * @param times what a number is multiplied with, 1 for a number in the unit of the dictionary
 * @param round whether a number is then rounded to a whole one, halves up
 */
record ColumnRule(
        String column,
        @Nullable String with,
        Variable variable,
        Map<List<String>, JsonNode> codes,
        Set<String> notKnown,
        BigDecimal times,
        boolean round) {
    private static final Pattern NUMBER = Pattern.compile("-?[0-9]{1,12}(\\.[0-9]{1,12})?");
    private static final JsonNodeFactory JSON = JsonNodeFactory.instance;

    /** What a cell says: an answer, "not known", nothing at all, or something the mapping has no word for. */
    record Meaning(
            @Nullable JsonNode answer,
            boolean notKnown,
            @Nullable Complaint complaint) {}

    List<String> columns() {
        return with == null ? List.of(column) : List.of(column, with);
    }

    Meaning read(List<String> columnsOfTable, CsvRows.Row row) {
        List<String> cells =
                columns().stream().map(name -> cell(columnsOfTable, row, name)).toList();
        if (cells.stream().anyMatch(notKnown::contains)) {
            return new Meaning(null, true, null);
        }
        if (cells.get(0).isEmpty() && !codes.containsKey(cells)) {
            return new Meaning(null, false, null);
        }
        Optional<JsonNode> answer = codes.isEmpty() ? plain(cells.get(0)) : Optional.ofNullable(codes.get(cells));
        return answer.map(found -> new Meaning(found, false, null)).orElseGet(() -> new Meaning(null, false, unread()));
    }

    static String cell(List<String> columnsOfTable, CsvRows.Row row, String column) {
        return row.cells().get(columnsOfTable.indexOf(column));
    }

    private Complaint unread() {
        return codes.isEmpty()
                ? new Complaint(column, variable.name(), "number", "A number with a decimal point is needed here.")
                : new Complaint(
                        column,
                        variable.name(),
                        "cell.unmapped",
                        "The mapping has no code for this cell: add it to \"codes\" or \"not_known\", or mend the"
                                + " file.");
    }

    private Optional<JsonNode> plain(String cell) {
        if (variable.type() == Variable.Type.STRING) {
            return Optional.of(JSON.stringNode(cell));
        }
        if (!NUMBER.matcher(cell).matches()) {
            return Optional.empty();
        }
        BigDecimal value = new BigDecimal(cell).multiply(times);
        if (round) {
            value = value.setScale(0, RoundingMode.HALF_UP);
        }
        boolean whole = variable.type() == Variable.Type.INTEGER
                && value.stripTrailingZeros().scale() <= 0;
        return Optional.of(whole ? JSON.numberNode(value.toBigInteger()) : JSON.numberNode(value.stripTrailingZeros()));
    }
}
