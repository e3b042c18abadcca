package airway.registry.research;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;

/** How a package tells that there is no value, and why. */
final class Missing {
    static final String NOT_RECORDED = "";
    static final String UNKNOWN = "U";
    static final String NOT_APPLICABLE = "NA";

    /** Each with what it means. */
    static final Map<String, String> WORDS = words();

    private Missing() {}

    private static Map<String, String> words() {
        Map<String, String> words = new LinkedHashMap<>();
        words.put(NOT_RECORDED, "Not recorded");
        words.put(UNKNOWN, "Asked and not known, or not recorded");
        words.put(NOT_APPLICABLE, "Does not apply to this intubation");
        return Collections.unmodifiableMap(words);
    }

    static boolean is(String value) {
        return WORDS.containsKey(value);
    }
}
