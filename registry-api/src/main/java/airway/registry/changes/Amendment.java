package airway.registry.changes;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Why a version after the first was made.
 *
 * @param text more about it, or null
 */
record Amendment(Code code, @Nullable String text) {
    /** The reasons there are; which of them fit depends on what is done. */
    public enum Code {
        MISTYPED("Mistyped"),
        ADDED_LATER("Something was added later"),
        KNOWN_BETTER("It is known better now"),
        DUPLICATE("Noted twice"),
        DID_NOT_HAPPEN("It did not happen"),
        TEST_ENTRY("A try, not a real change"),
        OTHER("Another reason");

        static final Set<Code> TO_AMEND = Set.of(MISTYPED, ADDED_LATER, KNOWN_BETTER, OTHER);
        static final Set<Code> TO_WITHDRAW = Set.of(DUPLICATE, DID_NOT_HAPPEN, TEST_ENTRY, OTHER);

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
            return Arrays.stream(values())
                    .filter(code -> code.value().equals(value))
                    .findFirst()
                    .orElseThrow();
        }

        static List<String> values(Set<Code> codes) {
            return codes.stream().sorted().map(Code::value).toList();
        }
    }
}
