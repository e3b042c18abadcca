package airway.registry.changes;

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
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The changes of practice of the API, described for programs. */
@Component
@Order(3)
class ChangeDescription implements ApiPart {
    private static final JsonMapper JSON = new JsonMapper();
    private static final List<String> NEEDED = List.of("changed_on", "name", "reason", "cuts_chart");

    private static final JsonNode BRIEFING = JSON.readTree("""
            {"changed_on": "2026-03-14", "name": "Briefing before each intubation",
             "reason": "Two reviews found that the plan was not shared.", "cuts_chart": "yes"}""");

    @Override
    public void describe(ApiDocument document) {
        schemas(document);
        ObjectNode all = document.operation("get", "/api/v1/changes", "listChanges", "List the changes of a unit");
        parameter(all, "query", "site_id", false, object().put("type", "string"), "The unit; yours when left out.");
        parameter(
                all,
                "query",
                "withdrawn",
                false,
                codes(List.of("yes")),
                "The withdrawn changes in place of those that stand.");
        answer(all, 200, "In order of their days.", list(ref("KeptChange")));

        ObjectNode add =
                document.operation("post", "/api/v1/changes", "noteChange", "Note a change", 409, 413, 415, 422);
        body(add, ref("Change"), Map.of("briefing", BRIEFING));
        ObjectNode added = answer(
                add, 201, "It is kept; the same change sent again answers with the one there is.", ref("KeptChange"));
        header(added, "Location", "Where it is");
        header(added, "ETag", "Its version, as \"v1\"");

        ObjectNode read = document.operation("get", "/api/v1/changes/{id}", "readChange", "Read a change");
        header(answer(read, 200, "The version that counts.", ref("KeptChange")), "ETag", "Its version, as \"v1\"");

        ObjectNode amend = document.operation(
                "put", "/api/v1/changes/{id}", "amendChange", "Put a change right", 409, 412, 413, 415, 422, 428);
        parameter(
                amend,
                "header",
                "If-Match",
                true,
                object().put("type", "string").put("pattern", IfMatch.FORM),
                "The ETag of the version that was read.");
        ObjectNode amended = BRIEFING.deepCopy().asObject().put("changed_on", "2026-03-16");
        amended.putObject("amendment").put("reason_code", "known_better");
        body(amend, ref("AmendedChange"), Map.of("amended", amended));
        header(answer(amend, 200, "The next version is kept.", ref("KeptChange")), "ETag", "Its version, as \"v2\"");

        ObjectNode withdraw = document.operation(
                "post",
                "/api/v1/changes/{id}/withdrawal",
                "withdrawChange",
                "Withdraw a change that should not be there",
                409,
                413,
                415,
                422);
        body(
                withdraw,
                ref("ChangeWithdrawal"),
                Map.of("duplicate", object().put("reason_code", "duplicate").put("reason_text", "noted twice")));
        answer(withdraw, 200, "Charts no longer show it, and it stays readable.", ref("KeptChange"));

        ObjectNode versions = document.operation(
                "get", "/api/v1/changes/{id}/versions", "listChangeVersions", "List the versions of a change");
        answer(versions, 200, "The first one first.", list(ref("KeptChange")));
    }

    private static void schemas(ApiDocument document) {
        ObjectNode change = document.schema("Change");
        change.put("type", "object").put("description", "Nothing about patients and no names of people.");
        needed(change, NEEDED);
        fields(change);

        ObjectNode amended = document.schema("AmendedChange");
        amended.put("type", "object");
        needed(amended, NEEDED).add("amendment");
        fields(amended).set("amendment", why(Amendment.Code.TO_AMEND));

        document.schemas().set("ChangeWithdrawal", why(Amendment.Code.TO_WITHDRAW));

        ObjectNode kept = document.schema("KeptChange");
        kept.put("type", "object");
        needed(kept, NEEDED)
                .add("change_id")
                .add("version")
                .add("status")
                .add("site_id")
                .add("written_at");
        ObjectNode properties = fields(kept);
        properties.putObject("change_id").put("type", "string").put("format", "uuid");
        properties.putObject("version").put("type", "integer").put("minimum", 1);
        properties.set("status", codes(List.of("final", "amended", Kept.WITHDRAWN)));
        properties.putObject("written_at").put("type", "string").put("format", "date-time");
        properties.set("amendment", why(Set.of(Amendment.Code.values())));
    }

    private static ArrayNode needed(ObjectNode schema, List<String> names) {
        ArrayNode required = schema.putArray("required");
        names.forEach(required::add);
        return required;
    }

    private static ObjectNode fields(ObjectNode schema) {
        schema.put("additionalProperties", false);
        ObjectNode properties = schema.putObject("properties");
        properties.putObject("site_id").put("type", "string").put("description", "The unit; yours when left out.");
        properties
                .putObject("changed_on")
                .put("type", "string")
                .put("format", "date")
                .put("description", "The first day of the new practice, in the zone of the unit; not ahead.");
        text(properties, "name", ChangeForm.LONGEST_NAME, "What was changed, in a few words.");
        text(properties, "reason", ChangeForm.LONGEST_TEXT, "Why it was changed.");
        properties.set(
                "cuts_chart",
                codes(List.of("yes", "no"))
                        .put("description", "Whether charts begin a new phase on that day, or only carry a note."));
        return properties;
    }

    private static ObjectNode why(Set<Amendment.Code> fitting) {
        ObjectNode why = object().put("type", "object").put("additionalProperties", false);
        needed(why, List.of("reason_code"));
        ObjectNode properties = why.putObject("properties");
        properties.set("reason_code", codes(Amendment.Code.values(fitting)));
        text(properties, "reason_text", ChangeForm.LONGEST_TEXT, "More about it.");
        return why;
    }

    private static void text(ObjectNode properties, String name, int longest, String description) {
        properties
                .putObject(name)
                .put("type", "string")
                .put("minLength", 1)
                .put("maxLength", longest)
                .put("description", description);
    }

    private static ObjectNode codes(List<String> codes) {
        ObjectNode schema = object().put("type", "string");
        ArrayNode allowed = schema.putArray("enum");
        codes.forEach(allowed::add);
        return schema;
    }
}
