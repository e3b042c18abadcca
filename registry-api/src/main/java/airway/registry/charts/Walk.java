package airway.registry.charts;

import static airway.sql.generated.analysis.Tables.FACT;

import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import java.time.Instant;
import java.time.YearMonth;
import java.time.temporal.ChronoUnit;
import java.util.Arrays;
import java.util.Collection;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.function.Function;
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
    static final int MONTHS = 12;

    /** Starts are counted in seconds from here. */
    private static final Instant BEGINNING = Instant.parse("2000-01-01T00:00:00Z");

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
         * @param start for {@link Walk#instant}; 0 where the order is of no account
         * @param answer what was measured: below 0 it does not count, and -1 is not known
         * @param nominal whether its date was made up for order only
         */
        void at(int month, int start, short answer, boolean nominal);
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

    /** All of them in the order of {@link Tallies#ORDER}. */
    void inOrder(Step step) {
        SortedMap<Short, InOrder> units = new TreeMap<>();
        along(true, unit -> units.computeIfAbsent(unit, first -> new InOrder()));
        InOrder.of(units.values()).each(step);
    }

    /** All of them, in whatever order they lie. */
    void inAnyOrder(Step step) {
        along(false, unit -> step);
    }

    private void along(boolean ordered, Function<Short, Step> of) {
        int from = cohort.from() == null ? Integer.MIN_VALUE : number(cohort.from());
        int to = cohort.to() == null ? Integer.MAX_VALUE : number(cohort.to());
        boolean values = measure.shape() == Measure.Shape.VALUE;
        dsl.fetch(Tallies.blocks(cohort, outcome, values, ordered)).forEach(row -> {
            Step step = of.apply(row.get(FACT.SITE_ID.getName(), Short.class));
            new Block(row).each((month, start, answer, nominal) -> {
                if (month >= from && month <= to) {
                    step.at(month, start, answer, nominal);
                }
            });
        });
        try (Cursor<Record> rows = dsl.fetchLazy(Tallies.changed(cohort, outcome, ordered))) {
            rows.forEach(row -> of.apply(row.get(FACT.SITE_ID))
                    .at(
                            number(YearMonth.from(row.get(FACT.MONTH))),
                            Math.toIntExact(ChronoUnit.SECONDS.between(
                                    BEGINNING, row.get(FACT.STARTED_AT).toInstant())),
                            row.get(Tallies.ANSWER.getName(), Short.class),
                            row.get(FACT.NOMINAL)));
        }
    }

    /** Encounters that are put in the order of their starts; those of one moment stay as they came. */
    private static final class InOrder implements Step {
        private static final int FIRST_ROOM = 1024;
        private static final int ANSWER_BITS = Short.SIZE;
        private static final int MONTH_AT = ANSWER_BITS + 1;
        private static final int START_AT = Integer.SIZE;
        private static final int DIGIT_BITS = 11;
        private static final int DIGITS = 1 << DIGIT_BITS;

        private int size;

        /** Start, month, whether the date was made up, and answer, from the highest bit on. */
        private long[] encounters = new long[FIRST_ROOM];

        @Override
        public void at(int month, int start, short answer, boolean nominal) {
            if (size == encounters.length) {
                encounters = Arrays.copyOf(encounters, 2 * size);
            }
            int rest = month << MONTH_AT | (nominal ? 1 << ANSWER_BITS : 0) | Short.toUnsignedInt(answer);
            // As a number without a sign a start before 2000 would come last.
            encounters[size++] = (long) (start ^ Integer.MIN_VALUE) << START_AT | Integer.toUnsignedLong(rest);
        }

        /** One behind the other. */
        static InOrder of(Collection<InOrder> units) {
            InOrder all = new InOrder();
            all.encounters = new long[units.stream().mapToInt(unit -> unit.size).sum()];
            units.forEach(unit -> {
                System.arraycopy(unit.encounters, 0, all.encounters, all.size, unit.size);
                all.size += unit.size;
            });
            return all;
        }

        void each(Step step) {
            sort();
            for (int i = 0; i < size; i++) {
                int rest = (int) encounters[i];
                step.at(
                        rest >>> MONTH_AT,
                        (int) (encounters[i] >>> START_AT) ^ Integer.MIN_VALUE,
                        (short) rest,
                        (rest & 1 << ANSWER_BITS) != 0);
            }
        }

        /** Digit by digit from the lowest, and never by comparing: encounters of many units lie between each other. */
        private void sort() {
            long[] sorted = new long[size];
            for (int digit = START_AT; digit < Long.SIZE; digit += DIGIT_BITS) {
                int[] next = new int[DIGITS + 1];
                for (int i = 0; i < size; i++) {
                    next[digit(encounters[i], digit) + 1]++;
                }
                for (int value = 1; value <= DIGITS; value++) {
                    next[value] += next[value - 1];
                }
                for (int i = 0; i < size; i++) {
                    sorted[next[digit(encounters[i], digit)]++] = encounters[i];
                }
                long[] before = encounters;
                encounters = sorted;
                sorted = before;
            }
        }

        private static int digit(long encounter, int at) {
            return (int) (encounter >>> at) & DIGITS - 1;
        }
    }
}
