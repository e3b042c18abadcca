package airway.registry.audit;

import static airway.registry.web.ApiDocument.answer;
import static airway.registry.web.ApiDocument.list;
import static airway.registry.web.ApiDocument.object;
import static airway.registry.web.ApiDocument.parameter;
import static airway.registry.web.ApiDocument.ref;

import airway.registry.web.ApiDocument;
import airway.registry.web.ApiPart;
import java.util.Collection;
import java.util.List;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The audit of the API, described for programs. */
@Component
@Order(6)
class AuditDescription implements ApiPart {
    @Override
    public void describe(ApiDocument document) {
        schemas(document);
        ObjectNode all = document.operation("get", "/api/v1/audit", "listAudit", "Read the audit, newest entry first");
        parameter(all, "query", "from", false, date(), "First day, inclusive, UTC.");
        parameter(all, "query", "to", false, date(), "Last day, inclusive, UTC.");
        parameter(all, "query", "site_id", false, text(), "One unit; all when left out.");
        parameter(all, "query", "action", false, codes(AuditWords.ACTIONS.keySet()), "What was done.");
        parameter(all, "query", "object", false, codes(AuditWords.OBJECTS.keySet()), "Kind of thing it was done to.");
        parameter(all, "query", "actor", false, number(1), "Number of who did it.");
        parameter(all, "query", "object_id", false, id(), "One thing it was done to.");
        parameter(all, "query", "after", false, text(), "The place in the list, next of the page before.");
        answer(all, 200, "Up to 50 entries, and the state of the chain over all.", ref("AuditPage"));
    }

    private static void schemas(ApiDocument document) {
        ObjectNode page = closed(document.schema("AuditPage"), "entries", "next", "chain");
        page.set("entries", list(ref("AuditEntry")));
        page.putObject("next").putArray("type").add("string").add("null");
        page.set("chain", ref("AuditChain"));

        ObjectNode who = object();
        ObjectNode person = closed(who, "actor_id", "title");
        person.set("actor_id", number(1));
        person.set("title", text());

        ObjectNode entry = closed(document.schema("AuditEntry"), "entry_id", "at", "actor", "action", "object");
        entry.putObject("entry_id").put("type", "integer");
        entry.set("seq", number(1).put("description", "Place in the chain; absent while it waits to be sealed."));
        entry.set("at", time());
        entry.set("actor", who);
        entry.set("action", codes(AuditWords.ACTIONS.keySet()));
        entry.set("object", codes(AuditWords.OBJECTS.keySet()));
        entry.set("object_id", id());
        entry.set("version", number(1));
        entry.set("site_id", text());
        entry.set("about", who.deepCopy().put("description", "The person or token it was done to."));
        entry.set("reason_code", text().put("description", "Why a version was made."));
        entry.set("reason", text().put("description", "Why, as typed; keep it out of reports."));
        entry.set("detail", object().put("type", "object").put("description", "Coded words and numbers about it."));

        ObjectNode chain = closed(document.schema("AuditChain"), "sealed", "unsealed");
        chain.set("sealed", number(0).put("description", "Number of the newest seal."));
        chain.set("unsealed", number(0).put("description", "Entries that wait to be sealed."));
        ObjectNode head = closed(chain.putObject("head"), "seq", "hash", "at");
        head.set("seq", number(1));
        head.set("hash", text().put("pattern", "^[0-9a-f]{64}$"));
        head.set("at", time());
        ObjectNode verified = closed(chain.putObject("verified"), "at", "sealed", "faults");
        verified.set("at", time());
        verified.set("sealed", number(0));
        verified.set("faults", number(0).put("description", "Places that did not hold."));
        verified.set("first", text().put("description", "The first of them as a sentence."));
    }

    private static ObjectNode closed(ObjectNode schema, String... needed) {
        schema.put("type", "object").put("additionalProperties", false);
        ArrayNode required = schema.putArray("required");
        List.of(needed).forEach(required::add);
        return schema.putObject("properties");
    }

    private static ObjectNode text() {
        return object().put("type", "string");
    }

    private static ObjectNode date() {
        return text().put("format", "date");
    }

    private static ObjectNode time() {
        return text().put("format", "date-time");
    }

    private static ObjectNode id() {
        return text().put("format", "uuid");
    }

    private static ObjectNode number(int least) {
        return object().put("type", "integer").put("minimum", least);
    }

    private static ObjectNode codes(Collection<String> codes) {
        ObjectNode schema = text();
        ArrayNode allowed = schema.putArray("enum");
        codes.forEach(allowed::add);
        return schema;
    }
}
