package airway.registry.release;

import airway.registry.cohort.Measure;
import airway.registry.dictionary.Scheme;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * What is counted.
 *
 * @param measure a share of encounters
 * @param scheme the scheme of severity that decides; null where none does
 */
record Counting(Measure measure, @Nullable Scheme scheme) {
    String title() {
        return measure.title(scheme);
    }

    /** Whether the encounters with one of the two outcomes all have the other, or both are the same. */
    boolean nests(Counting other) {
        return equals(other) || within(other) || other.within(this);
    }

    /** Whether every encounter with this outcome has the other one, by what both mean. */
    boolean within(Counting other) {
        Set<Measure> wider = switch (measure) {
            case FPS_STRICT, FPS_CLEAN -> Set.of(Measure.FPS, Measure.SUCCESS_2);
            case FPS -> Set.of(Measure.SUCCESS_2);
            case AE_SEVERE -> Set.of(Measure.AE_ANY);
            case DESAT_70 -> Set.of(Measure.DESAT_80);
            case OESOPHAGEAL_LATE -> Set.of(Measure.OESOPHAGEAL_ANY);
            default -> Set.of();
        };
        return wider.contains(other.measure);
    }
}
