package airway.registry.audit;

import org.jspecify.annotations.Nullable;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Writes the audit as JSON. */
final class AuditJson {
    private static final JsonMapper JSON = new JsonMapper();

    private AuditJson() {}

    static ObjectNode of(AuditTrail.Page page, Chain.State chain) {
        ObjectNode out = JSON.createObjectNode();
        ArrayNode entries = out.putArray("entries");
        page.lines().forEach(line -> entries.add(of(line)));
        out.put("next", page.next() == null ? null : page.next().toString());
        out.set("chain", of(chain));
        return out;
    }

    private static ObjectNode of(AuditLine line) {
        ObjectNode out = JSON.createObjectNode().put("entry_id", line.id());
        if (line.seq() != null) {
            out.put("seq", line.seq());
        }
        out.put("at", line.at().toString());
        out.set("actor", of(line.actor()));
        out.put("action", line.action()).put("object", line.object());
        text(out, "object_id", line.objectId());
        if (line.version() != null) {
            out.put("version", line.version());
        }
        text(out, "site_id", line.site());
        if (line.about() != null) {
            out.set("about", of(line.about()));
        }
        text(out, "reason_code", line.reasonCode());
        text(out, "reason", line.reason());
        if (line.detail() != null) {
            out.set("detail", JSON.readTree(line.detail()));
        }
        return out;
    }

    private static ObjectNode of(AuditLine.Who who) {
        return JSON.createObjectNode().put("actor_id", who.no()).put("title", who.title());
    }

    private static ObjectNode of(Chain.State chain) {
        ObjectNode out = JSON.createObjectNode().put("sealed", chain.sealed()).put("unsealed", chain.unsealed());
        Head head = chain.head();
        if (head != null) {
            out.putObject("head")
                    .put("seq", head.seq())
                    .put("hash", head.hash())
                    .put("at", head.at().toString());
        }
        LastCheck check = chain.check();
        if (check != null) {
            ObjectNode verified = out.putObject("verified")
                    .put("at", check.at().toString())
                    .put("sealed", check.sealed())
                    .put("faults", check.faults());
            ChainFault first = check.first();
            if (first != null) {
                verified.put("first", first.words());
            }
        }
        return out;
    }

    private static void text(ObjectNode out, String name, @Nullable Object value) {
        if (value != null) {
            out.put(name, value.toString());
        }
    }
}
