package airway.registry.research;

import static airway.registry.web.ApiDocument.answer;
import static airway.registry.web.ApiDocument.body;
import static airway.registry.web.ApiDocument.header;
import static airway.registry.web.ApiDocument.list;
import static airway.registry.web.ApiDocument.object;
import static airway.registry.web.ApiDocument.parameter;
import static airway.registry.web.ApiDocument.ref;

import airway.registry.web.ApiDocument;
import airway.registry.web.ApiPart;
import airway.registry.web.IfMatch;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** Requests for research data and packages in the API, described for programs. */
@Component
@Order(6)
class RequestDescription implements ApiPart {
    private static final JsonMapper JSON = new JsonMapper();
    private static final String PATH = "/api/v1/research/requests";
    private static final List<String> NEEDED =
            List.of("variables", "purpose", "recipient", "approval_reference", "approval_expires");

    private static final JsonNode BLADES = JSON.readTree("""
            {"profile": "controlled", "variables": ["age_days", "encounter_start", "fps"], "from": "2024", "to": "2025",
             "filters": {"encounter_kind": ["initial"]}, "purpose": "First passes by age",
             "recipient": "Project on first passes", "approval_reference": "EC 26-114",
             "approval_expires": "2028-12-31"}""");

    @Override
    public void describe(ApiDocument document) {
        schemas(document);
        ObjectNode all = document.operation("get", PATH, "listRequests", "List the requests for research data");
        parameter(all, "query", "site_id", false, object().put("type", "string"), "The unit; yours when left out.");
        answer(all, 200, "The newest first.", list(ref("DataRequest")));

        ObjectNode ask = document.operation("post", PATH, "askForData", "Ask for research data", 413, 415, 422);
        body(ask, ref("DataAsked"), Map.of("blades", BLADES));
        ObjectNode asked = answer(
                ask,
                201,
                "It waits for the data guardian. Refused with approval-missing, approval-expired, never-leaves, recognisable or too-close.",
                ref("DataRequest"));
        header(asked, "Location", "Where it is");
        header(asked, "ETag", "Its version");

        ObjectNode read =
                document.operation("get", PATH + "/{id}", "readRequest", "Read a request, and what would be made");
        header(
                answer(read, 200, "As it stands, with the outlook of this moment.", ref("DataRequest")),
                "ETag",
                "Its version");

        step(document, "approval", "approveRequest", "Say yes to exactly the data that were looked at", "Approval");
        step(document, "refusal", "refuseRequest", "Say no, and why", "Reason");
        step(document, "withdrawal", "withdrawRequest", "Take a request back, and why", "Reason");

        ObjectNode link = document.operation(
                "post", PATH + "/{id}/package", "makePackage", "Make the package and a link to it", 409, 422);
        answer(
                link,
                200,
                "For the one who asked. Refused with not-approved, approval-expired, data-changed, being-made or cancelled.",
                ref("PackageLink"));
        answer(
                document.operation(
                        "get", PATH + "/{id}/package", "readMaking", "See how far a package is that is being made"),
                200,
                "All null while none is being made.",
                ref("PackageMaking"));
        ObjectNode cancel = document.operation(
                "post", PATH + "/{id}/package/cancellation", "cancelPackage", "Cancel a package that is being made");
        cancel.withObject("/responses")
                .putObject("204")
                .put("description", "Whoever waits for it is told; nothing of it is kept.");
        ObjectNode fetch = document.operation(
                "get",
                "/api/v1/research/packages/{link}",
                "fetchPackage",
                "Fetch a package; the link serves once",
                409,
                422);
        ObjectNode content = fetch.withObject("/responses").putObject("200");
        content.put("description", "The package.");
        content.putObject("content")
                .putObject("application/zip")
                .putObject("schema")
                .put("type", "string")
                .put("format", "binary");
    }

    private static void step(ApiDocument document, String name, String operation, String words, String schema) {
        ObjectNode step =
                document.operation("post", PATH + "/{id}/" + name, operation, words, 403, 409, 412, 413, 415, 422, 428);
        parameter(
                step,
                "header",
                "If-Match",
                true,
                object().put("type", "string").put("pattern", IfMatch.FORM),
                "ETag of the request as it was read.");
        body(step, ref("Request" + schema), Map.of());
        header(answer(step, 200, "As it stands now.", ref("DataRequest")), "ETag", "Its version");
    }

