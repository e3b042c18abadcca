package airway.registry.charts;

import static airway.sql.generated.analysis.Tables.FACT;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;
import org.jooq.Field;

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
            "the registry's own; compare Powell (year not shown)");

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
            case FPS -> "picu";
            case FPS_STRICT -> "icu_adult";
            case FPS_CLEAN -> "";
        };
    }

    String source() {
        return source;
    }

    Field<Short> column() {
        return switch (this) {
            case FPS -> FACT.FPS;
            case FPS_STRICT -> FACT.FPS_STRICT;
            case FPS_CLEAN -> FACT.FPS_CLEAN;
        };
    }
}
