package airway.registry.charts;

import static airway.sql.generated.analysis.Tables.CODE;
import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.analysis.Tables.SETUP;
import static airway.sql.generated.analysis.Tables.TALLY_DUE;
import static org.jooq.impl.DSL.arrayAgg;
import static org.jooq.impl.DSL.coalesce;
import static org.jooq.impl.DSL.field;
import static org.jooq.impl.DSL.inline;
import static org.jooq.impl.DSL.least;
import static org.jooq.impl.DSL.name;
import static org.jooq.impl.DSL.noCondition;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortTable;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.sql.generated.analysis.tables.TallyMonthTable;
import airway.sql.generated.analysis.tables.TallyTable;
import airway.sql.generated.analysis.tables.TallyValueTable;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.jooq.Condition;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.ResultQuery;
import org.jooq.RowN;
import org.jooq.Select;
import org.jooq.SortField;
import org.jooq.Table;
import org.jooq.impl.DSL;

/**
 * The encounters of a cohort, told apart by unit, month and answer, from bits that are kept, one for each record: an answer that is
 * asked for is an "and". Years that changed since are read record by record in the same statement, so no number is old, and the
 * work grows with the months and hardly with the records. For {@link Walk} the same in whole years, to go along record by record.
 */
final class Tallies {
    /** Empty in a coded variable. */
    private static final int NOT_ANSWERED = -1;

    /** Empty in what is measured. */
    private static final int DOES_NOT_COUNT = -2;

    /** The order of encounters: by their start, and those of one moment by their keys. */
    static final List<SortField<?>> ORDER = List.of(FACT.STARTED_AT.asc(), FACT.SITE_ID.asc(), FACT.ENCOUNTER_ID.asc());

    private static final int ROWS_AT_A_TIME = 10_000;

    private static final TallyTable ASKED = TallyTable.TALLY.as("asked");
    private static final TallyTable GIVEN = TallyTable.TALLY.as("given");
    private static final TallyTable SPLIT = TallyTable.TALLY.as("split");
    private static final TallyMonthTable OF_MONTH = TallyMonthTable.TALLY_MONTH.as("of_month");
    private static final TallyTable ORDER_ONLY = TallyTable.TALLY.as("order_only");
    private static final TallyValueTable VALUE = TallyValueTable.TALLY_VALUE.as("value");
    private static final TallyValueTable START = TallyValueTable.TALLY_VALUE.as("start");

    /** The unit. */
    static final Field<Short> SITE_ID = field(name("rows", "site_id"), Short.class);

    /** First day of the month. */
    static final Field<LocalDate> MONTH = field(name("rows", "month"), LocalDate.class);

    /** Name of the question that tells rows apart; empty where none does. */
    static final Field<String> QUESTION = field(name("rows", "question"), String.class);

    /** Number of the code that was answered to it, or null. */
    static final Field<Short> CODE_NO = field(name("rows", "code_no"), Short.class);

    /** What was measured: below 0 it does not count, and -1 is not known. */
    static final Field<Short> ANSWER = field(name("rows", "answer"), Short.class);

    /** How many encounters. */
    static final Field<Integer> TIMES = field(name("rows", "times"), Integer.class);

    /** Of these, the ones whose date was made up for order only. */
    static final Field<Integer> NOMINAL = field(name("rows", "nominal"), Integer.class);

    /** The year of a block. */
    static final Field<Short> YEAR = field(name("year"), Short.class);

    /** The months of a block that have an encounter, 1 to 12 in order. */
    static final Field<Integer[]> MONTHS = field(name("months"), Integer[].class);

    /** How many encounters each of these months has. */
    static final Field<Integer[]> MONTH_TIMES = field(name("month_times"), Integer[].class);

    /** Bits of the encounters that are asked for; null where all are. */
    static final Field<byte[]> ASKED_FOR = field(name("asked_for"), byte[].class);

    /** Bits of those whose date was made up for order only; null where there are none. */
    static final Field<byte[]> MADE_UP = field(name("made_up"), byte[].class);

    /** Two bytes for each encounter: what was measured, where it has many values; else null. */
    static final Field<byte[]> VALUES = field(name("values"), byte[].class);

    /** The answers that were given, where there are few; else null. */
    static final Field<Integer[]> CODES = field(name("codes"), Integer[].class);

    /** The bits of each of them, one behind the other. */
    static final Field<byte[]> BITS_OF_CODES = field(name("bits_of_codes"), byte[].class);

    /** Eight bytes for each encounter: its start in microseconds since 1970; null where the order is not asked for. */
    static final Field<byte[]> STARTS = field(name("starts"), byte[].class);

    private Tallies() {}

