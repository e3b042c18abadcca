package airway.registry.quality;

import static airway.sql.generated.analysis.Tables.CONTRADICTION;
import static airway.sql.generated.analysis.Tables.ENTRY;
import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.analysis.Tables.LIKENESS;
import static airway.sql.generated.quality.Tables.INDEPENDENT_COUNT;
import static org.jooq.impl.DSL.count;

import airway.registry.access.Site;
import airway.registry.cohort.Measure;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.encounter.Anchor;
import airway.registry.encounter.AskedTable;
import airway.registry.encounter.ConfirmedTable;
import airway.registry.encounter.UnlikelyTable;
import java.math.BigDecimal;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.YearMonth;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.UUID;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.Table;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Counts what there is to know about the data of one unit and period: one select for each question, grouped in SQL. */
final class QualityQuery {
    /** So many of each kind are listed; a shorter period shows the others. */
    private static final int MOST_LISTED = 20;

    /** More open questions than this are only counted at first. */
    private static final int MOST_SPELT_OUT = 3;

    private static final Field<Integer> TOTAL = DSL.count().over().as("total");

    /** Outside the measures because it is a tube change, or because there was no attempt: no intubation to be captured. */
    private static final Condition INTUBATION = FACT.OUTSIDE.isNull().or(FACT.OUTSIDE.eq((short) 3));

    private final DSLContext dsl;
    private final Site site;
    private final YearMonth from;
    private final YearMonth to;

    QualityQuery(DSLContext dsl, Site site, YearMonth from, YearMonth to) {
        this.dsl = dsl;
        this.site = site;
        this.from = from;
        this.to = to;
    }

    /** Every question of a layer and what came of it, by month. */
    Map<YearMonth, List<Question>> questions() {
        Field<Integer> asked = count();
        Field<Integer> blank = count().filterWhere(DSL.condition(AskedTable.BLANK));
        Field<Integer> known = count().filterWhere(DSL.condition(AskedTable.KNOWN));
        Map<YearMonth, List<Question>> months = new TreeMap<>();
        dsl.select(AskedTable.MONTH, AskedTable.VARIABLE, asked, blank, known)
                .from(AskedTable.of(facts(), Set.of(Layer.FIRST, Layer.DETAIL, Layer.OPTIONAL)))
                .groupBy(AskedTable.MONTH, AskedTable.VARIABLE)
                .forEach(row -> months.computeIfAbsent(
                                YearMonth.from(row.get(AskedTable.MONTH)), month -> new ArrayList<>())
                        .add(new Question(
                                row.get(AskedTable.VARIABLE), row.get(asked), row.get(blank), row.get(known))));
        return months;
    }

    /**
     * When the records of a month were made.
     *
     * @param day of those typed in here with a start to the minute, made within 24 hours
     * @param week of the same, made within 7 days
     * @param onTheHour of those with a start to the minute, starting on the full hour
     */
    record Entered(int records, int imported, Share day, Share week, Share onTheHour) {
        static final Entered NOTHING = new Entered(0, 0, Share.NOTHING, Share.NOTHING, Share.NOTHING);

        Entered plus(Entered other) {
            return new Entered(
                    records + other.records,
                    imported + other.imported,
                    day.plus(other.day),
                    week.plus(other.week),
                    onTheHour.plus(other.onTheHour));
        }
    }

    Map<YearMonth, Entered> entered() {
        Condition minute = ENTRY.PRECISION.eq("minute");
        Condition typed = minute.andNot(DSL.condition(ENTRY.IMPORTED));
        Field<Integer> all = count();
        Field<Integer> imported = count().filterWhere(DSL.condition(ENTRY.IMPORTED));
        Field<Integer> judged = count().filterWhere(typed);
        Field<Integer> day = count().filterWhere(typed.and(within("24 hours")));
        Field<Integer> week = count().filterWhere(typed.and(within("7 days")));
        Field<Integer> timed = count().filterWhere(minute);
        Field<Integer> onTheHour = count().filterWhere(minute.and(DSL.condition(ENTRY.ON_THE_HOUR)));
        Map<YearMonth, Entered> months = new TreeMap<>();
        dsl.select(ENTRY.MONTH, all, imported, judged, day, week, timed, onTheHour)
                .from(ENTRY)
                .where(of(ENTRY.SITE_ID, ENTRY.MONTH))
                .groupBy(ENTRY.MONTH)
                .forEach(row -> months.put(
                        YearMonth.from(row.get(ENTRY.MONTH)),
                        new Entered(
                                row.get(all),
                                row.get(imported),
                                new Share(row.get(day), row.get(judged)),
                                new Share(row.get(week), row.get(judged)),
                                new Share(row.get(onTheHour), row.get(timed)))));
        return months;
    }

