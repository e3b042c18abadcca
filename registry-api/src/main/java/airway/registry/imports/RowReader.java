package airway.registry.imports;

import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.JsonNodeFactory;
import tools.jackson.databind.node.ObjectNode;

/** Turns one row into the body of a record, and remembers which column each answer came from. */
final class RowReader {
    private static final JsonNodeFactory JSON = JsonNodeFactory.instance;
    private static final int LONGEST_KEY = 200;

    private final Mapping mapping;
    private final List<String> columns;
    private final CsvRows.Row row;
    private final Map<String, ObjectNode> setups;
    private final Map<String, String> origins = new HashMap<>();
    private final List<Complaint> complaints = new ArrayList<>();
    private final Set<String> notKnown = new TreeSet<>();

    private RowReader(Mapping mapping, List<String> columns, CsvRows.Row row, Map<String, ObjectNode> setups) {
        this.mapping = mapping;
        this.columns = columns;
        this.row = row;
        this.setups = setups;
    }

    /**
     * A row as a record that may be kept.
     *
     * @param sourceRow name of the source and key of the row
     * @param origins columns by pointer into the body
     * @param complaints what the mapping could not read; the row is kept only if there is none
     * @param notKnown variables left "not known"
     */
    record Made(
            ObjectNode body,
            String sourceRow,
            Map<String, String> origins,
            List<Complaint> complaints,
            Set<String> notKnown) {

        /** The column behind a pointer or behind the object it lies in; the pointer itself where there is none. */
        String origin(String pointer) {
            for (String at = pointer; !at.isEmpty(); at = at.substring(0, at.lastIndexOf('/'))) {
                String column = origins.get(at);
                if (column != null) {
                    return column;
                }
            }
            return pointer;
        }
    }

    static Made read(Mapping mapping, List<String> columns, CsvRows.Row row, Map<String, ObjectNode> setups) {
        RowReader reader = new RowReader(mapping, columns, row, setups);
        if (row.cells().size() != columns.size()) {
            Complaint ragged = new Complaint(
                    "",
                    "",
                    "row.ragged",
                    "The row has " + row.cells().size() + " cells and the file " + columns.size() + " columns.");
            return new Made(JSON.objectNode(), "", Map.of(), List.of(ragged), Set.of());
        }
        for (int i = 0; i < columns.size(); i++) {
            if (row.cells().get(i).contains(CsvRows.UNREADABLE)) {
                Complaint garbled = new Complaint(
                        columns.get(i),
                        "",
                        "row.encoding",
                        "The cell is not UTF-8; save the file again in that encoding.");
                return new Made(JSON.objectNode(), "", Map.of(), List.of(garbled), Set.of());
            }
        }
        ObjectNode body = reader.body();
        return new Made(body, reader.sourceRow(), reader.origins, reader.complaints, reader.notKnown);
    }

    private String sourceRow() {
        List<String> key = mapping.rowKey().isEmpty()
                ? List.of(String.valueOf(row.number()))
                : mapping.rowKey().stream().map(this::cell).toList();
        String sourceRow = mapping.source() + ":" + String.join("|", key);
        if (key.stream().anyMatch(String::isEmpty)
                || sourceRow.length() > LONGEST_KEY
                || sourceRow.chars().anyMatch(Character::isISOControl)) {
            complaints.add(new Complaint(
                    String.join(" ", mapping.rowKey()),
                    "",
                    "row.key",
                    "The key of a row needs 1 to 200 characters on one line, the source's name included."));
        }
        return sourceRow;
    }

    private ObjectNode body() {
        ObjectNode body = constant(Level.ENCOUNTER);
        ObjectNode patient = constant(Level.PATIENT);
        ObjectNode course = constant(Level.COURSE);
        body.put("site_id", mapping.unit().code());
        start(body);
        fill(mapping.columns(), Level.ENCOUNTER, body, "");
        fill(mapping.columns(), Level.PATIENT, patient, "/patient");
        fill(mapping.columns(), Level.COURSE, course, "/courses/0");
        List<ObjectNode> attempts = attempts();
        events(body);
        absent(body, new Asked(List.of(body, patient), attempts), Level.ENCOUNTER);
        absent(patient, new Asked(List.of(patient, body), attempts), Level.PATIENT);
        absent(course, new Asked(List.of(course, body, patient), attempts), Level.COURSE);
        for (ObjectNode attempt : attempts) {
            ObjectNode setup =
                    setups.getOrDefault(attempt.path("device_setup_id").asString(""), JSON.objectNode());
            absent(attempt, new Asked(List.of(attempt, setup, body, patient), attempts), Level.ATTEMPT);
        }
        body.set("patient", patient);
        course.putArray("attempts").addAll(attempts);
        body.putArray("courses").add(course);
        return body;
    }

