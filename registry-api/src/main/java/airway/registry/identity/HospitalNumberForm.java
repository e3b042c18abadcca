package airway.registry.identity;

import airway.registry.problem.Problem;
import airway.registry.web.JsonFields;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/** A hospital number, or why one is asked for, as it came in. */
final class HospitalNumberForm {
    static final String NUMBER = "hospital_number";

    private HospitalNumberForm() {}

    /**
     * Reads {@code {hospital_number}}.
     *
     * @return null where there is to be none
     * @throws Problem.Malformed if it has other fields
     * @throws Problem.Invalid if it is no hospital number, or is not said
     */
    static @Nullable HospitalNumber change(JsonNode body) {
        JsonFields fields = JsonFields.of(body, Set.of(NUMBER));
        if (body.path(NUMBER).isMissingNode()) {
            fields.fault(NUMBER, "required", "Send the number, or null to take it out.");
        }
        HospitalNumber number = fields.blank(NUMBER) ? null : number(body, fields);
        fields.check();
        return number;
    }

    /**
     * Reads {@code {hospital_number}} of a search.
     *
     * @throws Problem.Invalid without a number
     */
    static HospitalNumber asked(JsonNode body) {
        JsonFields fields = JsonFields.of(body, Set.of(NUMBER));
        HospitalNumber number = number(body, fields);
        fields.check();
        return Objects.requireNonNull(number);
    }

    /** A number and why it is to be erased. */
    record Erasure(HospitalNumber number, Purpose why) {}

    /**
     * Reads {@code {hospital_number, reason_code, reason_text?}}.
     *
     * @throws Problem.Invalid with everything that is wrong
     */
    static Erasure erasure(JsonNode body) {
        JsonFields fields = JsonFields.of(body, Set.of(NUMBER, "reason_code", "reason_text"));
        HospitalNumber number = number(body, fields);
        Purpose why = purpose(fields, Purpose.Code.TO_ERASE);
        if (number != null && why != null && number.in(why.text())) {
            numberInText(fields);
        }
        fields.check();
        return new Erasure(Objects.requireNonNull(number), Objects.requireNonNull(why));
    }

    /**
     * Reads {@code {reason_code, reason_text?}} of a look.
     *
     * @throws Problem.Invalid without a reason that fits
     */
    static Purpose look(JsonNode body) {
        JsonFields fields = JsonFields.of(body, Set.of("reason_code", "reason_text"));
        Purpose why = purpose(fields, Purpose.Code.TO_LOOK);
        fields.check();
        return Objects.requireNonNull(why);
    }

    /** Refuses a reason that has the number in it: reasons are kept where the number must never be. */
    static void withoutNumber(Purpose why, HospitalNumber number, JsonNode body) {
        if (number.in(why.text())) {
            JsonFields fields = JsonFields.of(body, Set.of("reason_code", "reason_text"));
            numberInText(fields);
            fields.check();
        }
    }

    private static void numberInText(JsonFields fields) {
        fields.fault("reason_text", "number", "Leave the hospital number out of the reason.");
    }

    private static @Nullable HospitalNumber number(JsonNode body, JsonFields fields) {
        JsonNode value = body.path(NUMBER);
        String typed = value.isString() ? value.stringValue() : "";
        String fault = HospitalNumber.fault(typed);
        if (fault != null) {
            fields.fault(NUMBER, fields.blank(NUMBER) ? "required" : "text", fault);
            return null;
        }
        return HospitalNumber.of(typed);
    }

    private static @Nullable Purpose purpose(JsonFields fields, List<Purpose.Code> fitting) {
        List<String> codes = Purpose.Code.values(fitting);
        String say = "Say why: " + String.join(", ", codes) + ".";
        String code = fields.needed("reason_code", fields.code("reason_code", codes, say), say);
        String text = fields.text("reason_text", Purpose.LONGEST);
        if (code == null) {
            return null;
        }
        Purpose.Code why = Purpose.Code.of(code);
        if (why == Purpose.Code.OTHER && text == null) {
            fields.fault("reason_text", "required", "Write in a few words which reason it is.");
        }
        return new Purpose(why, text);
    }
}
