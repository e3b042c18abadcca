package airway.registry.charts;

import static airway.sql.generated.analysis.Tables.FACT;

import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import java.time.Instant;
import java.time.YearMonth;
import java.time.temporal.ChronoUnit;
import java.util.ArrayDeque;
import java.util.Comparator;
import java.util.Map;
import java.util.PriorityQueue;
import java.util.Queue;
import java.util.TreeMap;
import org.jooq.Cursor;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Record;

/**
 * The encounters of a cohort one by one, for what cannot be counted in groups: a median needs every value, groups of n encounters and
 * what lies between events need the order. SQL says which encounters they are and hands a year of a unit over in one piece; years that
 * changed since they were tallied come record by record, so that no number is old.
 */
final class Walk {
    private static final int MONTHS = 12;

    private final DSLContext dsl;
    private final Measure measure;
    private final Cohort cohort;
    private final Field<Short> outcome;

    /**
     * @param outcome the column of what is measured
     */
    Walk(DSLContext dsl, Measure measure, Cohort cohort, Field<Short> outcome) {
        this.dsl = dsl;
        this.measure = measure;
        this.cohort = cohort;
        this.outcome = outcome;
    }

    /** What is done at each encounter. */
    @FunctionalInterface
    interface Step {
        /**
         * Takes one encounter.
         *
         * @param month number of its month, for {@link Walk#month}
         * @param start microseconds since 1970; 0 where the order is of no account
         * @param answer what was measured: below 0 it does not count, and -1 is not known
         * @param nominal whether its date was made up for order only
         */
        void at(int month, long start, short answer, boolean nominal);
    }

    static int number(int year, int month) {
        return year * MONTHS + month - 1;
    }

    private static int number(YearMonth month) {
        return number(month.getYear(), month.getMonthValue());
    }

    static YearMonth month(int number) {
        return YearMonth.of(number / MONTHS, number % MONTHS + 1);
    }

    static Instant instant(long start) {
        return Instant.EPOCH.plus(start, ChronoUnit.MICROS);
    }

    /** All of them in the order of {@link Tallies#ORDER}. */
    void inOrder(Step step) {
        along(true, step);
    }

    /** All of them, in whatever order they lie. */
    void inAnyOrder(Step step) {
        along(false, step);
    }

    private void along(boolean ordered, Step step) {
        Queue<Stretch> waiting = new PriorityQueue<>(Stretch.BY_START);
        Map<Short, Unit> units = new TreeMap<>();
        boolean values = measure.shape() == Measure.Shape.VALUE;
        dsl.fetch(Tallies.blocks(cohort, outcome, values, ordered))
                .forEach(row -> units.computeIfAbsent(row.get(FACT.SITE_ID.getName(), Short.class), Unit::new)
                        .blocks
                        .add(new Block(row)));
        int from = cohort.from() == null ? Integer.MIN_VALUE : number(cohort.from());
        int to = cohort.to() == null ? Integer.MAX_VALUE : number(cohort.to());
        units.values().stream().filter(Stretch::forward).forEach(waiting::add);
        try (Cursor<Record> rows = dsl.fetchLazy(Tallies.changed(cohort, outcome, ordered))) {
            Stretch changed = new Rows(rows);
            if (changed.forward()) {
                waiting.add(changed);
            }
            while (!waiting.isEmpty()) {
                Stretch one = waiting.remove();
                boolean more;
                do {
                    if (one.month >= from && one.month <= to) {
                        step.at(one.month, one.start, one.answer, one.nominal);
                    }
                    more = one.forward();
                } while (more
                        && (!ordered || waiting.isEmpty() || Stretch.BY_START.compare(one, waiting.element()) < 0));
                if (more) {
                    waiting.add(one);
                }
            }
        }
    }

    /** Encounters in order, of which one is at hand. */
    private abstract static class Stretch {
        static final Comparator<Stretch> BY_START =
                Comparator.<Stretch>comparingLong(one -> one.start).thenComparingInt(one -> one.site);

        int site;
        int month;
        long start;
        short answer;
        boolean nominal;

        /** Takes the next encounter in hand; false at the end. */
        abstract boolean forward();
    }

    /** Those of years that changed since they were tallied. */
    private static final class Rows extends Stretch {
        private final Cursor<Record> rows;

        Rows(Cursor<Record> rows) {
            this.rows = rows;
        }

        @Override
        boolean forward() {
            Record row = rows.fetchNext();
            if (row == null) {
                return false;
            }
            site = row.get(FACT.SITE_ID);
            month = number(YearMonth.from(row.get(FACT.MONTH)));
            start = ChronoUnit.MICROS.between(
                    Instant.EPOCH, row.get(FACT.STARTED_AT).toInstant());
            answer = row.get(Tallies.ANSWER.getName(), Short.class);
            nominal = row.get(FACT.NOMINAL);
            return true;
        }
    }

    /** Those of a unit that are tallied. */
    private static final class Unit extends Stretch {
        private final Queue<Block> blocks = new ArrayDeque<>();

        Unit(short site) {
            this.site = site;
        }

        @Override
        boolean forward() {
            Block block = blocks.peek();
            while (block != null && !block.forward()) {
                blocks.remove();
                block = blocks.peek();
            }
            if (block == null) {
                return false;
            }
            month = block.month();
            start = block.start();
            answer = block.answer();
            nominal = block.nominal();
            return true;
        }
    }
}
