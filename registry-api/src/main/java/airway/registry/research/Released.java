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
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Pattern;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVPrinter;
import org.jspecify.annotations.Nullable;

/**
 * The rows that leave, coarse, and in the order of their values: an order of time or of keys would tell something.
 *
 * @param columns what each value means
 * @param leftOut titles of variables that were asked for and are told nowhere
 */
record Released(List<Column> columns, List<String> leftOut, List<List<String>> rows) {
    /** Nothing that a spreadsheet would take for a formula, and nothing that was typed. */
    private static final Pattern SAFE = Pattern.compile("|[A-Za-z0-9<][A-Za-z0-9 ._<+-]*");

    /** How a day is told that is shifted. */
    static final String SHIFTED = "days, earlier by up to a year, by the same number for all of one child";

    private static final String TEXT = "string";
    private static final String OWN_RULES = "the registry's own rules of privacy";
    private static final Column CHILD = new Column(
            "patient_code",
            TEXT,
            "Child",
            "A pseudonym of the child for this package alone. Rows of one child have the same one where its hospital number is"
                    + " known to the registry; else each row has its own.",
            OWN_RULES,
            "a pseudonym, made with a key of this package",
            false,
            List.of());

    /**
     * A column.
     *
     * @param type as Table Schema names it
     * @param how how coarse it is told, in words
     * @param ordered whether its values have an order
     * @param values the values that stand in it, with their words, those for "no value" left out
     */
    record Column(
            String name,
            String type,
            String title,
            String description,
            String source,
            String how,
            boolean ordered,
            List<Code> values) {}

    /**
     * Makes the rows.
     *
     * @param pseudonyms of the package; null where its rows carry none
     */
    static Released of(Coarsening coarsening, Generalisation found, @Nullable Pseudonyms pseudonyms) {
        Choice choice = coarsening.choice();
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
        List<List<String>> rows = rows(coarsening, found, told, pseudonyms);
        List<Column> columns = new ArrayList<>();
        if (pseudonyms != null) {
            columns.add(CHILD);
            if (choice.shifted()) {
                columns.add(shifted());
            }
        }
        for (int number : told) {
            columns.add(column(coarsening, found, number, values(rows, columns.size())));
        }
        for (Answer answer : choice.answers()) {
            columns.add(column(answer, values(rows, columns.size())));
        }
        return new Released(columns, leftOut, rows);
    }

    private static List<List<String>> rows(
            Coarsening coarsening, Generalisation found, List<Integer> told, @Nullable Pseudonyms pseudonyms) {
        Choice choice = coarsening.choice();
        Set<Integer> removed = new HashSet<>(found.removed());
        Map<String, String> names = pseudonyms == null ? Map.of() : names(coarsening.allowed());
        Map<List<String>, List<String>> shared = new HashMap<>();
        List<List<String>> rows = new ArrayList<>();
        for (int i = 0; i < coarsening.allowed().size(); i++) {
            if (removed.contains(i)) {
                continue;
            }
            Candidate one = coarsening.allowed().get(i);
            List<String> row = new ArrayList<>();
            if (pseudonyms != null) {
                String name = names.getOrDefault(one.patient(), "");
                row.add(pseudonyms.patient(name));
                if (choice.shifted()) {
                    row.add(
                            one.day() == null
                                    ? Missing.UNKNOWN
                                    : pseudonyms.shifted(name, one.day()).toString());
                }
            }
            for (int number : told) {
                row.add(coarsening
                        .rows()
                        .get(i)
                        .levels()
                        .get(number)
                        .get(found.levels().get(number)));
            }
            for (Answer answer : choice.answers()) {
                String value = one.answers().get(answer.place());
                boolean rare = coarsening
                        .rare()
                        .getOrDefault(answer.variable(), Set.of())
                        .contains(value);
                row.add(rare ? Coarsening.OTHER : value);
            }
            rows.add(shared.computeIfAbsent(row, Released::checked));
        }
        rows.sort(Released::inOrder);
        return rows;
    }

    /**
     * By what the records of a child share: the first key of them. What they share is made with a key of the registry and changes with
     * that key; the keys of the records never do.
     */
    private static Map<String, String> names(List<Candidate> records) {
        Map<String, String> names = new HashMap<>();
        for (Candidate one : records) {
            names.merge(
                    one.patient(),
                    one.encounter().toString(),
                    (first, other) -> first.compareTo(other) <= 0 ? first : other);
        }
        return names;
    }

    private static int inOrder(List<String> one, List<String> other) {
        for (int i = 0; i < one.size(); i++) {
            int order = one.get(i).compareTo(other.get(i));
            if (order != 0) {
                return order;
            }
        }
        return 0;
    }

    private static List<String> checked(List<String> row) {
        row.forEach(Released::check);
        return List.copyOf(row);
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

    private static Column shifted() {
        KnownVariable variable = KnownVariable.ENCOUNTER_START;
        return new Column(
                variable.variable(),
                "date",
                variable.title(),
                "The day, earlier by a number of days that is the same for all rows of a child and is kept nowhere. Time between"
                        + " two rows of a child is as it was; season and day of the week tell nothing.",
                OWN_RULES,
                SHIFTED,
                true,
                List.of());
    }

    private static Column column(Coarsening coarsening, Generalisation found, int number, Set<String> values) {
        KnownVariable variable = coarsening.variables().get(number);
        int level = found.levels().get(number) + Coarsening.finest(coarsening.profile(), variable);
        return new Column(
                variable.variable(),
                TEXT,
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
                TEXT,
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

    /**
     * As CSV (RFC 4180) with a line of names, in UTF-8; the stream stays open.
     *
     * @param each runs after every row
     */
    void write(OutputStream out, Runnable each) throws IOException {
        Writer writer = new OutputStreamWriter(out, StandardCharsets.UTF_8);
        CSVPrinter csv = new CSVPrinter(writer, CSVFormat.RFC4180);
        csv.printRecord(columns.stream().map(Column::name).toList());
        for (List<String> row : rows) {
            csv.printRecord(row);
            each.run();
        }
        csv.flush();
    }

    /** The same rows as Apache Parquet; the stream stays open. */
    void writeParquet(OutputStream out) throws IOException {
        ParquetRows.write(out, columns.stream().map(Column::name).toList(), rows);
    }
}