    private static Condition within(String span) {
        return DSL.condition(
                "{0} <= {1} + cast({2} as interval)", ENTRY.RECORDED_AT, ENTRY.STARTED_AT, DSL.inline(span));
    }

    /**
     * What a measure leaves out of a month.
     *
     * @param outside by definition
     * @param unknown because the answer is not known, of those inside
     */
    record LeftOut(int outside, Share unknown) {
        static final LeftOut NOTHING = new LeftOut(0, Share.NOTHING);

        LeftOut plus(LeftOut other) {
            return new LeftOut(outside + other.outside, unknown.plus(other.unknown));
        }
    }

    /** By month, for every measure that is a share of encounters; severe events by the usual scheme. */
    Map<YearMonth, Map<Measure, LeftOut>> leftOut() {
        List<Field<?>> counts = new ArrayList<>(List.of(FACT.MONTH));
        for (Measure measure : Measure.proportions()) {
            Field<Short> answer = measure.column(null);
            counts.add(count().filterWhere(answer.isNull()));
            counts.add(count().filterWhere(answer.lt((short) 0)));
            counts.add(count(answer));
        }
        Map<YearMonth, Map<Measure, LeftOut>> months = new TreeMap<>();
        for (Record row : dsl.select(counts).from(FACT).where(facts()).groupBy(FACT.MONTH)) {
            Map<Measure, LeftOut> measures = new EnumMap<>(Measure.class);
            int at = 1;
            for (Measure measure : Measure.proportions()) {
                int outside = row.get(at++, Integer.class);
                int unknown = row.get(at++, Integer.class);
                int inside = row.get(at++, Integer.class);
                measures.put(measure, new LeftOut(outside, new Share(unknown, inside)));
            }
            months.put(YearMonth.from(row.get(FACT.MONTH)), measures);
        }
        return months;
    }

    /** The newest independent count of each month that has one, beside the records of the month. */
    Map<YearMonth, Capture> captures() {
        Field<Integer> records = DSL.selectCount()
                .from(FACT)
                .where(FACT.SITE_ID.eq(INDEPENDENT_COUNT.SITE_ID), FACT.MONTH.eq(INDEPENDENT_COUNT.MONTH), INTUBATION)
                .asField("records");
        Map<YearMonth, Capture> months = new TreeMap<>();
        dsl.select(
                        INDEPENDENT_COUNT.MONTH,
                        INDEPENDENT_COUNT.COUNTED,
                        INDEPENDENT_COUNT.MATCHED,
                        INDEPENDENT_COUNT.ENTERED_AT,
                        records)
                .distinctOn(INDEPENDENT_COUNT.MONTH)
                .from(INDEPENDENT_COUNT)
                .where(of(INDEPENDENT_COUNT.SITE_ID, INDEPENDENT_COUNT.MONTH))
                .orderBy(INDEPENDENT_COUNT.MONTH, INDEPENDENT_COUNT.COUNT_NO.desc())
                .forEach(row -> months.put(
                        YearMonth.from(row.get(INDEPENDENT_COUNT.MONTH)),
                        new Capture(
                                row.get(INDEPENDENT_COUNT.COUNTED),
                                integer(row.get(INDEPENDENT_COUNT.MATCHED)),
                                row.get(INDEPENDENT_COUNT.ENTERED_AT).toInstant(),
                                row.get(records))));
        return months;
    }

