package airway.registry.charts;

import static airway.sql.generated.analysis.Tables.CODE;
import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.analysis.Tables.TALLY;
import static airway.sql.generated.analysis.Tables.TALLY_DUE;
import static org.jooq.impl.DSL.count;
import static org.jooq.impl.DSL.field;
import static org.jooq.impl.DSL.inline;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortTable;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.jooq.Condition;
import org.jooq.Field;
import org.jooq.Table;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/**
 * Counts of a cohort by unit and month, read from where they are kept; months that changed since they were tallied are counted from
 * their fact rows in the same statement. So no number is old, and the work grows with the months and not with the records.
 */
final class Tallies {
    private static final short NOT_ANSWERED = -1;

    private Tallies() {}

    /** Whether a cohort can be counted so: it asks for the answer to one question at most. */
    static boolean serve(Measure measure, Cohort cohort) {
        return switch (measure.shape()) {
            case PROPORTION, BETWEEN ->
                cohort.setups().isEmpty() && cohort.filters().size() <= 1;
            case RATE, VALUE -> false;
        };
    }

    /** The question that a cohort asks for, or null. */
    static @Nullable Stratum question(Cohort cohort) {
        return cohort.filters().keySet().stream().findFirst().orElse(null);
    }

    /**
     * The counts: columns {@code site_id}, {@code month}, {@code answer} (the number of the code, or null), {@code x}, {@code n}, {@code left_out},
     * {@code unknown} and {@code nominal}; several rows may have the same unit, month and answer.
     *
     * @param outcome the answer that is counted
     * @param question tells the answers apart; that of the cohort where it asks for one
     */
    static Table<?> of(Cohort cohort, Field<Short> outcome, @Nullable Stratum question) {
        Field<Long> packed = Objects.requireNonNull(TALLY.field(outcome.getName(), Long.class));
        Field<Long> n = field("({0} >> 21) & 2097151", Long.class, packed);
        Field<Short> none = inline((Short) null).cast(Short.class);
        var kept = DSL.select(
                        TALLY.SITE_ID.as("site_id"),
                        TALLY.MONTH.as("month"),
                        DSL.nullif(TALLY.ANSWER, inline(NOT_ANSWERED)).as("answer"),
                        field("{0} & 2097151", Long.class, packed).as("x"),
                        n.as("n"),
                        TALLY.RECORDS.minus(n).cast(Long.class).as("left_out"),
                        field("{0} >> 42", Long.class, packed).as("unknown"),
                        TALLY.NOMINAL.cast(Long.class).as("nominal"))
                .from(TALLY)
                .where(rows(cohort, question))
                .andNotExists(DSL.selectOne()
                        .from(TALLY_DUE)
                        .where(TALLY_DUE.SITE_ID.eq(TALLY.SITE_ID), TALLY_DUE.MONTH.eq(TALLY.MONTH)));
        Field<Short> answer = question == null ? none : question.column();
        var marked = DSL.select(
                        FACT.SITE_ID,
                        FACT.MONTH,
                        answer,
                        count().filterWhere(outcome.eq((short) 1)).cast(Long.class),
                        count().filterWhere(outcome.ge((short) 0)).cast(Long.class),
                        count().filterWhere(outcome.isNull().or(outcome.lt((short) 0)))
                                .cast(Long.class),
                        count().filterWhere(outcome.lt((short) 0)).cast(Long.class),
                        count().filterWhere(FACT.NOMINAL).cast(Long.class))
                .from(FACT)
                .where(CohortTable.rows(cohort))
                .and(DSL.row(FACT.SITE_ID, FACT.MONTH)
                        .in(DSL.select(TALLY_DUE.SITE_ID, TALLY_DUE.MONTH).from(TALLY_DUE)))
                .groupBy(
                        question == null
                                ? List.of(FACT.SITE_ID, FACT.MONTH)
                                : List.of(FACT.SITE_ID, FACT.MONTH, answer));
        return kept.unionAll(marked).asTable("tallied");
    }

    private static Condition rows(Cohort cohort, @Nullable Stratum question) {
        List<Condition> conditions = new ArrayList<>();
        conditions.add(TALLY.QUESTION.eq(inline(question == null ? "" : question.variable())));
        if (!cohort.everywhere()) {
            conditions.add(TALLY.SITE_ID.eq(
                    DSL.any(DSL.inline(cohort.sites().stream().map(Site::no).toArray(Short[]::new)))));
        }
        if (cohort.from() != null) {
            conditions.add(TALLY.MONTH.ge(inline(cohort.from().atDay(1))));
        }
        if (cohort.to() != null) {
            conditions.add(TALLY.MONTH.le(inline(cohort.to().atDay(1))));
        }
        if (question != null && cohort.filters().containsKey(question)) {
            conditions.add(DSL.or(cohort.filters().get(question).stream()
                    .map(code -> answered(question, code))
                    .toList()));
        }
        return DSL.and(conditions);
    }

    private static Condition answered(Stratum question, String code) {
        return code.equals(Stratum.BLANK.value())
                ? TALLY.ANSWER.eq(NOT_ANSWERED)
                : TALLY.ANSWER.eq(DSL.select(CODE.NO)
                        .from(CODE)
                        .where(CODE.VARIABLE.eq(question.variable()), CODE.CODE_.eq(code)));
    }

    /** The columns of {@link #of} added up. */
    static List<Field<?>> sums(Table<?> tallied) {
        List<Field<?>> sums = new ArrayList<>();
        for (String name : List.of("x", "n", "left_out", "unknown", "nominal")) {
            sums.add(DSL.sum(Objects.requireNonNull(tallied.field(name, Long.class)))
                    .as(name));
        }
        return sums;
    }

    static Field<LocalDate> month(Table<?> tallied) {
        return Objects.requireNonNull(tallied.field("month", LocalDate.class));
    }

    static Field<Short> answer(Table<?> tallied) {
        return Objects.requireNonNull(tallied.field("answer", Short.class));
    }
}
