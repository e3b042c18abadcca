package airway.registry.research;

import airway.stats.disclosure.Generalisation.Loss;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Writes an outlook as JSON. Numbers of children are rounded to fives, so that none shows by a subtraction; only the size of the smallest group is told as it is, since it is the risk. */
final class OutlookJson {
    private static final JsonMapper JSON = new JsonMapper();

    private OutlookJson() {}

    static ObjectNode of(Outlook outlook) {
        ObjectNode out = JSON.createObjectNode()
                .put("profile", outlook.profile().code())
                .put("safe_harbor", outlook.choice().safeHarbor())
                .put("k", outlook.profile().k())
                .put("threshold", outlook.profile().threshold())
                .put("matching", rounded(outlook.matching()))
                .put("not_allowed", rounded(outlook.notAllowed()))
                .put("rows", rounded(outlook.rows()))
                .put("patients", rounded(outlook.patients()))
                .put("standing_out", rounded(outlook.standingOut()))
                .put("earlier_packages", outlook.earlier())
                .put("refusal", outlook.plan() != null ? null : outlook.tooClose() ? "too-close" : "recognisable");
        Outlook.Plan plan = outlook.plan();
        if (plan == null) {
            out.putNull("plan");
            return out;
        }
        ObjectNode made = out.putObject("plan");
        made.put("removed", rounded(plan.removed()))
                .put("smallest_group", plan.smallestGroup())
                .put("groups", plan.groups())
                .put("prosecutor_highest", plan.risk().highest())
                .put("prosecutor_average", plan.risk().average())
                .put("journalist_highest", plan.risk().highest())
                .put("journalist_average", plan.risk().average())
                .put("marketer", plan.risk().average());
        ArrayNode levels = made.putArray("levels");
        for (int i = 0; i < outlook.variables().size(); i++) {
            KnownVariable variable = outlook.variables().get(i);
            levels.addObject().put("variable", variable.variable()).put("told_as", toldAs(outlook, plan, i));
        }
        ArrayNode lost = made.putArray("lost_by_severe_event");
        plan.lost()
                .forEach((value, loss) -> lost.addObject()
                        .put("value", value)
                        .put("removed", rounded(loss.removed()))
                        .put("all", rounded(loss.all()))
                        .put("over_a_tenth", loss.overATenth()));
        Loss named = plan.lostOfNamed();
        if (named == null) {
            made.putNull("lost_of_named");
        } else {
            made.putObject("lost_of_named")
                    .put("removed", rounded(named.removed()))
                    .put("all", rounded(named.all()))
                    .put("over_a_tenth", named.overATenth());
        }
        plan.lossToAccept()
                .ifPresentOrElse(loss -> made.put("loss_to_accept", loss), () -> made.putNull("loss_to_accept"));
        return out;
    }

    /** How fine a variable is told, in words. */
    static String toldAs(Outlook outlook, Outlook.Plan plan, int number) {
        KnownVariable variable = outlook.variables().get(number);
        return Coarsening.toldAs(outlook.profile(), variable, plan.levels().get(number));
    }

    static long rounded(long number) {
        return (number + 2) / 5 * 5;
    }
}
