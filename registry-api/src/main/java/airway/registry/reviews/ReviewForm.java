package airway.registry.reviews;

import airway.registry.problem.Problem;
import airway.registry.web.JsonFields;
import java.time.LocalDate;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/** A review, and the reason for a further version of it, as they came in. */
final class ReviewForm {
    static final int LONGEST = 500;
    private static final LocalDate EARLIEST = LocalDate.of(2000, 1, 1);
    private static final LocalDate LATEST = LocalDate.of(2100, 12, 31);
    private static final String WHY = "Say why it is written anew: " + String.join(", ", Amendment.Code.all()) + ".";

    private static final Set<String> PARTS = Set.of("contributed", "learning_point", "action", "due_on", "done");
    private static final Set<String> PARTS_AGAIN =
            Set.of("contributed", "learning_point", "action", "due_on", "done", "amendment");

    private ReviewForm() {}

    /** A review, and why it is written anew; null for the first version. */
    record Read(Review review, @Nullable Amendment amendment) {}

    /**
     * Reads a review.
     *
     * @param before what it follows, or null for the first
     * @throws Problem.Malformed if it has other fields
     * @throws Problem.Invalid with everything that is wrong
     */
    static Read read(JsonNode body, @Nullable Review before) {
        JsonFields fields = JsonFields.of(body, before == null ? PARTS : PARTS_AGAIN);
        Review review = review(fields);
        Amendment amendment = before == null ? null : why(fields);
        if (review.equals(before)) {
            fields.fault("contributed", "unchanged", "Nothing was changed: every answer is as it was.");
        }
        fields.check();
        return new Read(review, amendment);
    }

    private static Review review(JsonFields fields) {
        List<Contribution> contributed = fields
                .codes("contributed", Contribution.all(), "Send any of " + String.join(", ", Contribution.all()) + ".")
                .stream()
                .map(Contribution::of)
                .sorted()
                .toList();
        if (contributed.contains(Contribution.NOTHING_FOUND) && contributed.size() > 1) {
            fields.fault(
                    "contributed", "nothing.alone", "\u201cNothing found\u201d stands alone; take it or the others.");
        }
        String learningPoint = fields.text("learning_point", LONGEST);
        String action = fields.text("action", LONGEST);
        LocalDate dueOn = fields.date("due_on");
        if (dueOn != null && (dueOn.isBefore(EARLIEST) || dueOn.isAfter(LATEST))) {
            fields.fault("due_on", "date.range", "Write a day from " + EARLIEST + " to " + LATEST + ".");
        }
        if (dueOn != null && action == null) {
            fields.fault("action", "due.action", "Write what is to be done by that day, or leave the day out.");
        }
        String done = fields.needed(
                "done", fields.code("done", List.of("yes", "no"), "Send yes or no."), "Choose whether it is done.");
        if ("yes".equals(done) && contributed.isEmpty()) {
            fields.fault(
                    "contributed",
                    "done.contributed",
                    "Before it is done, say what contributed, or that nothing was found.");
        }
        return new Review(contributed, learningPoint, action, dueOn, "yes".equals(done));
    }

    private static @Nullable Amendment why(JsonFields body) {
        JsonFields fields = body.inside("amendment", Set.of("reason_code", "reason_text"));
        String code = fields.needed("reason_code", fields.code("reason_code", Amendment.Code.all(), WHY), WHY);
        String text = fields.text("reason_text", LONGEST);
        return code == null ? null : new Amendment(Amendment.Code.of(code), text);
    }
}
