package airway.registry.charts;

import static airway.sql.generated.analysis.Tables.CODE;
import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.analysis.Tables.SETUP;
import static airway.sql.generated.analysis.Tables.TALLY_DUE;
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
import airway.sql.generated.analysis.tables.TallyTable;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.jooq.Condition;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.RowN;
import org.jooq.Select;
import org.jooq.SelectConditionStep;
import org.jooq.Table;
import org.jooq.impl.DSL;

/**
 * The encounters of a cohort, told apart by unit, month and answer. Of what has few answers they are counted from bits that are
 * kept, one for each record: an answer that is asked for is an "and". Years that changed since are read record by record in the same
 * statement, so no number is old, and the work grows with the months and hardly with the records.
 */
final class Tallies {
    /** Empty in a coded variable. */
    private static final int NOT_ANSWERED = -1;

    /** Empty in what is measured. */
    private static final int DOES_NOT_COUNT = -2;

    private static final TallyTable ASKED = TallyTable.TALLY.as("asked");
    private static final TallyTable GIVEN = TallyTable.TALLY.as("given");
    private static final TallyTable SPLIT = TallyTable.TALLY.as("split");
    private static final TallyTable OF_MONTH = TallyTable.TALLY.as("of_month");
    private static final TallyTable ORDER_ONLY = TallyTable.TALLY.as("order_only");

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

    private Tallies() {}

    /**
     * The rows, with the columns of this class; several may be alike in all but their numbers.
     *
     * @param outcome the column of what is measured
     * @param splits questions whose answers tell rows apart: every encounter is there once for each; empty for none
     */
    static Table<?> of(Measure measure, Cohort cohort, Field<Short> outcome, List<Stratum> splits) {
        Select<?> rows = switch (measure.shape()) {
            case PROPORTION, BETWEEN, RATE ->
                kept(cohort, outcome, splits).unionAll(records(changed(), cohort, outcome, splits));
            case VALUE -> records(FACT, cohort, outcome, splits);
        };
        return rows.asTable("rows");
    }

    /** From the bits: of the records behind each answer those that are in every question that is asked. */
    private static SelectConditionStep<Record> kept(Cohort cohort, Field<Short> outcome, List<Stratum> splits) {
        Table<?> from = GIVEN;
        Field<String> records = GIVEN.RECORDS;
        for (Asked one : asked(cohort)) {
            Table<?> answered = DSL.select(
                            ASKED.BLOCK,
                            field("bit_or({0})", String.class, ASKED.RECORDS).as("records"))
                    .from(ASKED)
                    .where(
                            ASKED.QUESTION.eq(inline(one.question())),
                            ASKED.ANSWER.eq(DSL.any(one.answers())),
                            within(cohort, ASKED))
                    .groupBy(ASKED.BLOCK)
                    .asTable("asked_" + one.question());
            from = from.join(answered).on(ofOneBlock(answered));
            records = both(records, answered.field("records", String.class));
        }
        if (!splits.isEmpty()) {
            from = from.join(SPLIT)
                    .on(
                            ofOneBlock(SPLIT),
                            SPLIT.QUESTION.in(splits.stream()
                                    .map(stratum -> inline(stratum.variable()))
                                    .toList()),
                            within(cohort, SPLIT));
            records = both(records, SPLIT.RECORDS);
        }
        from = from.join(OF_MONTH)
                .on(ofOneBlock(OF_MONTH), OF_MONTH.QUESTION.eq(inline(FACT.MONTH.getName())), within(cohort, OF_MONTH));
        records = both(records, OF_MONTH.RECORDS);
        from = from.leftJoin(ORDER_ONLY)
                .on(
                        ofOneBlock(ORDER_ONLY),
                        ORDER_ONLY.QUESTION.eq(inline(FACT.NOMINAL.getName())),
                        ORDER_ONLY.ANSWER.eq(inline(1)),
                        within(cohort, ORDER_ONLY));
        Field<LocalDate> month = field("make_date({0}, {1}, 1)", LocalDate.class, OF_MONTH.YEAR, OF_MONTH.ANSWER);
        return DSL.select(List.of(
                        GIVEN.SITE_ID,
                        month.as(MONTH),
                        (splits.isEmpty() ? inline("") : SPLIT.QUESTION).as(QUESTION),
                        (splits.isEmpty() ? inline((Short) null) : DSL.nullif(SPLIT.ANSWER, inline(NOT_ANSWERED)))
                                .cast(Short.class)
                                .as(CODE_NO),
                        GIVEN.ANSWER.cast(Short.class).as(ANSWER),
                        times(records).as(TIMES),
                        coalesce(times(both(records, ORDER_ONLY.RECORDS)), inline(0))
                                .as(NOMINAL)))
                .from(from)
                .where(
                        GIVEN.QUESTION.eq(inline(outcome.getName())),
                        within(cohort, GIVEN),
                        cohort.from() == null
                                ? noCondition()
                                : month.ge(inline(cohort.from().atDay(1))),
                        cohort.to() == null
                                ? noCondition()
                                : month.le(inline(cohort.to().atDay(1))),
                        times(records).gt(inline(0)),
                        DSL.notExists(DSL.selectOne()
                                .from(TALLY_DUE)
                                .where(TALLY_DUE.SITE_ID.eq(GIVEN.SITE_ID), TALLY_DUE.YEAR.eq(GIVEN.YEAR))));
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

    /** Record by record. */
    private static SelectConditionStep<Record> records(
            Table<?> facts, Cohort cohort, Field<Short> outcome, List<Stratum> splits) {
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
                        coalesce(outcome, inline((short) DOES_NOT_COUNT)).as(ANSWER),
                        inline(1).as(TIMES),
                        FACT.NOMINAL.cast(Integer.class).as(NOMINAL)))
                .from(facts)
                .crossJoin(DSL.lateral(split))
                .where(CohortTable.rows(cohort));
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
    private static Condition within(Cohort cohort, TallyTable tally) {
        List<Condition> conditions = new ArrayList<>();
        if (!cohort.everywhere()) {
            conditions.add(tally.SITE_ID.eq(
                    DSL.any(inline(cohort.sites().stream().map(Site::no).toArray(Short[]::new)))));
        }
        if (cohort.from() != null) {
            conditions.add(tally.YEAR.ge(inline((short) cohort.from().getYear())));
        }
        if (cohort.to() != null) {
            conditions.add(tally.YEAR.le(inline((short) cohort.to().getYear())));
        }
        return DSL.and(conditions);
    }

    private static Condition ofOneBlock(Table<?> other) {
        return GIVEN.BLOCK.eq(other.field(GIVEN.BLOCK));
    }

    private static Field<String> both(Field<String> one, Field<String> other) {
        return field("({0} & {1})", String.class, one, other);
    }

    private static Field<Integer> times(Field<String> records) {
        return field("bit_count({0})::integer", Integer.class, records);
    }
}
