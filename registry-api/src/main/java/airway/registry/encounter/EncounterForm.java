package airway.registry.encounter;

import airway.registry.dictionary.Level;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import tools.jackson.databind.JsonNode;

/**
 * What came in: a record as JSON, read once into an {@link Encounter} that nothing below asks again.
 *
 * <p>Page, API, import and demo all come through here, so an old record is judged like a new one.
 */
final class EncounterForm {
    private static final Set<String> ENCOUNTER_PARTS = Set.of("site_id", "patient", "courses", "events", "confirmed");
    private static final Set<String> COURSE_PARTS = Set.of("drugs", "attempts");
    static final int MOST_CONFIRMED = 200;
    static final int MOST_COURSES = 15;

    /** In one course, and in the whole record too: attempts are numbered through. */
    static final int MOST_ATTEMPTS = 30;

    static final int MOST_ROWS = 60;

    private final List<Fault> unreadable = new ArrayList<>();
    private final List<Fault> faults = new ArrayList<>();
    private final JsonAnswers answers = new JsonAnswers(unreadable, faults);

    private EncounterForm() {}

    /**
     * Reads and checks a record.
     *
     * @param setups the set-ups of the unit, by key
     * @throws Problem.Malformed if it names fields that do not exist or that the registry sets itself
     * @throws Problem.Invalid with every fault and its pointer, odd answers not yet confirmed included
     */
    static Encounter read(JsonNode json, Map<String, DeviceSetup> setups, Circumstances circumstances) {
        EncounterForm form = new EncounterForm();
        Encounter encounter = form.encounter(json);
        if (!form.unreadable.isEmpty()) {
            throw new Problem.Malformed("The record has fields that cannot be taken.", form.unreadable);
        }
        form.faults.addAll(form.strayConfirmations(encounter, setups));
        for (Fault fault : CrossChecks.of(encounter, setups, circumstances.now())) {
            if (form.faults.stream().noneMatch(earlier -> earlier.path().equals(fault.path()))) {
                form.faults.add(fault);
            }
        }
        List<String> confirmed = new ArrayList<>(encounter.confirmed());
        for (Fault odd : SoftChecks.of(encounter, setups, circumstances)) {
            if (circumstances.vouched().test(odd.path().substring(odd.path().lastIndexOf('/') + 1))) {
                confirmed.add(odd.path());
            } else {
                form.faults.add(odd);
            }
        }
        if (!form.faults.isEmpty()) {
            throw new Problem.Invalid(form.faults);
        }
        return encounter.confirming(confirmed);
    }

    /** The same for a record that is being typed at this moment. */
    static Encounter read(JsonNode json, Map<String, DeviceSetup> setups, Instant now) {
        return read(json, setups, Circumstances.typed(now));
    }

    /** As much of a record as can be read, unchecked: to say in words what a form holds so far. */
    static Encounter sketch(JsonNode json) {
        return new EncounterForm().encounter(json);
    }

    private Encounter encounter(JsonNode json) {
        if (!json.isObject()) {
            throw new Problem.Malformed(Fault.at("", "type", "Send one record as a JSON object."));
        }
        Answers encounter = answers.read(json, "", Level.ENCOUNTER, ENCOUNTER_PARTS);
        Answers patient = answers.read(json.path("patient"), "/patient", Level.PATIENT, Set.of());
        List<Course> courses = new ArrayList<>();
        List<JsonNode> courseList = rows(json.path("courses"), "/courses", MOST_COURSES);
        for (int c = 0; c < courseList.size(); c++) {
            courses.add(course(courseList.get(c), "/courses/" + c));
        }
        if (courses.stream().mapToInt(course -> course.attempts().size()).sum() > MOST_ATTEMPTS
                && courses.stream().allMatch(course -> course.attempts().size() <= MOST_ATTEMPTS)) {
            faults.add(Check.ATTEMPTS_IN_ALL.at("/courses", "At most " + MOST_ATTEMPTS + " attempts in all."));
        }
        List<Answers> events = rows(json.path("events"), "/events", MOST_ROWS, Level.EVENT);
        return new Encounter(encounter, patient, courses, events, confirmed(json.path("confirmed")));
    }

    private Course course(JsonNode json, String pointer) {
        return new Course(
                answers.read(json, pointer, Level.COURSE, COURSE_PARTS),
                rows(json.path("drugs"), pointer + "/drugs", MOST_ROWS, Level.DRUG),
                rows(json.path("attempts"), pointer + "/attempts", MOST_ATTEMPTS, Level.ATTEMPT));
    }

    private List<Answers> rows(JsonNode json, String pointer, int most, Level level) {
        List<Answers> rows = new ArrayList<>();
        List<JsonNode> list = rows(json, pointer, most);
        for (int i = 0; i < list.size(); i++) {
            rows.add(answers.read(list.get(i), pointer + "/" + i, level, Set.of()));
        }
        return List.copyOf(rows);
    }

    private List<JsonNode> rows(JsonNode json, String pointer, int most) {
        if (json.isMissingNode() || json.isNull()) {
            return List.of();
        }
        if (!json.isArray()) {
            faults.add(Fault.at(pointer, "type", "Send a list here."));
            return List.of();
        }
        if (json.size() > most) {
            faults.add(Fault.at(pointer, "list.long", "At most " + most + " here."));
            return List.of();
        }
        List<JsonNode> rows = new ArrayList<>();
        for (int i = 0; i < json.size(); i++) {
            if (!json.get(i).isObject()) {
                faults.add(Fault.at(pointer + "/" + i, "type", "Send an object here."));
            }
            rows.add(json.get(i));
        }
        return rows;
    }

    /** A confirmation names an answer of this record, and nothing else: it is no place for words. */
    private List<Fault> strayConfirmations(Encounter encounter, Map<String, DeviceSetup> setups) {
        Set<String> answered = new HashSet<>();
        for (Encounter.Node node : encounter.nodes(setups)) {
            node.answers().values().keySet().forEach(name -> answered.add(node.pointer() + "/" + name));
        }
        return encounter.confirmed().stream().allMatch(answered::contains)
                ? List.of()
                : List.of(Fault.at(
                        "/confirmed", "confirmed.name", "Name only answers of this record, by their JSON pointers."));
    }

    private List<String> confirmed(JsonNode json) {
        if (json.isMissingNode() || json.isNull()) {
            return List.of();
        }
        List<String> pointers = new ArrayList<>();
        boolean good = json.isArray() && json.size() <= MOST_CONFIRMED;
        for (JsonNode pointer : json) {
            good &= pointer.isString()
                    && pointer.stringValue().startsWith("/")
                    && pointer.stringValue().length() <= 200;
            pointers.add(pointer.asString(""));
        }
        if (!good) {
            faults.add(Fault.at("/confirmed", "type", "Send a list of JSON pointers, for example /weight_kg."));
            return List.of();
        }
        return pointers;
    }
}
