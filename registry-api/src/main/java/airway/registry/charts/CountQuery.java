package airway.registry.charts;

import static airway.sql.generated.analysis.Tables.CODE;
import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.analysis.Tables.HANDS;
import static airway.sql.generated.analysis.Tables.SETUP;
import static org.jooq.impl.DSL.arrayAgg;
import static org.jooq.impl.DSL.coalesce;
import static org.jooq.impl.DSL.count;
import static org.jooq.impl.DSL.field;
import static org.jooq.impl.DSL.inline;
import static org.jooq.impl.DSL.max;
import static org.jooq.impl.DSL.name;
import static org.jooq.impl.DSL.sum;

import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortTable;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Code;
import airway.registry.dictionary.Scheme;
import airway.stats.Proportion;
import java.math.BigDecimal;
import java.time.Instant;
import java.time.LocalDate;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.UUID;
import java.util.stream.Stream;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.Record1;
import org.jooq.Select;
import org.jooq.SelectField;
import org.jooq.SortField;
import org.jooq.Table;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Counts a measure over a cohort: one select, grouped in SQL, or {@link Blocks} where the order or every value counts. */
final class CountQuery {
    /** More single cases than this are not drawn; a unit that large has points with many cases. */
    static final int MOST_CASES = 5_000;

    private static final Field<String> CODE_OF_ROW = coalesce(CODE.CODE_, inline(Stratum.BLANK.value()));

    private static final Field<Short> NO_VALUE = inline((Short) null);

    private final DSLContext dsl;
    private final Measure measure;
    private final Field<Short> answer;
    private final Cohort asked;
    private final Condition cohort;

    /**
     * @param scheme the scheme of severity that decides; null where none does
     */
    CountQuery(DSLContext dsl, Measure measure, @Nullable Scheme scheme, Cohort cohort) {
        this.dsl = dsl;
        this.measure = measure;
        this.answer = measure.column(scheme);
        this.asked = cohort;
        this.cohort = CohortTable.rows(cohort);
    }

    /** By first month of each span of the calendar that has a row. */
    SortedMap<YearMonth, Counted> bySpan(Grouping grouping) {
        SortedMap<YearMonth, Counted> spans = new TreeMap<>();
        if (ofValues()) {
            Map<Integer, Pile> months = new HashMap<>();
            blocks().inAnyOrder()
                    .forEach(block -> block.pile(month -> months.computeIfAbsent(month, first -> new Pile(measure))));
            months.forEach(
                    (month, pile) -> spans.merge(grouping.start(Blocks.month(month)), pile.counted(), Counted::plus));
            return spans;
        }
        dsl.select(Tallies.MONTH)
                .select(tallied())
                .from(rows(List.of()))
                .groupBy(Tallies.MONTH)
                .forEach(row -> add(spans, grouping, row));
        return spans;
    }

    private Blocks blocks() {
        return new Blocks(dsl, measure, asked, answer);
    }

    private Table<?> rows(List<Stratum> splits) {
        return Tallies.of(measure, asked, answer, splits);
    }

    /** Months are grouped in SQL, and spans made of them here: a span worked out for every row takes longer than the counting. */
    private void add(SortedMap<YearMonth, Counted> spans, Grouping grouping, Record row) {
        add(spans, grouping, row.get(Tallies.MONTH), counted(row));
    }

    private static void add(SortedMap<YearMonth, Counted> spans, Grouping grouping, int month, Counted counted) {
        spans.merge(grouping.start(Blocks.month(month)), counted, Counted::plus);
    }

    /**
     * Counts by first month of each span, with the encounters behind them.
     *
     * @param encounters keys of all encounters of the cohort, also of those that do not count
     * @param versions the version of each of them
     */
    record Taken(SortedMap<YearMonth, Counted> spans, List<UUID> encounters, List<Integer> versions) {}

