package airway.registry.encounter;

import static airway.registry.web.ApiDocument.list;
import static airway.registry.web.ApiDocument.object;
import static airway.registry.web.ApiDocument.ref;

import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import airway.registry.web.ApiDocument;
import java.util.EnumSet;
import java.util.Set;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** What a record may hold, as JSON Schema: made from the same dictionary by which {@link JsonAnswers} reads it. */
final class RecordSchema {
    /** Date, time and offset as ISO 8601 has them; whether there is such a day is checked on reading. */
    private static final String INSTANT =
            "^[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt][0-9]{2}:[0-9]{2}(:[0-9]{2}(\\.[0-9]{1,9})?)?([Zz]|[+-][0-9]{2}:[0-9]{2}(:[0-9]{2})?)$";

    private static final String NO_CONTROL = "^[^\\u0000-\\u001F\\u007F-\\u009F]*$";

    private RecordSchema() {}

    static void add(ApiDocument document) {
        level(document.schema("Patient"), Level.PATIENT, Set.of());
        level(document.schema("Drug"), Level.DRUG, Set.of("drug_agent"));
        level(document.schema("Attempt"), Level.ATTEMPT, Set.of("attempt_success"));
        level(document.schema("Event"), Level.EVENT, Set.of("event_type"));
        ObjectNode course = level(document.schema("Course"), Level.COURSE, Set.of("course_approach"));
        rows(course, "drugs", "Drug", EncounterForm.MOST_ROWS);
        rows(course, "attempts", "Attempt", EncounterForm.MOST_ATTEMPTS);
        ObjectNode record =
                level(document.schema("Record"), Level.ENCOUNTER, Set.of("encounter_kind", "encounter_start"));
        parts(record);
        ObjectNode amended =
                level(document.schema("AmendedRecord"), Level.ENCOUNTER, Set.of("encounter_kind", "encounter_start"));
        parts(amended);
        amended.set("amendment", ref("Amendment"));
        ((ArrayNode) document.schemas().path("AmendedRecord").path("required")).add("amendment");
        reason(document.schema("Amendment"), Reason.Code.TO_AMEND);
        reason(document.schema("Withdrawal"), Reason.Code.TO_WITHDRAW);
        reason(document.schema("Reason"), EnumSet.allOf(Reason.Code.class));
        ObjectNode setup = level(document.schema("DeviceSetup"), Level.DEVICE_SETUP, Set.of());
        setup.set("site_id", object().put("type", "string"));
        setup.putObject("device_setup_id")
                .put("description", "Its key; made from the title when left out.")
                .put("type", "string")
                .put("pattern", "^[a-z0-9][a-z0-9_-]{0,63}$");
        setup.putObject("title")
                .put("description", "What it is called on the screens of the unit, without names of makers.")
                .put("type", "string")
                .put("minLength", 1)
                .put("maxLength", DeviceSetups.LONGEST_TITLE)
                .put("pattern", NO_CONTROL);
        document.schemas()
                .withObjectProperty("DeviceSetup")
                .putArray("required")
                .add("title");
        kept(document);
    }

    private static void parts(ObjectNode record) {
        type(record.putObject("site_id").put("description", "The unit; yours when left out."), "string")
                .put("pattern", "^[a-z][a-z0-9_-]{1,31}$");
        ObjectNode patient = record.putObject("patient");
        patient.putArray("anyOf").add(ref("Patient")).addObject().put("type", "null");
        rows(record, "courses", "Course", EncounterForm.MOST_COURSES);
        rows(record, "events", "Event", EncounterForm.MOST_ROWS);
        ObjectNode confirmed = record.putObject("confirmed")
                .put("description", "JSON pointers of odd answers of this record that were looked at and are right.");
        type(confirmed, "array");
        confirmed
                .put("maxItems", EncounterForm.MOST_CONFIRMED)
                .putObject("items")
                .put("type", "string")
                .put("pattern", "^/")
                .put("maxLength", 200);
    }

    private static void rows(ObjectNode properties, String name, String schema, int most) {
        ObjectNode rows = properties.putObject(name);
        type(rows, "array");
        rows.put("maxItems", most).set("items", ref(schema));
    }

    /** The properties of one level; the names in {@code needed} must be answered. */
    private static ObjectNode level(ObjectNode schema, Level level, Set<String> needed) {
        schema.put("type", "object").put("additionalProperties", false);
        if (!needed.isEmpty()) {
            ArrayNode required = schema.putArray("required");
            needed.stream().sorted().forEach(required::add);
        }
        ObjectNode properties = schema.putObject("properties");
        ArrayNode names = object().putArray("enum");
        for (Variable variable : Dictionary.current().variables(level)) {
            if (variable.layer() == Layer.SYSTEM) {
                continue;
            }
            properties.set(variable.name(), variable(variable, needed.contains(variable.name())));
            if (!variable.hasOwnUnknown() && !JsonAnswers.NOT_KEPT.contains(variable.name())) {
                names.add(variable.name());
            }
        }
        if (!names.isEmpty()) {
            ObjectNode unknown = properties.putObject("unknown").put("description", "Asked, and not known.");
            type(unknown, "array");
            unknown.putObject("items").set("enum", names);
        }
        return properties;
    }

