package airway.registry.changes;

import airway.registry.problem.Problem;
import airway.registry.web.JsonFields;
import java.time.LocalDate;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/** A change, and the reason for a further version of it, as they came in. */
final class ChangeForm {
    static final int LONGEST_NAME = 60;
    static final int LONGEST_TEXT = 500;
    static final LocalDate EARLIEST = LocalDate.of(1950, 1, 1);

    private static final Set<String> PARTS = Set.of("site_id", "changed_on", "name", "reason", "cuts_chart");
    private static final Set<String> PARTS_TO_AMEND =
            Set.of("site_id", "changed_on", "name", "reason", "cuts_chart", "amendment");
    private static final Set<String> WHY = Set.of("reason_code", "reason_text");

    private ChangeForm() {}

    /** A change put right, and why. */
    record Amended(Change change, Amendment amendment) {}

    /**
     * Reads a new change.
     *
     * @param today in the zone of the unit
     * @throws Problem.Malformed if it has other fields
     * @throws Problem.Invalid with everything that is wrong
     */
    static Change read(JsonNode body, LocalDate today) {
        JsonFields fields = JsonFields.of(body, PARTS);
        Change change = change(fields, UUID.randomUUID(), today);
        fields.check();
        return Objects.requireNonNull(change);
    }

    /** Reads the next version of a change, with {@code amendment}; refuses as {@link #read}. */
    static Amended amended(JsonNode body, Kept before, LocalDate today) {
        JsonFields fields = JsonFields.of(body, PARTS_TO_AMEND);
        if (!body.path("site_id")
                .asString(before.site().code())
                .equals(before.site().code())) {
            fields.fault("site_id", "site.other", "A change stays with its unit; leave this out.");
        }
        Change change = change(fields, before.change().id(), today);
        Amendment amendment = why(fields.inside("amendment", WHY), Amendment.Code.TO_AMEND, "Say why it is put right");
        if (change != null && change.saysAs(before.change())) {
            fields.fault("name", "unchanged", "Nothing was changed: every answer is as it was.");
        }
        fields.check();
        return new Amended(Objects.requireNonNull(change), Objects.requireNonNull(amendment));
    }

    /** Reads why a change is withdrawn; refuses as {@link #read}. */
    static Amendment withdrawal(JsonNode body) {
        JsonFields fields = JsonFields.of(body, WHY);
        Amendment amendment = why(fields, Amendment.Code.TO_WITHDRAW, "Say why it is withdrawn");
        fields.check();
        return Objects.requireNonNull(amendment);
    }

    private static @Nullable Change change(JsonFields fields, UUID id, LocalDate today) {
        LocalDate on = fields.needed("changed_on", fields.date("changed_on"), "Write the day it began, as 2026-03-14.");
        if (on != null && on.isAfter(today)) {
            fields.fault("changed_on", "date.ahead", "This day lies ahead; note the change once it has begun.");
        } else if (on != null && on.isBefore(EARLIEST)) {
            fields.fault("changed_on", "date.early", "Write a day from " + EARLIEST + " on.");
        }
        String name = fields.needed(
                "name", fields.text("name", LONGEST_NAME), "Give it a name: what was changed, in a few words.");
        String reason = fields.needed("reason", fields.text("reason", LONGEST_TEXT), "Write why it was changed.");
        String cuts = fields.needed(
                "cuts_chart",
                fields.code("cuts_chart", List.of("yes", "no"), "Send yes or no."),
                "Choose whether charts begin a new phase, or only carry a note.");
        return on == null || name == null || reason == null || cuts == null
                ? null
                : new Change(id, on, name, reason, cuts.equals("yes"));
    }

    private static @Nullable Amendment why(JsonFields fields, Set<Amendment.Code> fitting, String mend) {
        List<String> codes = Amendment.Code.values(fitting);
        String words = mend + ": " + String.join(", ", codes) + ".";
        String code = fields.needed("reason_code", fields.code("reason_code", codes, words), words);
        String text = fields.text("reason_text", LONGEST_TEXT);
        return code == null ? null : new Amendment(Amendment.Code.of(code), text);
    }
}
