package airway.registry.reviews;

import airway.registry.access.Site;
import airway.registry.cohort.Measure;
import java.time.Instant;
import java.util.List;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A record that is looked at, and what was written about it.
 *
 * @param id of the record
 * @param version of the record
 * @param precision how exactly its start is known
 * @param withdrawn whether the record was withdrawn
 * @param why what opens the review; empty where the record was put right or withdrawn and the reason is gone
 * @param kept what was written, or null
 */
record Case(
        Site site,
        UUID id,
        int version,
        Instant startedAt,
        String precision,
        boolean withdrawn,
        List<Measure> why,
        @Nullable Kept kept) {
    /** The measures that open a review, as the usual scheme of severity reads them. */
    static final List<Measure> OPENING = List.of(Measure.AE_SEVERE, Measure.ATTEMPTS_3PLUS);

    boolean done() {
        return kept != null && kept.review().done();
    }

    ReviewCursor cursor() {
        return new ReviewCursor(done(), id, version);
    }
}
