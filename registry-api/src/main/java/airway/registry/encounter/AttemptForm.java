package airway.registry.encounter;

import airway.registry.access.Actor;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** The tiles of one attempt, turned into its answers. A tile whose sentence says two things answers two questions. */
/*
 * Without script every question stands on the page, so each answer is taken only if what was ticked before it asks for
 * it: the rest of what was ticked is not an answer and is left out.
 */
final class AttemptForm {
    /** Ways on which no tube is advanced towards the larynx. */
    static final Set<String> NO_TUBE = Set.of("sga", "front_of_neck");

    static final Map<String, String> AIRWAY_OF = Map.of(
            "oral",
            "oral",
            "via_sga",
            "oral",
            "nasal",
            "nasal",
            "sga",
            "sga",
            "front_of_neck",
            "front_of_neck",
            "stoma",
            "stoma");

    private final Typed typed;
    private final int number;
    private final String prefix;

    AttemptForm(Typed typed, int number) {
        this.typed = typed;
        this.number = number;
        this.prefix = Typed.attempt(number);
    }

    String field(String name) {
        return prefix + name;
    }

    private @Nullable String one(String name) {
        return typed.one(prefix + name);
    }

    private boolean is(String name, String... values) {
        return List.of(values).contains(String.valueOf(one(name)));
    }

    /** "Nobody": the blade never went in. */
    boolean none() {
        return is("who", "none");
    }

    /** A new plan for the same way, as the record has it. */
    boolean begins() {
        return is("new", "yes");
    }

    boolean byMe() {
        return is("who", "me");
    }

    /** The way that was taken, or null when it was not said; a record may name it without a set-up. */
    @Nullable
    String approach() {
        String setup = one("setup");
        return setup == null ? one("way") : setup.equals("route") ? one("route") : "oral";
    }

    /** Where the way is asked. */
    String approachField() {
        return field(is("setup", "route") ? "route" : "setup");
    }

    boolean stayed() {
        return is("end", "stay");
    }

    /** Another attempt followed, as the answers have it. */
    boolean goesOn() {
        return !none() && !stayed() && one("end") != null && is("next", "another");
    }

    /** The airway at the end, if this attempt was the last; null is blank. */
    @Nullable
    String finalAirway() {
        if (!none() && stayed()) {
            String approach = approach();
            return approach == null ? null : AIRWAY_OF.get(approach);
        }
        return one("final");
    }

    /** The key of the set-up, "other" for one that is not on the list, or null when it was not said. */
    @Nullable
    String setup() {
        return is("setup", "route") ? one("with") : one("setup");
    }

    void answers(Answering attempt, Offered offered, Set<String> eventsHere, Questions questions) {
        operator(attempt, offered);
        String setup = setup();
        String setupField = field(is("setup", "route") ? "with" : "setup");
        attempt.asked("device_setup_id", setupField);
        if (setup != null && setup.equals("other")) {
            attempt.unknown("device_setup_id");
        } else {
            attempt.code("device_setup_id", setupField, setup);
        }
        Variable look = Dictionary.current().variable("look_target");
        if (setup != null && Offered.asked(look, offered.setup(setup))) {
            attempt.code("look_target", field("look"), one("look"));
        }
        tube(attempt, eventsHere, questions);
        attempt.code("attempt_success", field("end"), success());
        if (is("end", "fail")) {
            attempt.list("failure_reason", field("why"), typed.all(field("why")));
        }
        attempt.number("spo2_lowest", field("lowest"), number("lowest", attempt, "spo2_lowest", questions));
        attempt.list(
                "kit_issue",
                field(is("kit", "some") ? "kits" : "kit"),
                typed.all(field(is("kit", "some") ? "kits" : "kit")));
        labels(attempt, questions);
        Details.read(Level.ATTEMPT, prefix, attempt, typed, questions);
    }

    /** A number scanned from the child's band in place of a blade's label must not come among what the kit keeper sees. */
    private void labels(Answering attempt, Questions questions) {
        List<String> labels = typed.lines(field("labels"));
        attempt.list("kit_labels", field("labels"), labels);
        String number = typed.one(NumberBox.FIELD);
        if (number != null && labels.stream().anyMatch(number.strip()::equalsIgnoreCase)) {
            questions.fault(
                    field("labels"), "This is the hospital number of the child: take it out, and scan the item.");
        }
    }

