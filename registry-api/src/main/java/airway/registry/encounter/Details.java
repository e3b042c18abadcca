package airway.registry.encounter;

import airway.registry.dictionary.Condition;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import java.math.BigDecimal;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/**
 * The questions behind "More, if you can": layers detail and optional, each asked and read in the way of its type.
 *
 * <p>A new variable of these layers appears on the page by standing in the dictionary.
 */
final class Details {
    /** As many drugs as the page has lines for, in each course. */
    static final int DRUGS = 6;

    /** Five questions with one answer for all: none of them. */
    static final List<String> FEATURES = List.of(
            "limited_mouth_opening",
            "reduced_neck_extension",
            "micrognathia",
            "midface_hypoplasia",
            "upper_airway_obstruction");

    private static final JsonMapper JSON = new JsonMapper();
    private static final Set<Layer> LAYERS = Set.of(Layer.DETAIL, Layer.OPTIONAL);

    /** Asked with the age, with the start, with who held the laryngoscope and with the kit problems. */
    private static final Set<String> ELSEWHERE =
            Set.of("birth_date", "encounter_start_precision", "operator_is_recorder", "kit_labels");

    /**
     * One question as the page shows it.
     *
     * @param kind one, many, number or text
     * @param when when it is asked, in the words of the page's script; empty is always
     * @param upToDays the age up to which it is asked, or null
     */
    public record Detail(
            String variable,
            String field,
            String title,
            String hint,
            String kind,
            List<Tile> tiles,
            String unit,
            String when,
            @Nullable Integer upToDays) {}

    private Details() {}

    /** The variables of a level that are asked here, in the order of the dictionary. */
    static List<Variable> variables(Level level) {
        return Dictionary.current().variables(level).stream()
                .filter(variable -> LAYERS.contains(variable.layer()) && !ELSEWHERE.contains(variable.name()))
                .toList();
    }

    /**
     * The questions of a level.
     *
     * @param prefix of the fields: "a1." for an attempt and its course
     */
    static List<Detail> of(Level level, String prefix, Typed typed, Offered offered) {
        return variables(level).stream()
                .map(variable -> new Detail(
                        variable.name(),
                        prefix + variable.name(),
                        variable.title(),
                        variable.description(),
                        kind(variable),
                        variable.coded() ? Tile.of(variable.name()) : List.of(),
                        JsonAnswers.unit(variable).strip(),
                        when(variable, prefix, typed, offered),
                        upToDays(variable.name())))
                .toList();
    }

    private static String kind(Variable variable) {
        return switch (variable.type()) {
            case INTEGER, NUMBER -> "number";
            case LIST -> "many";
            default -> variable.coded() ? "one" : "text";
        };
    }

    private static @Nullable Integer upToDays(String variable) {
        return switch (variable) {
            case "gestation_weeks", "gestation_days" -> 365;
            case "age_hours" -> 2;
            default -> null;
        };
    }

    /** The condition of the dictionary, told in fields of the page. */
    private static String when(Variable variable, String prefix, Typed typed, Offered offered) {
        return switch (variable.name()) {
            case "asa_class" -> "location:theatre;location_more:theatre";
            case "difficulty_written_before" -> "difficulty:yes,no";
            case "spo2_lowest_overall" ->
                typed.attemptNumbers().stream()
                        .map(number -> Typed.attempt(number) + "lowest:unk")
                        .collect(Collectors.joining(";"));
            case "attempt_duration_end" -> prefix + "attempt_duration_s:*";
            case "view_direct", "view_screen" -> offered.when(variable, prefix);
            case "pogo_direct" -> prefix + "view_direct:*,!not_looked";
            case "pogo_screen" -> prefix + "view_screen:*";
            case "tube_size_mm", "tube_cuff", "tube_delivery" -> prefix + "passes:1,2,3,typed,unk";
            case "changes_before_next" -> prefix + "end:fail";
            case "kit_issue_effect" -> prefix + "kit:some";
            case "footage_reference" -> prefix + "footage_recorded:yes";
            // Asked up to an age, or of the airway at the end: the script leaves them open, the server looks.
            case "gestation_weeks", "gestation_days", "age_hours", "tube_depth_cm", "drug_dose", "drug_dose_unit" -> "";
            default -> {
                if (variable.when() != Condition.ALWAYS && variable.level() != Level.EVENT) {
                    throw new IllegalStateException("The page does not know when " + variable.name() + " is asked.");
                }
                yield "";
            }
        };
    }

