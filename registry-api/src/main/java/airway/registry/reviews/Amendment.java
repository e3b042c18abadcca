package airway.registry.reviews;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * Why a version after the first was made.
 *
 * @param text more about it, or null
 */
record Amendment(Code code, @Nullable String text) {
    /** The reasons there are. */
    public enum Code {
        WENT_ON("The review went on"),
        MISTYPED("Mistyped"),
        KNOWN_BETTER("It is known better now"),
        OTHER("Another reason");

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

        static List<String> all() {
            return Arrays.stream(values()).map(Code::value).toList();
        }
    }
}
