package airway.registry.kit;

import static airway.sql.generated.kit.Tables.AWAY;
import static airway.sql.generated.kit.Tables.REUSABLE_USE;
import static airway.sql.generated.kit.Tables.TROLLEY_DAYS;

import airway.registry.access.Site;
import airway.stats.Proportion;
import airway.stats.survival.Observation;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.impl.DSL;

/** Counts the measures of the kit inside a running transaction: one grouped question each. */
final class KitCountQuery {
    private static final double SECONDS_A_DAY = 86_400;
    private static final Set<String> BACK = Set.of(State.READY.code(), State.PLACED.code());

    private final DSLContext dsl;
    private final Site site;

    KitCountQuery(DSLContext dsl, Site site) {
        this.dsl = dsl;
        this.site = site;
    }

    /** What was sent, and for how long it was away. */
    private record Sent(YearMonth month, Observation away) {}

    /**
     * The months up to the present one.
     *
     * @param number how many months
     */
    KitCounts counts(Instant now, int number) {
        LocalDate today = LocalDate.ofInstant(now, site.zone());
        YearMonth last = YearMonth.from(today);
        YearMonth first = last.minusMonths(number - 1L);
        Map<YearMonth, Proportion> ready = days(first, today, true);
        Map<YearMonth, Proportion> onTime = days(first, today, false);
        Map<YearMonth, Proportion> traced = traced(first);
        List<Sent> sent = sent(first, now);
        Proportion none = new Proportion(0, 0);
        List<KitCounts.Month> months = new ArrayList<>();
        for (YearMonth month = first; !month.isAfter(last); month = month.plusMonths(1)) {
            YearMonth one = month;
            months.add(new KitCounts.Month(
                    month,
                    ready.getOrDefault(month, none),
                    onTime.getOrDefault(month, none),
                    traced.getOrDefault(month, none),
                    sent.stream()
                            .filter(item -> item.month().equals(one))
                            .map(Sent::away)
                            .toList()));
        }
        return new KitCounts(months, sent.stream().map(Sent::away).toList());
    }

    /** The day that runs is left out: its due times may not have come. */
    private Map<YearMonth, Proportion> days(YearMonth first, LocalDate today, boolean ready) {
        var days = TROLLEY_DAYS.call(site.no(), first.atDay(1), today.minusDays(1));
        Field<String> month = DSL.field("to_char({0}, 'YYYY-MM')", String.class, days.DAY);
        Field<Integer> good = DSL.count().filterWhere(ready ? days.READY.isTrue() : days.ON_TIME.isTrue());
        return dsl.select(month, good, DSL.count())
                .from(days)
                .groupBy(month)
                .fetchMap(row -> YearMonth.parse(row.value1()), row -> new Proportion(row.value2(), row.value3()));
    }

    private Map<YearMonth, Proportion> traced(YearMonth first) {
        Field<String> month = month(REUSABLE_USE.STARTED_AT);
        Field<Integer> good = DSL.count().filterWhere(REUSABLE_USE.TRACED.isTrue());
        return dsl.select(month, good, DSL.count())
                .from(REUSABLE_USE)
                .where(REUSABLE_USE.SITE_ID.eq(site.no()), REUSABLE_USE.STARTED_AT.ge(begin(first)))
                .groupBy(month)
                .fetchMap(row -> YearMonth.parse(row.value1()), row -> new Proportion(row.value2(), row.value3()));
    }

    private List<Sent> sent(YearMonth first, Instant now) {
        return dsl.select(month(AWAY.SENT_AT), AWAY.SENT_AT, AWAY.ENDED_AT, AWAY.ENDED_BY)
                .from(AWAY)
                .where(AWAY.SITE_ID.eq(site.no()), AWAY.SENT_AT.ge(begin(first)))
                .orderBy(AWAY.SENT_AT)
                .fetch(row -> {
                    Instant end = row.value3() == null ? now : row.value3().toInstant();
                    long seconds =
                            end.getEpochSecond() - row.value2().toInstant().getEpochSecond();
                    return new Sent(
                            YearMonth.parse(row.value1()),
                            new Observation(
                                    Math.max(0, seconds) / SECONDS_A_DAY,
                                    row.value4() != null && BACK.contains(row.value4())));
                });
    }

    private OffsetDateTime begin(YearMonth first) {
        return first.atDay(1).atStartOfDay(site.zone()).toOffsetDateTime();
    }

    private Field<String> month(Field<OffsetDateTime> moment) {
        return DSL.field(
                "to_char({0} at time zone {1}, 'YYYY-MM')",
                String.class, moment, DSL.inline(site.zone().getId()));
    }
}
