package airway.registry.charts;

import static airway.sql.generated.analysis.Tables.CODE;
import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.analysis.Tables.SETUP;
import static airway.sql.generated.analysis.Tables.TALLY_DUE;
import static org.jooq.impl.DSL.arrayAgg;
import static org.jooq.impl.DSL.coalesce;
import static org.jooq.impl.DSL.field;
import static org.jooq.impl.DSL.inline;
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
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import org.jooq.Condition;
import org.jooq.DatePart;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.ResultQuery;
import org.jooq.RowN;
import org.jooq.Select;
import org.jooq.SortField;
import org.jooq.Table;
import org.jooq.impl.DSL;

/**
 * The encounters of a cohort, counted by unit and month, from bits that are kept, one for each record: an answer that is
 * asked for is an "and". Years that changed since are read record by record in the same statement, so no number is old, and the
 * work grows with the months and hardly with the records. For {@link Walk} the same in whole years, to go along record by record.
 */
final class Tallies {
    /** Empty in a coded variable. */
    private static final int NOT_ANSWERED = -1;

    /** Empty in what is measured. */
    private static final int DOES_NOT_COUNT = -2;

    /** Not known in what is measured. */
    private static final int NOT_KNOWN = -1;

    /** The order of encounters: by their start, and those of one moment by their keys. */
    static final List<SortField<?>> ORDER = List.of(FACT.STARTED_AT.asc(), FACT.SITE_ID.asc(), FACT.ENCOUNTER_ID.asc());

    private static final Field<String> NONE = field("null::bit varying", String.class);

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

    /** Number of the month, for {@link Walk#month}. */
    static final Field<Integer> MONTH = field(name("rows", "month"), Integer.class);

    /** Name of the question that tells rows apart; empty where none does. */
    static final Field<String> QUESTION = field(name("rows", "question"), String.class);

    /** Number of the code that was answered to it, or null. */
    static final Field<Short> CODE_NO = field(name("rows", "code_no"), Short.class);

    /** What was measured, summed up over those that count; of what has many values 0. */
    static final Field<Integer> X = field(name("rows", "x"), Integer.class);

    /** How many encounters count. */
    static final Field<Integer> N = field(name("rows", "n"), Integer.class);

    /** How many do not. */
    static final Field<Integer> LEFT_OUT = field(name("rows", "left_out"), Integer.class);

    /** Of these, the ones of which it is not known what was measured. */
    static final Field<Integer> UNKNOWN = field(name("rows", "unknown"), Integer.class);

    /** Of all of them, the ones whose date was made up for order only. */
    static final Field<Integer> NOMINAL = field(name("rows", "nominal"), Integer.class);

    /** So many times is each encounter counted that gave an answer. */
    private static final Field<Integer> WEIGHT = field(name("weight"), Integer.class);

    /** Of a record by itself what was measured: below 0 it does not count, and -1 is not known. */
    static final Field<Short> ANSWER = field(name("answer"), Short.class);

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

    /** Four bytes for each encounter: its start in seconds since 2000; null where the order is not asked for. */
    static final Field<byte[]> STARTS = field(name("starts"), byte[].class);

    private Tallies() {}

    /**
     * The rows, with the columns of this class; several may be alike in all but their numbers.
     *
     * @param outcome the column of what is measured
     * @param splits questions whose answers tell rows apart: every encounter is there once for each; empty for none
     */
    static Table<?> of(Measure measure, Cohort cohort, Field<Short> outcome, List<Stratum> splits) {
        Select<Record> rows = months(cohort, each(cohort, outcome, splits));
        if (measure.shape() == Measure.Shape.RATE) {
            rows = rows.unionAll(months(cohort, several(cohort, outcome, splits)));
        }
        return rows.unionAll(records(measure, cohort, outcome, splits)).asTable("rows");
    }

    /** Bits of a block: the encounters that gave an answer. */
    private enum Part {
        ONCE(1),
        NEVER(0),
        NOT_KNOWN(Tallies.NOT_KNOWN),
        NOT_COUNTED(DOES_NOT_COUNT),
        MADE_UP(1);

        private final int answer;

        Part(int answer) {
            this.answer = answer;
        }

