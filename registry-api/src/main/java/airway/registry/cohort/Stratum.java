package airway.registry.cohort;

import static airway.sql.generated.analysis.Tables.FACT;

import airway.registry.dictionary.Code;
import airway.registry.dictionary.Dictionary;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.stream.Stream;
import org.jooq.Field;

/**
 * A coded variable by which encounters may be filtered and grouped; those of the attempt and its set-up are read from
 * attempt 1.
 */
public enum Stratum {
    DEVICE_MODE,
    BLADE_GEOMETRY,
    BLADE_SIZE,
    BLADE_MATERIAL,
    BLADE_USE,
    DISPLAY_MOUNTING,
    LOOK_TARGET,
    BLADE_TIP,
    OPERATOR_GRADE,
    OPERATOR_EXPERIENCE,
    OPERATOR_SETUP_USES,
    DIFFICULTY_PREDICTED,
    LIMITED_MOUTH_OPENING,
    ENCOUNTER_KIND,
    LOCATION,
    URGENCY,
    AGE_BAND,
    OPERATOR_PROFESSION,
    SUPERVISION,
    COURSE_APPROACH,
    LIGHT_SOURCE,
    RECORDER_ROLE,
    INDICATION_MAIN,
    DIAGNOSIS_CATEGORY,
    CYANOTIC_HEART_DISEASE,
    CIRCULATION_UNSTABLE,
    DIFFICULT_AIRWAY_HISTORY,
    REDUCED_NECK_EXTENSION,
    MICROGNATHIA,
    MIDFACE_HYPOPLASIA,
    UPPER_AIRWAY_OBSTRUCTION;

    /** Stands for "not answered" in filters and groups: it is its own group, never merged into "no". */
    public static final Code BLANK = new Code("blank", "Not answered");

    /** Worked out, so not in the dictionary. Source of the bands: the definitions of the registry, section 4. */
    private static final List<Code> AGE_BANDS = List.of(
            new Code("newborn_preterm", "Newborn, preterm"),
            new Code("newborn_term", "Newborn, term"),
            new Code("newborn_unknown_gestation", "Newborn, gestation not known"),
            new Code("infant", "Infant, 28 to 364 days"),
            new Code("child_1_7", "Child, 1 to 7 years"),
            new Code("child_8_17", "Child, 8 to 17 years"),
            new Code("adult", "Adult"),
            new Code("unknown", "Not known"));

    private static final Map<String, Stratum> BY_NAME = byName();

    public static Optional<Stratum> named(String variable) {
        return Optional.ofNullable(BY_NAME.get(variable));
    }

    /** The name of the variable. */
    public String variable() {
        return name().toLowerCase(java.util.Locale.ROOT);
    }

    public String title() {
        return this == AGE_BAND
                ? "Age band"
                : Dictionary.current().variable(variable()).title();
    }

    /** Its answers, "not answered" last. */
    public List<Code> codes() {
        List<Code> known = this == AGE_BAND
                ? AGE_BANDS
                : Dictionary.current().variable(variable()).codes();
        return Stream.concat(known.stream(), Stream.of(BLANK)).toList();
    }

    public boolean has(String code) {
        return codes().stream().anyMatch(known -> known.value().equals(code));
    }

    public String label(String code) {
        return codes().stream()
                .filter(known -> known.value().equals(code))
                .map(Code::label)
                .findFirst()
                .orElse(code);
    }

    /** Its column in the fact row. */
    public Field<Short> column() {
        return Objects.requireNonNull(FACT.field(variable(), Short.class));
    }

    private static Map<String, Stratum> byName() {
        Map<String, Stratum> names = new LinkedHashMap<>();
        for (Stratum stratum : values()) {
            names.put(stratum.variable(), stratum);
        }
        return names;
    }
}
