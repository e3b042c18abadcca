package airway.registry.imports;

import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import java.time.ZoneId;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import tools.jackson.databind.node.ObjectNode;

/**
 * What a table means in the words of the dictionary.
 *
 * @param unit the unit that the records belong to
 * @param source short name of the table, part of each record's {@code source_row}
 * @param rowKey columns that name a row; empty for its number
 * @param notKnown cells that say "asked, not known" in any column
 * @param constants answers that hold for every row, by level
 * @param columns what columns mean that belong to the patient, the encounter, the course or every attempt
 * @param absent variables the source does not tell: where they are asked they become "not known"
 * @param confirm variables whose unlikely values were looked at and are right
 * @param setups the set-ups that the records name, added where the unit lacks them
 * @param ignored columns that are left out knowingly
 */
record Mapping(
        Unit unit,
        String source,
        List<String> rowKey,
        Set<String> notKnown,
        StartRule start,
        Map<Level, ObjectNode> constants,
        List<ColumnRule> columns,
        List<AttemptRule> attempts,
        List<EventRule> events,
        List<Variable> absent,
        Set<String> confirm,
        List<ObjectNode> setups,
        Set<String> ignored) {
    private static final String SETUP = "device_setup_id";

    /** The unit as it is to be added where there is none of this code. */
    record Unit(String code, String title, String kind, ZoneId zone, boolean invented) {}

    /**
     * Compares the mapping with the columns that there are.
     *
     * @throws ImportRefused naming a column that the table lacks, or that the mapping neither uses nor ignores
     */
    void check(List<String> columnsOfTable) {
        Set<String> used = used();
        for (String column : used) {
            if (!columnsOfTable.contains(column)) {
                throw Part.refused(column, "the file has no such column");
            }
        }
        for (String column : ignored) {
            if (!columnsOfTable.contains(column)) {
                throw Part.refused("ignore/" + column, "the file has no such column");
            }
            if (used.contains(column)) {
                throw Part.refused("ignore/" + column, "the column is used and ignored at once");
            }
        }
        for (String column : columnsOfTable) {
            if (!used.contains(column) && !ignored.contains(column)) {
                throw ImportRefused.unusable("The column \"" + column
                        + "\" is neither mapped nor ignored: name it under \"columns\" or \"ignore\".");
            }
        }
    }

    /** The set-ups that rows of this mapping may name. */
    Set<String> setupsNamed() {
        Set<String> named = new LinkedHashSet<>();
        ObjectNode constant = constants.get(Level.ATTEMPT);
        if (constant != null && constant.has(SETUP)) {
            named.add(constant.path(SETUP).asString(""));
        }
        Stream.concat(columns.stream(), attempts.stream().flatMap(attempt -> attempt.columns().stream()))
                .filter(rule -> rule.variable().name().equals(SETUP))
                .forEach(rule -> rule.codes().values().forEach(id -> named.add(id.asString(""))));
        return named;
    }

    private Set<String> used() {
        Set<String> used = new LinkedHashSet<>(rowKey);
        start.column().ifPresent(used::add);
        columns.forEach(rule -> used.addAll(rule.columns()));
        for (AttemptRule attempt : attempts) {
            used.addAll(attempt.present());
            attempt.columns().forEach(rule -> used.addAll(rule.columns()));
        }
        events.forEach(event -> used.add(event.column()));
        return used;
    }
}