    /** As {@link #bySpan}, with the encounters behind the counts: one statement, so that both are of one moment. */
    Taken take(Grouping grouping) {
        Field<UUID[]> encounters = arrayAgg(FACT.ENCOUNTER_ID);
        Field<Integer[]> versions = arrayAgg(FACT.VERSION);
        Taken taken = new Taken(new TreeMap<>(), new ArrayList<>(), new ArrayList<>());
        dsl.select(FACT.MONTH, encounters, versions)
                .select(counts(answer))
                .from(FACT)
                .where(cohort)
                .groupBy(by(List.of(FACT.MONTH), answer))
                .forEach(row -> {
                    YearMonth start = grouping.start(YearMonth.from(row.get(FACT.MONTH)));
                    taken.spans().merge(start, counted(row), Counted::plus);
                    taken.encounters().addAll(Arrays.asList(row.get(encounters)));
                    taken.versions().addAll(Arrays.asList(row.get(versions)));
                });
        return taken;
    }

    /**
     * What became of encounters that were taken before.
     *
     * @param spans what is counted today, by first month of each span
     * @param changed how many of them have another version by now
     * @param added encounters that belong to the cohort now and did not then
     * @param gone encounters that belonged to it then and do not now: withdrawn, or put right so that they belong elsewhere
     */
    record Since(SortedMap<YearMonth, Counted> spans, long changed, long added, long gone) {
        boolean isNothing() {
            return changed + added + gone == 0;
        }
    }

    /**
     * Compares the cohort with encounters that were taken before, in one statement.
     *
     * @param encounters selects the array of their keys
     * @param versions selects the array of their versions, in the same order
     */
    Since since(Grouping grouping, Select<Record1<UUID[]>> encounters, Select<Record1<Integer[]>> versions) {
        Table<?> now = dsl.select(
                        FACT.ENCOUNTER_ID.as("encounter_id"),
                        FACT.VERSION.as("version"),
                        FACT.MONTH.as("month"),
                        FACT.NOMINAL.as("nominal"),
                        answer.as("answer"))
                .from(FACT)
                .where(cohort)
                .asTable("now");
        Table<?> then = DSL.table("unnest({0}, {1})", DSL.field(encounters), DSL.field(versions))
                .as("then", "encounter_id", "version");
        Field<UUID> is = field(name("now", "encounter_id"), UUID.class);
        Field<UUID> was = field(name("then", "encounter_id"), UUID.class);
        Field<LocalDate> month = field(name("now", "month"), LocalDate.class);
        Field<Short> answered = field(name("now", "answer"), Short.class);
        Field<Integer> changed = count().filterWhere(
                        field(name("now", "version"), Integer.class).ne(field(name("then", "version"), Integer.class)));
        Field<Integer> added = count().filterWhere(was.isNull());
        Field<Integer> gone = count().filterWhere(is.isNull());
        SortedMap<YearMonth, Counted> spans = new TreeMap<>();
        long[] told = new long[3];
        dsl.select(month, changed, added, gone)
                .select(counts(answered))
                .from(now)
                .fullJoin(then)
                .on(is.eq(was))
                .groupBy(by(List.of(month), answered))
                .forEach(row -> {
                    told[0] += row.get(changed);
                    told[1] += row.get(added);
                    told[2] += row.get(gone);
                    if (row.get(month) != null) {
                        spans.merge(grouping.start(YearMonth.from(row.get(month))), counted(row), Counted::plus);
                    }
                });
        return new Since(spans, told[0], told[1], told[2]);
    }

    /** The spans of each code of a variable, in the order of its codes; rows without an answer are a group of their own. */
    Map<String, SortedMap<YearMonth, Counted>> bySpanOfEach(Grouping grouping, Stratum stratum) {
        Map<String, SortedMap<YearMonth, Counted>> groups = new LinkedHashMap<>();
        dsl.select(CODE_OF_ROW, Tallies.MONTH)
                .select(tallied())
                .from(rows(List.of(stratum)))
                .leftJoin(CODE)
                .on(CODE.VARIABLE.eq(stratum.variable()), CODE.NO.eq(Tallies.CODE_NO))
                .groupBy(CODE_OF_ROW, CODE.NO, Tallies.MONTH)
                .orderBy(CODE.NO.asc().nullsLast())
                .forEach(row ->
                        add(groups.computeIfAbsent(row.get(CODE_OF_ROW), one -> new TreeMap<>()), grouping, row));
        return groups;
    }

