package airway.registry.encounter;

import airway.registry.dictionary.Dictionary;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** What two versions of a record answer differently, question by question, in words. */
final class Differences {
    /** One question; a dash stands for no answer. */
    public record Line(String question, String was, String now) {}

    private static final String BLANK = "–";
    private static final DateTimeFormatter START = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);
    private static final Pattern STEP = Pattern.compile("/(courses|drugs|attempts|events)/(\\d+)");

    private Differences() {}

    static List<Line> between(Recorded before, Recorded after) {
        Map<String, String> was = answers(before);
        Map<String, String> now = answers(after);
        Set<String> questions = new LinkedHashSet<>(was.keySet());
        questions.addAll(now.keySet());
        List<Line> lines = new ArrayList<>();
        for (String question : questions) {
            Line line = new Line(title(question), was.getOrDefault(question, BLANK), now.getOrDefault(question, BLANK));
            if (!line.was().equals(line.now())) {
                lines.add(line);
            }
        }
        return lines;
    }

    /** Every answer of a record in words, by its pointer. */
    private static Map<String, String> answers(Recorded recorded) {
        Map<String, String> answers = new LinkedHashMap<>();
        for (Encounter.Node node : recorded.encounter().nodes(recorded.setups())) {
            Set<String> settled = new LinkedHashSet<>(node.answers().values().keySet());
            settled.addAll(node.answers().unknown());
            for (String variable : settled) {
                answers.put(node.pointer() + "/" + variable, words(node.answers(), variable, recorded));
            }
        }
        return answers;
    }

    private static String words(Answers answers, String variable, Recorded recorded) {
        ZoneId zone = recorded.site().zone();
        if (answers.values().get(variable) instanceof Instant start) {
            return START.format(start.atZone(zone));
        }
        DeviceSetup setup = recorded.setups().get(String.valueOf(answers.text(variable)));
        return variable.equals("device_setup_id") && setup != null
                ? setup.title()
                : String.valueOf(answers.words(variable));
    }

    /** "Course 1, attempt 2: Lowest saturation". */
    private static String title(String pointer) {
        List<String> steps = new ArrayList<>();
        Matcher step = STEP.matcher(pointer);
        while (step.find()) {
            String thing = step.group(1).substring(0, step.group(1).length() - 1);
            steps.add(thing + " " + (Integer.parseInt(step.group(2)) + 1));
        }
        String question = Dictionary.current()
                .variable(pointer.substring(pointer.lastIndexOf('/') + 1))
                .title();
        String place = String.join(", ", steps);
        return place.isEmpty()
                ? question
                : place.substring(0, 1).toUpperCase(Locale.ROOT) + place.substring(1) + ": " + question;
    }
}
