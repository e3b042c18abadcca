package airway.registry.reports;

import java.time.Instant;
import java.util.EnumMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** The form in which the numbers and papers of a final report are kept. */
final class Snapshot {
    private static final JsonMapper JSON = new JsonMapper();

    private Snapshot() {}

    static String write(JsonNode figures, Map<Readers, Paper> papers) {
        ObjectNode all = JSON.createObjectNode();
        all.set("figures", figures);
        ObjectNode kept = all.putObject("papers");
        papers.forEach((readers, paper) -> kept.set(readers.code(), JSON.valueToTree(paper)));
        return all.toString();
    }

    static Kept.Frozen read(String json, Instant cutOff, String software, @Nullable Long seal) {
        JsonNode all = JSON.readTree(json);
        Map<Readers, Paper> papers = new EnumMap<>(Readers.class);
        for (Readers readers : Readers.values()) {
            papers.put(readers, JSON.treeToValue(all.path("papers").path(readers.code()), Paper.class));
        }
        return new Kept.Frozen(cutOff, software, seal, all.path("figures"), papers);
    }
}
