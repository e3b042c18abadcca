package airway.registry.charts;

import static airway.sql.generated.analysis.Tables.FACT;

import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import java.time.Instant;
import java.time.YearMonth;
import java.time.temporal.ChronoUnit;
import java.util.Arrays;
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
        InOrder all = new InOrder();
        units.values().forEach(all::addAll);
        all.each(step);
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
        private static final int PLACE_BITS = Integer.SIZE - 1;
        private static final int ANSWER_BITS = Short.SIZE;

        private int size;
        private int[] starts = new int[FIRST_ROOM];

        /** Month, whether the date was made up, and answer, from the highest bit on. */
        private int[] rest = new int[FIRST_ROOM];

        @Override
        public void at(int month, int start, short answer, boolean nominal) {
            add(start, month << (ANSWER_BITS + 1) | (nominal ? 1 << ANSWER_BITS : 0) | Short.toUnsignedInt(answer));
        }

        private void add(int start, int other) {
            if (size == starts.length) {
                starts = Arrays.copyOf(starts, 2 * size);
                rest = Arrays.copyOf(rest, 2 * size);
            }
            starts[size] = start;
            rest[size++] = other;
        }

        void addAll(InOrder others) {
            for (int place = 0; place < others.size; place++) {
                add(others.starts[place], others.rest[place]);
            }
        }

        /** Sorts numbers of start and place: of many units that are in order each by itself, this is a merge. */
        void each(Step step) {
            long[] order = new long[size];
            for (int place = 0; place < size; place++) {
                order[place] = (long) starts[place] << PLACE_BITS | place;
            }
            Arrays.parallelSort(order);
            for (long one : order) {
                int other = rest[(int) (one & Integer.MAX_VALUE)];
                step.at(
                        other >>> (ANSWER_BITS + 1),
                        (int) (one >> PLACE_BITS),
                        (short) other,
                        (other & 1 << ANSWER_BITS) != 0);
            }
        }
    }
}
