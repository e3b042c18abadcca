package airway.registry.encounter;

import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The questions of the first layer that a record leaves open, in words. */
final class OpenQuestions {
    private static final Pattern ATTEMPT = Pattern.compile("/courses/(\\d+)/attempts/(\\d+)/.*");
    private static final Pattern EVENT = Pattern.compile("/events/(\\d+)/.*");

    private OpenQuestions() {}

    static List<String> of(Recorded recorded) {
        List<String> open = new ArrayList<>();
        for (String pointer : recorded.incomplete()) {
            String name = pointer.substring(pointer.lastIndexOf('/') + 1);
            if (pointer.equals("/events")) {
                open.add("Which events");
            } else if (Dictionary.current().contains(name)
                    && Dictionary.current().variable(name).layer() == Layer.FIRST) {
                open.add(where(recorded.encounter(), pointer)
                        + Dictionary.current().variable(name).title());
            }
        }
        return List.copyOf(open);
    }

    private static String where(Encounter encounter, String pointer) {
        Matcher attempt = ATTEMPT.matcher(pointer);
        if (attempt.matches() && encounter.attempts().size() > 1) {
            int before = encounter.courses().subList(0, Integer.parseInt(attempt.group(1))).stream()
                    .mapToInt(course -> course.attempts().size())
                    .sum();
            return "Attempt " + (before + Integer.parseInt(attempt.group(2)) + 1) + ": ";
        }
        Matcher event = EVENT.matcher(pointer);
        return event.matches()
                ? encounter.events().get(Integer.parseInt(event.group(1))).words("event_type") + ": "
                : "";
    }
}
