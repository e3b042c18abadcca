package airway.registry.encounter;

import airway.registry.problem.Fault;

/**
 * What must hold between the answers of a record, and what is only odd.
 *
 * <p>Limits of single answers are in the dictionary. What a mistake would make false is refused; what is rare but real
 * is asked about once, and kept as confirmed. The reference page of the checks is made from here.
 */
enum Check {
    REQUIRED(
            "required",
            Fault.Severity.ERROR,
            "Kind and start of the encounter, the approach of each course, the result of each attempt, the kind of each"
                    + " event and drug",
            "without them a record counts nowhere",
            Check.OURS),
    CONDITION(
            "condition",
            Fault.Severity.ERROR,
            "An answer to a question whose condition does not hold",
            "one of the two answers is wrong",
            Check.OURS),
    PAST("past", Fault.Severity.ERROR, "A start before 1950", "a slip in the year", Check.OURS),
    FUTURE(
            "future",
            Fault.Severity.ERROR,
            "A start more than five minutes ahead",
            "a record is made after the procedure; clocks differ a little",
            Check.OURS),
    MAIN_REASON(
            "indication.not_among",
            Fault.Severity.ERROR,
            "The leading reason is not among the reasons",
            "the two contradict each other",
            Check.OURS),
    AFTER_DEATH(
            "attempt.after_death",
            Fault.Severity.ERROR,
            "An attempt after the patient died",
            "the two contradict each other",
            Check.OURS),
    ATTEMPTS_IN_ALL(
            "attempts.too_many",
            Fault.Severity.ERROR,
            "More than thirty attempts in all courses together",
            "attempts are numbered through the whole encounter",
            Check.OURS),
    SETUP(
            "setup.unknown",
            Fault.Severity.ERROR,
            "A set-up that the unit does not have",
            "it could not be read again",
            Check.OURS),
    LOWEST_ABOVE_START(
            "spo2.lowest_above_start",
            Fault.Severity.ERROR,
            "The lowest saturation of an attempt above the one before it",
            "a lowest reading cannot lie above another one",
            Check.OURS),
    NO_PASS(
            "passes.zero",
            Fault.Severity.ERROR,
            "A tube placed in the trachea without having been advanced",
            "the two contradict each other",
            Check.OURS),
    EVENT_ATTEMPT(
            "event.attempt",
            Fault.Severity.ERROR,
            "An event during an attempt that there is not",
            "it would count nowhere",
            Check.OURS),
    SETUP_SCREEN(
            "setup.screen",
            Fault.Severity.ERROR,
            "A set-up with a screen and no place for it, or a place and no screen",
            "the place of the screen is compared",
            Check.OURS),
    SETUP_BLADE(
            "setup.blade",
            Fault.Severity.ERROR,
            "A set-up with a strongly angled blade for direct sight",
            "such a blade gives no direct view",
            Check.OURS),

    LIMIT(
            "unlikely",
            Fault.Severity.CONFIRM,
            "An answer outside the usual limits of its variable",
            "see the page of the variables",
            "common practice; limits of plausibility, not normal ranges"),
    WEIGHT_FOR_AGE(
            "weight.age",
            Fault.Severity.CONFIRM,
            "A weight that is unlikely for the age; in the first year for the gestation too",
            "kilograms typed as grams or pounds, years as months; everything per kilogram rests on it",
            WeightForAge.SOURCE),
    HOURS_OF_LIFE(
            "age.hours",
            Fault.Severity.CONFIRM,
            "Hours of life that are not within the day of life",
            "one of the two was typed wrong",
            Check.OURS),
    GESTATION(
            "gestation.diagnosis",
            Fault.Severity.CONFIRM,
            "Prematurity as the diagnosis with a gestation of 37 weeks or more",
            "the age band rests on the gestation",
            "preterm is under 37 completed weeks: Engle 2004 Pediatrics 114:1362"),
    LATE(
            "start.late",
            Fault.Severity.CONFIRM,
            "A start more than seven days ago, asked on the page only",
            "mostly a slip in the date; a program that sends old records sends right dates, and how late a record came"
                    + " is kept anyway",
            Check.OURS),
    DIFFICULTY_CHANGED(
            "difficulty.changed",
            Fault.Severity.CONFIRM,
            "The expected difficulty answered otherwise than at first",
            "it means what was thought beforehand; what happened afterwards colours the memory",
            Check.OURS),
    MANY_ATTEMPTS(
            "attempts.many",
            Fault.Severity.CONFIRM,
            "Six attempts or more",
            "rare, and often two encounters in one record",
            Check.OURS),
    SUCCESS_TWICE(
            "success.twice",
            Fault.Severity.CONFIRM,
            "Two successful attempts at a tracheal tube in one course",
            "real when the tube was lost afterwards or changed on purpose, else a slip",
            Check.OURS),
    NOT_CONFIRMED(
            "success.unconfirmed",
            Fault.Severity.CONFIRM,
            "A tube in the trachea, and no way of confirmation",
            "success means placed and confirmed",
            "Chrimes 2022 Anaesthesia 77:1395"),
    OESOPHAGUS(
            "oesophagus.no_event",
            Fault.Severity.CONFIRM,
            "A tube in the oesophagus, and no event of that kind",
            "it is an event, recognised at once or late",
            "Lee 2016 BMC Pediatr 16:58, table 4"),
    LOW_WITHOUT_EVENT(
            "event.low_saturation",
            Fault.Severity.CONFIRM,
            "No event, and a lowest saturation under 40%",
            "so deep a fall seldom comes alone; desaturation itself is no event here",
            Check.OURS),
    VIEWS(
            "view.screen_worse",
            Fault.Severity.CONFIRM,
            "A view on the screen two grades worse than by eye",
            "mostly the two were exchanged",
            Check.OURS),
    TUBE_FOR_AGE(
            "tube.age",
            Fault.Severity.CONFIRM,
            "A tube more than 1.5 mm from what the age would suggest, from one year to under eighteen",
            "a slip in size or age; no size is ever proposed here",
            "age/4 + 3.5 with and age/4 + 4 without cuff, secondary sources; they differ by up to 1 mm"),
    DOSE(
            "dose.unusual",
            Fault.Severity.CONFIRM,
            "A dose per kilogram over ten times or under a tenth of the unit's own median of that drug, from twenty"
                    + " earlier doses on",
            "a slip in the unit or a decimal; there is no table of doses here, and none is meant",
            Check.OURS);

    private static final String OURS = "the registry's own";

    private final String code;
    private final Fault.Severity severity;
    private final String what;
    private final String why;
    private final String source;

    Check(String code, Fault.Severity severity, String what, String why, String source) {
        this.code = code;
        this.severity = severity;
        this.what = what;
        this.why = why;
        this.source = source;
    }

    /** Stable word for programs. */
    String code() {
        return code;
    }

    Fault.Severity severity() {
        return severity;
    }

    /** What is refused or asked about. */
    String what() {
        return what;
    }

    String why() {
        return why;
    }

    String source() {
        return source;
    }

    Fault at(String pointer, String mend) {
        return severity == Fault.Severity.ERROR ? Fault.at(pointer, code, mend) : Fault.confirm(pointer, code, mend);
    }
}
