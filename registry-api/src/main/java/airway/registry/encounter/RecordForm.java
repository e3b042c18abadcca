package airway.registry.encounter;

import airway.registry.dictionary.Level;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.math.BigDecimal;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The fields of the record page, turned once into the JSON that every record comes in as. */
/*
 * The page is one more sender of records: what it sends is judged where all records are judged, and the pointers of what
 * is wrong are taken back to the questions. Only what cannot be written as JSON at all is told here.
 */
final class RecordForm {
    private static final DateTimeFormatter INSTANT =
            DateTimeFormatter.ofPattern("yyyy-MM-dd'T'HH:mm:ssxxx", Locale.ROOT);
    private static final Set<String> NO_EVENT = Set.of("no", Answering.NOT_KNOWN);

    private final Typed typed;
    private final Offered offered;
    private final Questions questions = new Questions();
    private final List<AttemptForm> attempts;
    private final ObjectNode body = new JsonMapper().createObjectNode();
    private @Nullable OffsetDateTime started;
    private final Answering encounter = new Answering(body, "", "", questions);

    RecordForm(Typed typed, Offered offered, Instant opened) {
        this.typed = typed;
        this.offered = offered;
        this.attempts = typed.attemptNumbers().stream()
                .map(number -> new AttemptForm(typed, number))
                .toList();
        body.put("site_id", offered.site().code());
        before(new StartTime(opened, offered.site().zone()));
        courses();
        ending();
        events();
        Details.read(Level.ENCOUNTER, "", encounter, typed, questions);
        Details.features(encounter, typed, questions);
        encounter.close();
        Answering patient = new Answering(body.putObject("patient"), "/patient", "", questions);
        Details.read(Level.PATIENT, "", patient, typed, questions);
        patient.close();
        if (body.path("patient").isEmpty()) {
            body.remove("patient");
        }
        body.putArray("confirmed");
        Details.prune(body, offered);
    }

    ObjectNode body() {
        return body;
    }

    /**
     * Makes this the change of a record: the body becomes the record with what differs from {@code was}.
     *
     * @param was the form as it was filled in from the record
     * @param record the version that the change is laid over
     */
    void changing(RecordForm was, Recorded record) {
        ObjectNode base = EncounterJson.of(record);
        Change.over(was.body, body, base);
        for (String pointer : record.encounter().confirmed()) {
            if (body.at(pointer).equals(base.at(pointer))) {
                ((ArrayNode) body.path("confirmed")).add(pointer);
            }
        }
    }

    /**
     * Everything that is wrong with the form, told at its questions; what was said to be right is marked as confirmed.
     *
     * @return empty when the record can be kept
     */
    List<Questions.Told> faults(Circumstances circumstances) {
        List<Fault> faults = check(circumstances);
        List<String> confirmed = Stream.concat(
                        faults.stream()
                                .filter(fault -> fault.severity() == Fault.Severity.CONFIRM)
                                .map(Fault::path),
                        doses())
                .filter(this::confirmed)
                .toList();
        if (!confirmed.isEmpty()) {
            ArrayNode pointers = (ArrayNode) body.path("confirmed");
            confirmed.forEach(pointers::add);
            faults = check(circumstances);
        }
        return told(faults);
    }

    /** What the keeping of the record found, at its questions. */
    List<Questions.Told> told(List<Fault> faults) {
        questions.faults(faults);
        return questions.told();
    }

    /** Whether a dose is odd shows only beside the unit's own records, when the record is kept. */
    private Stream<String> doses() {
        return questions
                .pointers()
                .filter(pointer ->
                        pointer.endsWith("/drug_dose") && body.at(pointer).isNumber());
    }

    private List<Fault> check(Circumstances circumstances) {
        try {
            EncounterForm.read(body, offered.setupsById(), circumstances);
            return List.of();
        } catch (Problem.Invalid e) {
            return e.faults();
        }
    }

    /** A yes to an odd answer counts for that answer only: changed afterwards, it is asked about again. */
    private boolean confirmed(String pointer) {
        String field = questions.field(pointer);
        return field != null && String.valueOf(value(typed, field)).equals(typed.one("confirm." + field));
    }

