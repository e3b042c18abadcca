package airway.registry.kit;

import static airway.sql.generated.analysis.Tables.START;
import static airway.sql.generated.kit.Tables.ITEM;
import static airway.sql.generated.kit.Tables.LOT_USE;
import static airway.sql.generated.kit.Tables.MOVE;
import static airway.sql.generated.kit.Tables.STEP;
import static airway.sql.generated.kit.Tables.TOUCH;
import static airway.sql.generated.kit.Tables.TOUCHED;

import airway.registry.access.Site;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Reads what items touched, inside a running transaction. */
final class LookBackQuery {
    private final DSLContext dsl;
    private final Site site;

    LookBackQuery(DSLContext dsl, Site site) {
        this.dsl = dsl;
        this.site = site;
    }

    /** A line of the log of an item. */
    record Line(UUID item, int version) {}

    /**
     * A use of an item before or after a line of its log.
     *
     * @param from that line
     */
    record Touch(
            boolean after,
            UUID item,
            int from,
            int version,
            Instant at,
            @Nullable UUID record,
            @Nullable Integer attempt,
            int cycles,
            boolean uncertain) {}

    /** The lines of logs that a question begins with; those of uses for records and children. */
    List<Line> lines(LookBack.Asked asked, Collection<UUID> records) {
        String value = String.valueOf(asked.value());
        return switch (asked.by()) {
            case ITEM -> first(ITEM.NAME.eq(value));
            case GTIN -> first(ITEM.GTIN.eq(value));
            case PERIOD -> first(DSL.noCondition());
            case LOT -> List.of();
            case CYCLE -> steps(STEP.CYCLE.eq(value), DSL.min(STEP.VERSION), true);
            case LABEL -> steps(STEP.TO_STATE.eq(State.SENT.code()).and(STEP.LABEL.eq(value)), STEP.VERSION, false);
            case TROLLEY ->
                steps(
                        STEP.TO_STATE
                                .eq(State.PLACED.code())
                                .and(within(STEP.MOVED_AT, asked))
                                .and(DSL.lower(STEP.PLACE)
                                        .eq(DSL.lower(DSL.val(value)))
                                        .or(DSL.lower(STEP.PLACE).startsWith(DSL.lower(DSL.val(value + ","))))),
                        STEP.VERSION,
                        false);
            case RECORD, PATIENT ->
                dsl.select(TOUCH.ITEM_ID, TOUCH.VERSION)
                        .from(TOUCH)
                        .where(TOUCH.SITE_ID.eq(site.no()), TOUCH.ENCOUNTER_ID.in(records))
                        .orderBy(TOUCH.ITEM_ID, TOUCH.VERSION)
                        .fetch(row -> new Line(row.value1(), row.value2()));
        };
    }

    private List<Line> first(Condition which) {
        return dsl.select(ITEM.ITEM_ID)
                .from(ITEM)
                .where(ITEM.SITE_ID.eq(site.no()), which)
                .orderBy(ITEM.NAME)
                .fetch(row -> new Line(row.value1(), 1));
    }

    private List<Line> steps(Condition which, Field<Integer> version, boolean grouped) {
        var found = dsl.select(STEP.ITEM_ID, version).from(STEP).where(STEP.SITE_ID.eq(site.no()), which);
        return (grouped ? found.groupBy(STEP.ITEM_ID).orderBy(STEP.ITEM_ID) : found.orderBy(STEP.ITEM_ID, version))
                .fetch(row -> new Line(row.value1(), row.value2()));
    }

    /** Uses that name one of some records. */
    List<Touch> uses(Collection<UUID> records) {
        return dsl.select(
                        TOUCH.ITEM_ID,
                        TOUCH.VERSION,
                        TOUCH.MOVED_AT,
                        TOUCH.ENCOUNTER_ID,
                        TOUCH.ATTEMPT_NO,
                        late(TOUCH.MOVED_AT, TOUCH.WRITTEN_AT))
                .from(TOUCH)
                .where(TOUCH.SITE_ID.eq(site.no()), TOUCH.ENCOUNTER_ID.in(records))
                .fetch(row -> new Touch(
                        true,
                        row.value1(),
                        row.value2(),
                        row.value2(),
                        row.value3().toInstant(),
                        row.value4(),
                        whole(row.value5()),
                        0,
                        row.value6()));
    }

