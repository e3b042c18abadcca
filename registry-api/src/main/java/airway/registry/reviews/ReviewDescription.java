package airway.registry.reviews;

import static airway.registry.web.ApiDocument.answer;
import static airway.registry.web.ApiDocument.body;
import static airway.registry.web.ApiDocument.header;
import static airway.registry.web.ApiDocument.list;
import static airway.registry.web.ApiDocument.object;
import static airway.registry.web.ApiDocument.parameter;
import static airway.registry.web.ApiDocument.ref;

import airway.registry.cohort.Measure;
import airway.registry.web.ApiDocument;
import airway.registry.web.ApiPart;
import airway.registry.web.IfMatch;
import java.util.List;
import java.util.Map;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The case reviews of the API, described for programs. */
@Component
@Order(4)
class ReviewDescription implements ApiPart {
    private static final String ONE = "/api/v1/reviews/{encounter_id}";

    private static final JsonNode FIRST = new JsonMapper().readTree("""
            {"contributed": ["preparation", "communication"],
             "learning_point": "The plan for a second attempt was not said aloud.",
             "action": "Add it to the briefing.", "due_on": "2026-12-01", "done": "no"}""");

    @Override
    public void describe(ApiDocument document) {
        schemas(document);
        ObjectNode all =
                document.operation("get", "/api/v1/reviews", "listReviews", "List the cases of a unit to review");
        ObjectNode text = object().put("type", "string");
        parameter(all, "query", "site_id", false, text, "The unit; yours when left out.");
        parameter(all, "query", "from", false, text, "First month, quarter or year, as 2025-03.");
        parameter(all, "query", "to", false, text, "Last month, quarter or year.");
        parameter(all, "query", "why", false, codes(opening()), "Only cases opened by this measure.");
        parameter(
                all,
                "query",
                "done",
                false,
                codes(List.of("yes", "no")),
                "Only those whose review is done, or is not.");
        parameter(all, "query", "after", false, text, "The place in the list, next of the page before.");
        answer(all, 200, "Those not done first, each part newest first.", ref("CasePage"));

        ObjectNode read = document.operation("get", ONE, "readReview", "Read what was written about a case");
        header(answer(read, 200, "The version that counts.", ref("Case")), "ETag", "Its version, as \"v1\"");

        ObjectNode write =
                document.operation("put", ONE, "writeReview", "Write about a case", 409, 412, 413, 415, 422, 428);
        parameter(
                write,
                "header",
                "If-Match",
                false,
                object().put("type", "string").put("pattern", IfMatch.FORM),
                "The ETag of the version that was read; the body then says why in amendment.");
        parameter(
                write,
                "header",
                "If-None-Match",
                false,
                object().put("type", "string").put("const", "*"),
                "In its place, while nothing was written yet.");
        body(write, ref("Review"), Map.of("first", FIRST));
        header(answer(write, 200, "A further version is kept.", ref("Case")), "ETag", "Its version, as \"v2\"");
        header(answer(write, 201, "The first version is kept.", ref("Case")), "ETag", "Its version, as \"v1\"");

        ObjectNode versions = document.operation(
                "get", ONE + "/versions", "listReviewVersions", "List the versions of what was written about a case");
        answer(versions, 200, "The first one first.", list(ref("KeptReview")));
    }

    private static void schemas(ApiDocument document) {
        ObjectNode review = document.schema("Review");
        review.put("type", "object").put("description", "Nothing about the patient and no names of people.");
        needed(review, List.of("done"));
        fields(review).set("amendment", amendment());

        ObjectNode kept = document.schema("KeptReview");
        kept.put("type", "object");
        needed(kept, List.of("version", "contributed", "done", "written_at"));
        ObjectNode properties = fields(kept);
        properties.putObject("version").put("type", "integer").put("minimum", 1);
        properties.putObject("written_at").put("type", "string").put("format", "date-time");
        properties.set("amendment", amendment());

        ObjectNode one = document.schema("Case");
        one.put("type", "object");
        needed(
                one,
                List.of(
                        "encounter_id",
                        "site_id",
                        "encounter_start",
                        "encounter_start_precision",
                        "withdrawn",
                        "opened_by",
                        "review"));
        ObjectNode parts = one.putObject("properties");
        parts.putObject("encounter_id").put("type", "string").put("format", "uuid");
        parts.putObject("site_id").put("type", "string");
        parts.putObject("encounter_start").put("type", "string").put("format", "date-time");
        parts.set("encounter_start_precision", codes(List.of("minute", "day", "month", "nominal")));
        parts.set("withdrawn", codes(List.of("yes", "no")));
        parts.set(
                "opened_by",
                list(codes(opening()))
                        .put(
                                "description",
                                "Empty where the record was put right or withdrawn and the reason is gone."));
        ArrayNode either = parts.putObject("review").putArray("anyOf");
        either.add(ref("KeptReview")).addObject().put("type", "null");

        ObjectNode page = document.schema("CasePage");
        page.put("type", "object");
        needed(page, List.of("cases", "waiting", "done", "next"));
        ObjectNode of = page.putObject("properties");
        of.set("cases", list(ref("Case")));
        of.putObject("waiting").put("type", "integer").put("description", "Cases of these filters not done.");
        of.putObject("done").put("type", "integer");
        of.putObject("next").putArray("type").add("string").add("null");
    }

    private static ObjectNode fields(ObjectNode schema) {
        schema.put("additionalProperties", false);
        ObjectNode properties = schema.putObject("properties");
        properties.set(
                "contributed",
                list(codes(Contribution.all())).put("description", "What contributed; nothing_found stands alone."));
        text(properties, "learning_point", "What is to be learnt.");
        text(properties, "action", "What is to be done.");
        properties
                .putObject("due_on")
                .put("type", "string")
                .put("format", "date")
                .put("description", "By when the action is to be done.");
        properties.set("done", codes(List.of("yes", "no")));
        return properties;
    }

    private static ObjectNode amendment() {
        ObjectNode why = object().put("type", "object").put("additionalProperties", false);
        needed(why, List.of("reason_code"));
        ObjectNode properties = why.putObject("properties");
        properties.set("reason_code", codes(Amendment.Code.all()));
        text(properties, "reason_text", "More about it.");
        return why;
    }

    private static List<String> opening() {
        return Case.OPENING.stream().map(Measure::id).toList();
    }

    private static void text(ObjectNode properties, String name, String description) {
        properties
                .putObject(name)
                .put("type", "string")
                .put("minLength", 1)
                .put("maxLength", ReviewForm.LONGEST)
                .put("description", description);
    }

    private static void needed(ObjectNode schema, List<String> names) {
        ArrayNode required = schema.putArray("required");
        names.forEach(required::add);
    }

    private static ObjectNode codes(List<String> codes) {
        ObjectNode schema = object().put("type", "string");
        ArrayNode allowed = schema.putArray("enum");
        codes.forEach(allowed::add);
        return schema;
    }
}