    /** Adds a count; the earlier ones of the month stay, and no longer count. */
    void add(YearMonth month, int counted, @Nullable Integer matched) {
        dsl.insertInto(INDEPENDENT_COUNT)
                .set(INDEPENDENT_COUNT.SITE_ID, site.no())
                .set(INDEPENDENT_COUNT.MONTH, month.atDay(1))
                .set(INDEPENDENT_COUNT.COUNTED, (short) counted)
                .set(INDEPENDENT_COUNT.MATCHED, matched == null ? null : matched.shortValue())
                .execute();
    }

    /** The starts of the intubations around the period, for a log to be compared with. */
    List<LogMatch.Start> starts() {
        return dsl.select(ENTRY.STARTED_AT, ENTRY.PRECISION)
                .from(ENTRY)
                .join(FACT)
                .on(FACT.SITE_ID.eq(ENTRY.SITE_ID), FACT.ENCOUNTER_ID.eq(ENTRY.ENCOUNTER_ID))
                .where(
                        ENTRY.SITE_ID.eq(site.no()),
                        ENTRY.STARTED_AT.between(
                                from.atDay(1).minusDays(2).atStartOfDay().atOffset(ZoneOffset.UTC),
                                to.plusMonths(1).atDay(3).atStartOfDay().atOffset(ZoneOffset.UTC)),
                        ENTRY.PRECISION.in("minute", "day"),
                        INTUBATION)
                .orderBy(ENTRY.STARTED_AT)
                .fetch(row -> new LogMatch.Start(
                        row.get(ENTRY.STARTED_AT).toInstant(),
                        row.get(ENTRY.PRECISION).equals("day")));
    }

    /** Records with open questions of the first layer. */
    Found missing() {
        Field<String[]> variables = DSL.arrayAgg(AskedTable.VARIABLE)
                .orderBy(AskedTable.ATTEMPT_NO.asc().nullsFirst(), AskedTable.VARIABLE);
        Field<Short[]> attempts = DSL.arrayAgg(AskedTable.ATTEMPT_NO)
                .orderBy(AskedTable.ATTEMPT_NO.asc().nullsFirst(), AskedTable.VARIABLE);
        List<Item> items = new ArrayList<>();
        int total = 0;
        for (Record row : dsl.select(AskedTable.ENCOUNTER_ID, AskedTable.STARTED_AT, variables, attempts, TOTAL)
                .from(AskedTable.of(facts(), Set.of(Layer.FIRST)))
                .where(DSL.condition(AskedTable.BLANK))
                .groupBy(AskedTable.ENCOUNTER_ID, AskedTable.STARTED_AT)
                .orderBy(AskedTable.STARTED_AT.desc(), AskedTable.ENCOUNTER_ID)
                .limit(MOST_LISTED)) {
            total = row.get(TOTAL);
            String[] names = row.get(variables);
            Short[] numbers = row.get(attempts);
            List<String> titles = new ArrayList<>();
            for (int i = 0; i < names.length; i++) {
                titles.add(title(names[i], integer(numbers[i])));
            }
            items.add(item(
                    row.get(AskedTable.ENCOUNTER_ID),
                    row.get(AskedTable.STARTED_AT),
                    titles.size() > MOST_SPELT_OUT
                            ? titles.size() + " questions open."
                            : "Open: " + String.join("; ", titles) + ".",
                    Anchor.of(names[0], integer(numbers[0])),
                    titles.size() > MOST_SPELT_OUT ? titles : List.of()));
        }
        return new Found(items, total);
    }

