package airway.registry.cohort;

import static airway.sql.generated.analysis.Tables.FACT;

import airway.registry.dictionary.Scheme;
import airway.registry.problem.Fault;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Optional;
import org.jooq.Condition;
import org.jooq.Field;
import org.jspecify.annotations.Nullable;

/**
 * Something that is measured on encounters, or on the rounds of the kit: its definition, and its column in the fact row. Of a
 * proportion the column holds 1 yes, 0 no; of a rate the number of events; of a value the value itself. -1 is not known, null
 * outside.
 */
public enum Measure {
    FPS(
            "First-pass success",
            "The first attempt of the encounter aimed at a tracheal tube and succeeded: one blade insertion.",
            "Attempt 1 aimed at a tracheal tube and succeeded.",
            "Encounters, tube changes apart, whose first attempt aimed at a tracheal tube and has a known" + " result.",
            Say.NOT_FIRST_PASS,
            Direction.HIGHER,
            "strip cusum p",
            null,
            "picu",
            "60% (1256 of 2080) in children's intensive care, direct laryngoscopy, published 2016; definitions"
                    + " and patients differ",
            "Lee 2016, BMC Pediatr 16:58"),
    FPS_STRICT(
            "First-pass success, one tube pass",
            "First-pass success with exactly one advance of the tube.",
            "As first-pass success, and the tube was advanced once.",
            "As first-pass success; a success needs the number of tube passes known.",
            Say.NOT_FIRST_PASS,
            Direction.HIGHER,
            "strip cusum p",
            null,
            "icu_adult",
            "81% against 86% by the usual definition in 1863 critically ill adults, published 2023; definitions"
                    + " and patients differ",
            "Trent 2023, Ann Emerg Med 82:432"),
    FPS_CLEAN(
            "First-pass success without event or desaturation",
            "First-pass success, no event, and no fall of the saturation below the stated limits.",
            "As first-pass success, no event of any severity, and no desaturation: lowest not under 80%; with a"
                    + " baseline under 90% or cyanotic heart disease a fall of less than 20 points; unless cyanotic"
                    + " never under 70%.",
            "As first-pass success; any one known failing part settles no, yes needs every part known.",
            Say.NOT_FIRST_PASS,
            Direction.HIGHER,
            "strip cusum p",
            Say.EVENTS + " " + Say.SATURATION,
            "",
            "no figure for children with this definition was found",
            "the registry's own; compare Powell (year not shown)"),
    SUCCESS_2(
            "Success within two attempts",
            "A tracheal tube was placed within the first two attempts at it.",
            "One of the first two tracheal attempts succeeded.",
            "Encounters, tube changes apart, whose first attempt aimed at a tracheal tube and has a known"
                    + " result; where it failed and there was a second, that one's result too.",
            Say.NOT_FIRST_PASS,
            Direction.HIGHER,
            "strip cusum p",
            null,
            "nicu",
            "77% (1766 of 2297) by trainees in newborn intensive care, published 2021; definitions and patients"
                    + " differ",
            "Johnston 2021, Pediatrics 148:e2020036145"),
    OVERALL_SUCCESS(
            "Tube placed in the end",
            "The encounter ended with a tracheal tube, however many attempts it took.",
            "The airway at the end is a tube through the mouth, the nose or a tracheostomy.",
            "Encounters, tube changes apart, whose first attempt aimed at a tracheal tube and whose airway at"
                    + " the end is known.",
            "Tube changes, encounters without an attempt, first attempts not aimed at the trachea, and endings"
                    + " not known.",
            Direction.HIGHER,
            "run g p",
            null,
            "picu",
            "by the first operator, residents 51%, fellows 89%, specialists 94% in 15 children's intensive care"
                    + " units, published 2013; definitions and patients differ",
            "Sanders 2013, Pediatrics 131:e821; Fiadjoe 2016"),
    ATTEMPTS_3PLUS(
            "Three or more attempts",
            "The trachea was attempted three times or more, counted up to the first success.",
            "Three or more tracheal attempts, up to and including the first that succeeded.",
            "Encounters, tube changes apart, whose first attempt aimed at a tracheal tube and whose number of"
                    + " tracheal attempts is known.",
            "Tube changes, encounters without an attempt, first attempts not aimed at the trachea, and records"
                    + " in which the result of one of the counted attempts is not known.",
            Direction.LOWER,
            "strip p",
            null,
            "picu",
            "15% (321 of 2080) in children's intensive care, direct laryngoscopy, published 2016; definitions"
                    + " and patients differ",
            "Lee 2016, BMC Pediatr 16:58; Singh 2022, J Perinatol 42:1221"),
    AE_ANY(
            "Any adverse event",
            "At least one adverse event; how many, and how severe, does not matter.",
            "An event of any type was recorded, or reported without its type. A failure of the kit is told" + " apart.",
            "Encounters, tube changes apart, whose question about events was answered yes or no.",
            "Tube changes, and answers not known.",
            Direction.LOWER,
            "strip p",
            Say.EVENTS,
            "picu",
            "20% of 1720 intubations in 15 children's intensive care units, published 2014; definitions and"
                    + " patients differ",
            "Nett 2014, Pediatr Crit Care Med; Lee 2016, BMC Pediatr 16:58"),
    AE_PER_ENCOUNTER(
            Shape.RATE,
            "Adverse events per intubation",
            "The number of adverse events in an encounter, each counted; several of one type count several times.",
            "Every event that was recorded, of any type. A failure of the kit is told apart.",
            "Encounters, tube changes apart, whose question about events was answered yes or no; with yes, the events"
                    + " need to be named.",
            "Tube changes, and numbers of events not known.",
            Direction.LOWER,
            "u u_prime c run xmr",
            Say.EVENTS,
            "",
            "no figure in this form was found",
            "common practice, no source; events as in Nett 2014, Pediatr Crit Care Med"),
    AE_SEVERE(
            "Severe adverse event",
            "At least one event that the scheme calls severe. Review the cases one by one first: few events"
                    + " make a poor chart.",
            "An event of a type that the scheme calls severe was recorded.",
            "As any adverse event; an event reported without its type, or one that the scheme leaves to a"
                    + " reviewer, is not known.",
            "Tube changes, and answers not known.",
            Direction.LOWER,
            "strip g t p",
            Say.EVENTS,
            "picu",
            "6.6% (364 of 5504) in 35 children's intensive care units, published 2018; definitions and patients"
                    + " differ",
            "Parker 2018, Pediatr Crit Care Med; Lee 2016, BMC Pediatr 16:58"),
    DAYS_SEVERE(
            Shape.BETWEEN,
            "Days between severe adverse events",
            "Days from one encounter with an event that the scheme calls severe to the next. The stretch since the last"
                    + " one still runs, and is shown and not judged.",
            "An event of a type that the scheme calls severe was recorded.",
            "As any adverse event; an event reported without its type, or one that the scheme leaves to a"
                    + " reviewer, is not known.",
            "Tube changes, and answers not known.",
            Direction.HIGHER,
            "t",
            Say.EVENTS,
            "",
            "no figure was found; with 4 intubations a month and 6.6% of them with a severe event, about 115 days (our"
                    + " arithmetic)",
            "Nelson 1994, J Qual Technol 26:239-240"),
    ENCOUNTERS_SEVERE(
            Shape.BETWEEN,
            "Intubations between severe adverse events",
            "Encounters without an event that the scheme calls severe from one with such an event to the next. The stretch"
                    + " since the last one still runs, and is shown and not judged.",
            "An event of a type that the scheme calls severe was recorded.",
            "As any adverse event; an event reported without its type, or one that the scheme leaves to a"
                    + " reviewer, is not known.",
            "Tube changes, and answers not known.",
            Direction.HIGHER,
            "g",
            Say.EVENTS,
            "",
            "no figure was found; with 6.6% of intubations with a severe event, about 14 (our arithmetic)",
            "Benneyan 2001, Health Care Manag Sci 4:305-318"),
    DESAT_80(
            "Desaturation below 80%",
            "The lowest saturation was under 80%, from 90% or more before.",
            "The lowest saturation of the encounter was under 80%.",
            "Encounters with a best saturation of 90% or more before attempt 1 and a known lowest one; a known"
                    + " reading under the limit settles yes, no needs every reading. Cyanotic heart disease is left"
                    + " out; where it is not known the encounter counts.",
            "Encounters without an attempt; best saturation before under 90%, or cyanotic heart disease, where"
                    + " a fixed limit means little; a poor or absent signal at any attempt; saturations not known.",
            Direction.LOWER,
            "strip p",
            Say.SATURATION,
            "picu",
            "19.3% of 5498 intubations with a baseline over 90% in 31 intensive care units, published 2018;"
                    + " definitions and patients differ",
            "Li 2018, Pediatr Crit Care Med 19:e41; Lee 2016, BMC Pediatr 16:58"),
    DESAT_70(
            "Desaturation below 70%",
            "The lowest saturation was under 70%, from 90% or more before.",
            "The lowest saturation of the encounter was under 70%.",
            "Encounters with a best saturation of 90% or more before attempt 1 and a known lowest one; a known"
                    + " reading under the limit settles yes, no needs every reading. Cyanotic heart disease is left"
                    + " out; where it is not known the encounter counts.",
            "Encounters without an attempt; best saturation before under 90%, or cyanotic heart disease, where"
                    + " a fixed limit means little; a poor or absent signal at any attempt; saturations not known.",
            Direction.LOWER,
            "strip p",
            Say.SATURATION,
            "picu",
            "12.9% of 5498 intubations with a baseline over 90% in 31 intensive care units, published 2018;"
                    + " definitions and patients differ",
            "Li 2018, Pediatr Crit Care Med 19:e41; Lee 2016, BMC Pediatr 16:58"),
    DESAT_20PT(
            "Fall in saturation of 20 points or more",
            "The saturation fell by 20 points or more from the best before attempt 1.",
            "The best saturation before attempt 1 minus the lowest is 20 points or more.",
            "Encounters with both saturations known; a known fall settles yes, no needs every reading.",
            "Encounters without an attempt; a poor or absent signal at any attempt; saturations not known.",
            Direction.LOWER,
            "strip p",
            Say.SATURATION,
            "nicu",
            "48% of 2009 intubations in newborn intensive care, 29% to 69% by site, published 2019; definitions"
                    + " and patients differ",
            "Foglia 2019, Pediatrics; Foglia 2015, Neonatology 108:23"),
    SPO2_LOW_MEDIAN(
            Shape.VALUE,
            "Lowest saturation",
            "The lowest saturation of each encounter; the middle one of them is shown, never a mean.",
            "The least of all readings, or the lowest of the encounter where that was entered.",
            "Encounters with an attempt whose every reading, or whose lowest one, is known.",
            "Encounters without an attempt; a poor or absent signal at any attempt; saturations not known.",
            Direction.HIGHER,
            "run xmr",
            Say.SATURATION,
            "",
            "middle value 74% by video against 68% directly in newborns, published 2024, from a summary; definitions and"
                    + " patients differ",
            "Geraghty 2024 (from a summary)"),
    OESOPHAGEAL_ANY(
            "Oesophageal intubation, any",
            "A tube was in the oesophagus, recognised at once or late.",
            "An event of oesophageal intubation, at once or late, or an attempt whose tube first went to the"
                    + " oesophagus.",
            "Encounters, tube changes apart, whose first attempt aimed at a tracheal tube, and in which the"
                    + " events or the places where the tube went are known; a known place settles yes without an"
                    + " event.",
            "Tube changes, encounters without an attempt, first attempts not aimed at the trachea, and"
                    + " encounters with neither the events nor all the places of the tube known.",
            Direction.LOWER,
            "strip p",
            Say.EVENTS,
            "picu",
            "recognised at once 0.8%, 14.7% and 27.4% with one, two and three or more attempts in children's"
                    + " intensive care (2080), published 2016; definitions and patients differ",
            "Lee 2016, BMC Pediatr 16:58, table 4; Garcia-Marcinkiewicz 2020, Lancet 396:1905"),
    OESOPHAGEAL_LATE(
            "Oesophageal intubation recognised late",
            "A tube was in the oesophagus and was recognised late. Review the cases one by one first: few"
                    + " events make a poor chart.",
            "An event of oesophageal intubation recognised late.",
            "Encounters, tube changes apart, whose first attempt aimed at a tracheal tube and whose question"
                    + " about events was answered.",
            "Tube changes, encounters without an attempt, first attempts not aimed at the trachea, and events"
                    + " not known.",
            Direction.LOWER,
            "strip t g",
            Say.EVENTS,
            "picu",
            "0.39% with a waveform of exhaled CO2 and 0.46% with colour change, 9639 intubations in children's"
                    + " intensive care, published 2018; definitions and patients differ",
            "Langhan 2018, Pediatr Crit Care Med; Lee 2016, BMC Pediatr 16:58"),
    DURATION_SUCCESS(
            Shape.VALUE,
            "Time of the successful attempt, to exhaled CO2",
            "Seconds from the blade, or device, passing the teeth or gums until the first exhaled CO2, in the attempt that succeeded."
                    + " Times by other clock-stops are never mixed in.",
            "The duration of the first tracheal attempt that succeeded.",
            "Encounters with a successful tracheal attempt, its duration known and its clock stopped so.",
            Say.NO_TIME,
            Direction.LOWER,
            "run xmr",
            null,
            "",
            Say.NO_FIGURE,
            Say.TIMES),
    DURATION_SUCCESS_TUBE_PLACED(
            Shape.VALUE,
            "Time of the successful attempt, to tube placed",
            "Seconds from the blade, or device, passing the teeth or gums until the tube was through the cords, in the attempt that succeeded."
                    + " Times by other clock-stops are never mixed in.",
            "The duration of the first tracheal attempt that succeeded.",
            "Encounters with a successful tracheal attempt, its duration known and its clock stopped so.",
            Say.NO_TIME,
            Direction.LOWER,
            "run xmr",
            null,
            "",
            Say.NO_FIGURE,
            Say.TIMES),
    DURATION_SUCCESS_CONFIRMED(
            Shape.VALUE,
            "Time of the successful attempt, to confirmed",
            "Seconds from the blade, or device, passing the teeth or gums until the tube was confirmed, in the attempt that succeeded."
                    + " Times by other clock-stops are never mixed in.",
            "The duration of the first tracheal attempt that succeeded.",
            "Encounters with a successful tracheal attempt, its duration known and its clock stopped so.",
            Say.NO_TIME,
            Direction.LOWER,
            "run xmr",
            null,
            "",
            Say.NO_FIGURE,
            Say.TIMES),
    DURATION_SUCCESS_BLADE_OUT(
            Shape.VALUE,
            "Time of the successful attempt, to device out",
            "Seconds from the blade, or device, passing the teeth or gums until the device was out of the mouth, in the attempt that succeeded."
                    + " Times by other clock-stops are never mixed in.",
            "The duration of the first tracheal attempt that succeeded.",
            "Encounters with a successful tracheal attempt, its duration known and its clock stopped so.",
            Say.NO_TIME,
            Direction.LOWER,
            "run xmr",
            null,
            "",
            Say.NO_FIGURE,
            Say.TIMES),
    CAPNO_USED(
            "Exhaled CO2 waveform used",
            "A waveform of exhaled CO2 was among the ways the final tube was confirmed.",
            "The attempt that placed the final tube was confirmed by a waveform, alone or with other ways.",
            "Encounters that ended with a tracheal tube and whose confirmation is known, read at the last"
                    + " tracheal attempt that succeeded.",
            "Encounters without an attempt, or that did not end with a tracheal tube; endings not known, and"
                    + " confirmations blank or not known.",
            Direction.HIGHER,
            "strip p",
            null,
            "picu",
            "39% in 2010 to 2011 and 53% in 2015 in children's intensive care, median of units 49% (quartiles"
                    + " 25% and 85%), published 2018; definitions and patients differ",
            "Langhan 2018, Pediatr Crit Care Med; Chrimes 2022, Anaesthesia 77:1395"),
    SUSTAINED_CO2(
            "Sustained exhaled CO2 documented",
            "Sustained exhaled CO2 was documented for the final tube.",
            "Sustained exhaled CO2 is answered yes at the last tracheal attempt that succeeded.",
            "Encounters that ended with a tracheal tube. A blank, no and not known all count as not documented:"
                    + " this measures the record as well as the care.",
            "Encounters without an attempt, or that did not end with a tracheal tube; endings not known.",
            Direction.HIGHER,
            "strip p",
            null,
            "",
            "no figure in this form was found",
            "Chrimes 2022, Anaesthesia 77:1395"),
    CHECKLIST(
            "Checklist used",
            "A written checklist was read aloud before the first attempt.",
            "The written checklist is answered used in the course of attempt 1.",
            "Encounters where it was available and where it is known whether it was used.",
            "Encounters without an attempt, without a checklist at hand, or in an emergency with arrest;"
                    + " answers blank or not known.",
            Direction.HIGHER,
            "strip p",
            null,
            "picu",
            "adherence defined as over 80% of intubations for three months running, reached by 15 of 19"
                    + " children's intensive care units, published 2021; definitions and patients differ",
            "Nishisaki 2021, Crit Care Med 49:250"),
    APNOEIC_O2(
            "Oxygen during the attempt",
            "Oxygen or flow was given while the blade was in the mouth.",
            "Oxygen during the attempt is answered with anything but none in the course of attempt 1.",
            "Encounters where it is known.",
            "Encounters without an attempt, and answers blank or not known.",
            Direction.HIGHER,
            "strip p",
            null,
            "picu",
            "23% before and 68% after an effort of several children's intensive care units, published 2023;"
                    + " definitions and patients differ; whether more is wanted is a local choice",
            "Napolitano 2023, Crit Care, doi:10.1186/s13054-023-04304-0"),
    NMB_USED(
            "Muscle relaxant before first attempt",
            "A muscle relaxant was given and had time to act before the first attempt.",
            "Muscle relaxant is answered yes in the course of attempt 1.",
            "Encounters where it is known. Attempts in which the child was meant to breathe count too.",
            "Encounters without an attempt, or with cardiac arrest as the leading reason; answers blank or not"
                    + " known.",
            Direction.NONE,
            "strip p",
            null,
            "nicu",
            "83% in one newborn intensive care unit, published 2021; definitions and patients differ",
            "Herrick 2021, report of an improvement project, PMC8628255"),
    VIDEO_USED(
            "Screen available at first attempt",
            "The first attempt was made with a set-up that has a screen.",
            "The set-up of attempt 1 is a video laryngoscope, or one together with a flexible scope.",
            "Encounters where the kind of laryngoscope of attempt 1 is known.",
            "Encounters without an attempt, and kinds of laryngoscope not known.",
            Direction.NONE,
            "strip p",
            null,
            "picu",
            "10.5% of 8875 intubations in children's intensive care in 2010 to 2015, median of units 2.6% (0%"
                    + " to 55%), published 2017; definitions and patients differ",
            "Grunwell 2017, Pediatr Crit Care Med 18:741"),
    SCREEN_LOOKED(
            "Screen really looked at",
            "The screen was looked at in the first attempt, where looking directly was possible too.",
            "In attempt 1 the operator looked at the screen, or both at the screen and directly.",
            "First attempts with a video set-up that also allows a direct view, where it is known where the"
                    + " operator looked.",
            "First attempts with other set-ups, encounters without an attempt, and set-ups or looks not known.",
            Direction.NONE,
            "strip p",
            null,
            "ed",
            "80.4% of attempts by 153 patients' footage in children's emergency care, year not shown;"
                    + " definitions and patients differ",
            "Dean, video-based study in children's emergency care (year not shown)"),
    GOOD_VIEW_NO_PASS(
            "Good view, tube would not pass",
            "The first attempt failed because the tube would not pass, though the view was good.",
            "Attempt 1 failed, and among the reasons is that the tube would not pass.",
            "First attempts with a view of grade 1 or 2a by the way the operator looked, directly or on the"
                    + " screen; either one where both were used or where that is not told.",
            "First attempts with a lesser view, or with a set-up whose view has no grade; encounters without an"
                    + " attempt; views, results or reasons not known.",
            Direction.LOWER,
            "",
            null,
            "",
            "no figure was found",
            "common practice, no source"),
    ROOM_FOR_TUBE(
            "Tight room for the tube",
            "The room left for the tube beside the blade was tight or worse in the first attempt.",
            "Room for the tube is answered tight, very tight or no room at attempt 1.",
            "First attempts where it is known.",
            "Encounters without an attempt, and answers blank or not known.",
            Direction.LOWER,
            "",
            null,
            "",
            "no figure was found",
            "common practice, no source"),
    KIT_FAILURE_USE(
            "Kit problem at use",
            "A problem with the kit was met in any attempt.",
            "A problem with the kit was recorded at any attempt.",
            "Encounters whose question about the kit was answered at attempt 1.",
            "Encounters without an attempt, and answers blank or not known.",
            Direction.LOWER,
            "strip p",
            null,
            "",
            "no rate was found; problems with the kit went with 3.4 times the odds of an event in newborns,"
                    + " published 2021",
            "Front Pediatr 2021, doi:10.3389/fped.2021.675238"),
    TROLLEY_READY(
            "Trolleys ready",
            "Just after the due time every trolley of the unit had been checked in time and was last found ready. A day on"
                    + " which nobody checked is never ready.",
            "The day's last checks were in time and found everything there and in date, the seal whole and the device in"
                    + " order, on every trolley in use.",
            "Calendar days with a trolley in use, up to yesterday.",
            "Days without a trolley in use. Where items went after a check is not looked at.",
            Direction.HIGHER,
            Say.DAYS,
            null,
            "",
            Say.NOTHING_LIKE_IT,
            Say.OWN),
    CHECK_ON_TIME(
            "Trolley checks on time",
            "Just after the due time no trolley of the unit was overdue for a check.",
            "Every trolley in use had been checked, and checked in full, within its interval.",
            "Calendar days with a trolley in use, up to yesterday.",
            "Days without a trolley in use.",
            Direction.HIGHER,
            Say.DAYS,
            null,
            "",
            Say.NOTHING_LIKE_IT,
            Say.OWN),
    BLADE_TURNAROUND(
            Shape.VALUE,
            "Days until an item that was sent is ready again",
            "Days from sending a reusable item for decontamination until it was ready, or on a trolley, again; the middle"
                    + " one of them is shown. What is still away counts as away until now.",
            "Time from sent to ready or placed; an item that is still away, or whose round ended otherwise (missing, out of"
                    + " use, in repair), tells only that it was away so long (Kaplan and Meier).",
            "Sendings of items that began in the span.",
            "Nothing.",
            Direction.LOWER,
            "run xmr",
            null,
            "",
            Say.NOTHING_LIKE_IT,
            Say.OWN),
    LABEL_TRACED(
            "Uses traced",
            "A use of an item names the record and the attempt, so that a look-back finds it.",
            "The record, or a move of an item, says which item was used in the attempt.",
            "Attempts whose set-up has a reusable or sheathed blade.",
            "Attempts with other set-ups, or with a set-up that does not say.",
            Direction.HIGHER,
            "p p_prime run xmr",
            null,
            "",
            Say.NOTHING_LIKE_IT,
            Say.OWN);

