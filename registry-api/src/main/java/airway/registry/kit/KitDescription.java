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

/** Kinds, items and moves of the kit, described for programs. */
@Component
@Order(9)
class KitDescription implements ApiPart {
    private static final JsonMapper JSON = new JsonMapper();
    private static final JsonNode BLADE = JSON.readTree("""
            {"title": "Straight blade, size 1", "instructions": "Maker's leaflet of March 2024, page 4",
             "cycle_limit": 60, "least_ready": 3}""");
    private static final JsonNode TUBE =
            JSON.readTree("{\"title\": \"Tube, cuffed, 3.5\", \"profile\": \"single_use\", \"least_ready\": 10}");
    private static final JsonNode ITEM =
            JSON.readTree("{\"kind\": \"Straight blade, size 1\", \"name\": \"0417\", \"cycles_before\": 0}");
    private static final JsonNode HELD = JSON.readTree("""
            {"move": "held", "seen": 1, "place": "Shelf C, red box", "reason": "The label cannot be read."}""");

    @Override
    public void describe(ApiDocument document) {
        schemas(document);
        ObjectNode kinds =
                document.operation("get", "/api/v1/kit/kinds", "listKitKinds", "List the kinds of reusable items");
        unit(kinds);
        answer(kinds, 200, "By title.", list(ref("KeptKitKind")));

        ObjectNode addKind = document.operation(
                "post", "/api/v1/kit/kinds", "addKitKind", "Add a kind of reusable item", 403, 409, 413, 415, 422);
        body(addKind, ref("KitKind"), Map.of("blade", BLADE, "tube", TUBE));
        header(answer(addKind, 201, "It is kept.", ref("KeptKitKind")), "Location", "Where it is");

        ObjectNode amend = document.operation(
                "put", "/api/v1/kit/kinds/{id}", "amendKitKind", "Put a kind right", 403, 409, 412, 413, 415, 422, 428);
        parameter(
                amend,
                "header",
                "If-Match",
                true,
                text().put("pattern", IfMatch.FORM),
                "The version that was read, as \"v1\".");
        body(amend, ref("KitKind"), Map.of("blade", BLADE));
        answer(amend, 200, "The next version is kept.", ref("KeptKitKind"));

        ObjectNode items = document.operation(
                "get", "/api/v1/kit/items", "listKitItems", "List the reusable items and where they are");
        unit(items);
        parameter(items, "query", "state", false, states(), "Only those in this state.");
        answer(items, 200, "By the numbers on their labels, without their logs.", list(ref("KitItem")));

        ObjectNode addItem =
                document.operation("post", "/api/v1/kit/items", "addKitItem", "Enter an item", 403, 409, 413, 415, 422);
        body(addItem, ref("NewKitItem"), Map.of("blade", ITEM));
        header(answer(addItem, 201, "It is new, and not released.", ref("KitItem")), "Location", "Where it is");

        ObjectNode item =
                document.operation("get", "/api/v1/kit/items/{id}", "readKitItem", "Read an item with its log");
        answer(item, 200, "Where it is, what can be done next, and all that happened.", ref("KitItem"));

        ObjectNode move = document.operation(
                "post", "/api/v1/kit/items/{id}/moves", "moveKitItem", "Move an item", 403, 409, 413, 415, 422);
        body(move, ref("KitMove"), Map.of("held", HELD));
        answer(move, 200, "It is moved, or proposed where two people do it.", ref("KitItem"));

        ObjectNode send = document.operation(
                "post",
                "/api/v1/kit/labels",
                "sendKitItems",
                "Send several used items under one tracking label: all or none",
                403,
                409,
                413,
                415,
                422);
        ObjectNode sent = object().put("type", "object").put("additionalProperties", false);
        sent.putArray("required").add("label").add("destination").add("items");
        ObjectNode sentFields = sent.putObject("properties");
        sentFields.set("site_id", text());
        sentFields.set("label", text());
        sentFields.set("destination", text());
        ObjectNode one = object().put("type", "object").put("additionalProperties", false);
        one.putArray("required").add("item_id").add("seen");
        ObjectNode oneFields = one.putObject("properties");
        oneFields.set("item_id", text().put("format", "uuid"));
        oneFields.set("seen", number());
        sentFields.set("items", list(one));
        body(send, sent, Map.of());
        answer(send, 200, "All of them are sent.", list(ref("KitItem")));

        ObjectNode back = document.operation(
                "post",
                "/api/v1/kit/returns",
                "takeKitItemsBack",
                "Take several items back that went under one tracking label: all or none",
                403,
                409,
                413,
                415,
                422);
        ObjectNode returned = object().put("type", "object").put("additionalProperties", false);
        returned.putArray("required").add("cycle_passed").add("items");
        ObjectNode returnedFields = returned.putObject("properties");
        for (String name : List.of("site_id", "label", "cycle", "cycle_ended_at", "use_by", "place")) {
            returnedFields.set(name, text());
        }
        returnedFields.set("cycle_passed", codes(List.of("yes", "no")));
        returnedFields.set("items", list(one.deepCopy()));
        body(back, returned, Map.of());
        answer(back, 200, "They wait for the check; where the cycle failed they are held.", list(ref("KitItem")));
    }

