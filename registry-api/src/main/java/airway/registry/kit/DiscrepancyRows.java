package airway.registry.kit;

import static airway.sql.generated.analysis.Tables.START;
import static airway.sql.generated.kit.Tables.DISCREPANCY;
import static airway.sql.generated.kit.Tables.ITEM;
import static airway.sql.generated.kit.Tables.LOT;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.sql.generated.kit.tables.DiscrepancyTable;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Optional;
import java.util.UUID;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Raises, ends and reads discrepancies in a running transaction. */
final class DiscrepancyRows {
    /** As many that have ended as are shown. */
    private static final int MOST_ENDED = 50;

    private static final DiscrepancyTable ENDED = DISCREPANCY.as("ended");

    private final DSLContext dsl;

    DiscrepancyRows(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** Those of a unit that are open, the oldest first. */
    List<Discrepancy> open(Site site) {
        return read(site, ENDED.VERSION.isNull(), false);
    }

    /** How many of a unit are open. */
    int countOpen(Site site) {
        return dsl.fetchCount(
                DISCREPANCY,
                DISCREPANCY.SITE_ID.eq(site.no()),
                DISCREPANCY.VERSION.eq(1),
                DSL.notExists(DSL.selectOne()
                        .from(ENDED)
                        .where(
                                ENDED.SITE_ID.eq(DISCREPANCY.SITE_ID),
                                ENDED.DISCREPANCY_ID.eq(DISCREPANCY.DISCREPANCY_ID),
                                ENDED.VERSION.eq(2))));
    }

    /** Those that ended last, the newest first. */
    List<Discrepancy> ended(Site site) {
        return read(site, ENDED.VERSION.isNotNull(), true);
    }

    /** Those that a record raised, ended or not. */
    List<Discrepancy> of(Site site, UUID record) {
        return read(site, DISCREPANCY.ENCOUNTER_ID.eq(record), false);
    }

    /** When the event of its record began. */
    Instant start(Discrepancy one) {
        return dsl.select(START.STARTED_AT)
                .from(START)
                .where(START.SITE_ID.eq(one.site().no()), START.ENCOUNTER_ID.eq(one.record()), START.CURRENT.isTrue())
                .fetchSingle(row -> row.value1().toInstant());
    }

    /** One of those in the units of the one who asks. */
    Optional<Discrepancy> find(UUID id) {
        return dsl.select(DISCREPANCY.SITE_ID)
                .from(DISCREPANCY)
                .where(DISCREPANCY.DISCREPANCY_ID.eq(id), DISCREPANCY.VERSION.eq(1))
                .fetchOptional(DISCREPANCY.SITE_ID)
                .flatMap(no ->
                        Sites.all(dsl).stream().filter(site -> site.no() == no).findFirst())
                .map(site ->
                        read(site, DISCREPANCY.DISCREPANCY_ID.eq(id), false).get(0));
    }

    private List<Discrepancy> read(Site site, Condition which, boolean ended) {
        var query = dsl.select(DISCREPANCY.fields())
                .select(ITEM.NAME, LOT.LOT_, ENDED.VERSION, ENDED.REASON, ENDED.WRITTEN_AT, ENDED.ITEM_ID, ENDED.LOT_ID)
                .from(DISCREPANCY)
                .leftJoin(ENDED)
                .on(
                        ENDED.SITE_ID.eq(DISCREPANCY.SITE_ID),
                        ENDED.DISCREPANCY_ID.eq(DISCREPANCY.DISCREPANCY_ID),
                        ENDED.VERSION.eq(2))
                .leftJoin(ITEM)
                .on(
                        ITEM.SITE_ID.eq(DISCREPANCY.SITE_ID),
                        ITEM.ITEM_ID.eq(DSL.coalesce(ENDED.ITEM_ID, DISCREPANCY.ITEM_ID)))
                .leftJoin(LOT)
                .on(LOT.SITE_ID.eq(DISCREPANCY.SITE_ID), LOT.LOT_ID.eq(DSL.coalesce(ENDED.LOT_ID, DISCREPANCY.LOT_ID)))
                .where(DISCREPANCY.SITE_ID.eq(site.no()), DISCREPANCY.VERSION.eq(1), which);
        var ordered = ended
                ? query.orderBy(ENDED.WRITTEN_AT.desc(), DISCREPANCY.DISCREPANCY_ID)
                        .limit(MOST_ENDED)
                : query.orderBy(DISCREPANCY.WRITTEN_AT, DISCREPANCY.DISCREPANCY_ID);
        return ordered.fetch(row -> {
            OffsetDateTime at = row.get(ENDED.WRITTEN_AT);
            return new Discrepancy(
                    site,
                    row.get(DISCREPANCY.DISCREPANCY_ID),
                    row.get(DISCREPANCY.ENCOUNTER_ID),
                    row.get(DISCREPANCY.ATTEMPT_NO),
                    Discrepancy.Kind.of(row.get(DISCREPANCY.KIND)),
                    row.get(DISCREPANCY.TOLD),
                    row.get(DISCREPANCY.ITEM_ID),
                    row.get(ITEM.NAME),
                    row.get(DISCREPANCY.LOT_ID),
                    row.get(LOT.LOT_),
                    row.get(DISCREPANCY.WRITTEN_AT).toInstant(),
                    at == null
                            ? null
                            : new Discrepancy.End(
                                    row.get(ENDED.REASON),
                                    at.toInstant(),
                                    row.get(ENDED.ITEM_ID),
                                    row.get(ENDED.LOT_ID)));
        });
    }

    void raise(
            Site site,
            UUID record,
            int attempt,
            Discrepancy.Kind kind,
            String told,
            @Nullable UUID item,
            @Nullable UUID lot) {
        insert(site, UUID.randomUUID(), 1, "final", record, attempt, kind, told, item, lot, null);
    }

    /**
     * Ends one.
     *
     * @param reason why somebody closes it; null where the record no longer says so
     * @param item the item that a label was found to be, or null
     * @param lot the lot that it was found to be, or null
     */
    void end(Discrepancy open, @Nullable String reason, @Nullable UUID item, @Nullable UUID lot) {
        insert(
                open.site(),
                open.id(),
                2,
                reason == null ? "entered-in-error" : "amended",
                open.record(),
                open.attempt(),
                open.kind(),
                open.told(),
                item == null ? open.item() : item,
                lot == null ? open.lot() : lot,
                reason);
    }

    private void insert(
            Site site,
            UUID id,
            int version,
            String status,
            UUID record,
            int attempt,
            Discrepancy.Kind kind,
            String told,
            @Nullable UUID item,
            @Nullable UUID lot,
            @Nullable String reason) {
        dsl.insertInto(DISCREPANCY)
                .set(DISCREPANCY.SITE_ID, site.no())
                .set(DISCREPANCY.DISCREPANCY_ID, id)
                .set(DISCREPANCY.VERSION, version)
                .set(DISCREPANCY.STATUS, status)
                .set(DISCREPANCY.ENCOUNTER_ID, record)
                .set(DISCREPANCY.ATTEMPT_NO, (short) attempt)
                .set(DISCREPANCY.KIND, kind.code())
                .set(DISCREPANCY.TOLD, told)
                .set(DISCREPANCY.ITEM_ID, item)
                .set(DISCREPANCY.LOT_ID, lot)
                .set(DISCREPANCY.REASON, reason)
                .execute();
    }
}
