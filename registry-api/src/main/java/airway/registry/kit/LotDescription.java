package airway.registry.kit;

import static airway.registry.web.ApiDocument.answer;
import static airway.registry.web.ApiDocument.body;
import static airway.registry.web.ApiDocument.header;
import static airway.registry.web.ApiDocument.list;
import static airway.registry.web.ApiDocument.object;
import static airway.registry.web.ApiDocument.parameter;
import static airway.registry.web.ApiDocument.ref;

import airway.registry.web.ApiDocument;
import airway.registry.web.ApiPart;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Single-use stock, described for programs. */
@Component
@Order(9)
class LotDescription implements ApiPart {
    private static final JsonMapper JSON = new JsonMapper();
    private static final JsonNode CAME = JSON.readTree("""
            {"kind": "Tube, cuffed, 3.5", "lot": "A1207", "use_by": "2027-05-31", "number": 10}""");
    private static final JsonNode COUNTED = JSON.readTree("{\"move\": \"counted\", \"seen\": 1, \"number\": 8}");

    @Override
    public void describe(ApiDocument document) {
        schema(document);
        ObjectNode lots =
                document.operation("get", "/api/v1/kit/lots", "listKitLots", "List the lots of single-use kinds");
        parameter(lots, "query", "site_id", false, text(), "The unit; yours when left out.");
        answer(lots, 200, "By use-by day, without their logs.", list(ref("KitLot")));

        ObjectNode receive = document.operation(
                "post", "/api/v1/kit/lots", "receiveKitLot", "Add what came of a lot", 403, 413, 415, 422);
        ObjectNode came = object().put("type", "object").put("additionalProperties", false);
        came.putArray("required").add("number");
        ObjectNode sent = came.putObject("properties");
        sent.set("site_id", text());
        sent.set("label", text().put("description", "As scanned (GS1): tells gtin, lot and use_by."));
        sent.set(
                "kind",
                text().put("description", "Title of a single-use kind; may be left out when the gtin came before."));
        sent.set("gtin", text().put("pattern", "^[0-9]{14}$"));
        sent.set("lot", text().put("maxLength", 20));
        sent.set("use_by", text().put("format", "date"));
        sent.putObject("number").put("type", "integer").put("minimum", 1).put("maximum", 10_000);
        body(receive, came, Map.of("typed", CAME));
        header(answer(receive, 201, "It is kept.", ref("KitLot")), "Location", "Where the lot is");

        ObjectNode one = document.operation("get", "/api/v1/kit/lots/{id}", "readKitLot", "Read a lot with its log");
        answer(one, 200, "As it is now.", ref("KitLot"));

        ObjectNode move = document.operation(
                "post",
                "/api/v1/kit/lots/{id}/moves",
                "moveKitLot",
                "Count a lot anew, or throw some of it away",
                403,
                412,
                413,
                415,
                422);
        ObjectNode done = object().put("type", "object").put("additionalProperties", false);
        List.of("move", "seen", "number").forEach(done.putArray("required")::add);
        ObjectNode fields = done.putObject("properties");
        fields.putObject("move").putArray("enum").add("counted").add("discarded");
        fields.putObject("seen").put("type", "integer").put("description", "The version of the lot that was read.");
        fields.putObject("number").put("type", "integer").put("minimum", 0).put("maximum", 10_000);
        fields.set("reason", text().put("maxLength", MoveForm.LONGEST_REASON));
        body(move, done, Map.of("counted", COUNTED));
        answer(move, 200, "It is kept.", ref("KitLot"));
    }

    private static void schema(ApiDocument document) {
        ObjectNode lot = document.schema("KitLot").put("type", "object").put("additionalProperties", false);
        ArrayNode required = lot.putArray("required");
        List.of("lot_id", "version", "site_id", "kind", "lot", "left").forEach(required::add);
        ObjectNode fields = lot.putObject("properties");
        fields.set("lot_id", text().put("format", "uuid"));
        fields.putObject("version").put("type", "integer").put("minimum", 1);
        fields.set("site_id", text());
        fields.set("kind", text());
        fields.set("lot", text());
        fields.set("gtin", text());
        fields.set("use_by", text().put("format", "date"));
        fields.putObject("left")
                .put("type", "integer")
                .put("description", "By its log; below 0 when records used more than came.");
        ArrayNode alerts = fields.putObject("alert").putArray("enum");
        Arrays.stream(Lot.Alert.values())
                .map(alert -> alert.name().toLowerCase(Locale.ROOT))
                .forEach(alerts::add);
        ObjectNode line = object().put("type", "object").put("additionalProperties", false);
        ObjectNode told = line.putObject("properties");
        for (String whole : List.of("version", "change", "left", "attempt_no")) {
            told.putObject(whole).put("type", "integer");
        }
        ArrayNode moves = told.putObject("move").putArray("enum");
        Arrays.stream(Lot.Move.values()).map(Lot.Move::code).forEach(moves::add);
        told.set("at", text().put("format", "date-time"));
        told.set("encounter_id", text().put("format", "uuid"));
        told.set("reason", text());
        fields.set("log", list(line));
    }

    private static ObjectNode text() {
        return object().put("type", "string");
    }
}
