package airway.registry.aims;

import airway.registry.access.Site;
import airway.registry.cohort.Measure;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import airway.registry.web.JsonFields;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** An aim as JSON. */
final class AimJson {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter INSTANT =
            DateTimeFormatter.ofPattern("yyyy-MM-dd'T'HH:mm:ssxxx", Locale.ROOT);
    private static final Set<String> PARTS = Set.of("site_id", "sentence", "outcome", "process", "balancing");

    private AimJson() {}

    static ObjectNode of(Site site, Aim aim) {
        ObjectNode out = JSON.createObjectNode()
                .put("site_id", site.code())
                .put("version", aim.version())
                .put("sentence", aim.sentence())
                .put("outcome", aim.outcome().id());
        measures(out.putArray("process"), aim.process());
        measures(out.putArray("balancing"), aim.balancing());
        return out.put("written_at", INSTANT.format(aim.writtenAt().atZone(site.zone())));
    }

    static ArrayNode of(Site site, List<Aim> all) {
        ArrayNode out = JSON.createArrayNode();
        all.forEach(aim -> out.add(of(site, aim)));
        return out;
    }

    private static void measures(ArrayNode out, List<Measure> measures) {
        measures.forEach(measure -> out.add(measure.id()));
    }

    /**
     * Reads an aim, right or wrong.
     *
     * @throws Problem.Malformed if it has other fields, or a list that is none
     */
    static Aims.Typed read(JsonNode body) {
        JsonFields.of(body, PARTS);
        return new Aims.Typed(
                body.path("sentence").asString(""),
                body.path("outcome").asString(""),
                ids(body, "process"),
                ids(body, "balancing"));
    }

    private static List<String> ids(JsonNode body, String name) {
        JsonNode list = body.path(name);
        if (!list.isArray() && !list.isMissingNode() && !list.isNull()) {
            throw new Problem.Malformed(Fault.at("/" + name, "type", "Send a list of measures."));
        }
        List<String> ids = new ArrayList<>();
        list.forEach(id -> ids.add(id.asString("")));
        return ids;
    }
}