    /** The last attempt says that another one followed, which is not on the form yet. */
    boolean goesOn() {
        return attempts.get(attempts.size() - 1).goesOn() && attempts.size() < Typed.MOST_ATTEMPTS;
    }

    private void before(StartTime start) {
        encounter.asked("encounter_start", "start");
        started = start.read(typed, questions::fault);
        if (started != null) {
            body.put("encounter_start", INSTANT.format(started));
        }
        encounter.code("location", "location", typed.one(typed.has("location", "more") ? "location_more" : "location"));
        encounter.code("encounter_kind", "kind", typed.one("kind"));
        number();
        age();
        weight();
        encounter.code("cyanotic_heart_disease", "cyanotic", typed.one("cyanotic"));
        encounter.code("indication_main", "reason", typed.one("reason"));
        encounter.code("urgency", "urgency", typed.one("urgency"));
        encounter.code("difficulty_predicted", "difficulty", typed.one("difficulty"));
        encounter.code("recorder_role", attempts.get(0).field("part"), recorder());
    }

    /** Whoever held the laryngoscope once tells it as an operator; else it is asked. */
    private @Nullable String recorder() {
        return attempts.stream().anyMatch(AttemptForm::byMe)
                ? "operator"
                : typed.one(attempts.get(0).field("part"));
    }

    /** No answer of the record: it is kept beside it. */
    private void number() {
        questions.at("/hospital_number", NumberBox.FIELD, "Hospital number");
        String fault = NumberBox.fault(typed);
        if (fault != null) {
            questions.fault(NumberBox.FIELD, fault);
        }
    }

    private void age() {
        if (typed.one("born") != null) {
            born(String.valueOf(typed.one("born")));
            return;
        }
        encounter.asked("age_days", "age");
        encounter.asked("age_precision", "age");
        String number = typed.one("age");
        String unit = typed.one("age_unit");
        if (typed.has("age_unknown", "yes")) {
            if (number != null) {
                questions.fault("age", "Either an age or \"Not known\": leave one of the two out.");
            }
            encounter.unknown("age_days");
            encounter.unknown("age_precision");
        } else if (number != null && !number.matches("\\d{1,4}")) {
            questions.fault("age", "Type a whole number: one and a half years are 18 months.");
        } else if (number != null && unit == null) {
            questions.fault("age", "Say whether these are days, weeks, months or years.");
        } else if (number != null && unit != null && unit.matches("days|weeks|months|years")) {
            encounter.number(
                    "age_days",
                    "age",
                    Age.valueOf(unit.toUpperCase(Locale.ROOT)).days(Integer.parseInt(number)));
            encounter.code("age_precision", "age", typed.has("age_estimated", "yes") ? "estimated" : unit);
        }
    }

    /** An age worked out from the day of birth, which is not kept. */
    private void born(String day) {
        encounter.asked("age_days", "born");
        encounter.asked("age_precision", "born");
        LocalDate born = StartTime.date(day);
        if (typed.one("age") != null || typed.has("age_unknown", "yes")) {
            questions.fault("born", "Either an age or a date of birth: leave one of the two out.");
        } else if (born == null) {
            questions.fault("born", "Type day, month and year in numbers, for example 24 4 2026.");
        } else if (started != null && born.isAfter(started.toLocalDate())) {
            questions.fault("born", "The birth lies after the start; mend one of the two.");
        } else if (started != null) {
            encounter.number("age_days", "born", (int) ChronoUnit.DAYS.between(born, started.toLocalDate()));
            encounter.code("age_precision", "born", "exact");
        }
    }

    private void weight() {
        encounter.asked("weight_kg", "weight");
        String number = typed.one("weight");
        if (typed.has("weight_unknown", "yes")) {
            if (number != null) {
                questions.fault("weight", "Either a weight or \"Not known\": leave one of the two out.");
            }
            encounter.unknown("weight_kg");
        } else if (number != null && !number.matches("\\d{1,3}([.,]\\d{1,3})?")) {
            questions.fault("weight", "Type the weight in kilograms, for example 7.4.");
        } else if (number != null) {
            encounter.number("weight_kg", "weight", new BigDecimal(number.replace(',', '.')));
        }
    }

