package airway.registry.aims;

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
import airway.registry.web.IfMatch;
import java.util.Map;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The aim of the API, described for programs. */
@Component
@Order(4)
class AimDescription implements ApiPart {
    private static final JsonNode FIRST = new JsonMapper().readTree("""
            {"sentence": "First-pass success from 60% to 70% by December 2027", "outcome": "fps",
             "process": ["checklist"], "balancing": ["ae_severe"]}""");

    @Override
    public void describe(ApiDocument document) {
        ObjectNode aim = document.schema("Aim");
        needed(aim, "sentence", "outcome");
        fields(aim);
        ObjectNode written = document.schema("WrittenAim");
        needed(written, "site_id", "version", "sentence", "outcome", "process", "balancing", "written_at");
        ObjectNode properties = fields(written);
        properties.putObject("version").put("type", "integer").put("minimum", 1);
        properties.putObject("written_at").put("type", "string").put("format", "date-time");

        ObjectNode read = document.operation("get", "/api/v1/aim", "readAim", "Read the aim of a unit");
        unit(read);
        header(answer(read, 200, "The version that counts.", ref("WrittenAim")), "ETag", "Its version, as \"v1\"");

        ObjectNode write = document.operation(
                "put", "/api/v1/aim", "writeAim", "Write the aim of a unit", 409, 412, 413, 415, 422, 428);
        parameter(write, "header", "If-Match", false, text().put("pattern", IfMatch.FORM), "The ETag that was read.");
        parameter(
                write,
                "header",
                "If-None-Match",
                false,
                text().put("const", "*"),
                "In its place, while nothing was written yet.");
        body(write, ref("Aim"), Map.of("first", FIRST));
        header(answer(write, 200, "A further version counts.", ref("WrittenAim")), "ETag", "Its version, as \"v2\"");
        header(answer(write, 201, "The first version is kept.", ref("WrittenAim")), "ETag", "Its version, as \"v1\"");

        ObjectNode versions =
                document.operation("get", "/api/v1/aim/versions", "listAimVersions", "List the versions of the aim");
        unit(versions);
        answer(versions, 200, "The newest first; empty while there is none.", list(ref("WrittenAim")));
    }

    private static void unit(ObjectNode operation) {
        parameter(operation, "query", "site_id", false, text(), "The unit; yours when left out.");
    }

    private static void needed(ObjectNode schema, String... names) {
        schema.put("type", "object").put("additionalProperties", false);
        ArrayNode required = schema.putArray("required");
        for (String name : names) {
            required.add(name);
        }
    }

    private static ObjectNode fields(ObjectNode schema) {
        ObjectNode properties = schema.putObject("properties");
        properties.set("site_id", text().put("description", "The unit; yours when left out."));
        properties.set(
                "sentence",
                text().put("minLength", 1)
                        .put("maxLength", Aims.LONGEST)
                        .put("description", "What is to become how much better, and by when; no names of people."));
        properties.set("outcome", measure());
        properties.set("process", list(measure()).put("maxItems", Aims.MOST).put("description", "Is the work done?"));
        properties.set(
                "balancing",
                list(measure()).put("maxItems", Aims.MOST).put("description", "Does something else get worse?"));
        return properties;
    }

    private static ObjectNode measure() {
        ObjectNode schema = text();
        ArrayNode ids = schema.putArray("enum");
        Measure.ofEncounters().stream().map(Measure::id).forEach(ids::add);
        return schema;
    }

    private static ObjectNode text() {
        return object().put("type", "string");
    }
}
