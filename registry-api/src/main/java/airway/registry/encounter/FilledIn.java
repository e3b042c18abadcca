package airway.registry.encounter;

import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import java.math.BigDecimal;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * The fields of the record page as they would stand for a record that is kept: the way back from {@link RecordForm}.
 *
 * <p>The page says less than a record can hold, so what it makes of these fields is only ever compared with what it
 * makes of the changed ones, never stored in place of the record.
 */
final class FilledIn {
    /** "As it was recorded": who held the laryngoscope stays untouched. */
    static final String KEPT = "kept";

    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d M yyyy", Locale.UK);
    private static final DateTimeFormatter TIME = DateTimeFormatter.ofPattern("HH:mm", Locale.UK);

    private final Encounter encounter;
    private final Offered offered;
    private final Map<String, List<String>> fields = new LinkedHashMap<>();

    private FilledIn(Encounter encounter, Offered offered) {
        this.encounter = encounter;
        this.offered = offered;
    }

    /** Whether the page can show the courses of a record: each has an attempt, and no more drugs than there are lines. */
    static boolean fits(Encounter encounter) {
        return encounter.attempts().size() <= Typed.MOST_ATTEMPTS
                && encounter.courses().stream()
                        .allMatch(course ->
                                !course.attempts().isEmpty() && course.drugs().size() <= Details.DRUGS);
    }

    static Typed of(Encounter encounter, Offered offered) {
        FilledIn form = new FilledIn(encounter, offered);
        form.start();
        form.child();
        form.attempts();
        form.events();
        form.details(Level.ENCOUNTER, "", encounter.answers());
        form.details(Level.PATIENT, "", encounter.patient());
        return new Typed(form.fields);
    }

    private void put(String field, @Nullable String value) {
        if (value != null) {
            fields.put(field, List.of(value));
        }
    }

    /** A code, "unk" for what is not known, or null for a blank. */
    private static @Nullable String code(Answers answers, String variable) {
        return answers.unknown().contains(variable) ? Answering.NOT_KNOWN : answers.text(variable);
    }

    private void start() {
        if (!(encounter.answers().values().get("encounter_start") instanceof Instant start)) {
            return;
        }
        ZoneId zone = offered.site().zone();
        ZonedDateTime local = start.atZone(zone);
        put("start", "typed");
        put("start_day", "other");
        put("start_date", DAY.format(local));
        put("start_time", TIME.format(local));
        if (zone.getRules().getValidOffsets(local.toLocalDateTime()).size() > 1) {
            put("start_turn", local.isEqual(local.withEarlierOffsetAtOverlap()) ? "first" : "second");
        }
    }

    private void child() {
        Answers answers = encounter.answers();
        String place = code(answers, "location");
        boolean near = place == null
                || RecordPage.places(offered.site()).stream()
                        .anyMatch(tile -> tile.value().equals(place));
        put("location", near ? place : "more");
        put("location_more", near ? null : place);
        put("kind", code(answers, "encounter_kind"));
        age();
        put("weight_unknown", answers.unknown().contains("weight_kg") ? "yes" : null);
        put(
                "weight",
                answers.words("weight_kg") == null || answers.unknown().contains("weight_kg")
                        ? null
                        : answers.words("weight_kg"));
        put("cyanotic", code(answers, "cyanotic_heart_disease"));
        put("reason", code(answers, "indication_main"));
        put("urgency", code(answers, "urgency"));
        put("difficulty", code(answers, "difficulty_predicted"));
    }

