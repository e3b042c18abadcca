package airway.registry.reports;

import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import airway.registry.web.JsonFields;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/** The texts of a report as they came in. */
final class ReportForm {
    /** Characters of a text. */
    static final int LONGEST = 2_000;

    static final List<String> FIELDS = List.of("context", "learned", "next_steps", "asked_for", "read_with_care");

    private ReportForm() {}

    /**
     * Reads the texts; what is left out is empty from then on.
     *
     * @throws Problem.Malformed if there are other fields
     * @throws Problem.Invalid with everything that is wrong
     */
    static Texts read(JsonNode body) {
        JsonFields fields = JsonFields.of(body, Set.copyOf(FIELDS));
        Texts texts = new Texts(
                fields.lines("context", LONGEST),
                fields.lines("learned", LONGEST),
                fields.lines("next_steps", LONGEST),
                fields.lines("asked_for", LONGEST),
                fields.lines("read_with_care", LONGEST));
        fields.check();
        return texts;
    }

    /**
     * Who reads a paper; the unit where that is left out.
     *
     * @throws Problem.Malformed if there are no such readers
     */
    static Readers readers(@Nullable String code) {
        return code == null || code.isEmpty()
                ? Readers.UNIT
                : Arrays.stream(Readers.values())
                        .filter(readers -> readers.code().equals(code))
                        .findFirst()
                        .orElseThrow(() -> new Problem.Malformed(
                                Fault.parameter("readers", "code", "Send unit or board, or leave this out.")));
    }
}
