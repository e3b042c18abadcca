package airway.registry.reports;

import static airway.sql.generated.reports.Tables.COUNTED;
import static airway.sql.generated.reports.Tables.VERSION;

import airway.registry.access.Site;
import java.time.ZoneOffset;
import java.util.List;
import org.jooq.DSLContext;
import org.jooq.JSONB;
import org.jooq.impl.DSL;

/** Adds versions of reports inside a running transaction. */
final class ReportStore {
    private final DSLContext dsl;

    ReportStore(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** Waits for whoever else is writing reports of the unit; held until the transaction ends. */
    void hold(Site site) {
        dsl.execute("select pg_advisory_xact_lock(hashtextextended({0}, 0))", DSL.val("reports " + site.no()));
    }

    void insert(Kept kept) {
        Texts texts = kept.texts();
        Kept.Frozen frozen = kept.frozen();
        dsl.insertInto(VERSION)
                .set(VERSION.SITE_ID, kept.site().no())
                .set(VERSION.REPORT_ID, kept.id())
                .set(VERSION.VERSION_, kept.version())
                .set(VERSION.STATUS, kept.status())
                .set(VERSION.QUARTER, kept.quarter().firstDay())
                .set(VERSION.CONTEXT, texts.context())
                .set(VERSION.LEARNED, texts.learned())
                .set(VERSION.NEXT_STEPS, texts.nextSteps())
                .set(VERSION.ASKED_FOR, texts.askedFor())
                .set(VERSION.READ_WITH_CARE, texts.readWithCare())
                .set(
                        VERSION.FROZEN,
                        frozen == null ? null : JSONB.valueOf(Snapshot.write(frozen.figures(), frozen.papers())))
                .set(VERSION.CUT_OFF, frozen == null ? null : frozen.cutOff().atOffset(ZoneOffset.UTC))
                .set(VERSION.SOFTWARE, frozen == null ? null : frozen.software())
                .set(VERSION.SEAL_SEQ, frozen == null ? null : frozen.seal())
                .execute();
    }

    /** Keeps which records a final report rests on. */
    void insert(Kept kept, List<ReportQuery.Counted> counted) {
        var rows = dsl.insertInto(
                COUNTED,
                COUNTED.SITE_ID,
                COUNTED.REPORT_ID,
                COUNTED.ENCOUNTER_ID,
                COUNTED.ENCOUNTER_VERSION,
                COUNTED.IN_QUARTER);
        for (ReportQuery.Counted one : counted) {
            rows = rows.values(kept.site().no(), kept.id(), one.encounter(), one.version(), one.inQuarter());
        }
        if (!counted.isEmpty()) {
            rows.execute();
        }
    }
}