    /** The unit in which the age was known, where a whole number of it gives the days; days otherwise. */
    private void age() {
        Answers answers = encounter.answers();
        put("age_unknown", answers.unknown().contains("age_days") ? "yes" : null);
        Integer days = answers.number("age_days");
        if (days == null) {
            return;
        }
        put("age_estimated", answers.is("age_precision", "estimated") ? "yes" : null);
        for (Age unit : List.of(Age.YEARS, Age.MONTHS, Age.WEEKS)) {
            String name = unit.name().toLowerCase(Locale.ROOT);
            int number = unit.number(days);
            boolean known = answers.is("age_precision", name) || answers.is("age_precision", "estimated");
            if ((known && unit.days(number) == days) || (unit == Age.YEARS && days > 9999)) {
                put("age", String.valueOf(number));
                put("age_unit", name);
                return;
            }
        }
        put("age", String.valueOf(days));
        put("age_unit", "days");
    }

    private void attempts() {
        List<Answers> attempts = encounter.attempts();
        put("attempts", String.valueOf(Math.max(1, attempts.size())));
        if (attempts.isEmpty()) {
            put("a1.who", "none");
            put("a1.part", code(encounter.answers(), "recorder_role"));
            put("a1.final", code(encounter.answers(), "final_airway"));
            return;
        }
        int number = 0;
        String before = "";
        for (Course course : encounter.courses()) {
            String approach = String.valueOf(course.answers().text("course_approach"));
            for (int a = 0; a < course.attempts().size(); a++) {
                number++;
                String prefix = Typed.attempt(number);
                if (a == 0) {
                    put(prefix + "new", approach.equals(before) ? "yes" : null);
                    course(prefix, course);
                }
                attempt(prefix, approach, course.attempts().get(a), number == attempts.size());
            }
            before = approach;
        }
    }

    private void course(String prefix, Course course) {
        saturation(prefix + "best", course.answers(), "spo2_best_before");
        details(Level.COURSE, prefix, course.answers());
        for (int d = 0; d < course.drugs().size(); d++) {
            Answers drug = course.drugs().get(d);
            String field = prefix + "drug" + (d + 1);
            put(field, drug.text("drug_agent"));
            put(field + "_dose", drug.value("drug_dose").isPresent() ? drug.words("drug_dose") : null);
            put(field + "_unit", drug.text("drug_dose_unit"));
        }
    }

    private void attempt(String prefix, String approach, Answers attempt, boolean last) {
        put(prefix + "who", KEPT);
        String setup = attempt.unknown().contains("device_setup_id") ? "other" : attempt.text("device_setup_id");
        boolean mouth = approach.equals("oral");
        put(prefix + "way", mouth && setup == null ? approach : null);
        put(prefix + "setup", mouth ? setup : "route");
        put(prefix + "route", mouth ? null : approach);
        put(prefix + "with", mouth ? null : setup);
        put(prefix + "uses", code(attempt, "operator_setup_uses"));
        put(prefix + "look", code(attempt, "look_target"));
        if (!AttemptForm.NO_TUBE.contains(approach)) {
            passes(prefix, attempt);
        }
        put(prefix + "position", code(attempt, "tube_position"));
        co2(prefix, attempt);
        list(prefix + "why", attempt, "failure_reason");
        saturation(prefix + "lowest", attempt, "spo2_lowest");
        kit(prefix, attempt);
        List<String> labels = attempt.list("kit_labels");
        put(prefix + "labels", labels.isEmpty() ? null : String.join("\n", labels));
        end(prefix, approach, attempt, last);
        details(Level.ATTEMPT, prefix, attempt);
    }

    private void passes(String prefix, Answers attempt) {
        Integer passes = attempt.number("tube_passes");
        boolean tile = passes != null && passes <= 3;
        put(prefix + "passes", passes == null ? code(attempt, "tube_passes") : tile ? String.valueOf(passes) : "typed");
        put(prefix + "passes_typed", passes == null || tile ? null : String.valueOf(passes));
    }

    private void co2(String prefix, Answers attempt) {
        String seen = code(attempt, "sustained_co2");
        boolean waveform = attempt.list("confirmation").contains("waveform");
        put(prefix + "co2", "no".equals(seen) && waveform ? "part" : seen);
        if (!"yes".equals(seen)) {
            list(prefix + "confirmed", attempt, "confirmation");
        }
    }

