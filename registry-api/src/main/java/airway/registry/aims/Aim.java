package airway.registry.aims;

import airway.registry.cohort.Measure;
import java.time.Instant;
import java.util.List;

/**
 * A version of the aim of a unit.
 *
 * @param sentence what is to become how much better by when
 * @param outcome what is to change
 * @param process what tells whether the work is done
 * @param balancing what tells whether something else gets worse
 */
public record Aim(
        int version,
        String sentence,
        Measure outcome,
        List<Measure> process,
        List<Measure> balancing,
        Instant writtenAt) {}