    /** The spans of each unit, by its code. */
    Map<String, SortedMap<YearMonth, Counted>> bySpanOfEachUnit(Grouping grouping) {
        Map<Short, String> codes = new HashMap<>();
        asked.sites().forEach(site -> codes.put(site.no(), site.code()));
        Map<String, SortedMap<YearMonth, Counted>> units = new LinkedHashMap<>();
        // A unit in one row: a month of a unit in each took longer to be handed over than to be counted.
        dsl.select(
                        Tallies.SITE_ID,
                        arrayAgg(Tallies.MONTH),
                        arrayAgg(Tallies.X),
                        arrayAgg(Tallies.N),
                        arrayAgg(Tallies.LEFT_OUT),
                        arrayAgg(Tallies.UNKNOWN),
                        arrayAgg(Tallies.NOMINAL))
                .from(rows(List.of()))
                .groupBy(Tallies.SITE_ID)
                .forEach(row -> {
                    Integer[] months = row.value2();
                    Integer[] x = row.value3();
                    Integer[] n = row.value4();
                    Integer[] leftOut = row.value5();
                    Integer[] unknown = row.value6();
                    Integer[] nominal = row.value7();
                    SortedMap<YearMonth, Counted> spans = new TreeMap<>();
                    for (int i = 0; i < months.length; i++) {
                        add(spans, grouping, months[i], new Counted(x[i], n[i], leftOut[i], unknown[i], nominal[i]));
                    }
                    units.put(Objects.requireNonNull(codes.get(row.get(Tallies.SITE_ID))), spans);
                });
        return units;
    }

    /**
     * How often each answer to some questions was given before a month, and from another one on, among the encounters that
     * count.
     */
    List<CaseMix.Share> mix(List<Stratum> strata, YearMonth before, YearMonth from) {
        if (strata.isEmpty()) {
            return List.of();
        }
        Field<BigDecimal> earlier = sum(Tallies.N).filterWhere(Tallies.MONTH.lt(Blocks.number(before)));
        Field<BigDecimal> later = sum(Tallies.N).filterWhere(Tallies.MONTH.ge(Blocks.number(from)));
        var rows = dsl.select(
                        Tallies.QUESTION,
                        CODE_OF_ROW,
                        coalesce(earlier, inline(BigDecimal.ZERO)),
                        coalesce(later, inline(BigDecimal.ZERO)))
                .from(rows(strata))
                .leftJoin(CODE)
                .on(CODE.VARIABLE.eq(Tallies.QUESTION), CODE.NO.eq(Tallies.CODE_NO))
                .where(Tallies.N.gt(0))
                .groupBy(Tallies.QUESTION, CODE_OF_ROW)
                .fetchGroups(Tallies.QUESTION);
        List<CaseMix.Share> shares = new ArrayList<>();
        for (Stratum stratum : strata) {
            var answers = rows.get(stratum.variable());
            if (answers == null) {
                continue;
            }
            long nBefore =
                    answers.stream().mapToLong(row -> row.value3().longValue()).sum();
            long nAfter =
                    answers.stream().mapToLong(row -> row.value4().longValue()).sum();
            answers.forEach(row -> shares.add(new CaseMix.Share(
                    stratum,
                    row.value2(),
                    new Proportion(row.value3().longValue(), nBefore),
                    new Proportion(row.value4().longValue(), nAfter))));
        }
        return shares;
    }

    /** All of the cohort together. */
    Counted total() {
        return dsl.select(tallied()).from(rows(List.of())).fetchSingle(this::counted);
    }

    /**
     * An encounter with the unwanted outcome.
     *
     * @param cases encounters that count after the event before, this one included; of the first one that is told, all until then
     */
    record Event(Instant at, long cases) {}

    /**
     * The latest encounters with the unwanted outcome, in order.
     *
     * @param before how many were before them
     * @param since encounters that count after the last of them
     */
    record Events(int before, List<Event> latest, long since) {}

