package airway.registry.kit;

import static airway.registry.web.ApiDocument.answer;
import static airway.registry.web.ApiDocument.body;
import static airway.registry.web.ApiDocument.list;
import static airway.registry.web.ApiDocument.object;
import static airway.registry.web.ApiDocument.ref;

import airway.registry.web.ApiDocument;
import airway.registry.web.ApiPart;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The look-back, described for programs. */
@Component
@ConditionalOnWebApplication
@Order(9)
class LookBackDescription implements ApiPart {
    private static final JsonNode CYCLE = new JsonMapper()
            .readTree("{\"by\": \"cycle\", \"value\": \"24-3307\", \"cycles\": 1, \"reason\": \"The cycle failed.\"}");

    @Override
    public void describe(ApiDocument document) {
        ObjectNode look = document.operation(
                "post",
                "/api/v1/kit/look-backs",
                "lookBack",
                "Whom items touched; goes into the audit, and never holds a hospital number",
                403,
                413,
                415,
                422);
        ObjectNode asked = object().put("type", "object").put("additionalProperties", false);
        asked.putArray("required").add("by").add("reason");
        ObjectNode fields = asked.putObject("properties");
        fields.set("site_id", text());
        ObjectNode by = text();
        ArrayNode codes = by.putArray("enum");
        Arrays.stream(LookBack.By.values()).map(LookBack.By::code).forEach(codes::add);
        fields.set("by", by);
        fields.set("value", text().put("description", "The number, title or key; none for a period."));
        fields.set("from", text().put("format", "date").put("description", "Uses from this day of the unit on."));
        fields.set("to", text().put("format", "date").put("description", "Uses up to this day."));
        fields.set("cycles", number().put("description", "Only while fewer passing cycles than this lie in between."));
        fields.set(
                "names", yes().put("description", "Needs the look-back grant; numbers are shown on the page alone."));
        fields.set("reason", text().put("description", "Why; goes into the audit."));
        body(look, asked, Map.of("cycle", CYCLE));
        answer(
                look,
                200,
                "What was touched, and how far the registry can know. Also as text/csv and application/pdf.",
                ref("LookBack"));

        ObjectNode schema = document.schema("LookBack").put("type", "object");
        ArrayNode required = schema.putArray("required");
        List.of("site_id", "by", "at", "items", "uses", "coverage").forEach(required::add);
        ObjectNode out = schema.putObject("properties");
        out.set("site_id", text());
        out.set("by", text());
        out.set("at", text());
        ObjectNode item = object().put("type", "object");
        ObjectNode itemFields = item.putObject("properties");
        for (String name : List.of("item_id", "lot_id", "name", "kind", "state", "since", "place")) {
            itemFields.set(name, text());
        }
        itemFields
                .putObject("left")
                .put("type", "integer")
                .put("description", "Of a lot: how many are left by its log.");
        itemFields.set("lines", number().put("description", "Lines of its log it was found by."));
        out.set("items", list(item));
        ObjectNode use = object().put("type", "object");
        ObjectNode useFields = use.putObject("properties");
        for (String name : List.of("side", "item_id", "lot_id", "name", "at", "encounter_id")) {
            useFields.set(name, text());
        }
        for (String name : List.of("line", "attempt_no", "units", "cycles_between")) {
            useFields.set(name, number());
        }
        useFields.set("uncertain", yes().put("description", "Told late: what came first is not certain."));
        out.set("uses", list(use));
        ObjectNode coverage = object().put("type", "object");
        ObjectNode known = coverage.putObject("properties");
        known.set("from", text());
        known.set("to", text());
        for (String name : List.of(
                "records",
                "records_named",
                "uses_without_record",
                "late_moves",
                "returns_without_cycle",
                "items_without_moves")) {
            known.set(name, number());
        }
        out.set("coverage", coverage);
    }

    private static ObjectNode text() {
        return object().put("type", "string");
    }

    private static ObjectNode number() {
        return object().put("type", "integer").put("minimum", 0);
    }

    private static ObjectNode yes() {
        ObjectNode out = text();
        out.putArray("enum").add("yes").add("no");
        return out;
    }
}