    private static void schemas(ApiDocument document) {
        for (String name : List.of("KitKind", "KeptKitKind")) {
            ObjectNode kind = document.schema(name).put("type", "object").put("additionalProperties", false);
            ArrayNode required = kind.putArray("required").add("title");
            ObjectNode fields = kind.putObject("properties");
            fields.set("site_id", text());
            fields.set("title", text().put("description", "What you call it, with its size; no maker's name."));
            fields.set(
                    "profile",
                    codes(Kind.Profile.codes())
                            .put(
                                    "description",
                                    "How one of it is made ready again: processed in a cycle (when left out), wiped between"
                                            + " patients, or never, since it is counted by lot. A kind stays what it is."));
            fields.set(
                    "instructions",
                    text().put(
                                    "description",
                                    "Where the maker's reprocessing instructions are found; nothing is released without."));
            fields.set("cycle_limit", number().put("description", "How many cycles the maker allows."));
            fields.set("least_ready", number().put("description", "How many should be ready, or in date in stock."));
            if (name.startsWith("Kept")) {
                required.add("kind_id").add("version").add("site_id");
                fields.set("kind_id", text().put("format", "uuid"));
                fields.set("version", number());
            }
        }

        ObjectNode entered = document.schema("NewKitItem").put("type", "object").put("additionalProperties", false);
        entered.putArray("required").add("kind").add("name").add("cycles_before");
        ObjectNode enteredFields = entered.putObject("properties");
        for (String name : List.of("site_id", "kind", "name", "gtin", "serial", "giai", "place")) {
            enteredFields.set(name, text());
        }
        enteredFields.set("cycles_before", number());

        ObjectNode move = document.schema("KitMove").put("type", "object").put("additionalProperties", false);
        move.put("description", "What else is needed depends on the move; the problem names it.");
        move.putArray("required").add("move").add("seen");
        ObjectNode asked = move.putObject("properties");
        asked.set("move", codes(MoveForm.codes()));
        asked.set("seen", number().put("description", "The version of the item that you have seen."));
        asked.set("at", text().put("description", "When it was done; now when left out."));
        told(asked);

        ObjectNode item = document.schema("KitItem").put("type", "object");
        ArrayNode required = item.putArray("required");
        List.of("item_id", "version", "site_id", "kind", "name", "state", "since", "cycles", "clean", "moves")
                .forEach(required::add);
        ObjectNode fields = item.putObject("properties");
        for (String name : List.of("item_id", "site_id", "kind", "name", "gtin", "serial", "giai", "since", "place")) {
            fields.set(name, text());
        }
        fields.set("label", text().put("description", "The tracking label it is away under."));
        fields.set("use_by", text().put("format", "date"));
        fields.set("version", number());
        fields.set("state", states());
        fields.set("cycles", number().put("description", "Those before its first move here among them."));
        fields.set("cycle_limit", number());
        fields.set("clean", yes().put("description", "Whether a cycle passed since it was opened, used or missing."));
        fields.set("proposed", states().put("description", "What waits for a second person."));
        fields.set("moves", list(text()).put("description", "What can be done next."));
        ObjectNode line = object().put("type", "object");
        ObjectNode lineFields = line.putObject("properties");
        lineFields.set("version", number());
        lineFields.set("move", text());
        lineFields.set("state", states());
        lineFields.set("at", text());
        lineFields.set("entered_at", text());
        lineFields.set("late", yes());
        lineFields.set("proposed", states());
        told(lineFields);
        fields.set("log", list(line));
    }

    private static void told(ObjectNode fields) {
        for (String name : MoveForm.TOLD) {
            fields.set(
                    name,
                    switch (name) {
                        case "cycle_passed", "pack_whole", "checked" -> yes();
                        case "attempt_no" -> number();
                        default -> text();
                    });
        }
    }

    private static void unit(ObjectNode operation) {
        parameter(operation, "query", "site_id", false, text(), "The unit; yours when left out.");
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

    private static ObjectNode states() {
        return codes(Arrays.stream(State.values()).map(State::code).toList());
    }

    private static ObjectNode codes(List<String> codes) {
        ObjectNode out = text();
        ArrayNode all = out.putArray("enum");
        codes.forEach(all::add);
        return out;
    }
}
