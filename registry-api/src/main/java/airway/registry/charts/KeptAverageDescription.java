package airway.registry.charts;

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
import java.util.List;
import java.util.Map;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The kept averages of the API, described for programs. */
@Component
@Order(4)
class KeptAverageDescription implements ApiPart {
    private static final JsonNode YEAR = new JsonMapper().readTree("""
            {"measure": "fps", "by": "month", "filters": {"encounter_kind": ["initial"]},
             "from": "2025-01", "to": "2025-12", "reason": "The year before the checklist."}""");
    private static final JsonNode LATER = new JsonMapper().readTree("""
            {"from": "2025-03", "to": "2025-12", "reason": "The set-ups changed in February."}""");

    @Override
    public void describe(ApiDocument document) {
        schemas(document);
        ObjectNode all = document.operation(
                "get", "/api/v1/kept-averages", "listKeptAverages", "List the averages that a unit keeps");
        parameter(all, "query", "site_id", false, text(), "The unit; yours when left out.");
        parameter(
                all,
                "query",
                "withdrawn",
                false,
                codes(List.of("yes")),
                "The withdrawn ones in place of those that stand.");
        answer(all, 200, "In the order in which they were first kept.", list(ref("KeptAverage")));

        ObjectNode keep = document.operation(
                "post", "/api/v1/kept-averages", "keepAverage", "Keep the average of a chart", 409, 413, 415, 422);
        body(keep, ref("Average"), Map.of("year", YEAR));
        ObjectNode kept = answer(keep, 201, "Charts of this question are judged by it.", ref("KeptAverage"));
        header(kept, "Location", "Where it is");
        header(kept, "ETag", "Its version, as \"v1\"");

        ObjectNode read =
                document.operation("get", "/api/v1/kept-averages/{id}", "readKeptAverage", "Read a kept average");
        header(answer(read, 200, "The version that counts.", ref("KeptAverage")), "ETag", "Its version, as \"v1\"");

        ObjectNode anew = document.operation(
                "put", "/api/v1/kept-averages/{id}", "keepAverageAnew", "Keep it anew", 409, 412, 413, 415, 422, 428);
        parameter(anew, "header", "If-Match", true, text().put("pattern", IfMatch.FORM), "The ETag that was read.");
        body(anew, ref("AverageAnew"), Map.of("later", LATER));
        header(answer(anew, 200, "The next version counts.", ref("KeptAverage")), "ETag", "Its version, as \"v2\"");

        ObjectNode withdraw = document.operation(
                "post",
                "/api/v1/kept-averages/{id}/withdrawal",
                "withdrawKeptAverage",
                "Withdraw a kept average",
                409,
                413,
                415,
                422);
        body(
                withdraw,
                ref("AverageWithdrawal"),
                Map.of("changed", object().put("reason", "The practice of that year is gone.")));
        answer(withdraw, 200, "Charts are judged by their own points again.", ref("KeptAverage"));

        ObjectNode versions = document.operation(
                "get", "/api/v1/kept-averages/{id}/versions", "listKeptAverageVersions", "List its versions");
        answer(versions, 200, "The first one first.", list(ref("KeptAverage")));
    }

    private static void schemas(ApiDocument document) {
        ObjectNode average = document.schema("Average");
        needed(average, "measure", "from", "to", "reason");
        question(average.putObject("properties"));
        period((ObjectNode) average.path("properties"), true);

        ObjectNode anew = document.schema("AverageAnew");
        needed(anew, "from", "to", "reason");
        period(anew.putObject("properties"), true);

        ObjectNode withdrawal = document.schema("AverageWithdrawal");
        needed(withdrawal, "reason");
        reason(withdrawal.putObject("properties"));

        ObjectNode kept = document.schema("KeptAverage");
        needed(
                kept,
                "kept_id",
                "version",
                "status",
                "site_id",
                "measure",
                "by",
                "from",
                "to",
                "reason",
                "written_at",
                "n");
        ObjectNode properties = kept.putObject("properties");
        question(properties);
        period(properties, false);
        properties.putObject("kept_id").put("type", "string").put("format", "uuid");
        properties.putObject("version").put("type", "integer").put("minimum", 1);
        properties.set("status", codes(List.of("final", "amended", KeptAverage.WITHDRAWN)));
        properties.putObject("written_at").put("type", "string").put("format", "date-time");
        counts(properties);
        ObjectNode point = object().put("type", "object");
        ObjectNode of = point.putObject("properties");
        of.putObject("period").put("type", "string");
        counts(of);
        ObjectNode value = of.putObject("value").put("description", "What is plotted; of a stretch its days.");
        value.putArray("type").add("number").add("null");
        properties.set("points", list(point));
    }

    private static void question(ObjectNode properties) {
        properties.set("site_id", text().put("description", "The unit; yours when left out."));
        properties.set(
                "measure",
                codes(Measure.ofEncounters().stream().map(Measure::id).toList()));
        ObjectNode scheme = properties.putObject("scheme");
        scheme.putArray("type").add("string").add("null");
        scheme.put("description", "The scheme of severity, where one decides.");
        properties.set(
                "by",
                text().put("pattern", "^(month|quarter|year|event|n:[1-9][0-9]{0,3})$")
                        .put(
                                "description",
                                "A point for each month, quarter or year; event: for what lies between one event and the"
                                        + " next; n:25: for 25 encounters in order. Month when left out."));
        ObjectNode filters = properties.putObject("filters");
        filters.put("type", "object")
                .put("description", "Variables as the chart filters by, each with a list of codes.");
        filters.set("additionalProperties", list(text()));
    }

    private static void period(ObjectNode properties, boolean any) {
        properties.set("from", text().put("description", "First month" + (any ? ", quarter or year." : ".")));
        properties.set(
                "to",
                text().put("description", "The last one, included; it must be over, and hold ten points with cases."));
        reason(properties);
    }

    private static void reason(ObjectNode properties) {
        properties.set(
                "reason",
                text().put("minLength", 1)
                        .put("maxLength", KeptAverageForm.LONGEST_REASON)
                        .put("description", "Why; no names of people, nothing about a patient."));
    }

    private static void counts(ObjectNode properties) {
        properties.putObject("x").putArray("type").add("integer").add("null");
        properties.putObject("n").put("type", "integer").put("minimum", 0);
    }

    private static void needed(ObjectNode schema, String... names) {
        schema.put("type", "object").put("additionalProperties", false);
        ArrayNode required = schema.putArray("required");
        for (String name : names) {
            required.add(name);
        }
    }

    private static ObjectNode text() {
        return object().put("type", "string");
    }

    private static ObjectNode codes(List<String> codes) {
        ObjectNode schema = text();
        ArrayNode allowed = schema.putArray("enum");
        codes.forEach(allowed::add);
        return schema;
    }
}