    /** What is asked of a course, at its first attempt. */
    void course(Answering course, Questions questions) {
        course.number("spo2_best_before", field("best"), number("best", course, "spo2_best_before", questions));
        Details.read(Level.COURSE, prefix, course, typed, questions);
    }

    private void operator(Answering attempt, Offered offered) {
        Actor actor = offered.actor();
        attempt.asked("operator_grade", field(byMe() ? "who" : "grade"));
        attempt.asked("operator_experience", field(byMe() ? "who" : "experience"));
        if (byMe()) {
            attempt.code("operator_grade", field("who"), actor.operatorGrade());
            attempt.code("operator_experience", field("who"), actor.operatorExperience());
        } else if (is("who", "other")) {
            attempt.code("operator_grade", field("grade"), one("grade"));
            attempt.code("operator_experience", field("experience"), one("experience"));
        }
        attempt.code("operator_is_recorder", field("who"), byMe() ? "yes" : is("who", "other") ? "no" : null);
        attempt.code("operator_setup_uses", field("uses"), uses(offered));
    }

    /** Earlier uses of the set-up: as answered, or counted where the records of the one who fills it in allow. */
    private @Nullable String uses(Offered offered) {
        EarlierUses known = offered.uses().get(String.valueOf(setup()));
        if (one("uses") != null || !byMe() || known == null) {
            return one("uses");
        }
        long here = IntStream.range(1, number)
                .mapToObj(earlier -> new AttemptForm(typed, earlier))
                .filter(earlier -> earlier.byMe() && String.valueOf(setup()).equals(earlier.setup()))
                .count();
        return known.plus((int) here).code().orElse(null);
    }

    private void tube(Answering attempt, Set<String> eventsHere, Questions questions) {
        String approach = approach();
        Integer passes = approach != null && NO_TUBE.contains(approach)
                ? Integer.valueOf(0)
                : number("passes", attempt, "tube_passes", questions);
        attempt.number("tube_passes", field("passes"), passes);
        if (passes != null && passes == 0) {
            return;
        }
        attempt.code("tube_position", field("position"), position(passes, eventsHere));
        if (is("co2", "yes")) {
            attempt.code("sustained_co2", field("co2"), "yes");
            attempt.list("confirmation", field("confirmed"), List.of("waveform"));
            return;
        }
        attempt.code("sustained_co2", field("co2"), is("co2", "part") ? "no" : one("co2"));
        Stream<String> told = is("co2", "part") ? Stream.of("waveform") : Stream.empty();
        attempt.list(
                "confirmation",
                field("confirmed"),
                one("co2") == null
                        ? List.of()
                        : Stream.concat(told, typed.all(field("confirmed")).stream())
                                .distinct()
                                .toList());
    }

    /** One pass that ended in the trachea gives the first position too, unless a main bronchus was ticked for it. */
    private @Nullable String position(@Nullable Integer passes, Set<String> eventsHere) {
        boolean placed = is("end", "stay", "lost");
        if (placed && passes != null && passes == 1) {
            return eventsHere.contains("bronchial") ? "bronchus" : "trachea";
        }
        return (placed && passes == null && !is("passes", Answering.NOT_KNOWN)) || one("end") == null
                ? null
                : one("position");
    }

    private @Nullable String success() {
        String end = one("end");
        return end == null
                ? null
                : switch (end) {
                    case "stay", "lost" -> "yes";
                    case "fail" -> "no";
                    default -> Answering.NOT_KNOWN;
                };
    }

    /** A number by tile, or typed where the tile says so. */
    private @Nullable Integer number(String name, Answering answers, String variable, Questions questions) {
        answers.asked(variable, field(name));
        String value = one(name);
        if (value == null) {
            return null;
        }
        if (value.equals(Answering.NOT_KNOWN)) {
            answers.unknown(variable);
            return null;
        }
        String digits = is(name, "typed") ? one(name + "_typed") : value;
        if (digits == null || !digits.matches("\\d{1,3}")) {
            questions.fault(field(name), "Type a whole number, or tick another tile.");
            return null;
        }
        return Integer.valueOf(digits);
    }

    int number() {
        return number;
    }
}