    /** What a measure counts. */
    public enum Cases {
        INTUBATIONS("intubation"),
        /** Calendar days of the unit. */
        DAYS("day"),
        /** Sendings of one item each. */
        SENDINGS("sending"),
        ATTEMPTS("attempt");

        private final String one;

        Cases(String one) {
            this.one = one;
        }

        public String one() {
            return one;
        }

        public String many() {
            return one + "s";
        }

        /** "1 day", "31 days". */
        public String of(long n) {
            return n + " " + (n == 1 ? one : many());
        }
    }

    /** What its column holds, and so what can be said of many. */
    public enum Shape {
        /** Yes or no: a share of encounters. */
        PROPORTION,
        /** A number of events: events per encounter. */
        RATE,
        /** A quantity: its median. */
        VALUE,
        /** Yes or no, told by what lies between one yes and the next. */
        BETWEEN;

        public String code() {
            return name().toLowerCase(Locale.ROOT);
        }
    }

    /** Which way to read a measure in; never a target. */
    public enum Direction {
        HIGHER,
        LOWER,
        /** Describes only. */
        NONE;

        public String code() {
            return name().toLowerCase(Locale.ROOT);
        }
    }

    /** Sentences that several measures share. */
    private static final class Say {
        /** Source: the definitions of the registry, section 3; our own decision. */
        static final String EVENTS =
                "Events count from the first drug or device until 30 minutes after the last attempt; what is found later"
                        + " and began then counts too.";

