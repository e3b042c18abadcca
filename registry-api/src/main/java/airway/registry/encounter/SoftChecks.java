package airway.registry.encounter;

import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Variable;
import airway.registry.problem.Fault;
import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * What is odd in a record and may be right all the same: each is asked about once, at one of its answers, and kept as
 * confirmed when the recorder says so.
 */
final class SoftChecks {
    private static final Duration LATE = Duration.ofDays(7);
    private static final int MANY_ATTEMPTS = 6;
    private static final int VERY_LOW = 40;
    private static final int YEAR = 365;
    private static final int ADULT = 6575;
    private static final BigDecimal FAR = BigDecimal.TEN;
    private static final double TUBE_FAR = 1.5;

    private final Encounter encounter;
    private final Map<String, DeviceSetup> setups;
    private final Circumstances circumstances;
    private final List<Fault> odd = new ArrayList<>();

    private SoftChecks(Encounter encounter, Map<String, DeviceSetup> setups, Circumstances circumstances) {
        this.encounter = encounter;
        this.setups = setups;
        this.circumstances = circumstances;
    }

    /** Everything odd that is not confirmed yet; of one answer only the first. */
    static List<Fault> of(Encounter encounter, Map<String, DeviceSetup> setups, Circumstances circumstances) {
        SoftChecks checks = new SoftChecks(encounter, setups, circumstances);
        checks.limits();
        checks.child();
        checks.time();
        checks.difficulty();
        checks.attempts();
        checks.events();
        checks.doses();
        return checks.odd;
    }

    private void limits() {
        for (Encounter.Node node : encounter.nodes(setups)) {
            for (String name : node.answers().values().keySet()) {
                Variable variable = Dictionary.current().variable(name);
                boolean likely = node.answers()
                        .forCondition(name)
                        .map(value -> !(value instanceof BigDecimal number)
                                || variable.soft().contains(number))
                        .orElse(true);
                if (!likely) {
                    ask(
                            Check.LIMIT,
                            node.pointer() + "/" + name,
                            "Usual is " + variable.soft().words() + JsonAnswers.unit(variable) + ".");
                }
            }
        }
    }

    private void child() {
        Answers answers = encounter.answers();
        Integer age = answers.number("age_days");
        Integer hours = answers.number("age_hours");
        Integer weeks = encounter.patient().number("gestation_weeks");
        if (age != null && answers.value("weight_kg").orElse(null) instanceof BigDecimal weight) {
            Integer days = encounter.patient().number("gestation_days");
            Integer gestation = weeks == null ? null : Integer.valueOf(7 * weeks + (days == null ? 0 : days));
            if (WeightForAge.unlikely(weight, age, gestation)) {
                ask(
                        Check.WEIGHT_FOR_AGE,
                        "/weight_kg",
                        gestation == null
                                ? "This weight is unlikely for the age."
                                : "This weight is unlikely for age and gestation.");
            }
        }
        if (age != null && hours != null && hours / 24 != age) {
            ask(Check.HOURS_OF_LIFE, "/age_hours", "These hours of life do not lie within the age in days.");
        }
        if (weeks != null && weeks >= 37 && answers.is("diagnosis_category", "prematurity")) {
            ask(
                    Check.GESTATION,
                    "/patient/gestation_weeks",
                    "The diagnosis is prematurity, and this gestation is not preterm.");
        }
    }

    private void time() {
        if (circumstances.typed()
                && encounter.answers().value("encounter_start").orElse(null) instanceof Instant start
                && start.isBefore(circumstances.now().minus(LATE))) {
            ask(Check.LATE, "/encounter_start", "This was more than seven days ago.");
        }
    }

    private void difficulty() {
        Encounter before = circumstances.before();
        String now = encounter.answers().text("difficulty_predicted");
        if (before != null
                && now != null
                && !now.equals(before.answers().text("difficulty_predicted"))
                && !now.equals("unk")) {
            ask(
                    Check.DIFFICULTY_CHANGED,
                    "/difficulty_predicted",
                    "At first this was answered otherwise, or not at all. It means what was thought before the first"
                            + " attempt, not afterwards.");
        }
    }

    private void attempts() {
        int number = 0;
        for (int c = 0; c < encounter.courses().size(); c++) {
            Course course = encounter.courses().get(c);
            boolean tracheal = CrossChecks.TRACHEAL.contains(
                    String.valueOf(course.answers().text("course_approach")));
            boolean placed = false;
            for (int a = 0; a < course.attempts().size(); a++) {
                number++;
                Answers attempt = course.attempts().get(a);
                String pointer = "/courses/" + c + "/attempts/" + a;
                boolean success = attempt.is("attempt_success", "yes");
                if (number == MANY_ATTEMPTS) {
                    ask(Check.MANY_ATTEMPTS, pointer + "/attempt_success", "There are six attempts or more.");
                }
                if (tracheal && success && placed) {
                    ask(
                            Check.SUCCESS_TWICE,
                            pointer + "/attempt_success",
                            "An attempt before this one in the same course succeeded too. That is right if the tube was"
                                    + " lost afterwards, or changed on purpose.");
                }
                placed |= success;
                if (tracheal && success && attempt.list("confirmation").contains("none")) {
                    ask(
                            Check.NOT_CONFIRMED,
                            pointer + "/confirmation",
                            "A tube was placed, but no confirmation is named.");
                }
                views(attempt, pointer);
                tube(attempt, pointer);
            }
        }
    }

