package airway.registry.reviews;

import airway.registry.cohort.Measure;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Writes cases and what was written about them as JSON. */
final class ReviewJson {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter INSTANT =
            DateTimeFormatter.ofPattern("yyyy-MM-dd'T'HH:mm:ssxxx", Locale.ROOT);

    private ReviewJson() {}

    static ObjectNode of(Case one) {
        ZoneId zone = one.site().zone();
        ObjectNode out = JSON.createObjectNode()
                .put("encounter_id", one.id().toString())
                .put("site_id", one.site().code())
                .put("encounter_start", INSTANT.format(one.startedAt().atZone(zone)))
                .put("encounter_start_precision", one.precision())
                .put("withdrawn", one.withdrawn() ? "yes" : "no");
        ArrayNode why = out.putArray("opened_by");
        one.why().stream().map(Measure::id).forEach(why::add);
        if (one.kept() == null) {
            out.putNull("review");
        } else {
            out.set("review", of(one.kept(), zone));
        }
        return out;
    }

    static ObjectNode of(Reviews.Page page) {
        ObjectNode out = JSON.createObjectNode();
        ArrayNode cases = out.putArray("cases");
        page.cases().forEach(one -> cases.add(of(one)));
        out.put("waiting", page.counts().waiting()).put("done", page.counts().done());
        out.put("next", page.next() == null ? null : page.next().encoded());
        return out;
    }

    static ArrayNode of(List<Kept> versions, ZoneId zone) {
        ArrayNode out = JSON.createArrayNode();
        versions.forEach(kept -> out.add(of(kept, zone)));
        return out;
    }

    private static ObjectNode of(Kept kept, ZoneId zone) {
        Review review = kept.review();
        ObjectNode out = JSON.createObjectNode().put("version", kept.version());
        ArrayNode contributed = out.putArray("contributed");
        Contribution.values(review.contributed()).forEach(contributed::add);
        if (review.learningPoint() != null) {
            out.put("learning_point", review.learningPoint());
        }
        if (review.action() != null) {
            out.put("action", review.action());
        }
        if (review.dueOn() != null) {
            out.put("due_on", review.dueOn().toString());
        }
        out.put("done", review.done() ? "yes" : "no")
                .put("written_at", INSTANT.format(kept.writtenAt().atZone(zone)));
        Amendment amendment = kept.amendment();
        if (amendment != null) {
            ObjectNode why = out.putObject("amendment")
                    .put("reason_code", amendment.code().value());
            if (amendment.text() != null) {
                why.put("reason_text", amendment.text());
            }
        }
        return out;
    }
}
