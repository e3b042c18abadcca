package airway.registry.research;

import airway.registry.dictionary.Code;
import airway.registry.dictionary.Dictionary;
import airway.stats.disclosure.Generalisation;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Pattern;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVPrinter;

/**
 * The rows that leave, coarse, and in the order of their values: an order of time or of keys would tell something.
 *
 * @param columns what each value means
 * @param leftOut titles of variables that were asked for and are told nowhere
 */
record Released(List<Column> columns, List<String> leftOut, List<List<String>> rows) {
    /** Nothing that a spreadsheet would take for a formula, and nothing that was typed. */
    private static final Pattern SAFE = Pattern.compile("|[A-Za-z0-9<][A-Za-z0-9 ._<+-]*");

    /**
     * A column.
     *
     * @param how how coarse it is told, in words
     * @param ordered whether its values have an order
     * @param values the values that stand in it, with their words, those for "no value" left out
     */
    record Column(
            String name,
            String title,
            String description,
            String source,
            String how,
            boolean ordered,
            List<Code> values) {}

    static Released of(Coarsening coarsening, Generalisation found, List<Answer> answers) {
        List<Integer> told = new ArrayList<>();
        List<String> leftOut = new ArrayList<>();
        for (int i = 0; i < coarsening.variables().size(); i++) {
            boolean last = found.levels().get(i) + 1
                    == coarsening.rows().get(0).levels().get(i).size();
            if (last) {
                leftOut.add(coarsening.variables().get(i).title());
            } else {
                told.add(i);
            }
        }
        List<List<String>> rows = rows(coarsening, found, told, answers);
        List<Column> columns = new ArrayList<>();
        for (int number : told) {
            columns.add(column(coarsening, found, number, values(rows, columns.size())));
        }
        for (Answer answer : answers) {
            columns.add(column(answer, values(rows, columns.size())));
        }
        return new Released(columns, leftOut, rows);
    }

    private static List<List<String>> rows(
            Coarsening coarsening, Generalisation found, List<Integer> told, List<Answer> answers) {
        Set<Integer> removed = new HashSet<>(found.removed());
        List<List<String>> rows = new ArrayList<>();
        for (int i = 0; i < coarsening.allowed().size(); i++) {
            if (removed.contains(i)) {
                continue;
            }
            List<String> row = new ArrayList<>();
            for (int number : told) {
                row.add(coarsening
                        .rows()
                        .get(i)
                        .levels()
                        .get(number)
                        .get(found.levels().get(number)));
            }
            for (Answer answer : answers) {
                String value = coarsening.allowed().get(i).answers().get(answer.place());
                boolean rare = coarsening
                        .rare()
                        .getOrDefault(answer.variable(), Set.of())
                        .contains(value);
                row.add(rare ? Coarsening.OTHER : value);
            }
            row.forEach(Released::check);
            rows.add(row);
        }
        rows.sort(Comparator.comparing(row -> String.join("\u0000", row)));
        return rows;
    }

    private static void check(String value) {
        if (!SAFE.matcher(value).matches()) {
            throw new IllegalStateException("a value that must not leave");
        }
    }

    private static Set<String> values(List<List<String>> rows, int column) {
        Set<String> values = new TreeSet<>();
        rows.forEach(row -> values.add(row.get(column)));
        values.removeIf(Missing::is);
        return values;
    }

    private static Column column(Coarsening coarsening, Generalisation found, int number, Set<String> values) {
        KnownVariable variable = coarsening.variables().get(number);
        int level = found.levels().get(number) + Coarsening.finest(coarsening.profile(), variable);
        return new Column(
                variable.variable(),
                variable.title(),
                Dictionary.current().variable(variable.variable()).description(),
                Dictionary.current().variable(variable.variable()).source(),
                coarsening.toldAs(found, number),
                variable.ordered(),
                inOrder(variable.inOrder(level), values).stream()
                        .map(value -> new Code(value, variable.label(value)))
                        .toList());
    }

    private static Column column(Answer answer, Set<String> values) {
        return new Column(
                answer.variable(),
                answer.title(),
                answer.description(),
                answer.source(),
                answer.grouped()
                        ? "as recorded, what few children have as other"
                        : answer.bands().isEmpty() ? "yes or no" : "bands",
                !answer.bands().isEmpty(),
                inOrder(answer.bands(), values).stream()
                        .map(value -> new Code(value, answer.label(value)))
                        .toList());
    }

    private static List<String> inOrder(List<String> known, Set<String> values) {
        List<String> order = new ArrayList<>(values);
        order.sort(Comparator.comparingInt(value -> known.contains(value) ? known.indexOf(value) : known.size()));
        return order;
    }

    /** As CSV (RFC 4180) with a line of names, in UTF-8; the stream stays open. */
    void write(OutputStream out) throws IOException {
        Writer writer = new OutputStreamWriter(out, StandardCharsets.UTF_8);
        CSVPrinter csv = new CSVPrinter(writer, CSVFormat.RFC4180);
        csv.printRecord(columns.stream().map(Column::name).toList());
        for (List<String> row : rows) {
            csv.printRecord(row);
        }
        csv.flush();
    }

    /** The same rows as Apache Parquet; the stream stays open. */
    void writeParquet(OutputStream out) throws IOException {
        ParquetRows.write(out, columns.stream().map(Column::name).toList(), rows);
    }
}
