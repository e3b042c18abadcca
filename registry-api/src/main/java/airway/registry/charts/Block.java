package airway.registry.charts;

import java.nio.ByteBuffer;
import org.jooq.Record;
import org.jspecify.annotations.Nullable;

/** Part of a year of a unit as it is tallied: what its encounters answered, in the order of their starts, and one of them at hand. */
final class Block {
    /** The database sends in front of bits how many they are. */
    private static final int HOW_MANY = Integer.BYTES;

    private static final int FIRST_BIT = 0x80;

    private final short[] answers;
    private final @Nullable ByteBuffer starts;
    private final byte @Nullable [] asked;
    private final byte @Nullable [] nominal;
    private final int year;
    private final Integer[] months;
    private final Integer[] times;

    /** The encounter at hand, the place of its month among the months, and the first encounter behind that month. */
    private int at = -1;

    private int month = -1;
    private int end;

    /**
     * @param row with the columns of {@link Tallies#blocks}
     */
    Block(Record row) {
        year = row.get(Tallies.YEAR);
        months = row.get(Tallies.MONTHS);
        times = row.get(Tallies.MONTH_TIMES);
        int size = 0;
        for (int one : times) {
            size += one;
        }
        answers = new short[size];
        byte[] values = row.get(Tallies.VALUES);
        if (values == null) {
            put(row.get(Tallies.CODES), row.get(Tallies.BITS_OF_CODES));
        } else {
            ByteBuffer.wrap(values).asShortBuffer().get(answers);
        }
        byte[] begun = row.get(Tallies.STARTS);
        starts = begun == null ? null : ByteBuffer.wrap(begun);
        asked = row.get(Tallies.ASKED_FOR);
        nominal = row.get(Tallies.MADE_UP);
    }

    /** The bits of each code, one behind the other, as the code of each encounter. */
    private void put(Integer[] codes, byte[] bits) {
        for (int code = 0; code < codes.length; code++) {
            int first = code * (bits.length / codes.length);
            for (int place = 0; place < answers.length; place++) {
                if (has(bits, first, place)) {
                    answers[place] = codes[code].shortValue();
                }
            }
        }
    }

    private static boolean has(byte[] bits, int first, int place) {
        return (bits[first + HOW_MANY + place / Byte.SIZE] & FIRST_BIT >> place % Byte.SIZE) != 0;
    }

    /** Takes the next encounter in hand that is asked for; false at the end. */
    boolean forward() {
        do {
            at++;
        } while (at < answers.length && asked != null && !has(asked, 0, at));
        while (at >= end && month < months.length - 1) {
            month++;
            end += times[month];
        }
        return at < answers.length;
    }

    /** The number of its month, as {@link Walk#month} has it. */
    int month() {
        return Walk.number(year, months[month]);
    }

    /** Microseconds since 1970; 0 where starts were not asked for. */
    long start() {
        return starts == null ? 0 : starts.getLong(at * Long.BYTES);
    }

    short answer() {
        return answers[at];
    }

    boolean nominal() {
        return nominal != null && has(nominal, 0, at);
    }
}