    private void views(Answers attempt, String pointer) {
        int direct = grade(attempt.text("view_direct"));
        int screen = grade(attempt.text("view_screen"));
        if (direct > 0 && screen >= direct + 2) {
            ask(Check.VIEWS, pointer + "/view_screen", "The view on the screen is two grades worse than by eye.");
        }
    }

    /** The whole grade, 1 to 4; 0 where there is none. */
    private static int grade(@Nullable String view) {
        return view != null && Character.isDigit(view.charAt(0)) ? view.charAt(0) - '0' : 0;
    }

    /** The text never names a size: it is a check of what was typed, and no help to choose a tube. */
    private void tube(Answers attempt, String pointer) {
        Integer age = encounter.answers().number("age_days");
        if (age == null
                || age < YEAR
                || age >= ADULT
                || !(attempt.value("tube_size_mm").orElse(null) instanceof BigDecimal size)) {
            return;
        }
        double cuffed = age / 365.25 / 4 + 3.5;
        double uncuffed = cuffed + 0.5;
        double least = attempt.is("tube_cuff", "uncuffed") ? uncuffed : cuffed;
        double most = attempt.is("tube_cuff", "cuffed") ? cuffed : uncuffed;
        if (size.doubleValue() < least - TUBE_FAR || size.doubleValue() > most + TUBE_FAR) {
            ask(Check.TUBE_FOR_AGE, pointer + "/tube_size_mm", "Please check the size of the tube, and the age.");
        }
    }

    private void events() {
        Answers answers = encounter.answers();
        boolean told = encounter.events().stream()
                .map(event -> String.valueOf(event.text("event_type")))
                .anyMatch(type -> type.startsWith("oesophageal"));
        for (int c = 0; c < encounter.courses().size(); c++) {
            List<Answers> attempts = encounter.courses().get(c).attempts();
            for (int a = 0; a < attempts.size(); a++) {
                if (!told
                        && !answers.is("adverse_event_any", "unk")
                        && attempts.get(a).is("tube_position", "oesophagus")) {
                    ask(
                            Check.OESOPHAGUS,
                            "/courses/" + c + "/attempts/" + a + "/tube_position",
                            "The tube was in the oesophagus, but no such event is named.");
                }
            }
        }
        Integer lowest = encounter.attempts().stream()
                .map(attempt -> attempt.number("spo2_lowest"))
                .filter(Objects::nonNull)
                .reduce(answers.number("spo2_lowest_overall"), SoftChecks::lower);
        if (lowest != null && lowest < VERY_LOW && answers.is("adverse_event_any", "no")) {
            ask(
                    Check.LOW_WITHOUT_EVENT,
                    "/adverse_event_any",
                    "The lowest saturation is under " + VERY_LOW + "%, and no event is named.");
        }
    }

    private static @Nullable Integer lower(@Nullable Integer one, @Nullable Integer other) {
        return one == null ? other : other == null ? one : Integer.valueOf(Math.min(one, other));
    }

    private void doses() {
        if (!(encounter.answers().value("weight_kg").orElse(null) instanceof BigDecimal weight)) {
            return;
        }
        for (int c = 0; c < encounter.courses().size(); c++) {
            List<Answers> drugs = encounter.courses().get(c).drugs();
            for (int d = 0; d < drugs.size(); d++) {
                String agent = drugs.get(d).text("drug_agent");
                String unit = drugs.get(d).text("drug_dose_unit");
                if (agent != null
                        && unit != null
                        && drugs.get(d).value("drug_dose").orElse(null) instanceof BigDecimal dose
                        && far(dose, weight, agent, unit)) {
                    ask(
                            Check.DOSE,
                            "/courses/" + c + "/drugs/" + d + "/drug_dose",
                            "For this weight it is far from what the unit recorded of this drug: please check dose, unit"
                                    + " and weight.");
                }
            }
        }
    }

    private boolean far(BigDecimal dose, BigDecimal weight, String agent, String unit) {
        return circumstances
                .doses()
                .medianPerKg(agent, unit)
                .map(median -> {
                    BigDecimal usual = median.multiply(weight);
                    return dose.compareTo(usual.multiply(FAR)) > 0
                            || dose.multiply(FAR).compareTo(usual) < 0;
                })
                .orElse(false);
    }

    private void ask(Check check, String pointer, String oddity) {
        if (!encounter.confirmed().contains(pointer)
                && odd.stream().noneMatch(earlier -> earlier.path().equals(pointer))) {
            odd.add(check.at(pointer, oddity));
        }
    }
}