    /**
     * Events in order of their start, and how many cases lie between.
     *
     * @param unwanted the outcome
     * @param most so many events at the most
     */
    Events events(int unwanted, int most) {
        InOrder encounters = blocks().inOrder();
        InOrder.Last last = encounters.last(measured -> measured == unwanted, most);
        List<InOrder.Spot> spots = last.spots();
        // Each pile but the first begins with an event, which is the last case of the one before.
        List<Pile> piles = encounters.piles(spots);
        List<Event> events = new ArrayList<>();
        for (int number = 0; number < spots.size(); number++) {
            long cases = piles.get(number).n() + (number == 0 ? 1 : 0);
            events.add(new Event(Blocks.instant(spots.get(number).start()), cases));
        }
        return new Events(last.before(), events, piles.get(spots.size()).n() - (spots.isEmpty() ? 0 : 1));
    }

    /** Single encounters from a month on, in order of their start, those that do not count too. */
    List<OneByOne.Case> cases(YearMonth from, YearMonth to) {
        return dsl.select(FACT.MONTH, answer, FACT.SUCCESS_2, FACT.NOMINAL)
                .from(FACT)
                .where(cohort, FACT.MONTH.between(from.atDay(1), to.atDay(1)))
                .orderBy(Tallies.ORDER)
                .limit(MOST_CASES)
                .fetch(this::one);
    }

    /** Who asks, as the database knows it: no parameter can name somebody else. */
    private static final Field<Integer> ME = field("access.current_actor()", Integer.class);

    /** First attempts that the one who asks both held and wrote down, in order of their start. */
    List<OwnCurve.Own> own() {
        return dsl.select(
                        FACT.MONTH,
                        answer,
                        FACT.SUCCESS_2,
                        FACT.NOMINAL,
                        coalesce(SETUP.DEVICE_SETUP_ID, inline(Stratum.BLANK.value())),
                        coalesce(SETUP.TITLE, inline(Stratum.BLANK.label())))
                .from(FACT)
                .join(HANDS)
                .on(byHands())
                .leftJoin(SETUP)
                .on(SETUP.SITE_ID.eq(FACT.SITE_ID), SETUP.SETUP_NO.eq(FACT.SETUP_NO))
                .where(cohort, HANDS.RECORDER.eq(ME))
                .orderBy(Tallies.ORDER)
                .limit(MOST_CASES)
                .fetch(row -> new OwnCurve.Own(new Code(row.value5(), row.value6()), one(row)));
    }

    /**
     * Counts of each answer to a question over the first attempts whose operator is known, in the order of its codes. People are
     * told apart here and leave the query as numbers alone.
     */
    List<Bands.Band> bands(Stratum stratum) {
        Field<Short> no = stratum.column().as("no");
        var each = dsl.select(
                        no,
                        HANDS.RECORDER,
                        count().filterWhere(answer.eq((short) 1)).as("x"),
                        count().as("n"))
                .from(FACT)
                .leftJoin(HANDS)
                .on(byHands())
                .where(cohort, answer.ge((short) 0))
                .groupBy(stratum.column(), HANDS.RECORDER)
                .asTable("each");
        Field<Integer> x = field(name("each", "x"), Integer.class);
        Field<Integer> n = field(name("each", "n"), Integer.class);
        Condition known = field(name("each", "recorder"), Integer.class).isNotNull();
        Field<Short> band = field(name("each", "no"), Short.class);
        return dsl.select(
                        coalesce(CODE.CODE_, inline(Stratum.BLANK.value())),
                        coalesce(sum(x).filterWhere(known), inline(BigDecimal.ZERO)),
                        coalesce(sum(n).filterWhere(known), inline(BigDecimal.ZERO)),
                        coalesce(sum(n).filterWhere(known.not()), inline(BigDecimal.ZERO)),
                        count().filterWhere(known),
                        coalesce(max(n).filterWhere(known), inline(0)))
                .from(each)
                .leftJoin(CODE)
                .on(CODE.VARIABLE.eq(stratum.variable()), CODE.NO.eq(band))
                .groupBy(band, CODE.CODE_)
                .orderBy(band.asc().nullsLast())
                .fetch(row -> new Bands.Band(
                        row.value1(),
                        stratum.label(row.value1()),
                        new Counted(
                                row.value2().longValue(),
                                row.value3().longValue(),
                                row.value4().longValue(),
                                0,
                                0),
                        row.value5(),
                        row.value6()));
    }

