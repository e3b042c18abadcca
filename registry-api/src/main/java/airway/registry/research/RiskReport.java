package airway.registry.research;

import airway.stats.disclosure.Closeness;
import airway.stats.disclosure.Diversity;
import airway.stats.disclosure.EquivalenceClasses;
import airway.stats.disclosure.EquivalenceClasses.EquivalenceClass;
import airway.stats.disclosure.Generalisation;
import airway.stats.disclosure.Generalisation.Loss;
import airway.stats.disclosure.LinkageTrial;
import airway.stats.disclosure.RecognitionRisk;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** How well the children of a package are hidden, and how that was found. The same rows give the same report. */
record RiskReport(Coarsening coarsening, Generalisation found, RecognitionRisk risk, LinkageTrial trial) {
    /** Of the rules by which it is judged; goes up when they change. */
    static final String RULES = "3";

    static final String POPULATION =
            "No table of the population is known, so every group is taken to be as large outside as it"
                    + " is among the rows; nothing is taken off the risk.";

    static final String TRIAL =
            "Worked out for every child of the request, also those left out. The intruder knows all that the columns of age,"
                    + " time and the rest tell, as exactly as the record holds it and that the child is among the records, finds"
                    + " the rows that fit, and picks one blindly. Found is the mean chance that it is the child's.";

    private static final JsonMapper JSON = new JsonMapper();

    static RiskReport of(Coarsening coarsening, Generalisation found) {
        return new RiskReport(
                coarsening,
                found,
                RecognitionRisk.prosecutor(found.classes(), coarsening.profile().threshold()),
                LinkageTrial.of(coarsening.rows(), found));
    }

    /** Fewest different secrets of a group: with 2, no group tells for certain whether there was a severe event. */
    int fewestSecrets() {
        return found.classes().all().stream()
                .mapToInt(one -> one.sensitive().size())
                .min()
                .orElse(0);
    }

    /** Fewest effective secrets of a group: the exponential of their entropy, 1 or more. */
    double fewestEffectiveSecrets() {
        return found.classes().all().stream()
                .mapToDouble(
                        one -> Diversity.entropy(List.copyOf(one.sensitive().values())))
                .min()
                .orElse(0);
    }

    /** The largest distance of the severe events of a group from those of all, from 0 to 1. */
    double farthest() {
        EquivalenceClasses classes = found.classes();
        Map<String, Long> all = new TreeMap<>();
        classes.all().forEach(one -> one.sensitive().forEach((value, count) -> all.merge(value, count, Long::sum)));
        double farthest = 0;
        for (EquivalenceClass one : classes.all()) {
            List<Long> some = new ArrayList<>();
            all.keySet().forEach(value -> some.add(one.sensitive().getOrDefault(value, 0L)));
            farthest = Math.max(farthest, Closeness.UNORDERED.of(some, List.copyOf(all.values())));
        }
        return farthest;
    }

    long removed() {
        return found.removed().size();
    }

    Map<String, Loss> lost() {
        return found.lost(coarsening.rows());
    }

    ObjectNode json() {
        Profile profile = coarsening.profile();
        ObjectNode out = JSON.createObjectNode()
                .put("rules", RULES)
                .put("profile", profile.code())
                .put("safe_harbor", coarsening.choice().safeHarbor())
                .put("rows_of_a_child_can_be_joined", coarsening.choice().pseudonymised())
                .put("k_required", profile.k())
                .put("threshold", profile.threshold())
                .put("rows", coarsening.rows().size() - removed())
                .put("rows_removed", removed())
                .put("children", found.classes().patients())
                .put("groups", found.classes().all().size())
                .put("k", found.classes().k());
        ArrayNode levels = out.putArray("levels");
        for (int i = 0; i < coarsening.variables().size(); i++) {
            levels.addObject()
                    .put("variable", coarsening.variables().get(i).variable())
                    .put("told_as", coarsening.toldAs(found, i));
        }
        if (coarsening.choice().shifted()) {
            levels.addObject()
                    .put("variable", KnownVariable.ENCOUNTER_START.variable())
                    .put("told_as", Released.SHIFTED + "; not judged");
        }
        ArrayNode grouped = out.putArray("told_as_other");
        coarsening.rare().forEach((variable, codes) -> {
            if (!codes.isEmpty()) {
                grouped.add(variable);
            }
        });
        out.put("prosecutor_highest", risk.highest())
                .put("prosecutor_average", risk.average())
                .put("children_over_threshold", risk.atRisk())
                .put("journalist_highest", risk.highest())
                .put("journalist_average", risk.average())
                .put("marketer", risk.average())
                .put("population", POPULATION)
                .put("distinct_l_of_severe_event", fewestSecrets())
                .put("entropy_l_of_severe_event", fewestEffectiveSecrets())
                .put("t_closeness_of_severe_event", farthest());
        ArrayNode lost = out.putArray("removed_by_severe_event");
        lost().forEach((value, loss) -> loss(lost.addObject().put("severe_event", value), loss));
        Loss named = coarsening.lostOfNamed(found);
        if (named == null) {
            out.putNull("removed_of_named_group");
        } else {
            loss(out.putObject("removed_of_named_group"), named);
        }
        out.putObject("intruder")
                .put("children", trial.patients())
                .put("found", trial.found())
                .put("how", TRIAL);
        return out;
    }

    private static void loss(ObjectNode out, Loss loss) {
        out.put("removed", loss.removed()).put("all", loss.all()).put("over_a_tenth", loss.overATenth());
    }
}
