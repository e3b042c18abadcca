package airway.registry.reviews;

import airway.registry.access.Site;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Problem;
import java.util.List;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;

/**
 * The cases that a unit looks at one by one: every record with a severe adverse event, or with three or more attempts.
 * Nothing that was written is overwritten: writing again adds a version with a reason.
 */
@Component
public class Reviews {
    static final int ROWS_A_PAGE = 25;

    private final ActorTransactions transactions;

    Reviews(ActorTransactions transactions) {
        this.transactions = transactions;
    }

    /** How many cases of a unit wait: nothing was written, or it is not done. */
    public int waiting(Site site) {
        return transactions
                .read(dsl -> new ReviewQuery(dsl).counts(site, ReviewFilter.ALL))
                .waiting();
    }

    /**
     * A page of the list, those not done first.
     *
     * @param next where the next page begins; null on the last one
     */
    record Page(
            List<Case> cases,
            ReviewQuery.Counts counts,
            @Nullable ReviewCursor next) {}

    /**
     * Reads a page.
     *
     * @param after the place where the page before ended; null for the first
     * @throws Problem.Malformed if there is no such place
     */
    Page page(Site site, ReviewFilter filter, @Nullable ReviewCursor after) {
        return transactions.read(dsl -> {
            ReviewQuery query = new ReviewQuery(dsl);
            List<Case> found = query.page(site, filter, after, ROWS_A_PAGE + 1);
            boolean more = found.size() > ROWS_A_PAGE;
            List<Case> shown = more ? found.subList(0, ROWS_A_PAGE) : found;
            return new Page(
                    shown,
                    query.counts(site, filter),
                    more ? shown.get(ROWS_A_PAGE - 1).cursor() : null);
        });
    }

    /** A case with every version of what was written about it, the first one first. */
    record History(Case of, List<Kept> versions) {}

    /**
     * A record as a case, whether or not it opens a review.
     *
     * @throws Problem.Missing if there is no such record in the units of the one who asks
     */
    History read(UUID id) {
        return transactions.read(dsl -> new History(one(dsl, id), new ReviewQuery(dsl).versions(id)));
    }

    /**
     * Writes about a case; what was written before stays readable.
     *
     * @param seen the version that the one who writes has read; null when nothing was written yet
     * @param body {@code {contributed, learning_point?, action?, due_on?, done}}, after the first version with
     *     {@code amendment: {reason_code, reason_text?}}
     * @throws Problem.Missing if there is no such record in the units of the one who asks
     * @throws Problem.Conflict if the record opens no review and nothing was written about it
     * @throws Problem.Stale if another version counts by now
     * @throws Problem.Malformed if it names a field that does not exist
     * @throws Problem.Invalid with every fault
     */
    Case write(UUID id, @Nullable Integer seen, JsonNode body) {
        return transactions.write(dsl -> {
            ReviewStore store = new ReviewStore(dsl);
            store.hold(id);
            Case before = one(dsl, id);
            Kept kept = before.kept();
            if (kept == null && before.why().isEmpty()) {
                throw new Problem.Conflict(
                        "This record opens no review: it has no severe adverse event, and fewer than three attempts.",
                        List.of());
            }
            int newest = kept == null ? 0 : kept.version();
            if (newest != (seen == null ? 0 : seen)) {
                throw new Problem.Stale("\"v" + newest + "\"");
            }
            store.insert(before, newest + 1, ReviewForm.read(body, kept == null ? null : kept.review()));
            return one(dsl, id);
        });
    }

    private static Case one(DSLContext dsl, UUID id) {
        return new ReviewQuery(dsl).one(id).orElseThrow(() -> new Problem.Missing("record"));
    }
}
