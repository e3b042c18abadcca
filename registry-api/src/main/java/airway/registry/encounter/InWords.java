package airway.registry.encounter;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** Answers as plain sentences; what was not answered is not mentioned. */
final class InWords {
    private InWords() {}

    /** An age in the unit in which it was known: "7 months", "about 2 years (estimated)"; null when not known. */
    static @Nullable String age(Answers encounter) {
        Integer days = encounter.number("age_days");
        if (days == null) {
            return null;
        }
        String known = String.valueOf(encounter.text("age_precision"));
        String unit =
                known.matches("days|weeks|months|years") ? known : days < 28 ? "days" : days < 731 ? "months" : "years";
        BigDecimal length = switch (unit) {
            case "weeks" -> new BigDecimal("7");
            case "months" -> new BigDecimal("30.4375");
            case "years" -> new BigDecimal("365.25");
            default -> BigDecimal.ONE;
        };
        int number =
                BigDecimal.valueOf(days).divide(length, 0, RoundingMode.HALF_UP).intValueExact();
        String words = number + " " + (number == 1 ? unit.substring(0, unit.length() - 1) : unit);
        return known.equals("estimated") ? "about " + words + " (estimated)" : words;
    }

    /** Way, set-up and how the attempt went: "tube through the mouth; straight blade; tube advanced once; ...". */
    static String attempt(@Nullable String approach, Answers attempt, @Nullable DeviceSetup setup) {
        List<String> parts = new ArrayList<>();
        if (approach != null) {
            parts.add(label("course_approach", approach));
        }
        if (setup != null) {
            String screen = screen(setup);
            parts.add(lower(setup.title()) + (screen.isEmpty() ? "" : ", " + screen));
        }
        String look = attempt.text("look_target");
        if (look != null && !look.equals("unk")) {
            parts.add(
                    switch (look) {
                        case "screen" -> "guided at the screen";
                        case "direct" -> "guided directly, by eye";
                        default -> "guided at the screen and directly";
                    });
        }
        Integer passes = attempt.number("tube_passes");
        if (passes != null) {
            parts.add(passes == 0 ? "no tube advanced" : "tube advanced " + times(passes));
        }
        String position = attempt.text("tube_position");
        if (position != null && !position.equals("unk") && !position.equals("trachea")) {
            parts.add("first into the " + label("tube_position", position));
        }
        parts.add(ending(attempt));
        return String.join("; ", parts.stream().filter(part -> !part.isEmpty()).toList());
    }

    /** Where the screen of a set-up is; empty when its title says so, or when it is not known. */
    static String screen(DeviceSetup setup) {
        String screen = switch (String.valueOf(setup.answers().text("display_mounting"))) {
            case "none" -> "no screen";
            case "handle" -> "screen on the handle";
            case "cable" -> "screen on a cable";
            case "monitor" -> "separate screen";
            case "wireless" -> "wireless screen";
            default -> "";
        };
        return setup.title().toLowerCase(Locale.ROOT).contains(screen) ? "" : screen;
    }

    private static String ending(Answers attempt) {
        if (attempt.is("attempt_success", "yes")) {
            return "placed and confirmed";
        }
        if (attempt.is("attempt_success", "no")) {
            String why = attempt.words("failure_reason");
            return "not placed" + (why == null || why.equals("Not known") ? "" : " (" + lower(why) + ")");
        }
        return attempt.is("attempt_success", "unk") ? "how it ended is not known" : "";
    }

    /** "SpO2 97% before, lowest 71%"; empty when neither is known. */
    static String saturation(@Nullable Integer best, @Nullable Integer lowest) {
        if (best == null) {
            return lowest == null ? "" : "lowest SpO₂ " + lowest + "%";
        }
        return "SpO₂ " + best + "% before" + (lowest == null ? "" : ", lowest " + lowest + "%");
    }

    /** What each attempt of a record came to, for its folded line. */
    static List<String> attempts(Encounter encounter, Map<String, DeviceSetup> setups) {
        List<String> lines = new ArrayList<>();
        for (Course course : encounter.courses()) {
            for (int a = 0; a < course.attempts().size(); a++) {
                Answers attempt = course.attempts().get(a);
                Integer best = a == 0 ? course.answers().number("spo2_best_before") : null;
                String line = attempt(
                        course.answers().text("course_approach"),
                        attempt,
                        setups.get(String.valueOf(attempt.text("device_setup_id"))));
                String saturation = saturation(best, attempt.number("spo2_lowest"));
                lines.add(sentence(line) + (saturation.isEmpty() ? "" : " " + sentence(saturation)));
            }
        }
        return lines;
    }

    static String times(int number) {
        return switch (number) {
            case 1 -> "once";
            case 2 -> "twice";
            default -> number + " times";
        };
    }

    static String label(String variable, String code) {
        return lower(airway.registry.dictionary.Dictionary.current()
                .variable(variable)
                .label(code));
    }

    /** For the middle of a sentence; an abbreviation keeps its capitals. */
    static String lower(String words) {
        boolean abbreviation = words.length() > 1 && Character.isUpperCase(words.charAt(1));
        return words.isEmpty() || abbreviation
                ? words
                : words.substring(0, 1).toLowerCase(Locale.ROOT) + words.substring(1);
    }

    static String sentence(String words) {
        return words.isEmpty()
                ? words
                : words.substring(0, 1).toUpperCase(Locale.ROOT)
                        + words.substring(1)
                        + (words.endsWith(".") ? "" : ".");
    }
}
