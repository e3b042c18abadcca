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

/** Trolleys and their checks, described for programs. */
@Component
@Order(9)
class TrolleyDescription implements ApiPart {
    private static final JsonMapper JSON = new JsonMapper();
    private static final JsonNode TROLLEY = JSON.readTree("""
            {"title": "Trolley 1", "due_at": "07:30", "check_days": 1, "full_days": 7, "battery_least": 40,
             "slots": [{"drawer": "1", "title": "Tube 3.5, cuffed", "wanted": 2, "least": 1, "dated": "yes"}]}""");
    private static final JsonNode CHECK = JSON.readTree("""
            {"kind": "full", "seen": 0, "seal_found": "none", "seal_applied": "20417", "battery": 92,
             "lines": [{"found": 2, "use_by": "2027-01-12"}]}""");

    @Override
    public void describe(ApiDocument document) {
        schemas(document);
        ObjectNode all = document.operation(
                "get", "/api/v1/kit/trolleys", "listTrolleys", "List the trolleys in use, and whether each is ready");
        parameter(all, "query", "site_id", false, text(), "The unit; yours when left out.");
        answer(all, 200, "By title.", list(ref("KeptTrolley")));

        ObjectNode add = document.operation(
                "post", "/api/v1/kit/trolleys", "addTrolley", "Add a trolley", 403, 409, 413, 415, 422);
        body(add, ref("Trolley"), Map.of("trolley", TROLLEY));
        header(
                answer(add, 201, "It is kept, and not ready: it was never checked.", ref("KeptTrolley")),
                "Location",
                "Where it is");

        ObjectNode one = document.operation(
                "get", "/api/v1/kit/trolleys/{id}", "readTrolley", "Read a trolley with the last lines of its log");
        answer(one, 200, "How it stands, and its last checks.", ref("KeptTrolley"));

        ObjectNode amend = document.operation(
                "put",
                "/api/v1/kit/trolleys/{id}",
                "amendTrolley",
                "Change what should lie in a trolley",
                403,
                409,
                412,
                413,
                415,
                422,
                428);
        parameter(
                amend,
                "header",
                "If-Match",
                true,
                text().put("pattern", IfMatch.FORM),
                "The version that was read, as \"v1\".");
        body(amend, ref("Trolley"), Map.of("trolley", TROLLEY));
        answer(amend, 200, "The next version is kept.", ref("KeptTrolley"));

        ObjectNode check = document.operation(
                "post",
                "/api/v1/kit/trolleys/{id}/checks",
                "checkTrolley",
                "Keep a check, put one right, or say that it was opened",
                403,
                409,
                413,
                415,
                422);
        body(check, ref("TrolleyCheck"), Map.of("full", CHECK));
        answer(check, 200, "It is kept.", ref("KeptTrolley"));

        ObjectNode back = document.operation(
                "post",
                "/api/v1/kit/trolleys/{id}/checks/{version}/withdrawal",
                "takeBackTrolleyCheck",
                "Take a line of the log back; it stays readable",
                403,
                409,
                413,
                415,
                422);
        ObjectNode why = object().put("type", "object").put("additionalProperties", false);
        why.putArray("required").add("seen").add("reason");
        ObjectNode whyFields = why.putObject("properties");
        whyFields.set("seen", number());
        whyFields.set("reason", text());
        body(back, why, Map.of());
        answer(back, 200, "It no longer counts.", ref("KeptTrolley"));
    }

    private static void schemas(ApiDocument document) {
        for (String name : List.of("Trolley", "KeptTrolley")) {
            boolean kept = name.startsWith("Kept");
            ObjectNode trolley = document.schema(name).put("type", "object");
            if (!kept) {
                trolley.put("additionalProperties", false);
            }
            ArrayNode required = trolley.putArray("required");
            List.of("title", "due_at", "check_days", "full_days", "slots").forEach(required::add);
            ObjectNode fields = trolley.putObject("properties");
            fields.set("site_id", text());
            fields.set("title", text().put("description", "The place of an item on it begins with this and a comma."));
            fields.set("in_use", yes());
            fields.set("due_at", text().put("description", "By when of the day a check is due, in the unit's zone."));
            fields.set("check_days", number().put("description", "A check is due on this many days after the last."));
            fields.set("full_days", number().put("description", "The same for a full check."));
            fields.set("light", yes().put("description", "Whether light or picture is tried at a full check."));
            fields.set("battery_least", number().put("description", "Charge it needs, in percent."));
            fields.set("recorder", yes().put("description", "Whether a device on it records."));
            fields.set("slots", list(slot(kept)));
            if (kept) {
                kept(fields, required);
            }
        }
        ObjectNode check = document.schema("TrolleyCheck").put("type", "object").put("additionalProperties", false);
        check.put("description", "What else is needed depends on the trolley; the problem names it.");
        check.putArray("required").add("kind");
        ObjectNode fields = check.putObject("properties");
        fields.set(
                "kind",
                codes(Arrays.stream(Check.Kind.values()).map(Check.Kind::code).toList()));
        fields.set("seen", number().put("description", "The last line of its log that you have seen, 0 if none."));
        fields.set("corrects", number().put("description", "The line that this one stands for; with a reason."));
        told(fields);
    }

