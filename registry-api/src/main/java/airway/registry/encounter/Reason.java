package airway.registry.encounter;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * Why a version after the first was made.
 *
 * @param text more about it, or null; never about the patient
 */
public record Reason(Code code, @Nullable String text) {
    /** Longest text, in characters. */
    static final int LONGEST = 500;

    /** The reasons there are; which of them fit depends on what is done. */
    public enum Code {
        MISTYPED("Mistyped"),
        ADDED_LATER("Something was added later"),
        MISUNDERSTOOD("A question was misunderstood"),
        FOOTAGE_REVIEW("Footage review showed it otherwise"),
        DUPLICATE("Recorded twice"),
        WRONG_PATIENT("Wrong patient"),
        NOT_AN_INTUBATION("Not an intubation"),
        TEST_ENTRY("A try, not a real record"),
        OTHER("Another reason");

        static final Set<Code> TO_AMEND = Set.of(MISTYPED, ADDED_LATER, MISUNDERSTOOD, FOOTAGE_REVIEW, OTHER);
        static final Set<Code> TO_WITHDRAW = Set.of(DUPLICATE, WRONG_PATIENT, NOT_AN_INTUBATION, TEST_ENTRY, OTHER);

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

        static Optional<Code> of(String value) {
            return Arrays.stream(values())
                    .filter(code -> code.value().equals(value))
                    .findFirst();
        }

        static String words(Set<Code> codes) {
            return codes.stream().sorted().map(Code::value).collect(Collectors.joining(", "));
        }
    }
}