        /** Source: as above; the two minutes after Prekker 2023. */
        static final String SATURATION = "Saturation is read from device in until two minutes after the attempt ended.";

        static final String NOT_FIRST_PASS =
                "Tube changes, encounters without an attempt, first attempts not aimed at the trachea, and results not"
                        + " known.";

        static final String NO_TIME =
                "Encounters in which no tracheal attempt succeeded, and times by another clock-stop; durations or clock-stops"
                        + " not known.";

        static final String NO_FIGURE =
                "no figure with this clock-stop was found; shorter is better only as far as it is safe";

        /** Days resemble their neighbours, which limits from the binomial law do not allow for. */
        static final String DAYS = "run xmr p_prime";

        static final String NOTHING_LIKE_IT = "no figure was found";

        static final String OWN = "the registry's own; common practice, no source";

        static final String TIMES = "Lane 2004, J Pediatr 145:67; published times differ by the clock-stop";

        private Say() {}
    }

    private final Shape shape;
    private final String title;
    private final String definition;
    private final String numerator;
    private final String denominator;
    private final String leftOut;
    private final Direction direction;
    private final String charts;
    private final @Nullable String window;
    private final String publishedFor;
    private final String published;
    private final String source;

    Measure(
            String title,
            String definition,
            String numerator,
            String denominator,
            String leftOut,
            Direction direction,
            String charts,
            @Nullable String window,
            String publishedFor,
            String published,
            String source) {
        this(
                Shape.PROPORTION,
                title,
                definition,
                numerator,
                denominator,
                leftOut,
                direction,
                charts,
                window,
                publishedFor,
                published,
                source);
    }

