package airway.registry.charts;

import airway.registry.charts.Comparison.Alike;
import airway.registry.charts.Comparison.Halves;
import airway.registry.charts.Comparison.Layer;
import airway.registry.charts.Comparison.Modelled;
import airway.registry.charts.Comparison.Pair;
import airway.registry.charts.Comparison.Refusal;
import airway.stats.Caution;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.interval.DifferenceInterval;
import airway.stats.interval.MissingBounds;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** A comparison as numbers. */
final class ComparisonJson {
    static final String METHOD = "standardised.direct_mover";
    static final String MODEL = "logit.standardised_groups";

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
            MissingBounds missing = group.missing();
            if (missing == null) {
                node.putNull("missing");
            } else {
                node.putObject("missing").put("least", missing.least()).put("most", missing.most());
            }
        }
        ArrayNode pairs = out.putArray("pairs");
        comparison.pairs().forEach(pair -> asRecorded(pairs.addObject(), pair));
        Alike alike = comparison.alike();
        if (alike == null) {
            out.putNull("like_for_like");
        } else {
            alike(out.putObject("like_for_like"), alike, comparison.compared());
        }
        refused(out, "refused", comparison.refused());
        Modelled modelled = comparison.modelled();
        if (modelled == null) {
            out.putNull("modelled");
        } else {
            modelled(out.putObject("modelled"), modelled, comparison.compared());
        }
        refused(out, "modelled_refused", comparison.unmodelled());
        Halves halves = comparison.halves();
        if (halves == null) {
            out.putNull("across");
        } else {
            halves(out.putObject("across"), halves);
        }
        ChartJson.notes(out.putArray("notes"), comparison.nominal(), comparison.cohort());
        ChartJson.cautions(out.putArray("cautions"), cautions(comparison));
        return out;
    }

    private static void refused(ObjectNode out, String name, @Nullable Refusal refused) {
        if (refused == null) {
            out.putNull(name);
        } else {
            out.putObject(name)
                    .put("reason", refused.reason())
                    .put("needed", refused.needed())
                    .put("text", refused.text());
        }
    }

    private static void modelled(ObjectNode out, Modelled modelled, List<Comparison.Group> compared) {
        out.put("method", MODEL);
        ArrayNode allowedFor = out.putArray("allowed_for");
        modelled.allowedFor().forEach(stratum -> allowedFor.add(stratum.variable()));
        out.put("parameters", modelled.parameters())
                .put("operators", modelled.operators())
                .put("n", modelled.n())
                .put("filled_in", modelled.filledIn());
        out.putObject("left_out")
                .put("unanswered", modelled.unanswered())
                .put("operator_unknown", modelled.unknownHands());
        ArrayNode groups = out.putArray("groups");
        for (int g = 0; g < compared.size(); g++) {
            ChartJson.estimate(
                    groups.addObject().put("code", compared.get(g).code()),
                    modelled.result().groups().get(g));
        }
        ArrayNode pairs = out.putArray("pairs");
        modelled.pairs().forEach(pair -> pair(pairs.addObject(), pair, MODEL));
        ChartJson.cautions(out.putArray("cautions"), modelled.fewOperators() ? Set.of(Caution.FEW_CLUSTERS) : Set.of());
    }

    private static Set<Caution> cautions(Comparison comparison) {
        Alike alike = comparison.alike();
        Set<Caution> cautions = EnumSet.noneOf(Caution.class);
        if (comparison.muchMissing()) {
            cautions.add(Caution.MISSING_HIGH);
        }
        if (alike == null) {
            cautions.add(Caution.CRUDE_ONLY);
            return cautions;
        }
        if (alike.reversal()) {
            cautions.add(Caution.REVERSAL);
        }
        if (!alike.unevenPairs().isEmpty()) {
            cautions.add(Caution.HETEROGENEOUS);
        }
        return cautions;
    }

    private static void asRecorded(ObjectNode node, Pair pair) {
        pair(node, pair, "rd.newcombe");
        DifferenceInterval.MIETTINEN_NURMINEN
                .of(
                        Comparing.proportion(pair.first().counted()),
                        Comparing.proportion(pair.second().counted()),
                        Confidence.DEFAULT)
                .toOptional()
                .ifPresent(score -> node.putObject("score")
                        .put("method", "rd.miettinen_nurminen")
                        .put("lower", score.lower())
                        .put("upper", score.upper()));
    }

    private static void pair(ObjectNode node, Pair pair, String method) {
        node.put("a", pair.first().code()).put("b", pair.second().code());
        difference(node, pair.difference());
        node.put("method", method).put("p", pair.p()).put("p_adjusted", pair.adjusted());
    }

    private static void difference(ObjectNode node, Estimate difference) {
        node.put("difference", difference.value())
                .put("lower", difference.lower())
                .put("upper", difference.upper());
    }

    private static void alike(ObjectNode out, Alike alike, List<Comparison.Group> compared) {
        out.put("method", METHOD);
        ArrayNode allowedFor = out.putArray("allowed_for");
        alike.allowedFor().forEach(stratum -> allowedFor.add(stratum.variable()));
        ObjectNode passedOver = out.putObject("not_allowed_for");
        alike.passedOver().forEach((stratum, known) -> passedOver.put(stratum.variable(), known));
        out.put("n", alike.used());
        ObjectNode leftOut = out.putObject("left_out");
        leftOut.put("unanswered", alike.unanswered()).put("no_overlap", alike.withoutMatch());
        ObjectNode of = leftOut.putObject("unanswered_of");
        alike.unansweredOf().forEach((stratum, unknown) -> of.put(stratum.variable(), unknown));
        ArrayNode groups = out.putArray("groups");
        for (int g = 0; g < compared.size(); g++) {
            ObjectNode group = groups.addObject().put("code", compared.get(g).code());
            ChartJson.estimate(group, alike.result().groups().get(g).standardised());
        }
        ArrayNode pairs = out.putArray("pairs");
        for (int i = 0; i < alike.pairs().size(); i++) {
            ObjectNode node = pairs.addObject();
            pair(node, alike.pairs().get(i), METHOD);
            node.put("strata_against", alike.result().pairs().get(i).strataAgainst())
                    .put("reversal", alike.result().pairs().get(i).reversal());
        }
        ArrayNode strata = out.putArray("strata");
        for (Layer layer : alike.layers()) {
            ObjectNode node = strata.addObject();
            ObjectNode codes = node.putObject("codes");
            for (int i = 0; i < layer.codes().size(); i++) {
                codes.put(alike.allowedFor().get(i).variable(), layer.codes().get(i));
            }
            node.put("used", layer.used());
            ArrayNode counts = node.putArray("groups");
            for (int g = 0; g < compared.size(); g++) {
                counts.addObject()
                        .put("code", compared.get(g).code())
                        .put("x", layer.groups().get(g).x())
                        .put("n", layer.groups().get(g).n());
            }
        }
        out.put("reversal", alike.reversal());
    }

    private static void halves(ObjectNode out, Halves halves) {
        out.put("a", halves.a().code()).put("b", halves.b().code());
        difference(out.putObject("first").put("label", halves.first()), halves.inFirst());
        difference(out.putObject("second").put("label", halves.second()), halves.inSecond());
        difference(out, halves.between());
    }
}