    /** What items touched before and after lines of their logs. */
    List<Touch> touched(List<Line> lines, LookBack.Asked asked) {
        String butCycle = asked.by() == LookBack.By.CYCLE ? asked.value() : null;
        var touched = TOUCHED.call(
                site.no(),
                lines.stream().map(Line::item).toArray(UUID[]::new),
                lines.stream().map(Line::version).toArray(Integer[]::new),
                butCycle,
                asked.cycles());
        return dsl.selectFrom(touched)
                .where(within(touched.USED_AT, asked))
                .fetch((Record row) -> new Touch(
                        row.get(touched.SIDE).equals("after"),
                        row.get(touched.ITEM_ID),
                        row.get(touched.START_VERSION),
                        row.get(touched.VERSION),
                        row.get(touched.USED_AT).toInstant(),
                        row.get(touched.ENCOUNTER_ID),
                        whole(row.get(touched.ATTEMPT_NO)),
                        row.get(touched.CYCLES),
                        row.get(touched.UNCERTAIN)));
    }

    /**
     * How far the registry can know of a window.
     *
     * @param from its begin; null where nothing was found
     * @param lots whether records that name a lot are counted, and not those that name an item
     */
    LookBack.Coverage coverage(@Nullable Instant from, Instant to, Map<UUID, ?> items, boolean lots) {
        Condition window = from == null ? DSL.falseCondition() : between(START.STARTED_AT, from, to);
        Condition named = START.ENCOUNTER_ID.in(
                lots
                        ? DSL.select(LOT_USE.ENCOUNTER_ID).from(LOT_USE).where(LOT_USE.SITE_ID.eq(site.no()))
                        : DSL.select(TOUCH.ENCOUNTER_ID).from(TOUCH).where(TOUCH.SITE_ID.eq(site.no())));
        var records = dsl.select(DSL.count(), DSL.count().filterWhere(named))
                .from(START)
                .where(START.SITE_ID.eq(site.no()), START.CURRENT.isTrue(), START.WITHDRAWN.isFalse(), window)
                .fetchSingle();
        Condition told = from == null ? DSL.falseCondition() : between(TOUCH.MOVED_AT, from, to);
        Condition found = STEP.SITE_ID.eq(site.no()).and(STEP.ITEM_ID.in(items.keySet()));
        int still = from == null || lots
                ? 0
                : dsl.fetchCount(DSL.selectOne()
                        .from(ITEM)
                        .where(
                                ITEM.SITE_ID.eq(site.no()),
                                DSL.notExists(DSL.selectOne()
                                        .from(MOVE)
                                        .where(
                                                MOVE.SITE_ID.eq(ITEM.SITE_ID),
                                                MOVE.ITEM_ID.eq(ITEM.ITEM_ID),
                                                between(MOVE.MOVED_AT, from, to)
                                                        .or(MOVE.TO_STATE.eq(State.RETIRED.code()))))));
        return new LookBack.Coverage(
                from,
                to,
                records.value1(),
                records.value2(),
                lots ? 0 : dsl.fetchCount(TOUCH, TOUCH.SITE_ID.eq(site.no()), TOUCH.ENCOUNTER_ID.isNull(), told),
                dsl.fetchCount(STEP, found, DSL.condition(late(STEP.MOVED_AT, STEP.WRITTEN_AT))),
                dsl.fetchCount(STEP, found, STEP.TO_STATE.eq(State.RETURNED.code()), STEP.CYCLE.isNull()),
                still);
    }

    private static Field<Boolean> late(Field<OffsetDateTime> told, Field<OffsetDateTime> entered) {
        return DSL.field("{0} > {1} + interval '30 minutes'", Boolean.class, entered, told);
    }

    private static Condition within(Field<OffsetDateTime> moment, LookBack.Asked asked) {
        Instant from = asked.from();
        Instant to = asked.to();
        return (from == null ? DSL.noCondition() : moment.ge(from.atOffset(ZoneOffset.UTC)))
                .and(to == null ? DSL.noCondition() : moment.lt(to.atOffset(ZoneOffset.UTC)));
    }

    private static Condition between(Field<OffsetDateTime> moment, Instant from, Instant to) {
        return moment.ge(from.atOffset(ZoneOffset.UTC)).and(moment.le(to.atOffset(ZoneOffset.UTC)));
    }

    private static @Nullable Integer whole(@Nullable Short number) {
        return number == null ? null : number.intValue();
    }
}