    /** Values outside their usual range, those not confirmed first. */
    Found unlikely() {
        List<Item> items = new ArrayList<>();
        int total = 0;
        for (Record row : dsl.select(
                        UnlikelyTable.ENCOUNTER_ID,
                        UnlikelyTable.STARTED_AT,
                        UnlikelyTable.VARIABLE,
                        UnlikelyTable.ATTEMPT_NO,
                        UnlikelyTable.VALUE,
                        UnlikelyTable.CONFIRMED,
                        TOTAL)
                .from(UnlikelyTable.of(facts()))
                .orderBy(
                        UnlikelyTable.CONFIRMED,
                        UnlikelyTable.STARTED_AT.desc(),
                        UnlikelyTable.ENCOUNTER_ID,
                        UnlikelyTable.VARIABLE,
                        UnlikelyTable.ATTEMPT_NO)
                .limit(MOST_LISTED)) {
            total = row.get(TOTAL);
            String name = row.get(UnlikelyTable.VARIABLE);
            Integer attempt = integer(row.get(UnlikelyTable.ATTEMPT_NO));
            BigDecimal value = row.get(UnlikelyTable.VALUE);
            items.add(item(
                    row.get(UnlikelyTable.ENCOUNTER_ID),
                    row.get(UnlikelyTable.STARTED_AT),
                    title(name, attempt) + ": "
                            + value.stripTrailingZeros().toPlainString() + ", usual is "
                            + Dictionary.current().variable(name).soft().words()
                            + (row.get(UnlikelyTable.CONFIRMED)
                                    ? ". Unlikely, confirmed."
                                    : ". Unlikely, not confirmed."),
                    Anchor.of(name, attempt),
                    List.of()));
        }
        return new Found(items, total);
    }

    /** Other answers that were asked about and confirmed. */
    Found confirmed() {
        List<Item> items = new ArrayList<>();
        int total = 0;
        for (Record row : dsl.select(
                        ConfirmedTable.ENCOUNTER_ID,
                        ConfirmedTable.STARTED_AT,
                        ConfirmedTable.VARIABLE,
                        ConfirmedTable.ATTEMPT_NO,
                        TOTAL)
                .from(ConfirmedTable.of(facts()))
                .orderBy(
                        ConfirmedTable.STARTED_AT.desc(),
                        ConfirmedTable.ENCOUNTER_ID,
                        ConfirmedTable.ATTEMPT_NO,
                        ConfirmedTable.VARIABLE)
                .limit(MOST_LISTED)) {
            total = row.get(TOTAL);
            String name = row.get(ConfirmedTable.VARIABLE);
            Integer attempt = integer(row.get(ConfirmedTable.ATTEMPT_NO));
            items.add(item(
                    row.get(ConfirmedTable.ENCOUNTER_ID),
                    row.get(ConfirmedTable.STARTED_AT),
                    title(name, attempt) + ": asked about and confirmed.",
                    Anchor.of(name, attempt),
                    List.of()));
        }
        return new Found(items, total);
    }

    Found contradictions() {
        List<Item> items = new ArrayList<>();
        int total = 0;
        for (Record row : dsl.select(
                        CONTRADICTION.ENCOUNTER_ID,
                        CONTRADICTION.STARTED_AT,
                        CONTRADICTION.KIND,
                        CONTRADICTION.ATTEMPT_NO,
                        TOTAL)
                .from(CONTRADICTION)
                .where(of(CONTRADICTION.SITE_ID, CONTRADICTION.MONTH))
                .orderBy(
                        CONTRADICTION.STARTED_AT.desc(),
                        CONTRADICTION.ENCOUNTER_ID,
                        CONTRADICTION.ATTEMPT_NO,
                        CONTRADICTION.KIND)
                .limit(MOST_LISTED)) {
            total = row.get(TOTAL);
            Contradiction kind = Contradiction.of(row.get(CONTRADICTION.KIND));
            Integer attempt = integer(row.get(CONTRADICTION.ATTEMPT_NO));
            items.add(item(
                    row.get(CONTRADICTION.ENCOUNTER_ID),
                    row.get(CONTRADICTION.STARTED_AT),
                    kind.words(attempt),
                    kind.field(attempt),
                    List.of()));
        }
        return new Found(items, total);
    }

