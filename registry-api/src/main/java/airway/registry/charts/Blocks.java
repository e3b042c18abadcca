package airway.registry.charts;

import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import java.sql.SQLException;
import java.time.Instant;
import java.time.YearMonth;
import java.util.stream.Stream;
import org.jooq.DSLContext;
import org.jooq.ExecuteListener;
import org.jooq.Field;
import org.jooq.Records;
import org.jooq.exception.DataAccessException;
import org.postgresql.PGStatement;

/**
 * The encounters of a cohort a year of a unit at a time, for what cannot be counted in groups: a median needs every value, groups of n
 * encounters and what lies between events need the order. Years that changed since they were tallied are put together from their
 * records, so that no number is old.
 */
final class Blocks {
    static final int MONTHS = 12;

    /** Starts are counted in seconds from here. */
    static final Instant BEGINNING = Instant.parse("2000-01-01T00:00:00Z");

    /** Bits and starts are sent as bytes at once; else the first uses of a statement hand them over in letters, two for each byte. */
    private static final ExecuteListener AS_BYTES = ExecuteListener.onPrepareEnd(context -> {
        try {
            context.statement().unwrap(PGStatement.class).setPrepareThreshold(-1);
        } catch (SQLException e) {
            throw new DataAccessException("The statement takes no order of how to send its answer.", e);
        }
    });

    private final DSLContext dsl;
    private final Measure measure;
    private final Cohort cohort;
    private final Field<Short> outcome;

    /**
     * @param outcome the column of what is measured
     */
    Blocks(DSLContext dsl, Measure measure, Cohort cohort, Field<Short> outcome) {
        this.dsl = dsl.configuration().deriveAppending(AS_BYTES).dsl();
        this.measure = measure;
        this.cohort = cohort;
        this.outcome = outcome;
    }

    static int number(int year, int month) {
        return year * MONTHS + month - 1;
    }

    static int number(YearMonth month) {
        return number(month.getYear(), month.getMonthValue());
    }

    static YearMonth month(int number) {
        return YearMonth.of(number / MONTHS, number % MONTHS + 1);
    }

    static Instant instant(int start) {
        return BEGINNING.plusSeconds(start);
    }

    /** For the order of encounters. */
    InOrder inOrder() {
        return new InOrder(measure, all(true));
    }

    /** For what is asked of months. */
    Stream<Block> inAnyOrder() {
        return all(false);
    }

    private Stream<Block> all(boolean starts) {
        int from = cohort.from() == null ? Integer.MIN_VALUE : number(cohort.from());
        int to = cohort.to() == null ? Integer.MAX_VALUE : number(cohort.to());
        boolean values = measure.shape() == Measure.Shape.VALUE;
        return Stream.of(Tallies.blocks(cohort, outcome, values, starts), Tallies.changed(cohort, outcome, starts))
                .flatMap(blocks -> dsl.fetch(blocks).stream())
                .map(Records.mapping(Block::tallied))
                .map(block -> block.within(from, to));
    }
}