    Measure(
            Shape shape,
            String title,
            String definition,
            String numerator,
            String denominator,
            String leftOut,
            Direction direction,
            String charts,
            @Nullable String window,
            String publishedFor,
            String published,
            String source) {
        this.shape = shape;
        this.title = title;
        this.definition = definition;
        this.numerator = numerator;
        this.denominator = denominator;
        this.leftOut = leftOut;
        this.direction = direction;
        this.charts = charts;
        this.window = window;
        this.publishedFor = publishedFor;
        this.published = published;
        this.source = source;
    }

    public static Optional<Measure> named(String id) {
        return Arrays.stream(values())
                .filter(measure -> measure.id().equals(id))
                .findFirst();
    }

    /** Those that are counted on encounters. */
    public static List<Measure> ofEncounters() {
        return Arrays.stream(values()).filter(measure -> !measure.ofKit()).toList();
    }

    /** Those that are a share of encounters: groups are compared by these alone. */
    public static List<Measure> proportions() {
        return ofEncounters().stream()
                .filter(measure -> measure.shape == Shape.PROPORTION)
                .toList();
    }

    /** What tells how the kit does: for those who keep it and see no record. */
    public static List<Measure> aboutKit() {
        return Arrays.stream(values())
                .filter(measure -> measure.ofKit() || measure == KIT_FAILURE_USE)
                .toList();
    }

