package airway.registry.reports;

import static airway.registry.web.ApiDocument.answer;
import static airway.registry.web.ApiDocument.body;
import static airway.registry.web.ApiDocument.header;
import static airway.registry.web.ApiDocument.list;
import static airway.registry.web.ApiDocument.object;
import static airway.registry.web.ApiDocument.parameter;
import static airway.registry.web.ApiDocument.ref;

import airway.registry.web.ApiDocument;
import airway.registry.web.ApiPart;
import airway.registry.web.IfMatch;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The quarterly reports of the API, described for programs. */
@Component
@Order(5)
class ReportDescription implements ApiPart {
    private static final String ONE = "/api/v1/reports/{quarter}";

    private static final JsonNode TEXTS = new JsonMapper().readTree("""
            {"learned": "The briefing is used in most intubations by now.",
             "asked_for": "Keep the briefing as routine.\\nBuy two straight blades, size 1."}""");

    @Override
    public void describe(ApiDocument document) {
        schemas(document);
        ObjectNode all =
                document.operation("get", "/api/v1/reports", "listReports", "List the reports that somebody wrote");
        unit(all);
        answer(all, 200, "The latest quarter first.", list(ref("ReportLine")));

        ObjectNode read = document.operation("get", ONE, "readReport", "Read the report of a quarter", 422);
        unit(read);
        parameter(
                read,
                "query",
                "readers",
                false,
                codes(Arrays.stream(Readers.values()).map(Readers::code).toList()),
                "unit: the unit's own paper; board: whole years alone, no count from 1 to "
                        + (Readers.SMALLEST_CELL - 1) + ".");
        parameter(
                read,
                "query",
                "format",
                false,
                codes(List.of("json", "html", "pdf")),
                "In place of the header Accept: application/json, text/html, or application/pdf (tagged).");
        header(
                answer(read, 200, "Drafted from the records as they are, or final as it was.", ref("Report")),
                "ETag",
                "Its version, as \"v1\"; none while nobody wrote");

        ObjectNode write = document.operation(
                "put", ONE, "writeReport", "Write the texts of a report", 409, 412, 413, 415, 422, 428);
        unit(write);
        conditions(write);
        body(write, ref("ReportTexts"), Map.of("learned", TEXTS));
        header(answer(write, 200, "A further version is kept.", ref("KeptReport")), "ETag", "Its version, as \"v2\"");
        header(answer(write, 201, "The first version is kept.", ref("KeptReport")), "ETag", "Its version, as \"v1\"");

        ObjectNode finalise = document.operation(
                "post",
                ONE + "/finalisation",
                "finaliseReport",
                "Make a report final: numbers, drawings and texts are kept as they are",
                409,
                412,
                422,
                428);
        unit(finalise);
        conditions(finalise);
        header(
                answer(finalise, 200, "The last version of the report.", ref("KeptReport")),
                "ETag",
                "Its version, as \"v2\"");

        ObjectNode versions = document.operation(
                "get", ONE + "/versions", "listReportVersions", "List the versions of what was written", 422);
        unit(versions);
        answer(versions, 200, "The first one first.", list(ref("KeptReport")));
    }

    private static void unit(ObjectNode operation) {
        parameter(
                operation,
                "query",
                "site_id",
                false,
                object().put("type", "string"),
                "The unit; yours when left out. A quarter is written as 2026-Q3.");
    }

    private static void conditions(ObjectNode operation) {
        parameter(
                operation,
                "header",
                "If-Match",
                false,
                object().put("type", "string").put("pattern", IfMatch.FORM),
                "The ETag of the version that was read.");
        parameter(
                operation,
                "header",
                "If-None-Match",
                false,
                object().put("type", "string").put("const", "*"),
                "In its place, while nobody wrote yet.");
    }

