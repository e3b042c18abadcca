package airway.registry.changes;

import static airway.sql.generated.changes.Tables.VERSION;

import airway.registry.access.Site;
import org.jooq.DSLContext;
import org.jooq.impl.DSL;

/** Adds versions of changes inside a running transaction. */
final class ChangeStore {
    private final DSLContext dsl;

    ChangeStore(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** Waits for whoever else is writing changes of the unit; held until the transaction ends. */
    void hold(Site site) {
        dsl.execute("select pg_advisory_xact_lock(hashtextextended({0}, 0))", DSL.val("changes " + site.no()));
    }

    void insert(Kept kept) {
        Amendment amendment = kept.amendment();
        dsl.insertInto(VERSION)
                .set(VERSION.SITE_ID, kept.site().no())
                .set(VERSION.CHANGE_ID, kept.change().id())
                .set(VERSION.VERSION_, kept.version())
                .set(VERSION.STATUS, kept.status())
                .set(VERSION.CHANGED_ON, kept.change().on())
                .set(VERSION.NAME, kept.change().name())
                .set(VERSION.REASON, kept.change().reason())
                .set(VERSION.CUTS_CHART, kept.change().cutsChart())
                .set(
                        VERSION.REASON_CODE,
                        amendment == null ? null : amendment.code().value())
                .set(VERSION.REASON_TEXT, amendment == null ? null : amendment.text())
                .execute();
    }
}
