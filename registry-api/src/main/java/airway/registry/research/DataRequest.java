package airway.registry.research;

import airway.registry.access.Site;
import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.UUID;

/**
 * A request for research data, with what became of it.
 *
 * @param by who asked
 * @param steps the first one asks; never empty
 * @param packages what was made of it, the first one first
 */
record DataRequest(UUID id, Choice choice, Terms terms, int by, Instant at, List<Step> steps, List<Made> packages) {

    /**
     * A package that was made.
     *
     * @param version the step that approved it
     * @param sha256 of the file, in hexadecimal
     * @param rows in it
     * @param fetched when it left, the first time first
     */
    record Made(int version, String sha256, int rows, Instant at, List<Instant> fetched) {}

    Site site() {
        return choice.cohort().sites().get(0);
    }

    /** When a package of it left last; empty where none has. */
    Optional<Instant> left() {
        return packages.stream().flatMap(made -> made.fetched().stream()).max(Comparator.naturalOrder());
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
