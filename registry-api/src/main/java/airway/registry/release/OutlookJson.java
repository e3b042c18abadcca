package airway.registry.release;

import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Writes an outlook as JSON. Numbers of children are rounded to fives, so that none shows by a subtraction. */
final class OutlookJson {
    private static final JsonMapper JSON = new JsonMapper();

    private OutlookJson() {}

    static ObjectNode of(Outlook outlook) {
        ObjectNode out = JSON.createObjectNode()
                .put("profile", outlook.profile().code())
                .put("k", outlook.profile().k())
                .put("threshold", outlook.profile().threshold())
                .put("matching", rounded(outlook.matching()))
                .put("not_allowed", rounded(outlook.notAllowed()))
                .put("rows", rounded(outlook.rows()))
                .put("patients", rounded(outlook.patients()))
                .put("standing_out", rounded(outlook.standingOut()));
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
        return out;
    }

    /** How fine a variable is told, in words. */
    static String toldAs(Outlook outlook, Outlook.Plan plan, int number) {
        KnownVariable variable = outlook.variables().get(number);
        return variable.words(plan.levels().get(number) + Outlook.finest(outlook.profile(), variable));
    }

    static long rounded(long number) {
        return (number + 2) / 5 * 5;
    }
}