    /** Whether it is counted on the rounds of the kit; it has no column in the fact row then. */
    public boolean ofKit() {
        return cases() != Cases.INTUBATIONS;
    }

    /** What it counts. */
    public Cases cases() {
        return switch (this) {
            case TROLLEY_READY, CHECK_ON_TIME -> Cases.DAYS;
            case BLADE_TURNAROUND -> Cases.SENDINGS;
            case LABEL_TRACED -> Cases.ATTEMPTS;
            default -> Cases.INTUBATIONS;
        };
    }

    public String id() {
        return name().toLowerCase(Locale.ROOT);
    }

    public Shape shape() {
        return shape;
    }

    /** Unit of its values; 1 for a fraction from 0 to 1. */
    public String unit() {
        return switch (shape) {
            case PROPORTION -> "1";
            case RATE -> "events per encounter";
            case VALUE -> this == SPO2_LOW_MEDIAN ? "%" : this == BLADE_TURNAROUND ? "d" : "s";
            case BETWEEN -> this == DAYS_SEVERE ? "d" : "encounters";
        };
    }

    public String title() {
        return title;
    }

    public String definition() {
        return definition;
    }

    public String numerator() {
        return numerator;
    }

    public String denominator() {
        return denominator;
    }

    /** What does not count at all. */
    public String leftOut() {
        return leftOut;
    }

