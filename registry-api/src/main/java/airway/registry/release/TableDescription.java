package airway.registry.release;

import static airway.registry.web.ApiDocument.answer;
import static airway.registry.web.ApiDocument.body;
import static airway.registry.web.ApiDocument.header;
import static airway.registry.web.ApiDocument.list;
import static airway.registry.web.ApiDocument.object;
import static airway.registry.web.ApiDocument.parameter;
import static airway.registry.web.ApiDocument.ref;

import airway.registry.cohort.Measure;
import airway.registry.web.ApiDocument;
import airway.registry.web.ApiPart;
import java.util.List;
import java.util.Map;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The tables of counts of the API, described for programs. */
@Component
@Order(4)
class TableDescription implements ApiPart {
    private static final JsonMapper JSON = new JsonMapper();
    private static final List<String> NEEDED =
            List.of("measure", "by", "from", "to", "audience", "recipient", "purpose");

    private static final JsonNode BOARD = JSON.readTree("""
            {"measure": "fps", "by": "year", "from": "2024", "to": "2025", "filters": {"encounter_kind": ["initial"]},
             "audience": "inside", "recipient": "Quality board", "purpose": "Yearly report"}""");

    @Override
    public void describe(ApiDocument document) {
        schemas(document);
        ObjectNode all = document.operation("get", "/api/v1/tables", "listTables", "List the tables that were told");
        parameter(all, "query", "site_id", false, object().put("type", "string"), "The unit; yours when left out.");
        answer(all, 200, "The newest first.", list(ref("ToldTable")));

        ObjectNode tell = document.operation(
                "post", "/api/v1/tables", "tellTable", "Tell a table, small numbers hidden", 409, 413, 415, 422);
        body(tell, ref("Table"), Map.of("board", BOARD));
        header(
                answer(
                        tell,
                        201,
                        "It is remembered. Refused with too-small or gives-away where it would tell a small number.",
                        ref("ToldTable")),
                "Location",
                "Where it is");

        ObjectNode read = document.operation("get", "/api/v1/tables/{id}", "readTable", "Read a table that was told");
        parameter(
                read,
                "query",
                "format",
                false,
                codes(List.of("csv", "json")),
                "CSV or JSON, in place of the header Accept; S stands for a hidden number.");
        answer(read, 200, "As it was told.", ref("ToldTable"));
    }

    private static void schemas(ApiDocument document) {
        ObjectNode table = document.schema("Table");
        table.put("type", "object").put("additionalProperties", false);
        needed(table, NEEDED);
        asked(table.putObject("properties"));

        ObjectNode told = document.schema("ToldTable");
        told.put("type", "object").put("additionalProperties", false);
        needed(told, NEEDED)
                .add("table_id")
                .add("site_id")
                .add("told_at")
                .add("definition")
                .add("filters")
                .add("threshold")
                .add("n")
                .add("x")
                .add("lines");
        ObjectNode properties = told.putObject("properties");
        asked(properties);
        properties.putObject("table_id").put("type", "string").put("format", "uuid");
        properties.putObject("told_at").put("type", "string").put("format", "date-time");
        properties.putObject("definition").put("type", "string");
        properties.putObject("threshold").put("type", "integer").put("description", "The smallest number told.");
        properties.putObject("n").put("type", "integer").put("description", "Cases in all.");
        number(properties, "x", "integer", "Those with the outcome in all; null where hidden.");
        ObjectNode line = properties.putObject("lines").put("type", "array").putObject("items");
        line.put("type", "object").put("additionalProperties", false);
        needed(line, List.of("codes", "label", "x", "n", "value", "lower", "upper"));
        ObjectNode parts = line.putObject("properties");
        parts.putObject("codes")
                .put("type", "array")
                .put("description", "Several where each alone has too few cases.")
                .putObject("items")
                .put("type", "string");
        parts.putObject("label").put("type", "string");
        number(parts, "x", "integer", "Cases with the outcome; null where hidden.");
        number(parts, "n", "integer", "Cases; null where only the total is told.");
        number(parts, "value", "number", "The share, from 0 to 1.");
        number(parts, "lower", "number", "Lower end of its Wilson interval.");
        number(parts, "upper", "number", "Upper end of its Wilson interval.");
    }

    private static void asked(ObjectNode properties) {
        properties
                .putObject("site_id")
                .put("type", "string")
                .put("description", "The unit; needed where you have several.");
        properties.set(
                "measure", codes(Measure.proportions().stream().map(Measure::id).toList()));
        properties.set("scheme", codes(List.of("A", "B", "C")));
        properties
                .putObject("by")
                .put("type", "string")
                .put("description", "quarter, year, or a coded variable of the first attempt.");
        for (String end : List.of("from", "to")) {
            properties
                    .putObject(end)
                    .put("type", "string")
                    .put(
                            "description",
                            "A month, quarter or year that is past, as 2025-03, 2025-Q1 or 2025; inclusive.");
        }
        properties
                .putObject("filters")
                .put("type", "object")
                .put("description", "Codes by variable; several mean any of them.")
                .putObject("additionalProperties")
                .put("type", "array")
                .putObject("items")
                .put("type", "string");
        properties.set(
                "audience",
                codes(List.of("inside", "outside"))
                        .put(
                                "description",
                                "Whether it stays in the organisation; then 5 is the smallest number, else 10."));
        text(properties, "recipient", TableForm.LONGEST_RECIPIENT, "Who is told: a body, not a person.");
        text(properties, "purpose", TableForm.LONGEST_PURPOSE, "What for; nothing about a patient.");
    }

    private static ArrayNode needed(ObjectNode schema, List<String> names) {
        ArrayNode required = schema.putArray("required");
        names.forEach(required::add);
        return required;
    }

    private static void text(ObjectNode properties, String name, int longest, String description) {
        properties
                .putObject(name)
                .put("type", "string")
                .put("minLength", 1)
                .put("maxLength", longest)
                .put("description", description);
    }

    private static void number(ObjectNode properties, String name, String type, String description) {
        ObjectNode number = properties.putObject(name);
        number.putArray("type").add(type).add("null");
        number.put("description", description);
    }

    private static ObjectNode codes(List<String> codes) {
        ObjectNode schema = object().put("type", "string");
        ArrayNode allowed = schema.putArray("enum");
        codes.forEach(allowed::add);
        return schema;
    }
}