    /**
     * The rows, with the columns of this class; several may be alike in all but their numbers. Of what has many values only whether
     * there is one: 0.
     *
     * @param outcome the column of what is measured
     * @param splits questions whose answers tell rows apart: every encounter is there once for each; empty for none
     */
    static Table<?> of(Measure measure, Cohort cohort, Field<Short> outcome, List<Stratum> splits) {
        Field<Short> answer = orDoesNotCount(outcome);
        return kept(cohort, outcome, splits)
                .unionAll(records(
                        cohort,
                        measure.shape() == Measure.Shape.VALUE ? least(answer, inline((short) 0)) : answer,
                        splits))
                .asTable("rows");
    }

    /**
     * From the bits: of the records behind each answer those that are in every question that is asked, month by month. The bits of an
     * answer are put together once ({@code offset 0}), not for each of its months.
     */
    private static Select<Record> kept(Cohort cohort, Field<Short> outcome, List<Stratum> splits) {
        List<Field<String>> bits = new ArrayList<>(List.of(GIVEN.RECORDS));
        Table<?> from = joinAsked(GIVEN, GIVEN.BLOCK, cohort, bits);
        if (!splits.isEmpty()) {
            from = from.join(SPLIT)
                    .on(
                            SPLIT.BLOCK.eq(GIVEN.BLOCK),
                            SPLIT.QUESTION.in(splits.stream()
                                    .map(stratum -> inline(stratum.variable()))
                                    .toList()),
                            within(cohort, SPLIT.SITE_ID, SPLIT.YEAR));
            bits.add(SPLIT.RECORDS);
        }
        Field<String> records = all(bits);
        Table<?> whole = DSL.select(List.of(
                        GIVEN.BLOCK,
                        GIVEN.SITE_ID,
                        GIVEN.ANSWER,
                        (splits.isEmpty() ? inline("") : SPLIT.QUESTION).as(QUESTION),
                        (splits.isEmpty() ? inline((Integer) null) : DSL.nullif(SPLIT.ANSWER, inline(NOT_ANSWERED)))
                                .cast(Short.class)
                                .as(CODE_NO),
                        records.as("records"),
                        both(records, ORDER_ONLY.RECORDS).as("made_up")))
                .from(joinOrderOnly(from, GIVEN.BLOCK, cohort))
                .where(
                        GIVEN.QUESTION.eq(inline(outcome.getName())),
                        within(cohort, GIVEN.SITE_ID, GIVEN.YEAR),
                        notDue(GIVEN.SITE_ID, GIVEN.YEAR))
                .offset(inline(0))
                .asTable("whole");
        Field<LocalDate> month = field("make_date({0}, {1}, 1)", LocalDate.class, OF_MONTH.YEAR, OF_MONTH.MONTH);
        Field<Integer> times = times(ofMonth(field(name("whole", "records"), String.class)));
        return DSL.select(List.of(
                        field(name("whole", GIVEN.SITE_ID.getName())),
                        month.as(MONTH),
                        field(name("whole", QUESTION.getName())),
                        field(name("whole", CODE_NO.getName())),
                        field(name("whole", GIVEN.ANSWER.getName()), Integer.class)
                                .cast(Short.class)
                                .as(ANSWER),
                        times.as(TIMES),
                        coalesce(times(ofMonth(field(name("whole", "made_up"), String.class))), inline(0))
                                .as(NOMINAL)))
                .from(whole)
                .join(OF_MONTH)
                .on(OF_MONTH.BLOCK.eq(field(name("whole", GIVEN.BLOCK.getName()), Long.class)))
                .where(
                        cohort.from() == null
                                ? noCondition()
                                : month.ge(inline(cohort.from().atDay(1))),
                        cohort.to() == null
                                ? noCondition()
                                : month.le(inline(cohort.to().atDay(1))),
                        times.gt(inline(0)));
    }

    /** Record by record. */
    private static Select<Record> records(Cohort cohort, Field<Short> answer, List<Stratum> splits) {
        RowN[] questions = splits.isEmpty()
                ? new RowN[] {DSL.row(List.of(inline(""), inline((Short) null).cast(Short.class)))}
                : splits.stream()
                        .map(stratum -> DSL.row(List.of(inline(stratum.variable()), stratum.column())))
                        .toArray(RowN[]::new);
        Table<?> split = DSL.values(questions).as("split", QUESTION.getName(), CODE_NO.getName());
        return DSL.select(List.of(
                        FACT.SITE_ID,
                        FACT.MONTH,
                        Objects.requireNonNull(split.field(QUESTION.getName())),
                        Objects.requireNonNull(split.field(CODE_NO.getName())),
                        answer.as(ANSWER),
                        inline(1).as(TIMES),
                        FACT.NOMINAL.cast(Integer.class).as(NOMINAL)))
                .from(changed())
                .crossJoin(DSL.lateral(split))
                .where(CohortTable.rows(cohort));
    }

