package airway.registry.charts;

import airway.stats.Caution;
import airway.stats.Reason;
import java.util.Set;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** A comparison as numbers. */
final class ComparisonJson {
    private ComparisonJson() {}

    static ObjectNode of(Comparison comparison) {
        ObjectNode out = new JsonMapper().createObjectNode();
        ChartJson.measure(out, comparison.measure(), comparison.scheme());
        out.put("by", comparison.by());
        ChartJson.filters(out.putObject("filters"), comparison.cohort());
        ArrayNode groups = out.putArray("groups");
        for (Comparison.Group group : comparison.groups()) {
            ObjectNode node = groups.addObject();
            node.put("code", group.code());
            node.put("label", group.label());
            ChartJson.counted(node, group.counted());
            ChartJson.estimate(node, group.estimate());
        }
        out.putArray("pairs");
        out.putNull("like_for_like");
        if (comparison.comparable()) {
            out.putNull("refused");
        } else {
            out.putObject("refused")
                    .put("reason", Reason.TOO_FEW_OBSERVATIONS.name())
                    .put("needed", Comparison.FEWEST);
        }
        ChartJson.notes(out.putArray("notes"), comparison.nominal(), comparison.cohort());
        ChartJson.cautions(out.putArray("cautions"), Set.of(Caution.CRUDE_ONLY));
        return out;
    }
}