        /** Joins the bits where there are any. */
        Table<?> join(Table<?> from, TallyTable given, Field<Long> block, Field<Short> outcome, Cohort cohort) {
            return from.leftJoin(given)
                    .on(
                            given.BLOCK.eq(block),
                            given.QUESTION.eq(inline((this == MADE_UP ? FACT.NOMINAL : outcome).getName())),
                            given.ANSWER.eq(inline(answer)),
                            within(cohort, given.SITE_ID, given.YEAR));
        }

        String title() {
            return name().toLowerCase(Locale.ROOT);
        }

        Field<String> bits() {
            return field(DSL.name("asked_for", title()), String.class);
        }

        Field<Integer> times() {
            return field(DSL.name("months", title()), Integer.class);
        }
    }

    /**
     * Blocks, and the bits of those who are in every question that is asked.
     *
     * @param labels block, question and code of what tells rows apart
     * @param bits one for each question
     */
    private record Needed(Table<?> blocks, Field<Long> block, List<Field<?>> labels, List<Field<String>> bits) {
        static Needed of(Cohort cohort, List<Stratum> splits) {
            Table<?> blocks = DSL.selectDistinct(OF_MONTH.BLOCK)
                    .from(OF_MONTH)
                    .where(within(cohort, OF_MONTH.SITE_ID, OF_MONTH.YEAR), notDue(OF_MONTH.SITE_ID, OF_MONTH.YEAR))
                    .asTable("blocks");
            Field<Long> block = Tallies.of("blocks", OF_MONTH.BLOCK);
            List<Field<String>> bits = new ArrayList<>();
            Table<?> from = joinAsked(blocks, block, cohort, bits);
            Field<String> question = inline("");
            Field<Integer> code = inline((Integer) null);
            if (!splits.isEmpty()) {
                from = from.join(SPLIT)
                        .on(
                                SPLIT.BLOCK.eq(block),
                                SPLIT.QUESTION.in(splits.stream()
                                        .map(stratum -> inline(stratum.variable()))
                                        .toList()),
                                within(cohort, SPLIT.SITE_ID, SPLIT.YEAR));
                bits.add(SPLIT.RECORDS);
                question = SPLIT.QUESTION;
                code = DSL.nullif(SPLIT.ANSWER, inline(NOT_ANSWERED));
            }
            return new Needed(
                    from,
                    block,
                    List.of(block, question.as(QUESTION), code.cast(Short.class).as(CODE_NO)),
                    bits);
        }

        Field<String> all(Field<String> records) {
            return bits.stream().reduce(records, Tallies::both);
        }
    }

    /** Those who gave each answer that counts once or not at all, side by side. */
    private static Select<Record> each(Cohort cohort, Field<Short> outcome, List<Stratum> splits) {
        Needed needed = Needed.of(cohort, splits);
        Table<?> from = needed.blocks();
        List<Field<?>> columns = new ArrayList<>(needed.labels());
        columns.add(inline(1).as(WEIGHT));
        for (Part part : Part.values()) {
            TallyTable given = TallyTable.TALLY.as(part.title());
            from = part.join(from, given, needed.block(), outcome, cohort);
            columns.add(needed.all(given.RECORDS).as(part.title()));
        }
        return DSL.select(columns).from(from).offset(inline(0));
    }

    /** Those who gave an answer that counts several times, each by itself. */
    private static Select<Record> several(Cohort cohort, Field<Short> outcome, List<Stratum> splits) {
        Needed needed = Needed.of(cohort, splits);
        List<Field<?>> columns = new ArrayList<>(needed.labels());
        columns.add(GIVEN.ANSWER.as(WEIGHT));
        EnumSet.allOf(Part.class)
                .forEach(part -> columns.add((part == Part.ONCE ? needed.all(GIVEN.RECORDS) : NONE).as(part.title())));
        return DSL.select(columns)
                .from(needed.blocks()
                        .join(GIVEN)
                        .on(
                                GIVEN.BLOCK.eq(needed.block()),
                                GIVEN.QUESTION.eq(inline(outcome.getName())),
                                GIVEN.ANSWER.gt(inline(1)),
                                within(cohort, GIVEN.SITE_ID, GIVEN.YEAR)))
                .offset(inline(0));
    }

