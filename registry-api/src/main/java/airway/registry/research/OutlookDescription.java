package airway.registry.research;

import static airway.registry.web.ApiDocument.answer;
import static airway.registry.web.ApiDocument.object;
import static airway.registry.web.ApiDocument.parameter;
import static airway.registry.web.ApiDocument.ref;

import airway.registry.web.ApiDocument;
import airway.registry.web.ApiPart;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Stream;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The outlook of research data in the API, described for programs. */
@Component
@Order(5)
class OutlookDescription implements ApiPart {
    @Override
    public void describe(ApiDocument document) {
        schema(document.schema("Outlook"));
        ObjectNode asked = document.operation(
                "get", "/api/v1/research/outlook", "lookAhead", "See what research data would be like", 422);
        parameter(
                asked,
                "query",
                "profile",
                false,
                codes(Arrays.stream(Profile.values()).map(Profile::code)),
                "Who will hold it; controlled when left out.");
        parameter(
                asked,
                "query",
                "safe_harbor",
                false,
                object().put("type", "boolean"),
                "Nothing finer than a year and no code for a child, whoever holds it; false when left out.");
        parameter(
                asked,
                "query",
                "variables",
                true,
                offered(),
                "What an outsider could know, and other answers; repeated, or with commas between. Filters, from and to as for charts.");
        parameter(
                asked,
                "query",
                "about",
                false,
                object().put("type", "string"),
                "The group that the purpose is about, as limited_mouth_opening:yes: what it would lose is told apart.");
        answer(
                asked,
                200,
                "Counts alone, rounded to fives; plan is null where no package could be made.",
                ref("Outlook"));
    }

    private static void schema(ObjectNode outlook) {
        List<String> counts = List.of("matching", "not_allowed", "rows", "patients", "standing_out");
        ObjectNode properties = closed(
                outlook,
                Stream.concat(
                                Stream.of(
                                        "profile",
                                        "safe_harbor",
                                        "k",
                                        "threshold",
                                        "earlier_packages",
                                        "refusal",
                                        "plan"),
                                counts.stream())
                        .toList());
        properties.set("profile", codes(Arrays.stream(Profile.values()).map(Profile::code)));
        properties.putObject("safe_harbor").put("type", "boolean");
        properties
                .putObject("earlier_packages")
                .put("type", "integer")
                .put("description", "Packages that have left the unit before, and that these data were held against.");
        ObjectNode refusal = properties.putObject("refusal");
        refusal.putArray("type").add("string").add("null");
        refusal.putArray("enum").add("recognisable").add("too-close").addNull();
        properties.putObject("k").put("type", "integer").put("description", "Children that every group must have.");
        properties.putObject("threshold").put("type", "number").put("description", "The largest risk allowed.");
        counts.forEach(name -> properties.putObject(name).put("type", "integer").put("multipleOf", 5));

        ObjectNode plan = properties.putObject("plan");
        List<String> risks = List.of(
                "prosecutor_highest", "prosecutor_average", "journalist_highest", "journalist_average", "marketer");
        ObjectNode parts = closed(
                plan,
                Stream.concat(
                                Stream.of(
                                        "removed",
                                        "smallest_group",
                                        "groups",
                                        "levels",
                                        "lost_by_severe_event",
                                        "lost_of_named",
                                        "loss_to_accept"),
                                risks.stream())
                        .toList());
        plan.putArray("type").add("object").add("null");
        for (String name : List.of("removed", "smallest_group", "groups")) {
            parts.putObject(name).put("type", "integer");
        }
        risks.forEach(name ->
                parts.putObject(name).put("type", "number").put("minimum", 0).put("maximum", 1));
        ObjectNode level = closed(
                parts.putObject("levels").put("type", "array").putObject("items"), List.of("variable", "told_as"));
        level.putObject("variable").put("type", "string");
        level.putObject("told_as").put("type", "string");
        ObjectNode bySevere =
                parts.putObject("lost_by_severe_event").put("type", "array").putObject("items");
        lost(closed(bySevere, List.of("value", "removed", "all", "over_a_tenth")))
                .set("value", codes(Stream.of("yes", "no")));
        ObjectNode ofNamed = parts.putObject("lost_of_named");
        lost(closed(ofNamed, List.of("removed", "all", "over_a_tenth")));
        ofNamed.putArray("type").add("object").add("null");
        ObjectNode accept = parts.putObject("loss_to_accept");
        accept.putArray("type").add("integer").add("null");
        accept.put("description", "Largest loss of a group in percent, where one loses more than a tenth.");
    }

    private static ObjectNode lost(ObjectNode parts) {
        parts.putObject("removed").put("type", "integer").put("multipleOf", 5);
        parts.putObject("all").put("type", "integer").put("multipleOf", 5);
        parts.putObject("over_a_tenth").put("type", "boolean");
        return parts;
    }

    static ObjectNode offered() {
        return codes(Stream.concat(
                Arrays.stream(KnownVariable.values()).map(KnownVariable::variable),
                Arrays.stream(Answer.values()).map(Answer::variable)));
    }

    static ObjectNode closed(ObjectNode schema, List<String> needed) {
        schema.put("type", "object").put("additionalProperties", false);
        ArrayNode required = schema.putArray("required");
        needed.forEach(required::add);
        return schema.putObject("properties");
    }

    static ObjectNode codes(Stream<String> codes) {
        ObjectNode schema = object().put("type", "string");
        ArrayNode allowed = schema.putArray("enum");
        codes.forEach(allowed::add);
        return schema;
    }
}
