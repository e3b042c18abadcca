package airway.registry.research;

import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Writes requests for data as JSON. People are not named; numbers of children are rounded to fives. */
final class RequestJson {
    private static final JsonMapper JSON = new JsonMapper();

    private RequestJson() {}

    static ArrayNode of(List<DataRequest> requests) {
        ArrayNode list = JSON.createArrayNode();
        requests.forEach(request -> list.add(of(request)));
        return list;
    }

    static ObjectNode of(DataRequest request) {
        Choice choice = request.choice();
        Terms terms = request.terms();
        ObjectNode out = JSON.createObjectNode()
                .put("request_id", request.id().toString())
                .put("site_id", request.site().code())
                .put("version", request.version())
                .put("status", request.status().code())
                .put("own", Requests.own(request))
                .put("asked_at", request.at().toString())
                .put("profile", choice.profile().code())
                .put("safe_harbor", choice.safeHarbor());
        ArrayNode variables = out.putArray("variables");
        choice.variables().forEach(variable -> variables.add(variable.variable()));
        choice.answers().forEach(answer -> variables.add(answer.variable()));
        out.put("from", text(choice.cohort().from()))
                .put("to", text(choice.cohort().to()));
        ObjectNode filters = out.putObject("filters");
        choice.cohort().filters().forEach((stratum, codes) -> {
            ArrayNode list = filters.putArray(stratum.variable());
            codes.forEach(list::add);
        });
        out.put("about", text(choice.about()))
                .put("purpose", terms.purpose())
                .put("recipient", terms.recipient())
                .put("approval_reference", terms.approvalReference())
                .put("approval_expires", terms.approvalExpires().toString());
        ArrayNode steps = out.putArray("steps");
        for (Step step : request.steps()) {
            ObjectNode one = steps.addObject()
                    .put("version", step.version())
                    .put("status", step.status().code())
                    .put("at", step.at().toString())
                    .put("reason", step.reason());
            Approval approval = step.approval();
            one.put("accepted_loss_percent", approval == null ? null : approval.acceptedLoss());
            one.put("held_against", approval == null ? null : approval.heldAgainst());
        }
        ArrayNode packages = out.putArray("packages");
        for (DataRequest.Made made : request.packages()) {
            ArrayNode fetched = packages.addObject()
                    .put("version", made.version())
                    .put("made_at", made.at().toString())
                    .put("rows", OutlookJson.rounded(made.rows()))
                    .put("sha256", made.sha256())
                    .putArray("fetched_at");
            made.fetched().forEach(at -> fetched.add(at.toString()));
        }
        return out;
    }

    /**
     * With what would be made now.
     *
     * @param digest names the data for whoever may approve them; null for others, who could compare two requests by it
     */
    static ObjectNode of(Requests.Looked looked, @Nullable String digest) {
        ObjectNode out = of(looked.request());
        out.set("outlook", OutlookJson.of(looked.outlook()));
        out.put("digest", digest);
        return out;
    }

    /** How far a package is; all null while none is being made. */
    static ObjectNode of(Optional<Making> making) {
        return JSON.createObjectNode()
                .put("stage", making.map(one -> one.stage().code()).orElse(null))
                .put("words", making.map(Making::words).orElse(null))
                .put("done", making.map(Making::done).orElse(null))
                .put("of", making.map(Making::of).orElse(null));
    }

    static ObjectNode of(Packages.Link link) {
        return JSON.createObjectNode()
                .put("href", "/api/v1/research/packages/" + link.secret())
                .put("expires_at", link.expires().toString())
                .put("sha256", link.file().sha256())
                .put("bytes", link.file().bytes())
                .put("rows", link.rows());
    }

    private static @Nullable String text(@Nullable Object value) {
        return value == null ? null : value.toString();
    }
}