    private void kit(String prefix, Answers attempt) {
        List<String> issues = attempt.list("kit_issue");
        if (attempt.unknown().contains("kit_issue")) {
            put(prefix + "kit", Answering.NOT_KNOWN);
        } else if (issues.contains("none")) {
            put(prefix + "kit", "none");
        } else if (!issues.isEmpty()) {
            put(prefix + "kit", "some");
            fields.put(prefix + "kits", issues);
        }
    }

    private void end(String prefix, String approach, Answers attempt, boolean last) {
        String airway = code(encounter.answers(), "final_airway");
        boolean placed = attempt.is("attempt_success", "yes");
        boolean stayed = placed && last && (airway == null || airway.equals(AttemptForm.AIRWAY_OF.get(approach)));
        put(
                prefix + "end",
                stayed ? "stay" : placed ? "lost" : attempt.is("attempt_success", "no") ? "fail" : Answering.NOT_KNOWN);
        if (!stayed) {
            put(prefix + "next", last ? "stop" : "another");
            put(prefix + "final", last ? airway : null);
        }
    }

    private void events() {
        List<String> codes = encounter.events().stream()
                .map(event -> String.valueOf(event.text("event_type")))
                .distinct()
                .toList();
        String any = code(encounter.answers(), "adverse_event_any");
        if (!codes.isEmpty()) {
            fields.put("event", codes);
        } else if (any != null && !any.equals("yes")) {
            put("event", any);
        }
        for (Answers event : encounter.events()) {
            String code = String.valueOf(event.text("event_type"));
            if (fields.containsKey("when." + code)
                    || fields.keySet().stream().anyMatch(name -> name.startsWith(Typed.event(code)))) {
                continue;
            }
            Integer attempt = event.number("event_attempt_no");
            put("when." + code, attempt == null ? code(event, "event_attempt_no") : String.valueOf(attempt));
            details(Level.EVENT, Typed.event(code), event);
        }
    }

    private void saturation(String field, Answers answers, String variable) {
        Integer value = answers.number(variable);
        boolean tile = value != null
                && Tile.saturations().stream().anyMatch(one -> one.value().equals(String.valueOf(value)));
        put(field, value == null ? code(answers, variable) : tile ? String.valueOf(value) : "typed");
        put(field + "_typed", value == null || tile ? null : String.valueOf(value));
    }

    private void list(String field, Answers answers, String variable) {
        List<String> codes = new ArrayList<>(answers.list(variable));
        if (answers.unknown().contains(variable)) {
            codes.add(Answering.NOT_KNOWN);
        }
        if (!codes.isEmpty()) {
            fields.put(field, codes);
        }
    }

    private void details(Level level, String prefix, Answers answers) {
        for (Variable variable : Details.variables(level)) {
            String field = prefix + variable.name();
            if (variable.type() == Variable.Type.LIST) {
                list(field, answers, variable.name());
            } else if (variable.coded() || variable.type() == Variable.Type.STRING) {
                put(field, code(answers, variable.name()));
            } else {
                Object value = answers.values().get(variable.name());
                put(field + "_unknown", answers.unknown().contains(variable.name()) ? "yes" : null);
                put(field, value == null ? null : plain(value));
            }
        }
    }

    private static String plain(Object number) {
        return number instanceof BigDecimal decimal
                ? decimal.stripTrailingZeros().toPlainString()
                : number.toString();
    }

    /** The words of a variable's answer on the tile "As it was recorded". */
    static String operator(Answers attempt) {
        List<String> parts = new ArrayList<>();
        for (String variable : List.of("operator_grade", "operator_experience")) {
            String words = attempt.words(variable);
            if (words != null) {
                parts.add(InWords.lower(words));
            }
        }
        return parts.isEmpty() ? "not told" : String.join(", ", parts);
    }
}
