package airway.registry.encounter;

import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/** The reason for an amendment or a withdrawal, as it came in. */
final class ReasonForm {
    private static final Set<String> PARTS = Set.of("reason_code", "reason_text");

    private ReasonForm() {}

    /**
     * Reads a reason.
     *
     * @param pointer where it stands in the body
     * @param fitting the codes that fit what is done
     * @throws Problem.Malformed if it has other fields
     * @throws Problem.Invalid without a fitting code, or with a text that is too long
     */
    static Reason read(JsonNode json, String pointer, Set<Reason.Code> fitting) {
        List<Fault> unreadable = new ArrayList<>();
        json.propertyNames().stream()
                .filter(name -> !PARTS.contains(name))
                .forEach(name -> unreadable.add(Fault.at(
                        pointer + "/" + JsonAnswers.escaped(name),
                        "field.unknown",
                        "There is no such field here; leave it out.")));
        if (!unreadable.isEmpty()) {
            throw new Problem.Malformed("The reason has fields that cannot be taken.", unreadable);
        }
        List<Fault> faults = new ArrayList<>();
        Reason.Code code = Reason.Code.of(json.path("reason_code").asString(""))
                .filter(fitting::contains)
                .orElse(null);
        if (code == null) {
            faults.add(Fault.at(
                    pointer + "/reason_code",
                    json.path("reason_code").isMissingNode() ? "required" : "code",
                    "Say why: " + Reason.Code.words(fitting) + "."));
        }
        String text = text(json.path("reason_text"), pointer, faults);
        if (code == null || !faults.isEmpty()) {
            throw new Problem.Invalid(faults);
        }
        return new Reason(code, text);
    }

    private static @Nullable String text(JsonNode json, String pointer, List<Fault> faults) {
        if (json.isMissingNode() || json.isNull()) {
            return null;
        }
        String text = json.isString() ? json.stringValue().strip() : "";
        if (text.isEmpty() || text.length() > Reason.LONGEST || text.chars().anyMatch(Character::isISOControl)) {
            faults.add(Fault.at(
                    pointer + "/reason_text",
                    "text",
                    "Send 1 to " + Reason.LONGEST + " characters on one line, with nothing about the patient."));
        }
        return text;
    }
}