    /** Reads the answers of a level into one object of the record. */
    static void read(Level level, String prefix, Answering answering, Typed typed, Questions questions) {
        for (Variable variable : variables(level)) {
            String field = prefix + variable.name();
            switch (kind(variable)) {
                case "many" -> answering.list(variable.name(), field, typed.all(field));
                case "number" -> number(variable, field, answering, typed, questions);
                default -> answering.code(variable.name(), field, typed.one(field));
            }
        }
    }

    private static void number(Variable variable, String field, Answering answering, Typed typed, Questions questions) {
        answering.asked(variable.name(), field);
        String value = typed.one(field);
        boolean whole = variable.type() == Variable.Type.INTEGER;
        if (typed.has(field + "_unknown", "yes")) {
            if (value != null) {
                questions.fault(field, "Either a number or \"Not known\": leave one of the two out.");
            }
            answering.unknown(variable.name());
        } else if (value != null && whole && value.matches("\\d{1,6}")) {
            answering.number(variable.name(), field, Integer.valueOf(value));
        } else if (value != null && !whole && value.matches("\\d{1,6}([.,]\\d{1,4})?")) {
            answering.number(variable.name(), field, new BigDecimal(value.replace(',', '.')));
        } else if (value != null) {
            questions.fault(field, whole ? "Type a whole number." : "Type a number, for example 4.5.");
        }
    }

    /** "None of these five" answers no to each of them that was left open. */
    static void features(Answering encounter, Typed typed, Questions questions) {
        if (!typed.has("features_none", "yes")) {
            return;
        }
        for (String feature : FEATURES) {
            if (typed.one(feature) == null) {
                encounter.code(feature, "features_none", "no");
            } else if (!typed.has(feature, "no")) {
                questions.fault(feature, "Either \"None of these five\", or this answer: leave one of the two out.");
            }
        }
    }

    /** The lines of drugs that were filled in, as rows of a course. */
    static void drugs(
            ObjectNode course, String coursePointer, String prefix, String title, Typed typed, Questions questions) {
        ArrayNode rows = JSON.createArrayNode();
        for (int line : IntStream.rangeClosed(1, DRUGS).toArray()) {
            String field = prefix + "drug" + line;
            String dose = typed.one(field + "_dose");
            if (typed.one(field) == null && dose == null) {
                continue;
            }
            String pointer = coursePointer + "/drugs/" + rows.size();
            Answering drug = new Answering(rows.addObject(), pointer, title, questions);
            drug.code("drug_agent", field, typed.one(field));
            drug.asked("drug_dose", field + "_dose");
            if (dose != null && dose.matches("\\d{1,6}([.,]\\d{1,4})?")) {
                drug.number("drug_dose", field + "_dose", new BigDecimal(dose.replace(',', '.')));
                drug.code("drug_dose_unit", field + "_unit", typed.one(field + "_unit"));
            } else if (dose != null) {
                questions.fault(field + "_dose", "Type the dose as a number, for example 2.5, and choose its unit.");
            }
            drug.close();
        }
        if (!rows.isEmpty()) {
            course.set("drugs", rows);
        }
    }

    /** Takes out answers to questions that were not to be asked after all: without script they all stand on the page. */
    static void prune(ObjectNode body, Offered offered) {
        for (Encounter.Node node : EncounterForm.sketch(body).nodes(offered.setupsById())) {
            for (Variable variable : variables(node.answers().level())) {
                if (node.answers().settled(variable.name()) && Answers.notAsked(variable, node.answered())) {
                    takeOut((ObjectNode) body.at(node.pointer()), variable.name());
                }
            }
        }
    }

    private static void takeOut(ObjectNode object, String variable) {
        object.remove(variable);
        JsonNode unknown = object.path("unknown");
        for (int i = unknown.size() - 1; i >= 0; i--) {
            if (unknown.get(i).asString().equals(variable)) {
                ((ArrayNode) unknown).remove(i);
            }
        }
    }
}
