package airway.registry.imports;

import airway.registry.access.Site;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import airway.registry.encounter.DeviceSetup;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/**
 * A table to fill in, and the mapping that reads it: one column for each question that every record is asked, cells
 * are the codes of the codebook. Made from the dictionary and the set-ups of the unit.
 */
final class Template {
    private static final JsonMapper JSON = new JsonMapper();
    private static final String SETUP = "device_setup_id";
    private static final List<Level> WHOLE = List.of(Level.PATIENT, Level.ENCOUNTER, Level.COURSE);
    private static final int ATTEMPTS = 3;

    /** Invented: an infant intubated at the first attempt, and a child at the second, whose heart slowed. */
    private static final List<Map<String, String>> EXAMPLES = List.of(
            Map.ofEntries(
                    Map.entry("row", "1"),
                    Map.entry("encounter_start", "2025-03-02 14:05"),
                    Map.entry("encounter_kind", "initial"),
                    Map.entry("location", "picu"),
                    Map.entry("age_days", "213"),
                    Map.entry("age_precision", "months"),
                    Map.entry("weight_kg", "7.4"),
                    Map.entry("urgency", "urgent"),
                    Map.entry("adverse_event_any", "no"),
                    Map.entry("course_approach", "oral"),
                    Map.entry("spo2_best_before", "99"),
                    Map.entry("attempt1_operator_grade", "senior"),
                    Map.entry("attempt1_tube_passes", "1"),
                    Map.entry("attempt1_spo2_lowest", "94"),
                    Map.entry("attempt1_attempt_success", "yes")),
            Map.ofEntries(
                    Map.entry("row", "2"),
                    Map.entry("encounter_start", "2025-03-09 03:40"),
                    Map.entry("encounter_kind", "initial"),
                    Map.entry("location", "picu"),
                    Map.entry("age_days", "1461"),
                    Map.entry("age_precision", "years"),
                    Map.entry("weight_kg", "?"),
                    Map.entry("urgency", "emergency"),
                    Map.entry("adverse_event_any", "yes"),
                    Map.entry("course_approach", "oral"),
                    Map.entry("spo2_best_before", "96"),
                    Map.entry("attempt1_operator_grade", "junior"),
                    Map.entry("attempt1_tube_passes", "0"),
                    Map.entry("attempt1_spo2_lowest", "81"),
                    Map.entry("attempt1_attempt_success", "no"),
                    Map.entry("attempt1_failure_reason", "no_view"),
                    Map.entry("attempt2_operator_grade", "specialist"),
                    Map.entry("attempt2_tube_passes", "1"),
                    Map.entry("attempt2_spo2_lowest", "90"),
                    Map.entry("attempt2_attempt_success", "yes"),
                    Map.entry("event_bradycardia", "1")));

    private final Site site;
    private final List<String> setups;

    Template(Site site, List<DeviceSetup> setups) {
        this.site = site;
        this.setups = setups.stream().map(DeviceSetup::id).toList();
    }

    /** The names of the columns alone, so that nothing invented is ever taken in by mistake. */
    String header() {
        return String.join(",", columns()) + "\r\n";
    }

    /** The same with two invented rows, to see what cells look like. */
    String example() {
        StringBuilder csv = new StringBuilder(header());
        for (Map<String, String> row : EXAMPLES) {
            csv.append(String.join(
                            ",",
                            columns().stream()
                                    .map(column -> row.getOrDefault(column, ""))
                                    .toList()))
                    .append("\r\n");
        }
        return csv.toString();
    }

    /** The mapping for a table of these columns. */
    String mapping() {
        ObjectNode mapping = JSON.createObjectNode();
        mapping.put("about", "For a table made from the template; cells are the codes of the codebook.");
        mapping.putObject("site")
                .put("site_id", site.code())
                .put("title", site.title())
                .put("site_kind", site.kind())
                .put("zone", site.zone().getId())
                .put("invented", site.invented());
        mapping.put("source", "old records");
        mapping.putArray("row_key").add("row");
        mapping.putArray("not_known").add("?");
        mapping.putObject("encounter_start").put("column", "encounter_start").put("format", "yyyy-MM-dd HH:mm");
        ObjectNode columns = mapping.putObject("columns");
        WHOLE.forEach(level -> asked(level).forEach(variable -> rule(columns, variable.name(), variable)));
        for (int number = 1; number <= ATTEMPTS; number++) {
            ObjectNode attempt = mapping.withArray("attempts").addObject();
            String prefix = prefix(number);
            if (number > 1) {
                attempt.put("present", prefix + "attempt_success");
            }
            ObjectNode ofAttempt = attempt.putObject("columns");
            asked(Level.ATTEMPT).forEach(variable -> rule(ofAttempt, prefix + variable.name(), variable));
        }
        ObjectNode events = mapping.putObject("events");
        events().forEach((column, code) -> {
            ObjectNode rule = events.putObject(column);
            rule.putArray("yes").add("1");
            rule.putArray("no").add("0");
            rule.putObject("event").put("event_type", code);
        });
        return JSON.writerWithDefaultPrettyPrinter().writeValueAsString(mapping) + "\n";
    }

    private void rule(ObjectNode columns, String column, Variable variable) {
        ObjectNode rule = columns.putObject(column).put("to", variable.name());
        List<String> codes = variable.name().equals(SETUP)
                ? setups
                : variable.codes().stream().map(code -> code.value()).toList();
        if (!codes.isEmpty()) {
            ObjectNode same = rule.putObject("codes");
            codes.forEach(code -> same.put(code, code));
        }
    }

    private List<String> columns() {
        List<String> columns = new ArrayList<>(List.of("row", "encounter_start"));
        WHOLE.forEach(level -> asked(level).map(Variable::name).forEach(columns::add));
        for (int number = 1; number <= ATTEMPTS; number++) {
            String prefix = prefix(number);
            asked(Level.ATTEMPT).map(variable -> prefix + variable.name()).forEach(columns::add);
        }
        columns.addAll(events().keySet());
        return columns;
    }

    /** What every record is asked; a unit without set-ups cannot name one. */
    private Stream<Variable> asked(Level level) {
        return Dictionary.current().variables(level).stream()
                .filter(variable -> variable.layer() == Layer.FIRST)
                .filter(variable -> !variable.name().equals("encounter_start"))
                .filter(variable -> !setups.isEmpty() || !variable.name().equals(SETUP));
    }

    private static String prefix(int attempt) {
        return "attempt" + attempt + "_";
    }

    /** Columns for what happened, with the code of each. */
    private static Map<String, String> events() {
        Map<String, String> events = new LinkedHashMap<>();
        Dictionary.current()
                .variable("event_type")
                .codes()
                .forEach(code -> events.put("event_" + code.value(), code.value()));
        return events;
    }
}