    /** Records that may tell of the same intubation: a pair with what it shares, or more that hang together. */
    Found duplicates() {
        List<Record> pairs = List.copyOf(dsl.select(LIKENESS.fields())
                .from(LIKENESS)
                .where(of(LIKENESS.SITE_ID, LIKENESS.MONTH))
                .orderBy(LIKENESS.STARTED_AT.desc(), LIKENESS.ENCOUNTER_ID, LIKENESS.OTHER_ID)
                .fetch());
        Map<UUID, Set<UUID>> alike = new HashMap<>();
        for (Record pair : pairs) {
            UUID later = pair.get(LIKENESS.ENCOUNTER_ID);
            UUID earlier = pair.get(LIKENESS.OTHER_ID);
            Set<UUID> together = alike.computeIfAbsent(later, id -> new LinkedHashSet<>(Set.of(id)));
            Set<UUID> joining = alike.getOrDefault(earlier, Set.of(earlier));
            if (joining != together) {
                together.addAll(joining);
                joining.forEach(id -> alike.put(id, together));
            }
        }
        List<Item> items = new ArrayList<>();
        Set<UUID> told = new HashSet<>();
        int total = 0;
        for (Record pair : pairs) {
            UUID id = pair.get(LIKENESS.ENCOUNTER_ID);
            Set<UUID> together = alike.getOrDefault(id, Set.of());
            if (!told.contains(id)) {
                told.addAll(together);
                total++;
                List<UUID> others =
                        together.stream().filter(one -> !one.equals(id)).toList();
                if (items.size() < MOST_LISTED) {
                    items.add(new Item(
                            id,
                            pair.get(LIKENESS.STARTED_AT).toInstant(),
                            others.size() == 1
                                    ? shared(pair)
                                    : together.size() + " records, each with one beside it that is like it.",
                            "",
                            List.of(),
                            others));
                }
            }
        }
        return new Found(items, total);
    }

    private static String shared(Record pair) {
        return apart(pair.get(LIKENESS.MINUTES)) + ", same age"
                + (Boolean.TRUE.equals(pair.get(LIKENESS.SAME_WEIGHT)) ? ", same weight" : "")
                + (Boolean.TRUE.equals(pair.get(LIKENESS.SAME_KIND))
                        ? ", same kind of encounter."
                        : ", kind of encounter differs.");
    }

    private static String apart(int minutes) {
        if (minutes == 0) {
            return "Same start";
        }
        return minutes < 60
                ? minutes + (minutes == 1 ? " minute apart" : " minutes apart")
                : minutes / 60 + " h " + minutes % 60 + " min apart";
    }

    /** How many there are of each month, of a table of things found. */
    private Map<YearMonth, Integer> byMonth(
            Table<?> table, Condition rows, Field<LocalDate> month, Field<Integer> number) {
        Map<YearMonth, Integer> months = new TreeMap<>();
        dsl.select(month, number)
                .from(table)
                .where(rows)
                .groupBy(month)
                .forEach(row -> months.put(YearMonth.from(row.value1()), row.value2()));
        return months;
    }

    Map<YearMonth, Integer> unlikelyByMonth() {
        return byMonth(UnlikelyTable.of(facts()), DSL.trueCondition(), UnlikelyTable.MONTH, count());
    }

    Map<YearMonth, Integer> contradictionsByMonth() {
        return byMonth(CONTRADICTION, of(CONTRADICTION.SITE_ID, CONTRADICTION.MONTH), CONTRADICTION.MONTH, count());
    }

    /** Records like an earlier one, each once however many it is like. */
    Map<YearMonth, Integer> duplicatesByMonth() {
        return byMonth(
                LIKENESS,
                of(LIKENESS.SITE_ID, LIKENESS.MONTH),
                LIKENESS.MONTH,
                DSL.countDistinct(LIKENESS.ENCOUNTER_ID));
    }

    private Condition facts() {
        return of(FACT.SITE_ID, FACT.MONTH);
    }

    private Condition of(Field<Short> siteId, Field<LocalDate> month) {
        return siteId.eq(site.no()).and(month.between(from.atDay(1), to.atDay(1)));
    }

    private static String title(String variable, @Nullable Integer attempt) {
        String title = Dictionary.current().variable(variable).title();
        return attempt == null ? title : "Attempt " + attempt + ": " + title;
    }

    private static Item item(UUID id, OffsetDateTime start, String words, String field, List<String> more) {
        return new Item(id, start.toInstant(), words, field, more, List.of());
    }

    private static @Nullable Integer integer(@Nullable Short value) {
        return value == null ? null : Integer.valueOf(value);
    }
}
