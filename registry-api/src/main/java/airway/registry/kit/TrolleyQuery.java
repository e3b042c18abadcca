package airway.registry.kit;

import static airway.sql.generated.kit.Tables.ITEM;
import static airway.sql.generated.kit.Tables.MOVE;
import static airway.sql.generated.kit.Tables.STANDING;
import static airway.sql.generated.kit.Tables.STANDING_CHECK;
import static airway.sql.generated.kit.Tables.TROLLEY;
import static airway.sql.generated.kit.Tables.TROLLEY_CHECK;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Problem;
import airway.sql.generated.kit.tables.StandingCheckTable;
import airway.sql.generated.kit.tables.TrolleyTable;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.UUID;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.JSONB;
import org.jooq.Record;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Reads trolleys, their checks and where items are, inside a running transaction. */
final class TrolleyQuery {
    private static final Field<String> PROPOSED = DSL.field(DSL.select(MOVE.PROPOSES)
                    .from(MOVE)
                    .where(MOVE.SITE_ID.eq(ITEM.SITE_ID), MOVE.ITEM_ID.eq(ITEM.ITEM_ID))
                    .orderBy(MOVE.VERSION.desc())
                    .limit(1))
            .as("proposed");

    /** What should have lain there when it was checked. */
    private static final Condition OF_LAYOUT = TROLLEY.SITE_ID
            .eq(TROLLEY_CHECK.SITE_ID)
            .and(TROLLEY.TROLLEY_ID.eq(TROLLEY_CHECK.TROLLEY_ID))
            .and(TROLLEY.VERSION.eq(TROLLEY_CHECK.TROLLEY_VERSION));

    private final DSLContext dsl;