    public Direction direction() {
        return direction;
    }

    /** The answer that is not wanted: 0 where more of it is wanted, 1 otherwise. */
    public int unwanted() {
        return shape == Shape.PROPORTION && direction == Direction.HIGHER ? 0 : 1;
    }

    /** The measure whose answers it counts: itself, unless it tells what lies between those of another. */
    public Measure counts() {
        return shape == Shape.BETWEEN ? AE_SEVERE : this;
    }

    /** Codes of the charts that fit it, the fittest first; empty where only groups tell something. */
    public List<String> charts() {
        return charts.isEmpty() ? List.of() : List.of(charts.split(" ", -1));
    }

    /** The stretch of time that the answers are about; null where it is the attempt itself. */
    @Nullable
    public String window() {
        return window;
    }

    /** Kind of unit whose patients the published figures are about; empty where there are none. */
    public String publishedFor() {
        return publishedFor;
    }

    /** Published figures with population and year, for orientation and never as a target. */
    public String published() {
        return published;
    }

    /** Where the definition and the published figures come from. */
    public String source() {
        return source;
    }

    /** Whether a scheme of severity decides. */
    public boolean bySeverity() {
        return counts() == AE_SEVERE;
    }

    /**
     * The scheme that decides.
     *
     * @param named as asked for, or null
     * @return null where none is needed
     */
    @Nullable
    public Scheme scheme(@Nullable String named, List<Fault> faults) {
        if (!bySeverity()) {
            if (named != null) {
                faults.add(Fault.parameter("scheme", "scheme.not_used", "No scheme decides here; leave it out."));
            }
            return null;
        }
        return named == null
                ? Scheme.DEFAULT
                : Scheme.named(named).orElseGet(() -> {
                    faults.add(Fault.parameter("scheme", "code", "Allowed are A, B, C."));
                    return Scheme.DEFAULT;
                });
    }

