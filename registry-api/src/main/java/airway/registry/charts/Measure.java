package airway.registry.charts;

import static airway.sql.generated.analysis.Tables.FACT;

import airway.registry.dictionary.Scheme;
import airway.registry.problem.Fault;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.jooq.Field;
import org.jspecify.annotations.Nullable;

/** A proportion of encounters: its definition, and its column in the fact row (1 yes, 0 no, -1 not known, null outside). */
enum Measure {
    FPS(
            "First-pass success",
            "The first attempt of the encounter aimed at a tracheal tube and succeeded: one blade insertion.",
            "Attempt 1 aimed at a tracheal tube and succeeded.",
            "Encounters, tube changes apart, whose first attempt aimed at a tracheal tube and has a known result.",
            "60% (1256 of 2080) in children's intensive care, direct laryngoscopy, published 2016; definitions and patients differ",
            "Lee 2016, BMC Pediatr 16:58"),
    FPS_STRICT(
            "First-pass success, one tube pass",
            "First-pass success with exactly one advance of the tube.",
            "As first-pass success, and the tube was advanced once.",
            "As first-pass success; a success needs the number of tube passes known.",
            "81% against 86% by the usual definition in 1863 critically ill adults, published 2023; definitions and patients differ",
            "Trent 2023, Ann Emerg Med 82:432"),
    FPS_CLEAN(
            "First-pass success without event or desaturation",
            "First-pass success, no event, and no fall of the saturation below the stated limits.",
            "As first-pass success, no event of any severity, and no desaturation: lowest not under 80%; with a baseline"
                    + " under 90% or cyanotic heart disease a fall of less than 20 points; unless cyanotic never under 70%.",
            "As first-pass success; any one known failing part settles no, yes needs every part known.",
            "no figure for children with this definition was found",
            "the registry's own; compare Powell (year not shown)"),
    AE_ANY(
            "Any adverse event",
            "At least one adverse event; how many, and how severe, does not matter.",
            "An event of any type was recorded, or reported without its type. A failure of the kit is told apart.",
            "Encounters, tube changes apart, whose question about events was answered yes or no.",
            "20% of 1720 intubations in 15 children's intensive care units, published 2014; definitions and patients differ",
            "Nett 2014, Pediatr Crit Care Med; Lee 2016, BMC Pediatr 16:58"),
    AE_SEVERE(
            "Severe adverse event",
            "At least one event that the scheme calls severe. Review the cases one by one first: few events make a poor"
                    + " chart.",
            "An event of a type that the scheme calls severe was recorded.",
            "As any adverse event; an event reported without its type, or one that the scheme leaves to a reviewer, is not"
                    + " known.",
            "6.6% (364 of 5504) in 35 children's intensive care units, published 2018; definitions and patients differ",
            "Parker 2018, Pediatr Crit Care Med; Lee 2016, BMC Pediatr 16:58");

    /** What is counted as an event in time. Source: the definitions of the registry, section 3; our own decision. */
    private static final String EVENTS =
            "Events count from the first drug or device until 30 minutes after the last attempt; what is found later and"
                    + " began then counts too.";

    /** When saturation is read. Source: as above; the two minutes after Prekker 2023. */
    private static final String SATURATION =
            "Saturation is read from device in until two minutes after the attempt ended.";

    private final String title;
    private final String definition;
    private final String numerator;
    private final String denominator;
    private final String published;
    private final String source;

    Measure(String title, String definition, String numerator, String denominator, String published, String source) {
        this.title = title;
        this.definition = definition;
        this.numerator = numerator;
        this.denominator = denominator;
        this.published = published;
        this.source = source;
    }

    static Optional<Measure> named(String id) {
        return Arrays.stream(values())
                .filter(measure -> measure.id().equals(id))
                .findFirst();
    }

    String id() {
        return name().toLowerCase(Locale.ROOT);
    }

    String title() {
        return title;
    }

    String definition() {
        return definition;
    }

    String numerator() {
        return numerator;
    }

    String denominator() {
        return denominator;
    }

    /** Published figures, for orientation and never as a target. */
    String published() {
        return published;
    }

    /** Kind of unit whose patients the published figures are about; empty where there are none. */
    String publishedFor() {
        return switch (this) {
            case FPS, AE_ANY, AE_SEVERE -> "picu";
            case FPS_STRICT -> "icu_adult";
            case FPS_CLEAN -> "";
        };
    }

    /** The stretch of time that the answers are about; null where it is the attempt itself. */
    @Nullable
    String window() {
        return switch (this) {
            case FPS, FPS_STRICT -> null;
            case FPS_CLEAN -> EVENTS + " " + SATURATION;
            case AE_ANY, AE_SEVERE -> EVENTS;
        };
    }

    /** What does not count at all. */
    String leftOut() {
        return this == AE_ANY || this == AE_SEVERE
                ? "Tube changes, and answers not known."
                : "Tube changes, encounters without an attempt, first attempts not aimed at the trachea, and results not"
                        + " known.";
    }

    /** Whether more is better; a direction to read in, and no target. */
    boolean higherIsBetter() {
        return this != AE_ANY && this != AE_SEVERE;
    }

    /** Whether a scheme of severity decides. */
    boolean bySeverity() {
        return this == AE_SEVERE;
    }

    /**
     * The scheme that decides.
     *
     * @param named as asked for, or null
     * @return null where none is needed
     */
    @Nullable
    Scheme scheme(@Nullable String named, List<Fault> faults) {
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
    String title(@Nullable Scheme scheme) {
        return scheme == null ? title : title + " (" + scheme.words() + ")";
    }

    String source() {
        return source;
    }

    Field<Short> column(@Nullable Scheme scheme) {
        return switch (this) {
            case FPS -> FACT.FPS;
            case FPS_STRICT -> FACT.FPS_STRICT;
            case FPS_CLEAN -> FACT.FPS_CLEAN;
            case AE_ANY -> FACT.AE_ANY;
            case AE_SEVERE ->
                switch (scheme == null ? Scheme.DEFAULT : scheme) {
                    case A -> FACT.AE_SEVERE_A;
                    case B -> FACT.AE_SEVERE_B;
                    case C -> FACT.AE_SEVERE_C;
                };
        };
    }
}