    private static ObjectNode variable(Variable variable, boolean needed) {
        ObjectNode schema = object();
        schema.put("title", variable.title()).put("description", variable.description());
        if (variable.unit() != null) {
            schema.put("x-unit", variable.unit());
        }
        if (!variable.when().toString().isEmpty()) {
            schema.put("x-asked-when", variable.when().toString());
        }
        if (variable.soft().minimum() != null || variable.soft().maximum() != null) {
            schema.put("x-usual", variable.soft().words());
        }
        if (JsonAnswers.NOT_KEPT.contains(variable.name())) {
            return schema.put("type", "null").put("$comment", "not kept yet");
        }
        switch (variable.type()) {
            case INTEGER, NUMBER -> {
                type(schema, variable.type() == Variable.Type.INTEGER ? "integer" : "number");
                if (variable.hard().minimum() != null) {
                    schema.put("minimum", variable.hard().minimum());
                }
                if (variable.hard().maximum() != null) {
                    schema.put("maximum", variable.hard().maximum());
                }
                if (variable.type() == Variable.Type.NUMBER) {
                    schema.put("multipleOf", JsonAnswers.SMALLEST);
                }
            }
            case LIST -> {
                type(schema, "array");
                if (!variable.coded()) {
                    schema.put("uniqueItems", true)
                            .put("maxItems", JsonAnswers.MOST_LINES)
                            .putObject("items")
                            .put("type", "string")
                            .put("minLength", 1)
                            .put("maxLength", JsonAnswers.LONGEST_LINE)
                            .put("pattern", NO_CONTROL);
                    return schema;
                }
                codes(schema.put("uniqueItems", true).putObject("items"), variable);
                ArrayNode alone = schema.putArray("allOf");
                for (String code : JsonAnswers.ALONE) {
                    if (variable.code(code).isPresent()) {
                        ObjectNode rule = alone.addObject();
                        rule.putObject("if")
                                .put("type", "array")
                                .putObject("contains")
                                .put("const", code);
                        rule.putObject("then").put("maxItems", 1);
                    }
                }
                if (alone.isEmpty()) {
                    schema.remove("allOf");
                }
            }
            case DATE, DATETIME -> {
                if (needed) {
                    schema.put("type", "string");
                } else {
                    type(schema, "string");
                }
                schema.put("format", "date-time").put("pattern", INSTANT);
            }
            case STRING -> {
                if (variable.coded()) {
                    codes(schema, variable);
                    if (!needed) {
                        ((ArrayNode) schema.path("enum")).addNull();
                    }
                } else {
                    type(schema, "string");
                    schema.put("minLength", 1)
                            .put("maxLength", JsonAnswers.LONGEST_TEXT)
                            .put("pattern", NO_CONTROL);
                }
            }
        }
        return schema;
    }

    private static void codes(ObjectNode schema, Variable variable) {
        ArrayNode codes = schema.putArray("enum");
        ObjectNode labels = schema.putObject("x-labels");
        variable.codes().forEach(code -> {
            codes.add(code.value());
            labels.put(code.value(), code.label());
        });
    }

    /** A type, or null for blank. */
    private static ObjectNode type(ObjectNode schema, String type) {
        schema.putArray("type").add(type).add("null");
        return schema;
    }

    private static void reason(ObjectNode schema, Set<Reason.Code> fitting) {
        schema.put("type", "object").put("additionalProperties", false);
        schema.putArray("required").add("reason_code");
        ObjectNode properties = schema.putObject("properties");
        ArrayNode codes = properties.putObject("reason_code").putArray("enum");
        fitting.stream().sorted().forEach(code -> codes.add(code.value()));
        type(properties.putObject("reason_text"), "string")
                .put("description", "More about the reason, on one line, with nothing about the patient.")
                .put("minLength", 1)
                .put("maxLength", Reason.LONGEST);
    }

    /** What comes back. */
    private static void kept(ApiDocument document) {
        ObjectNode kept = document.schema("KeptRecord");
        kept.put("type", "object")
                .put("description", "The record as it was sent, blanks left out, and what the registry adds.");
        ObjectNode properties = kept.putObject("properties");
        properties.putObject("encounter_id").put("type", "string").put("format", "uuid");
        properties.putObject("version").put("type", "integer").put("minimum", 1);
        ArrayNode states = properties.putObject("status").putArray("enum");
        states.add("preliminary").add("final").add("amended").add("entered-in-error");
        properties.putObject("recorded_at").put("type", "string").put("format", "date-time");
        properties.putObject("dictionary_version").put("type", "string");
        properties.set("amendment", ref("Reason"));
        ObjectNode incomplete = list(object().put("type", "string"));
        properties.set(
                "incomplete", incomplete.put("description", "JSON pointers of questions that are asked and open."));
        ObjectNode derived = properties.putObject("derived").put("type", "object");
        ObjectNode worked = derived.putObject("properties");
        for (String measure :
                Set.of("fps", "fps_strict", "fps_clean").stream().sorted().toList()) {
            worked.putObject(measure).putArray("enum").add("yes").add("no").add("excluded");
        }
        type(worked.putObject("tracheal_attempts"), "integer");
        type(worked.putObject("spo2_lowest"), "integer");
        worked.putObject("age_band").put("type", "string");
        ArrayNode required = kept.putArray("required");
        properties.propertyNames().stream()
                .filter(name -> !name.equals("amendment"))
                .forEach(required::add);
        ObjectNode line = document.schema("Version");
        line.put("type", "object");
        ObjectNode of = line.putObject("properties");
        of.putObject("version").put("type", "integer");
        of.putObject("status").put("type", "string");
        of.putObject("written_at").put("type", "string").put("format", "date-time");
        of.set("amendment", ref("Reason"));
    }
}