    private static Condition byHands() {
        return HANDS.SITE_ID
                .eq(FACT.SITE_ID)
                .and(HANDS.ENCOUNTER_ID.eq(FACT.ENCOUNTER_ID))
                .and(HANDS.VERSION.eq(FACT.VERSION));
    }

    private OneByOne.Case one(Record row) {
        return new OneByOne.Case(
                YearMonth.from(row.get(FACT.MONTH)),
                row.get(answer),
                measure == Measure.FPS && Short.valueOf((short) 1).equals(row.get(FACT.SUCCESS_2)),
                row.get(FACT.NOMINAL));
    }

    /** A group of encounters, and when the first of them was. */
    record Group(Counted counted, Instant starts) {}

    /**
     * Encounters in order of their start, by number of the group from 0.
     *
     * @param size encounters of each group that count
     * @param most so many groups at the most, and one more of all that are left
     */
    SortedMap<Integer, Group> byEncounters(int size, int most) {
        InOrder encounters = blocks().inOrder();
        List<InOrder.Spot> firsts = encounters.every(size, most);
        List<Pile> piles = encounters.piles(firsts);
        SortedMap<Integer, Group> groups = new TreeMap<>();
        Stream.concat(encounters.first(), firsts.stream()).forEach(first -> {
            int number = groups.size();
            groups.put(number, new Group(piles.get(number).counted(), Blocks.instant(first.start())));
        });
        return groups;
    }

    /**
     * Encounters that are alike in their group and in their answers to some questions.
     *
     * @param group code of the group; codes of several variables are joined by {@value #AND}
     * @param label its words
     * @param answers codes of the answers, in the order of the questions
     * @param afterwards whether the expectation of difficulty was written down afterwards, as far as that was recorded
     * @param hands tells one who held the laryngoscope and records from another; null where that is not known. Never leaves the
     *     program.
     */
    record Cell(
            String group,
            String label,
            List<String> answers,
            boolean afterwards,
            @Nullable Integer hands,
            Counted counted) {}

    /** Stands between the codes of a group that is made by several variables. */
    static final String AND = ".";

    /**
     * Counts for each group within each combination of answers, in the order of the titles of set-ups, or of the codes of variables.
     * What the fact row does not hold is joined by its key.
     *
     * @param by variables that make the groups; none for the set-up of attempt 1
     * @param questions variables whose answers are told apart
     */
    List<Cell> cells(List<Stratum> by, List<Stratum> questions) {
        List<Field<?>> keys = new ArrayList<>(by.isEmpty() ? List.of(FACT.SITE_ID, FACT.SETUP_NO) : List.of());
        List<Stratum> coded = Stream.concat(by.stream(), questions.stream()).toList();
        coded.forEach(stratum -> keys.add(stratum.column()));
        keys.add(HANDS.AFTERWARDS);
        keys.add(HANDS.RECORDER);
        List<Field<?>> named = new ArrayList<>();
        for (int i = 0; i < keys.size(); i++) {
            named.add(keys.get(i).as("key" + i));
        }
        var cells = dsl.select(named)
                .select(counts(answer))
                .from(FACT)
                .leftJoin(HANDS)
                .on(byHands())
                .where(cohort)
                .groupBy(keys)
                .asTable("cells");
        int first = by.isEmpty() ? 2 : 0;
        Table<?> joined = cells;
        List<Field<String>> codes = new ArrayList<>();
        List<SortField<?>> order = new ArrayList<>();
        if (by.isEmpty()) {
            joined = joined.leftJoin(SETUP)
                    .on(
                            SETUP.SITE_ID.eq(cells.field("key0", Short.class)),
                            SETUP.SETUP_NO.eq(cells.field("key1", Integer.class)));
            order.add(SETUP.TITLE.asc().nullsLast());
            order.add(SETUP.DEVICE_SETUP_ID.asc());
        }
        for (int i = 0; i < coded.size(); i++) {
            var code = CODE.as("code" + i);
            Field<Short> number = cells.field("key" + (first + i), Short.class);
            joined = joined.leftJoin(code).on(code.VARIABLE.eq(coded.get(i).variable()), code.NO.eq(number));
            codes.add(coalesce(code.CODE_, inline(Stratum.BLANK.value())).as("answer" + i));
            order.add(code.NO.asc().nullsLast());
        }
        Field<String> setup =
                coalesce(SETUP.DEVICE_SETUP_ID, inline(Stratum.BLANK.value())).as("setup");
        Field<String> title =
                coalesce(SETUP.TITLE, inline(Stratum.BLANK.label())).as("title");
        List<SelectField<?>> shown = new ArrayList<>(List.of(cells.fields()));
        shown.addAll(codes);
        if (by.isEmpty()) {
            shown.addAll(List.of(setup, title));
        }
        Field<Boolean> late = cells.field("key" + (keys.size() - 2), Boolean.class);
        Field<Integer> held = cells.field("key" + (keys.size() - 1), Integer.class);
        return dsl.select(shown).from(joined).orderBy(order).fetch(row -> {
            List<String> all = codes.stream().map(row::get).toList();
            List<String> group = all.subList(0, by.size());
            List<String> labels = new ArrayList<>();
            for (int i = 0; i < by.size(); i++) {
                labels.add(by.get(i).label(group.get(i)));
            }
            return new Cell(
                    by.isEmpty() ? row.get(setup) : String.join(AND, group),
                    by.isEmpty() ? row.get(title) : String.join(", ", labels),
                    all.subList(by.size(), all.size()),
                    Boolean.TRUE.equals(row.get(late)),
                    row.get(held),
                    counted(row));
        });
    }

