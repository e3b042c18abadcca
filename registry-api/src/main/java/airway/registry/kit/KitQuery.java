package airway.registry.kit;

import static airway.sql.generated.kit.Tables.ITEM;
import static airway.sql.generated.kit.Tables.KIND;
import static airway.sql.generated.kit.Tables.MOVE;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Problem;
import airway.sql.generated.kit.tables.KindTable;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.UUID;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Record;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Reads kinds, items and their moves out of a running transaction. */
final class KitQuery {
    private final DSLContext dsl;

    KitQuery(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** The kinds of a unit as they are now, by title. */
    List<Kind> kinds(Site site) {
        KindTable later = KIND.as("later");
        return dsl.selectFrom(KIND)
                .where(
                        KIND.SITE_ID.eq(site.no()),
                        DSL.notExists(DSL.selectOne()
                                .from(later)
                                .where(
                                        later.SITE_ID.eq(KIND.SITE_ID),
                                        later.KIND_ID.eq(KIND.KIND_ID),
                                        later.VERSION.gt(KIND.VERSION))))
                .orderBy(KIND.TITLE, KIND.KIND_ID)
                .fetch(row -> new Kind(
                        site,
                        row.get(KIND.KIND_ID),
                        row.get(KIND.VERSION),
                        row.get(KIND.TITLE),
                        Kind.Profile.of(row.get(KIND.PROFILE)).orElse(Kind.Profile.PROCESSED),
                        row.get(KIND.INSTRUCTIONS),
                        whole(row.get(KIND.CYCLE_LIMIT)),
                        whole(row.get(KIND.LEAST_READY))));
    }

    /**
     * A kind as it is now.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    Kind kind(UUID id) {
        Site site = siteOf(
                dsl.select(KIND.SITE_ID)
                        .from(KIND)
                        .where(KIND.KIND_ID.eq(id), KIND.VERSION.eq(1))
                        .fetchOne(KIND.SITE_ID),
                "kind");
        return kinds(site).stream()
                .filter(kind -> kind.id().equals(id))
                .findFirst()
                .orElseThrow();
    }

    /** All items of a unit, by the number on their labels. */
    List<Traced> items(Site site) {
        return traced(site, DSL.noCondition());
    }

    /**
     * An item with its log.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    Traced item(UUID id) {
        Site site = siteOf(
                dsl.select(ITEM.SITE_ID).from(ITEM).where(ITEM.ITEM_ID.eq(id)).fetchOne(ITEM.SITE_ID), "item");
        return traced(site, ITEM.ITEM_ID.eq(id)).get(0);
    }

    private Site siteOf(@Nullable Short no, String what) {
        return Sites.all(dsl).stream()
                .filter(site -> no != null && site.no() == no)
                .findFirst()
                .orElseThrow(() -> new Problem.Missing(what));
    }

    private List<Traced> traced(Site site, Condition which) {
        Map<UUID, Kind> kinds = kinds(site).stream().collect(Collectors.toMap(Kind::id, Function.identity()));
        Map<UUID, List<Move>> logs = dsl.select(MOVE.fields())
                .from(MOVE)
                .join(ITEM)
                .on(ITEM.SITE_ID.eq(MOVE.SITE_ID), ITEM.ITEM_ID.eq(MOVE.ITEM_ID))
                .where(MOVE.SITE_ID.eq(site.no()), which)
                .orderBy(MOVE.ITEM_ID, MOVE.VERSION)
                .fetchGroups(MOVE.ITEM_ID, KitQuery::move);
        return dsl.selectFrom(ITEM)
                .where(ITEM.SITE_ID.eq(site.no()), which)
                .orderBy(ITEM.NAME)
                .fetch(row -> Traced.of(
                        new Item(
                                row.get(ITEM.ITEM_ID),
                                Objects.requireNonNull(kinds.get(row.get(ITEM.KIND_ID))),
                                row.get(ITEM.NAME),
                                row.get(ITEM.GTIN),
                                row.get(ITEM.SERIAL),
                                row.get(ITEM.GIAI),
                                row.get(ITEM.CYCLES_BEFORE)),
                        Objects.requireNonNull(logs.get(row.get(ITEM.ITEM_ID)))));
    }

    private static Move move(Record row) {
        String proposes = row.get(MOVE.PROPOSES);
        OffsetDateTime ended = row.get(MOVE.CYCLE_ENDED_AT);
        return new Move(
                row.get(MOVE.VERSION),
                row.get(MOVE.MOVE_),
                State.of(row.get(MOVE.TO_STATE)).orElseThrow(),
                proposes == null ? null : State.of(proposes).orElseThrow(),
                new Told(
                        row.get(MOVE.MOVED_AT).toInstant(),
                        row.get(MOVE.PLACE),
                        row.get(MOVE.LABEL),
                        row.get(MOVE.DESTINATION),
                        row.get(MOVE.CYCLE),
                        ended == null ? null : ended.toInstant(),
                        row.get(MOVE.CYCLE_PASSED),
                        row.get(MOVE.USE_BY),
                        row.get(MOVE.PACK_WHOLE),
                        row.get(MOVE.CHECKED),
                        row.get(MOVE.ENCOUNTER_ID),
                        whole(row.get(MOVE.ATTEMPT_NO)),
                        row.get(MOVE.REASON)),
                row.get(MOVE.RECORDED_BY),
                row.get(MOVE.WRITTEN_AT).toInstant());
    }

    private static @Nullable Integer whole(@Nullable Short number) {
        return number == null ? null : number.intValue();
    }
}
