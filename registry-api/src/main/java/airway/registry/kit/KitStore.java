package airway.registry.kit;

import static airway.sql.generated.kit.Tables.ITEM;
import static airway.sql.generated.kit.Tables.KIND;
import static airway.sql.generated.kit.Tables.MOVE;

import airway.registry.access.Site;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jooq.exception.DataAccessException;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Adds kinds, items and moves inside a running transaction. */
final class KitStore {
    private static final String NO_SUCH_ROW = "23503";

    private final DSLContext dsl;

    KitStore(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** Waits for whoever else is moving items of the unit; held until the transaction ends. */
    void hold(Site site) {
        dsl.execute("select pg_advisory_xact_lock(hashtextextended({0}, 0))", DSL.val("kit " + site.no()));
    }

    void insert(Kind kind) {
        dsl.insertInto(KIND)
                .set(KIND.SITE_ID, kind.site().no())
                .set(KIND.KIND_ID, kind.id())
                .set(KIND.VERSION, kind.version())
                .set(KIND.STATUS, kind.version() == 1 ? "final" : "amended")
                .set(KIND.TITLE, kind.title())
                .set(
                        KIND.PROFILE,
                        kind.profile() == Kind.Profile.PROCESSED
                                ? null
                                : kind.profile().code())
                .set(KIND.INSTRUCTIONS, kind.instructions())
                .set(KIND.CYCLE_LIMIT, small(kind.cycleLimit()))
                .set(KIND.LEAST_READY, small(kind.leastReady()))
                .execute();
    }

    /** Adds an item, with the move that enters it. */
    void insert(Item item, Told told) {
        dsl.insertInto(ITEM)
                .set(ITEM.SITE_ID, item.kind().site().no())
                .set(ITEM.ITEM_ID, item.id())
                .set(ITEM.KIND_ID, item.kind().id())
                .set(ITEM.NAME, item.name())
                .set(ITEM.GTIN, item.gtin())
                .set(ITEM.SERIAL, item.serial())
                .set(ITEM.GIAI, item.giai())
                .set(ITEM.CYCLES_BEFORE, (short) item.cyclesBefore())
                .execute();
        insert(item, 1, State.NEW.code(), null, null, State.NEW, told, null);
    }

    /**
     * Adds the next move of an item.
     *
     * @param proposedBy who proposed what is confirmed here, else null
     * @throws Problem.Invalid if the record that it names is not there
     */
    void insert(
            Traced before, String done, @Nullable State proposes, State to, Told told, @Nullable Integer proposedBy) {
        insert(
                before.item(),
                before.life().version() + 1,
                done,
                proposes,
                before.life().state(),
                to,
                told,
                proposedBy);
    }

    private void insert(
            Item item,
            int version,
            String done,
            @Nullable State proposes,
            @Nullable State from,
            State to,
            Told told,
            @Nullable Integer proposedBy) {
        UUID encounter = told.encounter();
        try {
            dsl.insertInto(MOVE)
                    .set(MOVE.SITE_ID, item.kind().site().no())
                    .set(MOVE.ITEM_ID, item.id())
                    .set(MOVE.VERSION, version)
                    .set(MOVE.MOVE_, done)
                    .set(MOVE.PROPOSES, proposes == null ? null : proposes.code())
                    .set(MOVE.FROM_STATE, from == null ? null : from.code())
                    .set(MOVE.TO_STATE, to.code())
                    .set(MOVE.MOVED_AT, at(told.at()))
                    .set(MOVE.PLACE, told.place())
                    .set(MOVE.LABEL, told.label())
                    .set(MOVE.DESTINATION, told.destination())
                    .set(MOVE.CYCLE, told.cycle())
                    .set(MOVE.CYCLE_ENDED_AT, at(told.cycleEndedAt()))
                    .set(MOVE.CYCLE_PASSED, told.cyclePassed())
                    .set(MOVE.USE_BY, told.useBy())
                    .set(MOVE.PACK_WHOLE, told.packWhole())
                    .set(MOVE.CHECKED, told.checked())
                    .set(MOVE.ENCOUNTER_ID, encounter)
                    .set(MOVE.ATTEMPT_NO, small(told.attempt()))
                    .set(MOVE.REASON, told.reason())
                    .set(MOVE.PROPOSED_BY, proposedBy)
                    .execute();
        } catch (DataAccessException e) {
            if (encounter != null && e.sqlState().equals(NO_SUCH_ROW)) {
                throw new Problem.Invalid(
                        Fault.at("/encounter_id", "record.unknown", "There is no such record in this unit."));
            }
            throw e;
        }
    }

    private static @Nullable OffsetDateTime at(@Nullable Instant moment) {
        return moment == null ? null : moment.atOffset(ZoneOffset.UTC);
    }

    private static @Nullable Short small(@Nullable Integer number) {
        return number == null ? null : number.shortValue();
    }
}