    private static void schemas(ApiDocument document) {
        ObjectNode asked = OutlookDescription.closed(document.schema("DataAsked"), NEEDED);
        asked.putObject("site_id").put("type", "string");
        asked(asked);

        List<String> told = new ArrayList<>(List.of(
                "request_id",
                "site_id",
                "version",
                "status",
                "own",
                "asked_at",
                "profile",
                "safe_harbor",
                "variables",
                "from",
                "to",
                "filters",
                "about",
                "steps",
                "packages"));
        told.addAll(NEEDED.subList(1, NEEDED.size()));
        ObjectNode request = OutlookDescription.closed(document.schema("DataRequest"), told);
        asked(request);
        for (String name : List.of("from", "to", "about")) {
            nullable(request, name, "string");
        }
        request.putObject("request_id").put("type", "string").put("format", "uuid");
        request.putObject("site_id").put("type", "string");
        request.putObject("version").put("type", "integer");
        request.set("status", status());
        request.putObject("own").put("type", "boolean").put("description", "Whether you asked for it.");
        request.putObject("asked_at").put("type", "string").put("format", "date-time");
        request.set("outlook", ref("Outlook"));
        nullable(request, "digest", "string")
                .put("description", "Names exactly the data that would be made; for the data guardian alone.");
        ObjectNode step = OutlookDescription.closed(
                request.putObject("steps").put("type", "array").putObject("items"),
                List.of("version", "status", "at", "reason", "accepted_loss_percent", "held_against"));
        step.putObject("version").put("type", "integer");
        step.set("status", status());
        step.putObject("at").put("type", "string").put("format", "date-time");
        nullable(step, "reason", "string");
        nullable(step, "accepted_loss_percent", "integer");
        nullable(step, "held_against", "integer")
                .put("description", "Earlier packages of the unit that the data were held against.");
        ObjectNode made = OutlookDescription.closed(
                request.putObject("packages").put("type", "array").putObject("items"),
                List.of("version", "made_at", "rows", "sha256", "fetched_at"));
        made.putObject("version").put("type", "integer").put("description", "The step that approved it.");
        made.putObject("made_at").put("type", "string").put("format", "date-time");
        made.putObject("rows").put("type", "integer").put("description", "Rounded to fives.");
        made.putObject("sha256").put("type", "string").put("pattern", "^[0-9a-f]{64}$");
        made.putObject("fetched_at")
                .put("type", "array")
                .put("description", "When it left.")
                .putObject("items")
                .put("type", "string")
                .put("format", "date-time");

        ObjectNode approval = OutlookDescription.closed(document.schema("RequestApproval"), List.of("digest"));
        approval.putObject("digest").put("type", "string").put("description", "Of the request as it was read.");
        approval.putObject("accept_loss")
                .put("type", "integer")
                .put("minimum", 1)
                .put("maximum", 100)
                .put("description", "loss_to_accept of the outlook, where there is one.");
        ObjectNode reason = OutlookDescription.closed(document.schema("RequestReason"), List.of("reason"));
        text(reason, "reason", RequestForm.LONGEST_REASON, "Nothing about a patient.");

        ObjectNode making =
                OutlookDescription.closed(document.schema("PackageMaking"), List.of("stage", "words", "done", "of"));
        nullable(making, "stage", "string").put("description", "reading, judging or writing");
        nullable(making, "words", "string");
        nullable(making, "done", "integer").put("description", "Records or rows that this stage is through with.");
        nullable(making, "of", "integer").put("description", "Records that it is made of.");

        ObjectNode link = OutlookDescription.closed(
                document.schema("PackageLink"), List.of("href", "expires_at", "sha256", "bytes", "rows"));
        link.putObject("href").put("type", "string").put("description", "Serves once, for the one who asked.");
        link.putObject("expires_at").put("type", "string").put("format", "date-time");
        link.putObject("sha256").put("type", "string").put("pattern", "^[0-9a-f]{64}$");
        link.putObject("bytes").put("type", "integer");
        link.putObject("rows").put("type", "integer");
    }

    private static void asked(ObjectNode properties) {
        properties.set(
                "profile",
                OutlookDescription.codes(Arrays.stream(Profile.values()).map(Profile::code)));
        properties
                .putObject("safe_harbor")
                .put("type", "boolean")
                .put("description", "Whether nothing finer than a year and no code for a child may leave.");
        properties.set("variables", list(OutlookDescription.offered()));
        properties.putObject("from").put("type", "string");
        properties.putObject("to").put("type", "string");
        properties
                .putObject("filters")
                .put("type", "object")
                .put("description", "Codes by variable; several mean any of them.")
                .putObject("additionalProperties")
                .put("type", "array")
                .putObject("items")
                .put("type", "string");
        properties
                .putObject("about")
                .put("type", "string")
                .put("description", "The group that the purpose is about, as limited_mouth_opening:yes.");
        text(properties, "purpose", RequestForm.LONGEST_PURPOSE, "What for; nothing about a patient.");
        text(properties, "recipient", RequestForm.LONGEST_RECIPIENT, "Who will hold the data: a body or a project.");
        text(properties, "approval_reference", RequestForm.LONGEST_REFERENCE, "Number of the approval.");
        properties
                .putObject("approval_expires")
                .put("type", "string")
                .put("format", "date")
                .put("description", "Last day on which it holds.");
    }

    private static ObjectNode status() {
        return OutlookDescription.codes(Stream.of(Step.Status.values()).map(Step.Status::code));
    }

    private static ObjectNode nullable(ObjectNode properties, String name, String type) {
        ObjectNode one = properties.putObject(name);
        one.putArray("type").add(type).add("null");
        return one;
    }

    private static void text(ObjectNode properties, String name, int longest, String description) {
        properties
                .putObject(name)
                .put("type", "string")
                .put("minLength", 1)
                .put("maxLength", longest)
                .put("description", description);
    }
}
