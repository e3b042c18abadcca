package airway.registry.reviews;

import java.time.LocalDate;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What a team has written about a case.
 *
 * @param contributed what contributed, in the order of the list; empty while that is not said
 * @param learningPoint what is to be learnt, or null
 * @param action what is to be done, or null
 * @param dueOn by when, in the zone of the unit, or null
 * @param done whether the review and what came of it are done
 */
record Review(
        List<Contribution> contributed,
        @Nullable String learningPoint,
        @Nullable String action,
        @Nullable LocalDate dueOn,
        boolean done) {}