    /**
     * Bits, counted month by month. Those of a block are put together once ({@code offset 0}), not for each of its months, and each
     * month is cut out once, not for each number that is made of it.
     */
    private static Select<Record> months(Cohort cohort, Select<Record> bits) {
        Field<Integer> month = number(OF_MONTH.YEAR.cast(Integer.class), OF_MONTH.MONTH.cast(Integer.class));
        List<Field<?>> counted = new ArrayList<>(List.of(
                OF_MONTH.SITE_ID,
                month.as(MONTH),
                of("asked_for", QUESTION),
                of("asked_for", CODE_NO),
                of("asked_for", WEIGHT)));
        EnumSet.allOf(Part.class)
                .forEach(part -> counted.add(timesOfMonth(part.bits()).as(part.title())));
        Table<?> months = DSL.select(counted)
                .from(bits.asTable("asked_for"))
                .join(OF_MONTH)
                .on(OF_MONTH.BLOCK.eq(of("asked_for", OF_MONTH.BLOCK)))
                .where(
                        cohort.from() == null ? noCondition() : month.ge(inline(Walk.number(cohort.from()))),
                        cohort.to() == null ? noCondition() : month.le(inline(Walk.number(cohort.to()))))
                .offset(inline(0))
                .asTable("months");
        Field<Integer> n = Part.ONCE.times().plus(Part.NEVER.times());
        Field<Integer> leftOut = Part.NOT_KNOWN.times().plus(Part.NOT_COUNTED.times());
        return DSL.select(List.of(
                        of("months", SITE_ID),
                        of("months", MONTH),
                        of("months", QUESTION),
                        of("months", CODE_NO),
                        of("months", WEIGHT).times(Part.ONCE.times()).as(X),
                        n.as(N),
                        leftOut.as(LEFT_OUT),
                        Part.NOT_KNOWN.times().as(UNKNOWN),
                        Part.MADE_UP.times().as(NOMINAL)))
                .from(months)
                .where(n.plus(leftOut).plus(Part.MADE_UP.times()).gt(inline(0)));
    }

    /** Record by record. */
    private static Select<Record> records(Measure measure, Cohort cohort, Field<Short> outcome, List<Stratum> splits) {
        Field<Short> answer = orDoesNotCount(outcome);
        RowN[] questions = splits.isEmpty()
                ? new RowN[] {DSL.row(List.of(inline(""), inline((Short) null).cast(Short.class)))}
                : splits.stream()
                        .map(stratum -> DSL.row(List.of(inline(stratum.variable()), stratum.column())))
                        .toArray(RowN[]::new);
        Table<?> split = DSL.values(questions).as("split", QUESTION.getName(), CODE_NO.getName());
        return DSL.select(List.of(
                        FACT.SITE_ID,
                        number(DSL.extract(FACT.MONTH, DatePart.YEAR), DSL.extract(FACT.MONTH, DatePart.MONTH))
                                .as(MONTH),
                        Objects.requireNonNull(split.field(QUESTION.getName())),
                        Objects.requireNonNull(split.field(CODE_NO.getName())),
                        measure.shape() == Measure.Shape.VALUE
                                ? inline(0).as(X)
                                : DSL.greatest(answer, inline((short) 0))
                                        .cast(Integer.class)
                                        .as(X),
                        one(answer.ge(inline((short) 0))).as(N),
                        one(answer.lt(inline((short) 0))).as(LEFT_OUT),
                        one(answer.eq(inline((short) NOT_KNOWN))).as(UNKNOWN),
                        one(DSL.condition(FACT.NOMINAL)).as(NOMINAL)))
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
        Table<?> from = Part.MADE_UP.join(joinAsked(months, block, cohort, bits), ORDER_ONLY, block, outcome, cohort);
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

    private static Field<Integer> timesOfMonth(Field<String> records) {
        return field(
                "coalesce(bit_count(substring({0} from {1} for {2}))::integer, 0)",
                Integer.class, records, OF_MONTH.FIRST, OF_MONTH.TIMES);
    }

    private static Field<Integer> number(Field<Integer> year, Field<Integer> month) {
        return year.times(inline(Walk.MONTHS)).plus(month).minus(inline(1));
    }

    private static Field<Integer> one(Condition which) {
        return DSL.field(which).cast(Integer.class);
    }

    /** A column where a select is named. */
    private static <T> Field<T> of(String select, Field<T> column) {
        return field(name(select, column.getName()), column.getType());
    }

    /** As bytes: how many bits in the first four, and the bits. */
    private static Field<byte[]> sent(Field<String> records) {
        return field("varbit_send({0})", byte[].class, records);
    }
}