    private static void kept(ObjectNode fields, ArrayNode required) {
        List.of("trolley_id", "version", "status", "words", "seen", "reasons", "notes", "restock")
                .forEach(required::add);
        fields.set("trolley_id", text().put("format", "uuid"));
        fields.set("version", number());
        fields.set(
                "status",
                codes(Arrays.stream(Standing.Word.values())
                                .map(Standing.Word::code)
                                .toList())
                        .put("description", "What is not known is never ready."));
        fields.set("words", text().put("description", "The same as a sentence."));
        fields.set("seen", number().put("description", "The last line of its log."));
        fields.set("reasons", list(text()));
        fields.set("notes", list(text()));
        ObjectNode restock = object().put("type", "object");
        ObjectNode restockFields = restock.putObject("properties");
        restockFields.set("drawer", text());
        restockFields.set("title", text());
        restockFields.set("number", number());
        fields.set("restock", list(restock));
        fields.set("seal", text().put("description", "The seal that is on it, as far as is known whole."));
        fields.set("checked_at", text());
        fields.set("due", text());
        fields.set("in_date_until", text().put("format", "date"));
        ObjectNode line = object().put("type", "object");
        ObjectNode lineFields = line.putObject("properties");
        for (String name : List.of("version", "trolley_version", "corrects")) {
            lineFields.set(name, number());
        }
        lineFields.set("status", codes(List.of("final", "amended", "withdrawn")));
        lineFields.set("kind", text());
        lineFields.set("entered_at", text());
        told(lineFields);
        fields.set("log", list(line));
    }

    private static ObjectNode slot(boolean kept) {
        ObjectNode slot = object().put("type", "object").put("additionalProperties", false);
        slot.putArray("required").add("drawer").add("title").add("wanted");
        ObjectNode fields = slot.putObject("properties");
        fields.set("drawer", text());
        fields.set("title", text().put("description", "The title of a kind of the kit joins it to that kind."));
        fields.set("wanted", number());
        fields.set("least", number().put("description", "All that are wanted when left out."));
        fields.set("dated", yes().put("description", "Whether a use-by day stands on it."));
        if (kept) {
            fields.set("kind_id", text().put("format", "uuid"));
        }
        return slot;
    }

    private static void told(ObjectNode fields) {
        fields.set("at", text().put("description", "When it was done; now when left out."));
        fields.set("seal_found", codes(CheckForm.SEALS));
        fields.set("seal_read", text());
        fields.set("seal_applied", text());
        ObjectNode line = object().put("type", "object");
        ObjectNode lineFields = line.putObject("properties");
        lineFields.set("found", number());
        lineFields.set("use_by", text().put("format", "date"));
        fields.set("lines", list(line).put("description", "Of each slot, in the order of the trolley; a full check."));
        fields.set("light", yes());
        fields.set("battery", number());
        fields.set("memory_free", yes());
        fields.set(
                "recordings",
                codes(Arrays.stream(Check.Recordings.values())
                        .map(Check.Recordings::code)
                        .toList()));
        fields.set("note", text());
        fields.set("reason", text());
    }

    private static ObjectNode text() {
        return object().put("type", "string");
    }

    private static ObjectNode number() {
        return object().put("type", "integer").put("minimum", 0);
    }

    private static ObjectNode yes() {
        return codes(List.of("yes", "no"));
    }

    private static ObjectNode codes(List<String> codes) {
        ObjectNode out = text();
        ArrayNode all = out.putArray("enum");
        codes.forEach(all::add);
        return out;
    }
}