    private boolean ofValues() {
        return measure.shape() == Measure.Shape.VALUE;
    }

    /** What is counted together: values each by itself, since a median needs all of them. */
    private List<Field<?>> by(List<Field<?>> keys, Field<Short> answer) {
        return ofValues() ? Stream.concat(keys.stream(), Stream.of(answer)).toList() : keys;
    }

    /** The numbers of a group of fact rows. */
    private SelectField<?>[] counts(Field<Short> answer) {
        return numbers(
                switch (measure.shape()) {
                    case PROPORTION, BETWEEN -> count().filterWhere(answer.eq((short) 1));
                    case RATE -> sum(answer).filterWhere(answer.ge((short) 0));
                    case VALUE -> inline(0);
                },
                ofValues() ? answer : NO_VALUE,
                count().filterWhere(answer.ge((short) 0)),
                count().filterWhere(answer.isNull().or(answer.lt((short) 0))),
                count().filterWhere(answer.eq((short) -1)),
                count().filterWhere(field(name("nominal"), Boolean.class)));
    }

    /** The numbers of a group of rows that stand for several encounters each. */
    private static SelectField<?>[] tallied() {
        return numbers(
                sum(Tallies.X),
                NO_VALUE,
                sum(Tallies.N),
                sum(Tallies.LEFT_OUT),
                sum(Tallies.UNKNOWN),
                sum(Tallies.NOMINAL));
    }

    private static SelectField<?>[] numbers(
            Field<? extends Number> x,
            Field<Short> value,
            Field<? extends Number> n,
            Field<? extends Number> leftOut,
            Field<? extends Number> unknown,
            Field<? extends Number> nominal) {
        return new SelectField<?>[] {
            orZero(x).as("x"),
            value.as("value"),
            orZero(n).as("n"),
            orZero(leftOut).as("left_out"),
            orZero(unknown).as("unknown"),
            orZero(nominal).as("nominal")
        };
    }

    private static Field<Long> orZero(Field<? extends Number> sum) {
        return coalesce(sum.cast(Long.class), inline(0L));
    }

    private Counted counted(Record row) {
        long n = row.get("n", Long.class);
        Integer value = row.get("value", Integer.class);
        return new Counted(
                row.get("x", Long.class),
                n,
                row.get("left_out", Long.class),
                row.get("unknown", Long.class),
                row.get("nominal", Long.class),
                value == null || n == 0 ? Histogram.EMPTY : Histogram.of(value, n));
    }
}
