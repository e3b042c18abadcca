package airway.registry.research;

import airway.registry.access.Site;
import airway.registry.problem.Problem;
import airway.stats.disclosure.Generalisation;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;

/**
 * What may be made of a choice at this moment: the one place where it is judged, for the outlook, the request and the yes.
 *
 * @param matching records that matched
 * @param earlier what has left before
 * @param found how coarse it must be; empty where nothing may be made
 */
record Judgement(Coarsening coarsening, int matching, Earlier earlier, Optional<Generalisation> found) {

    /**
     * Judges.
     *
     * @param request the request that it is for, whose yes of before gives way; null where there is none yet
     */
    static Judgement of(DSLContext dsl, Choice choice, @Nullable UUID request) {
        CandidateQuery.Found found = CandidateQuery.of(dsl, choice);
        List<Earlier.Gone> gone = new ArrayList<>();
        for (Site site : choice.cohort().sites()) {
            gone.addAll(new RequestStore(dsl).gone(site, request));
        }
        Earlier earlier = new Earlier(gone, found.source());
        Coarsening coarsening = Coarsening.of(choice, found.source(), found.matching());
        return new Judgement(coarsening, found.matching().size(), earlier, coarsening.coarse(earlier));
    }

    Outlook outlook() {
        return Outlook.of(coarsening, matching, earlier.size(), tooClose(), found);
    }

    /**
     * How coarse it must be.
     *
     * @throws Problem.Recognisable if a child would stand out
     * @throws Problem.TooClose if one would stand out beside what has left before
     */
    Generalisation needed() {
        return found.orElseThrow(() -> tooClose() ? new Problem.TooClose() : new Problem.Recognisable());
    }

    /** Whether it is refused for what has left before alone. */
    private boolean tooClose() {
        return found.isEmpty()
                && earlier.size() > 0
                && coarsening.coarse(Earlier.NONE).isPresent();
    }
}
