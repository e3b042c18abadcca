package airway.registry.encounter;

import airway.registry.dictionary.Condition;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Variable;
import airway.registry.problem.Fault;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** What must hold between the answers of one record. */
final class CrossChecks {
    /** Approaches that aim at a tube in the trachea. */
    static final Set<String> TRACHEAL = Set.of("oral", "nasal", "via_sga", "stoma");

    /** No record of an intubation is older; an earlier year is a slip of the finger. */
    private static final Instant EARLIEST = Instant.parse("1950-01-01T00:00:00Z");

    private static final Duration AHEAD = Duration.ofMinutes(5);

    private final Encounter encounter;
    private final Map<String, DeviceSetup> setups;
    private final List<Fault> faults = new ArrayList<>();

    private CrossChecks(Encounter encounter, Map<String, DeviceSetup> setups) {
        this.encounter = encounter;
        this.setups = setups;
    }

    static List<Fault> of(Encounter encounter, Map<String, DeviceSetup> setups, Instant now) {
        CrossChecks checks = new CrossChecks(encounter, setups);
        checks.required();
        checks.conditions();
        checks.start(now);
        checks.reasons();
        checks.attempts();
        checks.events();
        return checks.faults;
    }

    private void required() {
        require(encounter.answers(), "", "encounter_kind");
        require(encounter.answers(), "", "encounter_start");
        for (int c = 0; c < encounter.courses().size(); c++) {
            Course course = encounter.courses().get(c);
            require(course.answers(), "/courses/" + c, "course_approach");
            for (int a = 0; a < course.attempts().size(); a++) {
                require(course.attempts().get(a), "/courses/" + c + "/attempts/" + a, "attempt_success");
            }
            for (int d = 0; d < course.drugs().size(); d++) {
                require(course.drugs().get(d), "/courses/" + c + "/drugs/" + d, "drug_agent");
            }
        }
        for (int e = 0; e < encounter.events().size(); e++) {
            require(encounter.events().get(e), "/events/" + e, "event_type");
        }
    }

    private void require(Answers answers, String pointer, String variable) {
        if (answers.value(variable).isEmpty()) {
            fault(pointer + "/" + variable, Check.REQUIRED, "This answer is needed to save the record.");
        }
    }

    private void conditions() {
        for (Encounter.Node node : encounter.nodes(setups)) {
            faults.addAll(conditions(node.pointer(), node.answers(), node.answered()));
        }
    }

    /** Answers to questions that were not to be asked. */
    static List<Fault> conditions(String pointer, Answers answers, Condition.Answered answered) {
        List<Fault> faults = new ArrayList<>();
        for (String name : answers.values().keySet()) {
            Variable variable = Dictionary.current().variable(name);
            if (Answers.notAsked(variable, answered)) {
                faults.add(Check.CONDITION.at(
                        pointer + "/" + name,
                        "This is asked only when " + variable.when() + "; leave it out, or mend that."));
            }
        }
        return faults;
    }

    private void start(Instant now) {
        encounter.answers().value("encounter_start").ifPresent(start -> {
            if (((Instant) start).isBefore(EARLIEST)) {
                fault("/encounter_start", Check.PAST, "The start lies before 1950; mend the year.");
            } else if (((Instant) start).isAfter(now.plus(AHEAD))) {
                fault("/encounter_start", Check.FUTURE, "The start lies ahead; a record is made after the procedure.");
            }
        });
    }

    private void reasons() {
        String main = encounter.answers().text("indication_main");
        List<String> all = encounter.answers().list("indication");
        if (main != null && !all.isEmpty() && !all.contains(main)) {
            fault("/indication_main", Check.MAIN_REASON, "The leading reason must be among the reasons ticked.");
        }
    }

    private void attempts() {
        int diedAfter = Integer.MAX_VALUE;
        for (Answers event : encounter.events()) {
            Integer attempt = event.number("event_attempt_no");
            if (event.is("event_type", "arrest_death") && attempt != null) {
                diedAfter = Math.min(diedAfter, attempt);
            }
        }
        int number = 0;
        boolean died = false;
        for (int c = 0; c < encounter.courses().size(); c++) {
            Course course = encounter.courses().get(c);
            for (int a = 0; a < course.attempts().size(); a++) {
                number++;
                String pointer = "/courses/" + c + "/attempts/" + a;
                if (died || number > diedAfter) {
                    fault(pointer, Check.AFTER_DEATH, "No attempt can follow a death; mend the event or this attempt.");
                }
                attempt(course, course.attempts().get(a), a == 0, pointer);
            }
            died |= course.answers().is("course_result", "died");
        }
    }

    private void attempt(Course course, Answers attempt, boolean firstOfCourse, String pointer) {
        String setup = attempt.text("device_setup_id");
        if (setup != null && !setups.containsKey(setup)) {
            fault(pointer + "/device_setup_id", Check.SETUP, "Name a set-up from the list of the unit.");
        }
        Integer lowest = attempt.number("spo2_lowest");
        Integer start = attempt.number("spo2_start");
        Integer best = firstOfCourse ? course.answers().number("spo2_best_before") : null;
        if (lowest != null && ((start != null && lowest > start) || (best != null && lowest > best))) {
            fault(
                    pointer + "/spo2_lowest",
                    Check.LOWEST_ABOVE_START,
                    "The lowest reading cannot lie above the one before the attempt; mend one of the two.");
        }
        Integer passes = attempt.number("tube_passes");
        if (attempt.is("attempt_success", "yes")
                && passes != null
                && passes == 0
                && TRACHEAL.contains(String.valueOf(course.answers().text("course_approach")))) {
            fault(pointer + "/tube_passes", Check.NO_PASS, "A tube was placed, so it was advanced at least once.");
        }
    }

    private void events() {
        int last = encounter.attempts().size();
        for (int e = 0; e < encounter.events().size(); e++) {
            Integer attempt = encounter.events().get(e).number("event_attempt_no");
            if (attempt != null && attempt > last) {
                fault(
                        "/events/" + e + "/event_attempt_no",
                        Check.EVENT_ATTEMPT,
                        last == 0
                                ? "There is no attempt: 0 means before the first."
                                : "The last attempt is " + last + "; 0 means before the first.");
            }
        }
    }

    private void fault(String pointer, Check check, String mend) {
        faults.add(check.at(pointer, mend));
    }
}
