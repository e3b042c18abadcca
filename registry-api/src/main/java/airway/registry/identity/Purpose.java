package airway.registry.identity;

import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * Why a hospital number is looked at or erased.
 *
 * @param text more about it, or null; never the number
 */
public record Purpose(Code code, @Nullable String text) {
    /** Longest text, in characters; with its code it fits the audit. */
    static final int LONGEST = 400;

    /** The reasons there are; which of them fit depends on what is done. */
    public enum Code {
        CARE("Care of this child"),
        PUTTING_RIGHT("Putting a record right"),
        CASE_REVIEW("Case review"),
        LOOK_BACK("Look-back after an infection or a fault of the kit"),
        FAMILY("Asked by the child or the family"),
        WRONG_NUMBER("It is the wrong number"),
        NOT_NEEDED("It is no longer needed"),
        OTHER("Another reason");

        public static final List<Code> TO_LOOK = List.of(CARE, PUTTING_RIGHT, CASE_REVIEW, LOOK_BACK, FAMILY, OTHER);
        static final List<Code> TO_ERASE = List.of(FAMILY, WRONG_NUMBER, NOT_NEEDED, OTHER);

        private final String label;

        Code(String label) {
            this.label = label;
        }

        public String label() {
            return label;
        }

        /** As stored and sent. */
        public String value() {
            return name().toLowerCase(Locale.ROOT);
        }

        static Code of(String value) {
            return valueOf(value.toUpperCase(Locale.ROOT));
        }

        static List<String> values(List<Code> codes) {
            return codes.stream().map(Code::value).toList();
        }
    }

    /** For the audit. */
    String words() {
        return text == null ? code.value() : code.value() + ": " + text;
    }
}