    private static void schemas(ApiDocument document) {
        ObjectNode texts = document.schema("ReportTexts");
        texts.put("type", "object")
                .put("additionalProperties", false)
                .put("description", "Nothing about patients, no names of people, no date of a single event.");
        ObjectNode boxes = texts.putObject("properties");
        for (String name : ReportForm.FIELDS) {
            ArrayNode types =
                    boxes.putObject(name).put("maxLength", ReportForm.LONGEST).putArray("type");
            types.add("string").add("null");
        }

        ObjectNode kept = document.schema("KeptReport");
        kept.put("type", "object");
        needed(kept, List.of("site_id", "quarter", "version", "status", "written_at", "texts"));
        version(kept.putObject("properties")).set("texts", ref("ReportTexts"));

        ObjectNode line = document.schema("ReportLine");
        line.put("type", "object");
        needed(line, List.of("quarter", "version", "status", "written_at"));
        version(line.putObject("properties"));

        ObjectNode tally = document.schema("ReportTally");
        tally.put("type", "object")
                .put("description", "x of n with the 95% interval (Wilson); null where nothing could be counted.");
        needed(tally, List.of("x", "n", "outside", "unknown", "value", "lower", "upper"));
        ObjectNode counts = tally.putObject("properties");
        List.of("x", "n", "outside", "unknown")
                .forEach(name -> counts.putObject(name).put("type", "integer").put("minimum", 0));
        List.of("value", "lower", "upper").forEach(name -> counts.set(name, number()));

        ObjectNode report = document.schema("Report");
        report.put("type", "object");
        needed(
                report,
                List.of(
                        "site_id",
                        "quarter",
                        "status",
                        "version",
                        "quarter_over",
                        "readers",
                        "texts",
                        "finalised",
                        "corrections",
                        "figures",
                        "title",
                        "standing",
                        "notice",
                        "sections"));
        ObjectNode parts = report.putObject("properties");
        parts.putObject("site_id").put("type", "string");
        parts.putObject("quarter").put("type", "string");
        parts.set("status", codes(List.of("preliminary", "final")));
        parts.putObject("version").put("type", "integer").put("minimum", 0).put("description", "0 while nobody wrote.");
        parts.putObject("quarter_over").put("type", "boolean");
        parts.set(
                "readers",
                codes(Arrays.stream(Readers.values()).map(Readers::code).toList()));
        parts.set("texts", ref("ReportTexts"));
        ObjectNode finalised = orNull(parts, "finalised", "When it was made final, and from what; null for a draft.");
        finalised.putObject("at").put("type", "string").put("format", "date-time");
        finalised.putObject("cut_off").put("type", "string").put("format", "date-time");
        finalised.putObject("software").put("type", "string");
        finalised.putObject("audit_seal").putArray("type").add("integer").add("null");
        ObjectNode corrections = orNull(parts, "corrections", "What happened to its records since; null for a draft.");
        corrections.putObject("words").put("type", "string");
        corrections.putObject("quarter").put("type", "object");
        corrections.putObject("earlier").put("type", "object");
        ObjectNode figures =
                orNull(parts, "figures", "The numbers; null for readers outside the unit, who have the sentences.");
        figures.putObject("as_of").put("type", "string").put("format", "date-time");
        figures.putObject("complete").put("type", "boolean");
        figures.putObject("records").put("type", "integer");
        figures.putObject("records_of_two_years").put("type", "integer");
        ObjectNode measure = object().put("type", "object");
        ObjectNode of = measure.putObject("properties");
        of.putObject("measure").put("type", "string");
        of.putObject("title").put("type", "string");
        List.of("quarter", "year", "year_before").forEach(name -> of.set(name, ref("ReportTally")));
        orNull(of, "difference", "Year less year before, with its 95% interval (Newcombe); null with under 5 in one.");
        figures.set("measures", list(measure));
        figures.putObject("completeness").put("type", "object");
        figures.putObject("capture").put("type", "object");
        figures.putObject("reviews")
                .put("type", "object")
                .put("description", "Cases of the quarter that a team looks at: not done, and done.");
        parts.putObject("title").put("type", "string");
        parts.putObject("standing").put("type", "string");
        parts.putObject("notice").putArray("type").add("string").add("null");
        ObjectNode section = object().put("type", "object");
        ObjectNode said = section.putObject("properties");
        said.putObject("id").put("type", "string");
        said.putObject("title").put("type", "string");
        said.set("says", list(object().put("type", "string")));
        parts.set("sections", list(section));
    }

    private static ObjectNode version(ObjectNode properties) {
        properties.putObject("site_id").put("type", "string");
        properties.putObject("quarter").put("type", "string");
        properties.putObject("version").put("type", "integer").put("minimum", 1);
        properties.set("status", codes(List.of("preliminary", "final")));
        properties.putObject("written_at").put("type", "string").put("format", "date-time");
        return properties;
    }

    private static ObjectNode number() {
        ObjectNode number = object();
        number.putArray("type").add("number").add("null");
        return number;
    }

    /** An object that may be null; what it holds is to be filled in. */
    private static ObjectNode orNull(ObjectNode properties, String name, String description) {
        ObjectNode either = properties.putObject(name).put("description", description);
        either.putArray("type").add("object").add("null");
        return either.putObject("properties");
    }

    private static void needed(ObjectNode schema, List<String> names) {
        ArrayNode required = schema.putArray("required");
        names.forEach(required::add);
    }

    private static ObjectNode codes(List<String> codes) {
        ObjectNode schema = object().put("type", "string");
        ArrayNode allowed = schema.putArray("enum");
        codes.forEach(allowed::add);
        return schema;
    }
}
