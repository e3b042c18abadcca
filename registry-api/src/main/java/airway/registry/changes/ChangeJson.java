package airway.registry.changes;

import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Writes a version of a change as JSON. */
final class ChangeJson {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter INSTANT =
            DateTimeFormatter.ofPattern("yyyy-MM-dd'T'HH:mm:ssxxx", Locale.ROOT);

    private ChangeJson() {}

    static ObjectNode of(Kept kept) {
        Change change = kept.change();
        ObjectNode out = JSON.createObjectNode()
                .put("change_id", change.id().toString())
                .put("version", kept.version())
                .put("status", kept.status())
                .put("site_id", kept.site().code())
                .put("changed_on", change.on().toString())
                .put("name", change.name())
                .put("reason", change.reason())
                .put("cuts_chart", change.cutsChart() ? "yes" : "no")
                .put(
                        "written_at",
                        INSTANT.format(kept.writtenAt().atZone(kept.site().zone())));
        Amendment amendment = kept.amendment();
        if (amendment != null) {
            ObjectNode why = out.putObject("amendment")
                    .put("reason_code", amendment.code().value());
            if (amendment.text() != null) {
                why.put("reason_text", amendment.text());
            }
        }
        return out;
    }

    static ArrayNode of(List<Kept> all) {
        ArrayNode out = JSON.createArrayNode();
        all.forEach(kept -> out.add(of(kept)));
        return out;
    }
}
