package airway.registry.charts;

import java.nio.ByteBuffer;
import org.jooq.Record;
import org.jspecify.annotations.Nullable;

/** Part of a year of a unit as it is tallied: what its encounters answered, in the order of their starts. */
final class Block {
    /** The database sends in front of bits how many they are. */
    private static final int HOW_MANY = Integer.BYTES;

    private static final int FIRST_BIT = 0x80;

    private final @Nullable ByteBuffer values;
    private final Integer[] codes;
    private final byte[] bitsOfCodes;
    private final int bytesOfCode;
    private final @Nullable ByteBuffer starts;
    private final byte @Nullable [] asked;
    private final byte @Nullable [] nominal;
    private final int year;
    private final Integer[] months;
    private final Integer[] times;

    /**
     * @param row with the columns of {@link Tallies#blocks}
     */
    Block(Record row) {
        year = row.get(Tallies.BLOCKS.YEAR);
        months = row.get(Tallies.BLOCKS.MONTHS);
        times = row.get(Tallies.BLOCKS.TIMES);
        values = buffer(row.get(Tallies.VALUES));
        codes = values != null ? new Integer[0] : row.get(Tallies.CODES);
        bitsOfCodes = values != null ? new byte[0] : row.get(Tallies.BITS_OF_CODES);
        bytesOfCode = codes.length == 0 ? 0 : bitsOfCodes.length / codes.length;
        starts = buffer(row.get(Tallies.STARTS));
        asked = row.get(Tallies.ASKED_FOR);
        nominal = row.get(Tallies.MADE_UP);
    }

    private static @Nullable ByteBuffer buffer(byte @Nullable [] bytes) {
        return bytes == null ? null : ByteBuffer.wrap(bytes);
    }

    /** Goes along those that are asked for. */
    void each(Walk.Step step) {
        int place = 0;
        for (int i = 0; i < months.length; i++) {
            int month = Walk.number(year, months[i]);
            for (int end = place + times[i]; place < end; place++) {
                if (asked == null || has(asked, 0, place)) {
                    step.at(
                            month,
                            starts == null ? 0 : starts.getInt(place * Integer.BYTES),
                            answer(place),
                            nominal != null && has(nominal, 0, place));
                }
            }
        }
    }

    /** The bits of each code lie one behind the other; an encounter has one of them. */
    private short answer(int place) {
        if (values != null) {
            return values.getShort(place * Short.BYTES);
        }
        int code = 0;
        for (int first = 0; !has(bitsOfCodes, first, place); first += bytesOfCode) {
            code++;
        }
        return codes[code].shortValue();
    }

    private static boolean has(byte[] bits, int first, int place) {
        return (bits[first + HOW_MANY + place / Byte.SIZE] & FIRST_BIT >> place % Byte.SIZE) != 0;
    }
}
