package airway.registry.release;

import airway.registry.cohort.Measure;
import airway.registry.dictionary.Scheme;
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
}
