package airway.registry.kit;

import airway.registry.access.Site;
import airway.registry.problem.Problem;
import airway.registry.web.JsonFields;
import java.time.Instant;
import java.time.LocalDate;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/** What is asked of a look-back, as it came in. */
final class LookBackForm {
    static final int LONGEST_REASON = 300;
    private static final int LONGEST_VALUE = 60;
    private static final int MOST_CYCLES = 99;

    private LookBackForm() {}

    /**
     * Reads {@code {by, value?, from?, to?, cycles?, names?, reason}}; days are those of the unit, both included.
     *
     * @throws Problem.Malformed if it has other fields
     * @throws Problem.Invalid with everything that is wrong
     */
    static LookBack.Asked read(JsonNode body, Site site) {
        JsonFields fields =
                JsonFields.of(body, Set.of("site_id", "by", "value", "from", "to", "cycles", "names", "reason"));
        List<String> codes =
                Arrays.stream(LookBack.By.values()).map(LookBack.By::code).toList();
        String words = "Choose from what it is asked: " + String.join(", ", codes) + ".";
        LookBack.By by = LookBack.By.of(String.valueOf(fields.needed("by", fields.code("by", codes, words), words)))
                .orElse(null);
        String value = fields.text("value", LONGEST_VALUE);
        LocalDate from = fields.date("from");
        LocalDate to = fields.date("to");
        if (by == LookBack.By.PERIOD) {
            fields.needed("from", from, "Write the first day of the period.");
            fields.needed("to", to, "Write its last day.");
        } else if (by != null) {
            fields.needed("value", value, "Write the number, title or key it is asked about.");
        }
        if (by == LookBack.By.RECORD && value != null && !key(value)) {
            fields.fault("value", "uuid", "Write the key of the record as it was given.");
        }
        if (from != null && to != null && to.isBefore(from)) {
            fields.fault("to", "to.before", "The last day is before the first.");
        }
        Integer cycles = fields.whole("cycles", 1, MOST_CYCLES);
        String names = fields.code("names", List.of("yes", "no"), "Send yes or no.");
        String reason = fields.needed(
                "reason",
                fields.text("reason", LONGEST_REASON),
                "Write why you look back; it goes into the audit. No names, no numbers of patients.");
        fields.check();
        return new LookBack.Asked(
                Objects.requireNonNull(by),
                by == LookBack.By.PERIOD ? null : value,
                begin(from, site),
                to == null ? null : begin(to.plusDays(1), site),
                cycles,
                by == LookBack.By.PATIENT || "yes".equals(names),
                Objects.requireNonNull(reason));
    }

    private static boolean key(String text) {
        try {
            UUID.fromString(text);
            return true;
        } catch (IllegalArgumentException e) {
            return false;
        }
    }

    private static @Nullable Instant begin(@Nullable LocalDate day, Site site) {
        return day == null ? null : day.atStartOfDay(site.zone()).toInstant();
    }
}