    /**
     * Whole years of units as they are tallied, or large parts of one, in order: what every encounter answered, and which are asked
     * for. Months before and after the period are there too.
     *
     * @param values whether what is measured has many values
     * @param starts whether starts are asked for
     */
    static Select<Record> blocks(Cohort cohort, Field<Short> outcome, boolean values, boolean starts) {
        Table<?> months = DSL.select(
                        OF_MONTH.BLOCK,
                        OF_MONTH.SITE_ID,
                        OF_MONTH.YEAR,
                        arrayAgg(OF_MONTH.MONTH.cast(Integer.class))
                                .orderBy(OF_MONTH.MONTH)
                                .as(MONTHS),
                        arrayAgg(OF_MONTH.TIMES).orderBy(OF_MONTH.MONTH).as(MONTH_TIMES))
                .from(OF_MONTH)
                .where(within(cohort, OF_MONTH.SITE_ID, OF_MONTH.YEAR), notDue(OF_MONTH.SITE_ID, OF_MONTH.YEAR))
                .groupBy(OF_MONTH.BLOCK, OF_MONTH.SITE_ID, OF_MONTH.YEAR)
                .asTable("months");
        Field<Long> block = field(name("months", OF_MONTH.BLOCK.getName()), Long.class);
        List<Field<String>> bits = new ArrayList<>();
        Table<?> from = joinOrderOnly(joinAsked(months, block, cohort, bits), block, cohort);
        Table<?> given = DSL.select(
                        GIVEN.BLOCK,
                        arrayAgg(GIVEN.ANSWER).orderBy(GIVEN.ANSWER).as(CODES),
                        field(
                                        "string_agg({0}, ''::bytea order by {1})",
                                        byte[].class, sent(GIVEN.RECORDS), GIVEN.ANSWER)
                                .as(BITS_OF_CODES))
                .from(GIVEN)
                .where(GIVEN.QUESTION.eq(inline(outcome.getName())), within(cohort, GIVEN.SITE_ID, GIVEN.YEAR))
                .groupBy(GIVEN.BLOCK)
                .asTable("given");
        if (values) {
            from = from.join(VALUE).on(VALUE.BLOCK.eq(block), VALUE.QUESTION.eq(inline(outcome.getName())));
        } else {
            from = from.join(given).on(block.eq(given.field(GIVEN.BLOCK)));
        }
        if (starts) {
            from = from.join(START).on(START.BLOCK.eq(block), START.QUESTION.eq(inline(FACT.STARTED_AT.getName())));
        }
        return DSL.select(List.of(
                        field(name("months", OF_MONTH.SITE_ID.getName()), Short.class),
                        field(name("months", YEAR.getName()), Short.class),
                        field(name("months", MONTHS.getName()), Integer[].class),
                        field(name("months", MONTH_TIMES.getName()), Integer[].class),
                        (bits.isEmpty() ? inline((byte[]) null) : sent(all(bits))).as(ASKED_FOR),
                        sent(ORDER_ONLY.RECORDS).as(MADE_UP),
                        (values ? VALUE.ANSWERS : inline((byte[]) null)).as(VALUES),
                        (values ? inline((Integer[]) null) : given.field(CODES)).as(CODES),
                        (values ? inline((byte[]) null) : given.field(BITS_OF_CODES)).as(BITS_OF_CODES),
                        (starts ? START.ANSWERS : inline((byte[]) null)).as(STARTS)))
                .from(from)
                .orderBy(block);
    }

    /**
     * The records of the other years, one by one: unit, month, start, {@link #ANSWER}, and whether the date was made up.
     *
     * @param ordered whether in {@link #ORDER}
     */
    static ResultQuery<Record> changed(Cohort cohort, Field<Short> outcome, boolean ordered) {
        return DSL.select(List.of(
                        FACT.SITE_ID,
                        FACT.MONTH,
                        FACT.STARTED_AT,
                        orDoesNotCount(outcome).as(ANSWER),
                        FACT.NOMINAL))
                .from(changed())
                .where(CohortTable.rows(cohort))
                .orderBy(ordered ? ORDER : List.of())
                .fetchSize(ROWS_AT_A_TIME);
    }

    /** The fact rows of years that changed since they were tallied. */
    private static Table<?> changed() {
        Table<?> due = DSL.selectDistinct(TALLY_DUE.SITE_ID, TALLY_DUE.YEAR)
                .from(TALLY_DUE)
                .asTable("due");
        return FACT.join(due)
                .on(
                        FACT.SITE_ID.eq(due.field(TALLY_DUE.SITE_ID)),
                        FACT.MONTH.between(
                                field("make_date({0}, 1, 1)", LocalDate.class, due.field(TALLY_DUE.YEAR)),
                                field("make_date({0}, 12, 1)", LocalDate.class, due.field(TALLY_DUE.YEAR))));
    }