    TrolleyQuery(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** Where each item of a unit is, by the number on its label. */
    List<Whereabouts> whereabouts(Site site) {
        Map<UUID, Kind> kinds =
                new KitQuery(dsl).kinds(site).stream().collect(Collectors.toMap(Kind::id, Function.identity()));
        return dsl.select(ITEM.ITEM_ID, ITEM.KIND_ID, ITEM.NAME, ITEM.CYCLES_BEFORE, PROPOSED)
                .select(
                        STANDING.STATE,
                        STANDING.SINCE,
                        STANDING.PLACE,
                        STANDING.LABEL,
                        STANDING.USE_BY,
                        STANDING.CYCLES)
                .from(ITEM)
                .join(STANDING)
                .on(STANDING.SITE_ID.eq(ITEM.SITE_ID), STANDING.ITEM_ID.eq(ITEM.ITEM_ID))
                .where(ITEM.SITE_ID.eq(site.no()))
                .orderBy(ITEM.NAME)
                .fetch(row -> new Whereabouts(
                        row.get(ITEM.ITEM_ID),
                        row.get(ITEM.NAME),
                        Objects.requireNonNull(kinds.get(row.get(ITEM.KIND_ID))),
                        State.of(row.get(STANDING.STATE)).orElseThrow(),
                        row.get(STANDING.SINCE).toInstant(),
                        row.get(STANDING.PLACE),
                        row.get(STANDING.LABEL),
                        row.get(STANDING.USE_BY),
                        row.get(ITEM.CYCLES_BEFORE) + row.get(STANDING.CYCLES),
                        row.get(PROPOSED) == null
                                ? null
                                : State.of(row.get(PROPOSED)).orElseThrow()));
    }

    /** The trolleys of a unit as they are now, by title; those not in use among them. */
    List<Trolley> trolleys(Site site) {
        return trolleys(site, DSL.noCondition());
    }

    /**
     * A trolley as it is now.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    Trolley trolley(UUID id) {
        Short no = dsl.select(TROLLEY.SITE_ID)
                .from(TROLLEY)
                .where(TROLLEY.TROLLEY_ID.eq(id), TROLLEY.VERSION.eq(1))
                .fetchOne(TROLLEY.SITE_ID);
        Site site = Sites.all(dsl).stream()
                .filter(one -> no != null && one.no() == no)
                .findFirst()
                .orElseThrow(() -> new Problem.Missing("trolley"));
        return trolleys(site, TROLLEY.TROLLEY_ID.eq(id)).get(0);
    }

    private List<Trolley> trolleys(Site site, Condition which) {
        TrolleyTable later = TROLLEY.as("later");
        return dsl.selectFrom(TROLLEY)
                .where(
                        TROLLEY.SITE_ID.eq(site.no()),
                        which,
                        DSL.notExists(DSL.selectOne()
                                .from(later)
                                .where(
                                        later.SITE_ID.eq(TROLLEY.SITE_ID),
                                        later.TROLLEY_ID.eq(TROLLEY.TROLLEY_ID),
                                        later.VERSION.gt(TROLLEY.VERSION))))
                .orderBy(TROLLEY.TITLE, TROLLEY.TROLLEY_ID)
                .fetch(row -> new Trolley(
                        site,
                        row.get(TROLLEY.TROLLEY_ID),
                        row.get(TROLLEY.VERSION),
                        row.get(TROLLEY.TITLE),
                        row.get(TROLLEY.IN_USE),
                        row.get(TROLLEY.DUE_AT),
                        row.get(TROLLEY.CHECK_DAYS),
                        row.get(TROLLEY.FULL_DAYS),
                        row.get(TROLLEY.LIGHT),
                        whole(row.get(TROLLEY.BATTERY_LEAST)),
                        row.get(TROLLEY.RECORDER),
                        TrolleyJson.slots(row.get(TROLLEY.SLOTS).data())));
    }

    /** How each trolley in use stands, by title. */
    List<Standing> standings(Site site, Instant now) {
        List<Whereabouts> items = whereabouts(site);
        Map<UUID, List<Check>> checks = sinceFull(TROLLEY_CHECK.SITE_ID.eq(site.no()));
        Map<UUID, Integer> seen = seen(TROLLEY_CHECK.SITE_ID.eq(site.no()));
        return trolleys(site).stream()
                .filter(Trolley::inUse)
                .map(trolley -> Standing.of(
                        trolley,
                        checks.getOrDefault(trolley.id(), List.of()),
                        items,
                        seen.getOrDefault(trolley.id(), 0),
                        now))
                .toList();
    }

    /** How one trolley stands. */
    Standing standing(Trolley trolley, Instant now) {
        short no = trolley.site().no();
        return Standing.of(
                trolley,
                sinceFull(TROLLEY_CHECK.SITE_ID.eq(no).and(TROLLEY_CHECK.TROLLEY_ID.eq(trolley.id())))
                        .getOrDefault(trolley.id(), List.of()),
                whereabouts(trolley.site()),
                seen(TROLLEY_CHECK.SITE_ID.eq(no).and(TROLLEY_CHECK.TROLLEY_ID.eq(trolley.id())))
                        .getOrDefault(trolley.id(), 0),
                now);
    }

    private Map<UUID, Integer> seen(Condition which) {
        return dsl.select(TROLLEY_CHECK.TROLLEY_ID, DSL.max(TROLLEY_CHECK.VERSION))
                .from(TROLLEY_CHECK)
                .where(which)
                .groupBy(TROLLEY_CHECK.TROLLEY_ID)
                .fetchMap(TROLLEY_CHECK.TROLLEY_ID, DSL.max(TROLLEY_CHECK.VERSION));
    }

    /** Of each trolley the last full check that counts, and what came after it: by the time told, then as entered. */
    private Map<UUID, List<Check>> sinceFull(Condition which) {
        StandingCheckTable full = STANDING_CHECK.as("full");
        return dsl.select(TROLLEY_CHECK.fields())
                .select(TROLLEY.SLOTS)
                .from(TROLLEY_CHECK)
                .join(STANDING_CHECK)
                .on(
                        STANDING_CHECK.SITE_ID.eq(TROLLEY_CHECK.SITE_ID),
                        STANDING_CHECK.TROLLEY_ID.eq(TROLLEY_CHECK.TROLLEY_ID),
                        STANDING_CHECK.VERSION.eq(TROLLEY_CHECK.VERSION))
                .join(TROLLEY)
                .on(OF_LAYOUT)
                .where(
                        which,
                        DSL.notExists(DSL.selectOne()
                                .from(full)
                                .where(
                                        full.SITE_ID.eq(TROLLEY_CHECK.SITE_ID),
                                        full.TROLLEY_ID.eq(TROLLEY_CHECK.TROLLEY_ID),
                                        full.KIND.eq(Check.Kind.FULL.code()),
                                        DSL.row(full.CHECKED_AT, full.VERSION)
                                                .gt(DSL.row(TROLLEY_CHECK.CHECKED_AT, TROLLEY_CHECK.VERSION)))))
                .orderBy(TROLLEY_CHECK.TROLLEY_ID, TROLLEY_CHECK.CHECKED_AT, TROLLEY_CHECK.VERSION)
                .fetchGroups(TROLLEY_CHECK.TROLLEY_ID, TrolleyQuery::check);
    }

    /** The log of a trolley, the newest line first. */
    List<Check> log(Trolley trolley, int most) {
        return checks(trolley, DSL.noCondition(), most);
    }

    /**
     * A line of the log.
     *
     * @throws Problem.Missing if there is none
     */
    Check check(Trolley trolley, int version) {
        return checks(trolley, TROLLEY_CHECK.VERSION.eq(version), 1).stream()
                .findFirst()
                .orElseThrow(() -> new Problem.Missing("check"));
    }

    private List<Check> checks(Trolley trolley, Condition which, int most) {
        return dsl.select(TROLLEY_CHECK.fields())
                .select(TROLLEY.SLOTS)
                .from(TROLLEY_CHECK)
                .join(TROLLEY)
                .on(OF_LAYOUT)
                .where(TROLLEY_CHECK.SITE_ID.eq(trolley.site().no()), TROLLEY_CHECK.TROLLEY_ID.eq(trolley.id()), which)
                .orderBy(TROLLEY_CHECK.VERSION.desc())
                .limit(most)
                .fetch(TrolleyQuery::check);
    }

    /** Lines of the log that another line stands for, or takes back. */
    Set<Integer> corrected(Trolley trolley) {
        return dsl.select(TROLLEY_CHECK.CORRECTS)
                .from(TROLLEY_CHECK)
                .where(
                        TROLLEY_CHECK.SITE_ID.eq(trolley.site().no()),
                        TROLLEY_CHECK.TROLLEY_ID.eq(trolley.id()),
                        TROLLEY_CHECK.CORRECTS.isNotNull())
                .fetchSet(TROLLEY_CHECK.CORRECTS);
    }

    /** Whether a seal of this number was put on in the unit by a check that counts, other than one. */
    boolean sealUsed(Site site, String seal, UUID trolley, @Nullable Integer corrected) {
        Condition other = corrected == null
                ? DSL.noCondition()
                : DSL.not(STANDING_CHECK.TROLLEY_ID.eq(trolley).and(STANDING_CHECK.VERSION.eq(corrected)));
        return dsl.fetchExists(
                STANDING_CHECK, STANDING_CHECK.SITE_ID.eq(site.no()), STANDING_CHECK.SEAL_APPLIED.eq(seal), other);
    }

    private static Check check(Record row) {
        String recordings = row.get(TROLLEY_CHECK.RECORDINGS);
        JSONB lines = row.get(TROLLEY_CHECK.LINES);
        return new Check(
                row.get(TROLLEY_CHECK.TROLLEY_ID),
                row.get(TROLLEY_CHECK.VERSION),
                row.get(TROLLEY_CHECK.STATUS),
                row.get(TROLLEY_CHECK.CORRECTS),
                row.get(TROLLEY_CHECK.TROLLEY_VERSION),
                TrolleyJson.slots(row.get(TROLLEY.SLOTS).data()),
                new Check.Found(
                        Check.Kind.of(row.get(TROLLEY_CHECK.KIND)).orElseThrow(),
                        row.get(TROLLEY_CHECK.CHECKED_AT).toInstant(),
                        row.get(TROLLEY_CHECK.SEAL_FOUND),
                        row.get(TROLLEY_CHECK.SEAL_READ),
                        row.get(TROLLEY_CHECK.SEAL_APPLIED),
                        lines == null ? List.of() : TrolleyJson.lines(lines.data()),
                        row.get(TROLLEY_CHECK.LIGHT),
                        whole(row.get(TROLLEY_CHECK.BATTERY)),
                        row.get(TROLLEY_CHECK.MEMORY_FREE),
                        recordings == null
                                ? null
                                : Check.Recordings.of(recordings).orElseThrow(),
                        row.get(TROLLEY_CHECK.NOTE)),
                row.get(TROLLEY_CHECK.REASON),
                row.get(TROLLEY_CHECK.RECORDED_BY),
                row.get(TROLLEY_CHECK.WRITTEN_AT).toInstant());
    }

    private static @Nullable Integer whole(@Nullable Short number) {
        return number == null ? null : number.intValue();
    }
}
