package airway.registry.research;

import airway.registry.cohort.Measure;
import airway.registry.dictionary.Code;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Variable;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * What is told of an intubation beside that by which a child could be known. Numbers are told in bands: a rare one is
 * remembered by those who were there. The bands are our own.
 */
enum Answer {
    FPS(Measure.FPS),
    TRACHEAL_ATTEMPTS("0", "1", "2", "3", "4+"),
    SPO2_LOWEST("< 60", "60-69", "70-79", "80-89", "90-100"),
    AE_ANY(Measure.AE_ANY),
    AE_SEVERE(Measure.AE_SEVERE),
    DEVICE_MODE,
    BLADE_GEOMETRY;

    private static final String BLANK = "";
    private static final int MANY_ATTEMPTS = 4;

    @SuppressWarnings("ImmutableEnumChecker") // A copy that nobody can change.
    private final List<String> bands;

    private final @Nullable Measure measure;

    Answer(String... bands) {
        this.bands = List.of(bands);
        this.measure = null;
    }

    Answer(Measure measure) {
        this.bands = List.of();
        this.measure = measure;
    }

    /** Its name in the API and in the package. */
    public String variable() {
        return name().toLowerCase(Locale.ROOT);
    }

    public String title() {
        return measure != null
                ? measure.title()
                : this == TRACHEAL_ATTEMPTS
                        ? "Attempts at the trachea"
                        : dictionary().title();
    }

    /** What it means, in one or two sentences. */
    String description() {
        return measure != null
                ? measure.definition() + " Counted: " + measure.numerator() + " Of: " + measure.denominator()
                : this == TRACHEAL_ATTEMPTS
                        ? "Attempts aimed at the trachea, up to the first that succeeded."
                        : dictionary().description();
    }

    /** Where the definition comes from. */
    String source() {
        return measure != null
                ? measure.source()
                : this == TRACHEAL_ATTEMPTS
                        ? "the registry's own definitions"
                        : dictionary().source();
    }

    /** Its values in their order; empty where they have none. */
    List<String> bands() {
        return bands;
    }

    String label(String value) {
        return this == DEVICE_MODE || this == BLADE_GEOMETRY
                ? dictionary().code(value).map(Code::label).orElse(value)
                : value;
    }

    /** Whether it is told as "other" where few children have it: then it would tell them apart. */
    boolean grouped() {
        return this == DEVICE_MODE || this == BLADE_GEOMETRY;
    }

    /** Its place among all of them, from 0. */
    int place() {
        return List.of(values()).indexOf(this);
    }

    static Optional<Answer> named(String variable) {
        return Arrays.stream(values())
                .filter(one -> one.variable().equals(variable))
                .findFirst();
    }

    /**
     * An answer of the fact rows as it is told.
     *
     * @param answer 1 yes, 0 no, -1 not known, null outside; of others the number, null where there is none
     * @param outside whether the measures of attempts do not apply
     */
    String told(@Nullable Short answer, boolean outside) {
        if (measure != null) {
            return answer == null ? Missing.NOT_APPLICABLE : answer < 0 ? Missing.UNKNOWN : answer == 1 ? "yes" : "no";
        }
        if (answer == null) {
            return this == SPO2_LOWEST ? BLANK : outside ? Missing.NOT_APPLICABLE : Missing.UNKNOWN;
        }
        if (this == TRACHEAL_ATTEMPTS) {
            return answer >= MANY_ATTEMPTS ? "4+" : String.valueOf(answer);
        }
        return answer < 60 ? "< 60" : answer >= 90 ? "90-100" : answer / 10 * 10 + "-" + (answer / 10 * 10 + 9);
    }

    private Variable dictionary() {
        return Dictionary.current().variable(variable());
    }
}
