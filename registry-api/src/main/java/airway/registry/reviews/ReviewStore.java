package airway.registry.reviews;

import static airway.sql.generated.reviews.Tables.VERSION;

import java.util.UUID;
import org.jooq.DSLContext;
import org.jooq.impl.DSL;

/** Adds versions of reviews inside a running transaction. */
final class ReviewStore {
    private final DSLContext dsl;

    ReviewStore(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** Waits for whoever else is writing about the case; held until the transaction ends. */
    void hold(UUID id) {
        dsl.execute("select pg_advisory_xact_lock(hashtextextended({0}, 0))", DSL.val("review " + id));
    }

    void insert(Case of, int version, ReviewForm.Read read) {
        Review review = read.review();
        Amendment amendment = read.amendment();
        dsl.insertInto(VERSION)
                .set(VERSION.SITE_ID, of.site().no())
                .set(VERSION.ENCOUNTER_ID, of.id())
                .set(VERSION.VERSION_, version)
                .set(VERSION.STATUS, version == 1 ? "final" : "amended")
                .set(
                        VERSION.CONTRIBUTED,
                        Contribution.values(review.contributed()).toArray(String[]::new))
                .set(VERSION.LEARNING_POINT, review.learningPoint())
                .set(VERSION.ACTION, review.action())
                .set(VERSION.DUE_ON, review.dueOn())
                .set(VERSION.DONE, review.done())
                .set(
                        VERSION.REASON_CODE,
                        amendment == null ? null : amendment.code().value())
                .set(VERSION.REASON_TEXT, amendment == null ? null : amendment.text())
                .execute();
    }
}