    /** The title, with the scheme that decides. */
    public String title(@Nullable Scheme scheme) {
        return scheme == null ? title : title + " (" + scheme.words() + ")";
    }

    /** A record that it leaves out: outside by definition, or with an answer that is not known. */
    public Condition leavesOut() {
        return column(null).isNull().or(column(null).lt((short) 0));
    }

    /** Its column in the fact row; without a scheme that of the usual one. */
    public Field<Short> column(@Nullable Scheme scheme) {
        if (!bySeverity()) {
            return switch (this) {
                case AE_PER_ENCOUNTER -> FACT.EVENT_COUNT;
                case SPO2_LOW_MEDIAN -> FACT.SPO2_LOW;
                case DURATION_SUCCESS -> FACT.DURATION_CO2;
                case DURATION_SUCCESS_TUBE_PLACED -> FACT.DURATION_TUBE_PLACED;
                case DURATION_SUCCESS_CONFIRMED -> FACT.DURATION_CONFIRMED;
                case DURATION_SUCCESS_BLADE_OUT -> FACT.DURATION_BLADE_OUT;
                default -> Objects.requireNonNull(FACT.field(id(), Short.class));
            };
        }
        return switch (scheme == null ? Scheme.DEFAULT : scheme) {
            case A -> FACT.AE_SEVERE_A;
            case B -> FACT.AE_SEVERE_B;
            case C -> FACT.AE_SEVERE_C;
        };
    }
}
