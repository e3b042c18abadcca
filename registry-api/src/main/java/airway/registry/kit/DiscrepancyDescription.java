package airway.registry.kit;

import static airway.registry.web.ApiDocument.answer;
import static airway.registry.web.ApiDocument.body;
import static airway.registry.web.ApiDocument.list;
import static airway.registry.web.ApiDocument.object;
import static airway.registry.web.ApiDocument.parameter;
import static airway.registry.web.ApiDocument.ref;

import airway.registry.web.ApiDocument;
import airway.registry.web.ApiPart;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** What the kit keeper has to look into, described for programs. */
@Component
@Order(9)
class DiscrepancyDescription implements ApiPart {
    private static final JsonNode FOUND =
            new JsonMapper().readTree("{\"reason\": \"It was item 0471, read wrongly; it is held.\"}");

    @Override
    public void describe(ApiDocument document) {
        ObjectNode kept =
                document.schema("KitDiscrepancy").put("type", "object").put("additionalProperties", false);
        ArrayNode required = kept.putArray("required");
        ObjectNode fields = kept.putObject("properties");
        List.of("discrepancy_id", "site_id", "status", "kind", "encounter_id", "attempt_no", "told", "raised_at")
                .forEach(required::add);
        fields.set("discrepancy_id", text().put("format", "uuid"));
        fields.set("site_id", text());
        fields.putObject("status").putArray("enum").add("open").add("closed").add("lapsed");
        ArrayNode kinds = fields.putObject("kind").putArray("enum");
        Arrays.stream(Discrepancy.Kind.values()).map(Discrepancy.Kind::code).forEach(kinds::add);
        fields.set("encounter_id", text().put("format", "uuid"));
        fields.putObject("attempt_no").put("type", "integer");
        fields.set("told", text().put("description", "The label as typed, or the code of the kit problem."));
        fields.set("item_id", text().put("format", "uuid"));
        fields.set("name", text().put("description", "The number on the label of the item."));
        fields.set("lot_id", text().put("format", "uuid"));
        fields.set("lot", text().put("description", "The number of the lot."));
        fields.set("raised_at", text().put("format", "date-time"));
        fields.set("ended_at", text().put("format", "date-time"));
        fields.set("reason", text().put("description", "Why it was closed."));

        ObjectNode open = document.operation(
                "get",
                "/api/v1/kit/discrepancies",
                "listKitDiscrepancies",
                "List what records say and the log of the kit does not agree on");
        parameter(open, "query", "site_id", false, text(), "The unit; yours when left out.");
        answer(open, 200, "Those that are open, the oldest first.", list(ref("KitDiscrepancy")));

        ObjectNode one =
                document.operation("get", "/api/v1/kit/discrepancies/{id}", "readKitDiscrepancy", "Read one of them");
        answer(one, 200, "As it is now.", ref("KitDiscrepancy"));

        ObjectNode close = document.operation(
                "post",
                "/api/v1/kit/discrepancies/{id}/closing",
                "closeKitDiscrepancy",
                "Close one with what was found",
                403,
                409,
                413,
                415,
                422);
        ObjectNode why = object().put("type", "object").put("additionalProperties", false);
        why.putArray("required").add("reason");
        ObjectNode said = why.putObject("properties");
        said.set("reason", text().put("maxLength", MoveForm.LONGEST_REASON));
        said.set(
                "label",
                text().put("maxLength", ItemForm.LONGEST_LABEL)
                        .put(
                                "description",
                                "Of a label that named nothing: that of the item or lot it was; the record is linked."));
        body(close, why, Map.of("found", FOUND));
        answer(close, 200, "It is closed.", ref("KitDiscrepancy"));
    }

    private static ObjectNode text() {
        return object().put("type", "string");
    }
}
