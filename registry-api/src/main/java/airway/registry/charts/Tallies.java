package airway.registry.charts;

import static airway.sql.generated.analysis.Tables.CODE;
import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.analysis.Tables.SETUP;
import static airway.sql.generated.analysis.Tables.TALLY_DUE;
import static org.jooq.impl.DSL.arrayAgg;
import static org.jooq.impl.DSL.coalesce;
import static org.jooq.impl.DSL.count;
import static org.jooq.impl.DSL.field;
import static org.jooq.impl.DSL.greatest;
import static org.jooq.impl.DSL.inline;
import static org.jooq.impl.DSL.lateral;
import static org.jooq.impl.DSL.name;
import static org.jooq.impl.DSL.noCondition;
import static org.jooq.impl.DSL.sum;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortTable;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.sql.generated.analysis.tables.TallyBlockTable;
import airway.sql.generated.analysis.tables.TallyCountTable;
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
import org.jooq.Record10;
import org.jooq.ResultQuery;
import org.jooq.RowN;
import org.jooq.Select;
import org.jooq.SelectJoinStep;
import org.jooq.SelectLimitStep;
import org.jooq.SortField;
import org.jooq.Table;
import org.jooq.impl.DSL;

/**
 * The encounters of a cohort, counted by unit and month, from bits that are kept, one for each record: an answer that is
 * asked for is an "and". Years that changed since are read record by record in the same statement, so no number is old, and the
 * work grows with the months and hardly with the records. For {@link Blocks} the same in whole years of units, in order.
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

    private static final Field<Integer> START_OF_RECORD = field(
            "(extract(epoch from {0}) - {1})::integer",
            Integer.class, FACT.STARTED_AT, inline(Blocks.BEGINNING.getEpochSecond()));

    private static final TallyTable ASKED = TallyTable.TALLY.as("asked");
    private static final TallyTable GIVEN = TallyTable.TALLY.as("given");
    private static final TallyTable SPLIT = TallyTable.TALLY.as("split");
    private static final TallyTable ORDER_ONLY = TallyTable.TALLY.as("order_only");
    private static final TallyCountTable COUNTED = TallyCountTable.TALLY_COUNT.as("counted");
    private static final TallyCountTable MADE_UP_COUNTED = TallyCountTable.TALLY_COUNT.as("made_up_counted");
    private static final TallyValueTable VALUE = TallyValueTable.TALLY_VALUE.as("value");
    private static final TallyValueTable START = TallyValueTable.TALLY_VALUE.as("start");

    /** Whole years of units as they are tallied, or large parts of one. */
    private static final TallyBlockTable BLOCKS = TallyBlockTable.TALLY_BLOCK.as("blocks");

    /** The unit. */
    static final Field<Short> SITE_ID = field(name("rows", "site_id"), Short.class);

    /** Number of the month, for {@link Blocks#month}. */
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

    private static final Field<Integer> OF_MONTH = field(name("of_month", "month"), Integer.class);
    private static final Field<Integer> PLACE = field(name("of_month", "place"), Integer.class);
    private static final Field<Integer> FIRST = field(name("of_month", "first"), Integer.class);
    private static final Field<Integer> TIMES = field(name("of_month", "times"), Integer.class);

    private static final Field<Short> DUE_UNIT = field(name("due", "site_id"), Short.class);
    private static final Field<LocalDate> DUE_FROM = field(name("due", "from_month"), LocalDate.class);
    private static final Field<LocalDate> DUE_TO = field(name("due", "to_month"), LocalDate.class);

    /** So many times is each encounter counted that gave an answer. */
    private static final Field<Integer> WEIGHT = field(name("weight"), Integer.class);

    private Tallies() {}

    /**
     * The rows, with the columns of this class; several may be alike in all but their numbers.
     *
     * @param outcome the column of what is measured
     * @param splits questions whose answers tell rows apart: every encounter is there once for each; empty for none
     */
    static Table<?> of(Measure measure, Cohort cohort, Field<Short> outcome, List<Stratum> splits) {
        boolean counted = measure.shape() != Measure.Shape.VALUE
                && cohort.setups().isEmpty()
                && cohort.filters().size() + (splits.isEmpty() ? 0 : 1) <= 1;
        Condition ofBits = counted ? tallied(cohort).and(BLOCKS.COUNTED.isFalse()) : tallied(cohort);
        Select<Record> rows = months(cohort, each(cohort, outcome, splits, ofBits));
        if (measure.shape() == Measure.Shape.RATE) {
            rows = rows.unionAll(months(cohort, several(cohort, outcome, splits, ofBits)));
        }
        if (counted) {
            rows = rows.unionAll(counts(cohort, outcome, splits));
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
        Table<?> join(Table<?> from, TallyTable given, Field<Short> outcome, Cohort cohort) {
            return from.leftJoin(given)
                    .on(
                            given.BLOCK.eq(BLOCKS.BLOCK),
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
     * @param labels months of the block, question and code of what tells rows apart
     * @param bits one for each question
     */
    private record Needed(Table<?> blocks, List<Field<?>> labels, List<Field<String>> bits) {
        static Needed of(Cohort cohort, List<Stratum> splits) {
            List<Field<String>> bits = new ArrayList<>();
            Table<?> from = joinAsked(cohort, bits);
            if (!splits.isEmpty()) {
                from = from.join(SPLIT)
                        .on(
                                SPLIT.BLOCK.eq(BLOCKS.BLOCK),
                                SPLIT.QUESTION.in(names(splits)),
                                within(cohort, SPLIT.SITE_ID, SPLIT.YEAR));
                bits.add(SPLIT.RECORDS);
            }
            return new Needed(
                    from,
                    List.of(
                            BLOCKS.SITE_ID,
                            BLOCKS.YEAR,
                            BLOCKS.MONTHS,
                            BLOCKS.FIRSTS,
                            BLOCKS.TIMES,
                            question(splits, SPLIT.QUESTION),
                            code(splits, SPLIT.ANSWER)),
                    bits);
        }

        Field<String> all(Field<String> records) {
            return bits.stream().reduce(records, Tallies::both);
        }
    }

    /** Those who gave each answer that counts once or not at all, side by side. */
    private static Select<Record> each(Cohort cohort, Field<Short> outcome, List<Stratum> splits, Condition blocks) {
        Needed needed = Needed.of(cohort, splits);
        Table<?> from = needed.blocks();
        List<Field<?>> columns = new ArrayList<>(needed.labels());
        columns.add(inline(1).as(WEIGHT));
        for (Part part : Part.values()) {
            TallyTable given = TallyTable.TALLY.as(part.title());
            from = part.join(from, given, outcome, cohort);
            columns.add(needed.all(given.RECORDS).as(part.title()));
        }
        return DSL.select(columns).from(from).where(blocks).offset(inline(0));
    }

    /** Those who gave an answer that counts several times, each by itself. */
    private static Select<Record> several(Cohort cohort, Field<Short> outcome, List<Stratum> splits, Condition blocks) {
        Needed needed = Needed.of(cohort, splits);
        List<Field<?>> columns = new ArrayList<>(needed.labels());
        columns.add(GIVEN.ANSWER.as(WEIGHT));
        EnumSet.allOf(Part.class)
                .forEach(part -> columns.add((part == Part.ONCE ? needed.all(GIVEN.RECORDS) : NONE).as(part.title())));
        return DSL.select(columns)
                .from(needed.blocks()
                        .join(GIVEN)
                        .on(
                                GIVEN.BLOCK.eq(BLOCKS.BLOCK),
                                GIVEN.QUESTION.eq(inline(outcome.getName())),
                                GIVEN.ANSWER.gt(inline(1)),
                                within(cohort, GIVEN.SITE_ID, GIVEN.YEAR)))
                .where(blocks)
                .offset(inline(0));
    }

    /**
     * Bits, counted month by month. Those of a block are put together once ({@code offset 0}), not for each of its months, and each
     * month is cut out once, not for each number that is made of it.
     */
    private static Select<Record> months(Cohort cohort, Select<Record> bits) {
        Field<Integer> month = number(of("asked_for", BLOCKS.YEAR).cast(Integer.class), OF_MONTH);
        List<Field<?>> counted = new ArrayList<>(List.of(
                of("asked_for", BLOCKS.SITE_ID),
                month.as(MONTH),
                of("asked_for", QUESTION),
                of("asked_for", CODE_NO),
                of("asked_for", WEIGHT)));
        EnumSet.allOf(Part.class)
                .forEach(part -> counted.add(timesOfMonth(part.bits()).as(part.title())));
        Table<?> each = DSL.table(
                        "unnest({0}, {1}, {2})",
                        of("asked_for", BLOCKS.MONTHS), of("asked_for", BLOCKS.FIRSTS), of("asked_for", BLOCKS.TIMES))
                .as("of_month", OF_MONTH.getName(), FIRST.getName(), TIMES.getName());
        Table<?> months = DSL.select(counted)
                .from(bits.asTable("asked_for"))
                .crossJoin(lateral(each))
                .where(inPeriod(cohort, month))
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

    /** Blocks that are large: how many gave an answer to what is asked is kept by month, one question with each measure. */
    private static Select<Record> counts(Cohort cohort, Field<Short> outcome, List<Stratum> splits) {
        Table<?> each = DSL.table("unnest({0}) with ordinality", BLOCKS.MONTHS)
                .as("of_month", OF_MONTH.getName(), PLACE.getName());
        Field<Integer> month = number(BLOCKS.YEAR.cast(Integer.class), OF_MONTH);
        Condition asked = splits.isEmpty()
                ? asked(cohort).stream()
                        .findFirst()
                        .map(one -> COUNTED.QUESTION
                                .eq(inline(one.question()))
                                .and(COUNTED.ANSWER.eq(DSL.any(one.answers()))))
                        .orElse(COUNTED.QUESTION.eq(inline("")))
                : COUNTED.QUESTION.in(names(splits));
        return DSL.select(List.of(
                        BLOCKS.SITE_ID,
                        month.as(MONTH),
                        question(splits, COUNTED.QUESTION),
                        code(splits, COUNTED.ANSWER),
                        kept(COUNTED, 1).as(X),
                        kept(COUNTED, 2).as(N),
                        kept(COUNTED, 3).as(LEFT_OUT),
                        kept(COUNTED, 4).as(UNKNOWN),
                        coalesce(kept(MADE_UP_COUNTED, 1), inline(0)).as(NOMINAL)))
                .from(BLOCKS)
                .join(COUNTED)
                .on(
                        COUNTED.BLOCK.eq(BLOCKS.BLOCK),
                        COUNTED.MEASURED.eq(inline(outcome.getName())),
                        asked,
                        within(cohort, COUNTED.SITE_ID, COUNTED.YEAR))
                .leftJoin(MADE_UP_COUNTED)
                .on(
                        MADE_UP_COUNTED.BLOCK.eq(COUNTED.BLOCK),
                        MADE_UP_COUNTED.MEASURED.eq(inline(FACT.NOMINAL.getName())),
                        MADE_UP_COUNTED.QUESTION.eq(COUNTED.QUESTION),
                        MADE_UP_COUNTED.ANSWER.eq(COUNTED.ANSWER),
                        within(cohort, MADE_UP_COUNTED.SITE_ID, MADE_UP_COUNTED.YEAR))
                .crossJoin(lateral(each))
                .where(tallied(cohort).and(BLOCKS.COUNTED.isTrue()), inPeriod(cohort, month));
    }

    private static List<Field<String>> names(List<Stratum> splits) {
        return splits.stream()
                .<Field<String>>map(stratum -> inline(stratum.variable()))
                .toList();
    }

    private static Field<String> question(List<Stratum> splits, Field<String> told) {
        return (splits.isEmpty() ? inline("") : told).as(QUESTION);
    }

    private static Field<Short> code(List<Stratum> splits, Field<Integer> answer) {
        return (splits.isEmpty() ? inline((Integer) null) : DSL.nullif(answer, inline(NOT_ANSWERED)))
                .cast(Short.class)
                .as(CODE_NO);
    }

    private static Field<Integer> kept(TallyCountTable counted, int number) {
        return field("{0}[{1}][{2}]", Integer.class, counted.NUMBERS, PLACE, inline(number));
    }

    /** Records of years that changed, counted in the same way. */
    private static Select<Record> records(Measure measure, Cohort cohort, Field<Short> outcome, List<Stratum> splits) {
        Field<Short> answer = orDoesNotCount(outcome);
        RowN[] questions = splits.isEmpty()
                ? new RowN[] {DSL.row(List.of(inline(""), inline((Short) null).cast(Short.class)))}
                : splits.stream()
                        .map(stratum -> DSL.row(List.of(inline(stratum.variable()), stratum.column())))
                        .toArray(RowN[]::new);
        Table<?> split = DSL.values(questions).as("split", QUESTION.getName(), CODE_NO.getName());
        Field<?> question = Objects.requireNonNull(split.field(QUESTION.getName()));
        Field<?> code = Objects.requireNonNull(split.field(CODE_NO.getName()));
        return ofEachYear(DSL.select(List.of(
                        FACT.SITE_ID,
                        number(part(DatePart.YEAR), part(DatePart.MONTH)).as(MONTH),
                        question,
                        code,
                        (measure.shape() == Measure.Shape.VALUE ? inline(0) : sum(greatest(answer, inline((short) 0))))
                                .cast(Integer.class)
                                .as(X),
                        times(answer.ge(inline((short) 0))).as(N),
                        times(answer.lt(inline((short) 0))).as(LEFT_OUT),
                        times(answer.eq(inline((short) NOT_KNOWN))).as(UNKNOWN),
                        times(DSL.condition(FACT.NOMINAL)).as(NOMINAL)))
                .from(FACT)
                .crossJoin(lateral(split))
                .where(ofYearThatChanged(), CohortTable.rows(cohort))
                .groupBy(FACT.SITE_ID, FACT.MONTH, question, code));
    }

    private static Field<Integer> part(DatePart ofMonth) {
        return DSL.extract(FACT.MONTH, ofMonth).cast(Integer.class);
    }

    /**
     * Whole years of units as they are tallied, or large parts of one, in order: what every encounter answered, and which are asked
     * for, in the columns of which a {@link Block} is made. Months before and after the period are there too.
     *
     * @param cohort those that are asked for
     * @param outcome the column of what is measured
     * @param values whether what is measured has many values
     * @param starts whether starts are asked for
     */
    static Select<Record10<Short, Short, Integer[], Integer[], byte[], byte[], byte[], Integer[], byte[], byte[]>>
            blocks(Cohort cohort, Field<Short> outcome, boolean values, boolean starts) {
        List<Field<String>> bits = new ArrayList<>();
        Table<?> from = Part.MADE_UP.join(joinAsked(cohort, bits), ORDER_ONLY, outcome, cohort);
        Field<Integer[]> codes = arrayAgg(GIVEN.ANSWER).orderBy(GIVEN.ANSWER).as("codes");
        Field<byte[]> bitsOfCodes = field(
                        "string_agg({0}, ''::bytea order by {1})", byte[].class, sent(GIVEN.RECORDS), GIVEN.ANSWER)
                .as("bits_of_codes");
        Table<?> given = DSL.select(GIVEN.BLOCK, codes, bitsOfCodes)
                .from(GIVEN)
                .where(GIVEN.QUESTION.eq(inline(outcome.getName())), within(cohort, GIVEN.SITE_ID, GIVEN.YEAR))
                .groupBy(GIVEN.BLOCK)
                .asTable("given");
        if (values) {
            from = from.join(VALUE).on(VALUE.BLOCK.eq(BLOCKS.BLOCK), VALUE.QUESTION.eq(inline(outcome.getName())));
        } else {
            from = from.join(given).on(BLOCKS.BLOCK.eq(given.field(GIVEN.BLOCK)));
        }
        if (starts) {
            from = from.join(START)
                    .on(START.BLOCK.eq(BLOCKS.BLOCK), START.QUESTION.eq(inline(FACT.STARTED_AT.getName())));
        }
        Field<byte[]> none = inline((byte[]) null);
        return DSL.select(
                        BLOCKS.SITE_ID,
                        BLOCKS.YEAR,
                        BLOCKS.MONTHS,
                        BLOCKS.TIMES,
                        bits.isEmpty() ? none : sent(all(bits)),
                        sent(ORDER_ONLY.RECORDS),
                        values ? VALUE.ANSWERS : none,
                        values ? inline((Integer[]) null) : given.field(codes),
                        values ? none : given.field(bitsOfCodes),
                        starts ? START.ANSWERS : none)
                .from(from)
                .where(tallied(cohort))
                .orderBy(BLOCKS.BLOCK);
    }

    /**
     * The same of the other years, with those only that are asked for, and with what was measured of each.
     *
     * @param cohort those that are asked for
     * @param outcome the column of what is measured
     * @param starts whether starts are asked for
     */
    static ResultQuery<Record10<Short, Short, Integer[], Integer[], byte[], byte[], byte[], Integer[], byte[], byte[]>>
            changed(Cohort cohort, Field<Short> outcome, boolean starts) {
        Field<byte[]> none = inline((byte[]) null);
        return ofEachYear(DSL.select(List.of(
                                FACT.SITE_ID,
                                DSL.max(part(DatePart.YEAR)).as("year"),
                                arrayAgg(part(DatePart.MONTH))
                                        .orderBy(FACT.STARTED_AT, FACT.ENCOUNTER_ID)
                                        .as("months"),
                                arrayAgg(inline(1)).as("times"),
                                none.as("asked_for"),
                                field(
                                                "varbit_send({0}::varbit)",
                                                byte[].class, inOrder("{0}::integer::text", FACT.NOMINAL))
                                        .as("made_up"),
                                inOrder("int2send({0}::smallint)", orDoesNotCount(outcome))
                                        .as("values"),
                                inline((Integer[]) null).as("codes"),
                                none.as("bits_of_codes"),
                                (starts ? inOrder("int4send({0})", START_OF_RECORD) : none).as("starts")))
                        .from(FACT)
                        .where(ofYearThatChanged(), CohortTable.rows(cohort))
                        .groupBy(FACT.SITE_ID))
                .coerce(
                        BLOCKS.SITE_ID,
                        BLOCKS.YEAR,
                        BLOCKS.MONTHS,
                        BLOCKS.TIMES,
                        none,
                        none,
                        none,
                        BLOCKS.MONTHS,
                        none,
                        none);
    }

    private static Field<byte[]> inOrder(String sent, Field<?> ofEach) {
        return field(
                "string_agg(" + sent + ", '' order by {1}, {2})",
                byte[].class,
                ofEach,
                FACT.STARTED_AT,
                FACT.ENCOUNTER_ID);
    }

    private static Condition ofYearThatChanged() {
        return FACT.SITE_ID.eq(DUE_UNIT).and(FACT.MONTH.between(DUE_FROM, DUE_TO));
    }

    /**
     * What is selected of each year that changed since it was tallied. Each is looked up by itself ({@code offset 0}), its months
     * named beside it: there are few, and joined in one the planner read all fact rows for them.
     */
    private static SelectJoinStep<Record> ofEachYear(SelectLimitStep<Record> ofYear) {
        Table<?> changed = ofYear.offset(inline(0)).asTable("changed");
        Table<?> due = DSL.selectDistinct(
                        TALLY_DUE.SITE_ID.as(DUE_UNIT),
                        field("make_date({0}, 1, 1)", LocalDate.class, TALLY_DUE.YEAR)
                                .as(DUE_FROM),
                        field("make_date({0}, 12, 1)", LocalDate.class, TALLY_DUE.YEAR)
                                .as(DUE_TO))
                .from(TALLY_DUE)
                .asTable("due");
        return DSL.select(List.of(changed.fields())).from(due).crossJoin(lateral(changed));
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

    private static Condition inPeriod(Cohort cohort, Field<Integer> month) {
        return DSL.and(
                cohort.from() == null ? noCondition() : month.ge(inline(Blocks.number(cohort.from()))),
                cohort.to() == null ? noCondition() : month.le(inline(Blocks.number(cohort.to()))));
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
     * Blocks, and the bits of every question that is asked.
     *
     * @param bits is added to
     */
    private static Table<?> joinAsked(Cohort cohort, List<Field<String>> bits) {
        Table<?> joined = BLOCKS;
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
            joined = joined.join(answered).on(BLOCKS.BLOCK.eq(answered.field(ASKED.BLOCK)));
            bits.add(answered.field("records", String.class));
        }
        return joined;
    }

    /** Blocks of years that did not change since. */
    private static Condition tallied(Cohort cohort) {
        return within(cohort, BLOCKS.SITE_ID, BLOCKS.YEAR)
                .andNotExists(DSL.selectOne()
                        .from(TALLY_DUE)
                        .where(TALLY_DUE.SITE_ID.eq(BLOCKS.SITE_ID), TALLY_DUE.YEAR.eq(BLOCKS.YEAR)));
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
                Integer.class, records, FIRST, TIMES);
    }

    private static Field<Integer> number(Field<Integer> year, Field<Integer> month) {
        return year.times(inline(Blocks.MONTHS)).plus(month).minus(inline(1));
    }

    private static Field<Integer> times(Condition which) {
        return count().filterWhere(which);
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