    private ObjectNode constant(Level level) {
        ObjectNode constant = mapping.constants().get(level);
        return constant == null ? JSON.objectNode() : constant.deepCopy();
    }

    private void start(ObjectNode body) {
        StartRule rule = mapping.start();
        String precision = rule.precision();
        if (precision != null) {
            body.put("encounter_start_precision", precision);
        }
        Optional<OffsetDateTime> start = rule instanceof StartRule.Nominal nominal
                ? Optional.of(nominal.of(row.number()))
                : ((StartRule.Read) rule).of(cell(rule.column().orElseThrow()));
        rule.column().ifPresent(column -> origins.put("/encounter_start", column));
        start.ifPresentOrElse(
                at -> body.put("encounter_start", at.toString()),
                () -> complaints.add(new Complaint(
                        rule.column().orElse(""),
                        "encounter_start",
                        "datetime",
                        "A date in the format of the mapping is needed here.")));
    }

    private List<ObjectNode> attempts() {
        List<ObjectNode> attempts = new ArrayList<>();
        boolean ended = false;
        for (AttemptRule rule : mapping.attempts()) {
            boolean there = rule.present().isEmpty() || rule.present().stream().anyMatch(this::filled);
            if (there && ended) {
                complaints.add(new Complaint(
                        rule.present().get(0), "", "attempt.gap", "There is an attempt here but none before it."));
            }
            ended |= !there;
            if (there) {
                String pointer = "/courses/0/attempts/" + attempts.size();
                ObjectNode attempt = constant(Level.ATTEMPT);
                fill(mapping.columns(), Level.ATTEMPT, attempt, pointer);
                fill(rule.columns(), Level.ATTEMPT, attempt, pointer);
                attempts.add(attempt);
            }
        }
        return attempts;
    }

    private void events(ObjectNode body) {
        ArrayNode events = body.putArray("events");
        for (EventRule rule : mapping.events()) {
            String cell = cell(rule.column());
            if (rule.yes().contains(cell)) {
                origins.put("/events/" + events.size(), rule.column());
                events.add(rule.event().deepCopy());
            } else if (filled(rule.column()) && !rule.no().contains(cell)) {
                complaints.add(new Complaint(
                        rule.column(),
                        "event_type",
                        "cell.unmapped",
                        "The mapping has this cell neither under \"yes\" nor \"no\"."));
            }
        }
    }

    private void fill(List<ColumnRule> rules, Level level, ObjectNode object, String pointer) {
        for (ColumnRule rule : rules) {
            if (rule.variable().level() != level) {
                continue;
            }
            String name = rule.variable().name();
            origins.put(pointer + "/" + name, rule.column());
            ColumnRule.Meaning meaning = rule.read(columns, row);
            JsonNode answer = meaning.answer();
            if (meaning.complaint() != null) {
                complaints.add(meaning.complaint());
            } else if (meaning.notKnown()) {
                notKnown(object, rule.variable());
            } else if (answer != null && answer.isArray()) {
                tick(object, name, answer);
            } else if (answer != null) {
                object.set(name, answer);
            }
        }
    }

    /** Several columns may tick codes of one list. */
    private static void tick(ObjectNode object, String name, JsonNode codes) {
        ArrayNode ticked = object.path(name) instanceof ArrayNode there ? there : JSON.arrayNode();
        for (JsonNode code : codes) {
            if (ticked.values().stream().noneMatch(code::equals)) {
                ticked.add(code);
            }
        }
        if (!ticked.isEmpty()) {
            object.set(name, ticked);
        }
    }

    private void absent(ObjectNode object, Asked asked, Level level) {
        for (Variable variable : mapping.absent()) {
            if (variable.level() == level && !settled(object, variable) && asked.asks(variable)) {
                notKnown(object, variable);
            }
        }
    }

    private static boolean settled(ObjectNode object, Variable variable) {
        return object.has(variable.name())
                || (object.path("unknown") instanceof ArrayNode unknown
                        && unknown.values().stream()
                                .anyMatch(name -> name.asString("").equals(variable.name())));
    }

    private void notKnown(ObjectNode object, Variable variable) {
        notKnown.add(variable.name());
        if (variable.hasOwnUnknown()) {
            object.put(variable.name(), "unk");
        } else if (!settled(object, variable)) {
            object.withArray("unknown").add(variable.name());
        }
    }

    private boolean filled(String column) {
        String cell = cell(column);
        return !cell.isEmpty() && !mapping.notKnown().contains(cell);
    }

    private String cell(String column) {
        return ColumnRule.cell(columns, row, column);
    }
}