    private void courses() {
        ArrayNode courses = body.putArray("courses");
        if (attempts.get(0).none()) {
            if (attempts.size() > 1) {
                questions.fault(attempts.get(0).field("who"), "There are more attempts below: take them out first.");
            }
            return;
        }
        String before = null;
        ArrayNode inCourse = null;
        for (AttemptForm attempt : attempts) {
            String approach = attempt.approach();
            String title = "Attempt " + attempt.number() + ": ";
            if (inCourse == null || attempt.begins() || (approach != null && !approach.equals(before))) {
                String pointer = "/courses/" + courses.size();
                ObjectNode node = courses.addObject();
                Answering course = new Answering(node, pointer, title, questions);
                course.code("course_approach", attempt.approachField(), approach);
                attempt.course(course, questions);
                course.close();
                Details.drugs(node, pointer, attempt.field(""), title, typed, questions);
                inCourse = node.putArray("attempts");
                before = approach;
            } else if (approach == null) {
                questions.at("/none", attempt.approachField(), title + "Approach");
                questions.fault(attempt.approachField(), "This answer is needed to save the record.");
            }
            String pointer = "/courses/" + (courses.size() - 1) + "/attempts/" + inCourse.size();
            questions.at(pointer, attempt.field("who"), title);
            Answering answers = new Answering(inCourse.addObject(), pointer, title, questions);
            attempt.answers(answers, offered, eventsIn(attempt.number()), questions);
            answers.close();
        }
    }

    private void ending() {
        for (AttemptForm attempt : attempts.subList(0, attempts.size() - 1)) {
            if (attempt.stayed()) {
                questions.fault(
                        attempt.field("end"),
                        "It stayed, but there is another attempt after it: choose \"then lost or changed\", or take the"
                                + " later attempt out.");
            }
        }
        AttemptForm last = attempts.get(attempts.size() - 1);
        encounter.code("final_airway", last.field(last.stayed() ? "end" : "final"), last.finalAirway());
    }

    private void events() {
        List<String> ticked = typed.all("event");
        List<String> events =
                ticked.stream().filter(code -> !NO_EVENT.contains(code)).toList();
        if (ticked.size() > events.size() && ticked.size() > 1) {
            encounter.asked("adverse_event_any", "event");
            questions.fault("event", "\"None of these\" and \"Not known\" stand alone: leave the others out, or them.");
            return;
        }
        encounter.code(
                "adverse_event_any", "event", !events.isEmpty() ? "yes" : ticked.isEmpty() ? null : ticked.get(0));
        ArrayNode rows = body.putArray("events");
        for (String code : events) {
            String pointer = "/events/" + rows.size();
            String field = "when." + code;
            Answering event = new Answering(rows.addObject(), pointer, "", questions);
            event.code("event_type", "event", code);
            event.asked("event_attempt_no", field);
            String when = typed.one(field);
            if (when != null && when.equals(Answering.NOT_KNOWN)) {
                event.unknown("event_attempt_no");
            } else if (when != null && when.matches("\\d{1,2}")) {
                event.number("event_attempt_no", field, Integer.valueOf(when));
            }
            Details.read(Level.EVENT, Typed.event(code), event, typed, questions);
            event.close();
        }
    }

    /** Events ticked for an attempt; of a single attempt all that are not told to have come before it. */
    private Set<String> eventsIn(int attempt) {
        return typed.all("event").stream()
                .filter(code -> typed.has("when." + code, String.valueOf(attempt))
                        || (attempts.size() == 1 && typed.one("when." + code) == null))
                .collect(Collectors.toSet());
    }

    /** What a question holds now, by tile or typed. */
    static @Nullable String value(Typed typed, String field) {
        if (typed.has(field, "typed")) {
            return Stream.of("_typed", "_day", "_date", "_time")
                    .map(part -> typed.one(field + part))
                    .filter(Objects::nonNull)
                    .collect(Collectors.joining(" "));
        }
        return typed.one(field) == null ? null : String.join(",", typed.all(field));
    }
}