    /** A question, and the answers to it that are asked for as the tallies number them. */
    private record Asked(String question, Field<Integer[]> answers) {}

    private static List<Asked> asked(Cohort cohort) {
        List<Asked> asked = new ArrayList<>();
        cohort.filters().forEach((stratum, codes) -> {
            var numbers = DSL.select(CODE.NO.cast(Integer.class))
                    .from(CODE)
                    .where(CODE.VARIABLE.eq(stratum.variable()), CODE.CODE_.in(codes));
            asked.add(new Asked(
                    stratum.variable(),
                    DSL.array(
                            codes.contains(Stratum.BLANK.value())
                                    ? numbers.unionAll(DSL.select(inline(NOT_ANSWERED)))
                                    : numbers)));
        });
        if (!cohort.setups().isEmpty()) {
            asked.add(new Asked(
                    FACT.SETUP_NO.getName(),
                    DSL.array(
                            DSL.select(SETUP.SETUP_NO).from(SETUP).where(SETUP.DEVICE_SETUP_ID.in(cohort.setups())))));
        }
        return asked;
    }

    /** Units and years stand in the text, as in {@link CohortTable#rows}. */
    private static Condition within(Cohort cohort, Field<Short> site, Field<Short> year) {
        List<Condition> conditions = new ArrayList<>();
        if (!cohort.everywhere()) {
            conditions.add(
                    site.eq(DSL.any(inline(cohort.sites().stream().map(Site::no).toArray(Short[]::new)))));
        }
        if (cohort.from() != null) {
            conditions.add(year.ge(inline((short) cohort.from().getYear())));
        }
        if (cohort.to() != null) {
            conditions.add(year.le(inline((short) cohort.to().getYear())));
        }
        return DSL.and(conditions);
    }

    /**
     * Joins the bits of every question that is asked.
     *
     * @param bits is added to
     */
    private static Table<?> joinAsked(Table<?> from, Field<Long> block, Cohort cohort, List<Field<String>> bits) {
        Table<?> joined = from;
        for (Asked one : asked(cohort)) {
            Table<?> answered = DSL.select(
                            ASKED.BLOCK,
                            field("bit_or({0})", String.class, ASKED.RECORDS).as("records"))
                    .from(ASKED)
                    .where(
                            ASKED.QUESTION.eq(inline(one.question())),
                            ASKED.ANSWER.eq(DSL.any(one.answers())),
                            within(cohort, ASKED.SITE_ID, ASKED.YEAR))
                    .groupBy(ASKED.BLOCK)
                    .asTable("asked_" + one.question());
            joined = joined.join(answered).on(block.eq(answered.field(ASKED.BLOCK)));
            bits.add(answered.field("records", String.class));
        }
        return joined;
    }

    private static Table<?> joinOrderOnly(Table<?> from, Field<Long> block, Cohort cohort) {
        return from.leftJoin(ORDER_ONLY)
                .on(
                        ORDER_ONLY.BLOCK.eq(block),
                        ORDER_ONLY.QUESTION.eq(inline(FACT.NOMINAL.getName())),
                        ORDER_ONLY.ANSWER.eq(inline(1)),
                        within(cohort, ORDER_ONLY.SITE_ID, ORDER_ONLY.YEAR));
    }

    private static Condition notDue(Field<Short> site, Field<Short> year) {
        return DSL.notExists(
                DSL.selectOne().from(TALLY_DUE).where(TALLY_DUE.SITE_ID.eq(site), TALLY_DUE.YEAR.eq(year)));
    }

    private static Field<Short> orDoesNotCount(Field<Short> outcome) {
        return coalesce(outcome, inline((short) DOES_NOT_COUNT));
    }

    private static Field<String> all(List<Field<String>> bits) {
        return bits.stream().reduce(Tallies::both).orElseThrow();
    }

    private static Field<String> both(Field<String> one, Field<String> other) {
        return field("({0} & {1})", String.class, one, other);
    }

    private static Field<String> ofMonth(Field<String> records) {
        return field("substring({0} from {1} for {2})", String.class, records, OF_MONTH.FIRST, OF_MONTH.TIMES);
    }

    private static Field<Integer> times(Field<String> records) {
        return field("bit_count({0})::integer", Integer.class, records);
    }

    /** As bytes: how many bits in the first four, and the bits. */
    private static Field<byte[]> sent(Field<String> records) {
        return field("varbit_send({0})", byte[].class, records);
    }
}
