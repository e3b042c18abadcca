package airway.registry.kit;

import static airway.registry.web.ApiDocument.answer;
import static airway.registry.web.ApiDocument.body;
import static airway.registry.web.ApiDocument.object;

import airway.registry.web.ApiDocument;
import airway.registry.web.ApiPart;
import java.util.Map;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The reading of scans in the API, described for programs. */
@Component
@Order(9)
class ScanDescription implements ApiPart {
    private static final JsonNode LABEL = new JsonMapper().readTree("""
            {"data": "01095060001343521727113010L9-A\\u001d21S/7", "today": "2026-11-24"}""");

    @Override
    public void describe(ApiDocument document) {
        ObjectNode read =
                document.operation("post", "/api/v1/kit/scans", "readScan", "Read what a scanner sent", 413, 415, 422);
        ObjectNode sent = object().put("type", "object").put("additionalProperties", false);
        sent.putArray("required").add("data");
        ObjectNode fields = sent.putObject("properties");
        fields.putObject("data")
                .put("type", "string")
                .put(
                        "description",
                        "As it came, separators (ASCII 29) included; symbols of the same item with line ends between them."
                                + " {GS} and {NEXT} stand for a separator and a line end. Also as printed, with brackets.");
        fields.putObject("today")
                .put("type", "string")
                .put("format", "date")
                .put("description", "Decides centuries and what is expired; today when left out.");
        body(read, sent, Map.of("label", LABEL));

        ObjectNode scan = object().put("type", "object");
        scan.putArray("required").add("result").add("warnings").add("elements");
        ObjectNode parts = scan.putObject("properties");
        ArrayNode results = parts.putObject("result")
                .put("type", "string")
                .put("description", "How the reading ended. Nothing counts unless it is OK.")
                .putArray("enum");
        for (Scan.Result result : Scan.Result.values()) {
            results.add(result.name());
        }
        ArrayNode warnings = parts.putObject("warnings")
                .put("type", "array")
                .putObject("items")
                .put("type", "string")
                .putArray("enum");
        for (Scan.Warning warning : Scan.Warning.values()) {
            warnings.add(warning.name());
        }
        ObjectNode element = parts.putObject("elements")
                .put("type", "array")
                .put("description", "In the order of the symbols; none unless the result is OK.")
                .putObject("items")
                .put("type", "object");
        element.putArray("required").add("ai").add("value");
        ObjectNode of = element.putObject("properties");
        of.putObject("ai").put("type", "string").put("description", "Application identifier of GS1, 2 to 4 digits.");
        of.putObject("value").put("type", "string").put("description", "As it was scanned.");
        of.putObject("date")
                .put("type", "string")
                .put("description", "The day it names, or the month as 2026-03 where a day of making is not given.");
        answer(read, 200, "Read, also where it cannot be read: the result says why.", scan);
    }
}
