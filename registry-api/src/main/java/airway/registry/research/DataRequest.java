package airway.registry.research;

import airway.registry.access.Site;
import java.time.Instant;
import java.util.List;
import java.util.UUID;

/**
 * A request for research data, with what became of it.
 *
 * @param by who asked
 * @param steps the first one asks; never empty
 */
record DataRequest(UUID id, Choice choice, Terms terms, int by, Instant at, List<Step> steps) {
    Site site() {
        return choice.cohort().sites().get(0);
    }

    Step last() {
        return steps.get(steps.size() - 1);
    }

    Step.Status status() {
        return last().status();
    }

    int version() {
        return last().version();
    }
}
