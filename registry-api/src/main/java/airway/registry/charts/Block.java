package airway.registry.charts;

import java.nio.ByteBuffer;
import java.util.Objects;
import java.util.function.IntFunction;
import java.util.function.IntPredicate;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * Encounters of a unit in the order of their starts, those that are asked for among others, and what was measured of them. Months follow
 * each other in it: that a clock was put back over the end of one has happened in few places, and not since 2010.
 */
final class Block {
    private final short unit;

    /** Months that have encounters. */
    private final int[] months;

    /** The place behind the last of each month. */
    private final int[] ends;

    /** For {@link Blocks#instant}; none where the order is of no account. */
    private final int[] starts;

    private final Bits madeUp;
    private final Answers answers;
    private final Bits asked;

    private Block(short unit, int[] months, int[] ends, int[] starts, Bits madeUp, Answers answers, Bits asked) {
        this.unit = unit;
        this.months = months;
        this.ends = ends;
        this.starts = starts;
        this.madeUp = madeUp;
        this.answers = answers;
        this.asked = asked;
    }

    /**
     * A year of a unit as it is tallied, or a large part of one.
     *
     * @param unit its number
     * @param year the year
     * @param months of the year, those with encounters
     * @param times how many encounters each has
     * @param asked bits of those that are asked for; null where all are
     * @param madeUp bits of those whose date was made up for order only; null where there are none
     * @param values two bytes for each: what was measured, where it has many values; else null
     * @param codes what was measured, where it has few; else null
     * @param given the bits of each of these, one behind the other
     * @param starts four bytes for each; null where the order is of no account
     */
    static Block tallied(
            short unit,
            short year,
            Integer[] months,
            Integer[] times,
            byte @Nullable [] asked,
            byte @Nullable [] madeUp,
            byte @Nullable [] values,
            Integer @Nullable [] codes,
            byte @Nullable [] given,
            byte @Nullable [] starts) {
        int[] ends = new int[months.length];
        int size = 0;
        for (int i = 0; i < ends.length; i++) {
            size += times[i];
            ends[i] = size;
        }
        int[] startsOfEach = new int[starts == null ? 0 : size];
        if (starts != null) {
            ByteBuffer.wrap(starts).asIntBuffer().get(startsOfEach);
        }
        return new Block(
                unit,
                Stream.of(months).mapToInt(month -> Blocks.number(year, month)).toArray(),
                ends,
                startsOfEach,
                madeUp == null ? Bits.NONE : Bits.sent(madeUp, 0, madeUp.length),
                codes == null || given == null
                        ? new Answers.Many(Objects.requireNonNull(values))
                        : new Answers.Few(codes, given),
                asked == null ? Bits.of(size, place -> true) : Bits.sent(asked, 0, asked.length));
    }

    /** Of those that are asked for, the ones of some months. */
    Block within(int fromMonth, int toMonth) {
        if (fromMonth <= months[0] && months[months.length - 1] <= toMonth) {
            return this;
        }
        int first = 0;
        int end = 0;
        for (int i = 0; i < months.length; i++) {
            first = months[i] < fromMonth ? ends[i] : first;
            end = months[i] <= toMonth ? ends[i] : end;
        }
        int from = first;
        int to = end;
        Bits period = Bits.of(to, place -> place >= from);
        return new Block(unit, months, ends, starts, madeUp, answers, asked.and(period));
    }

    short unit() {
        return unit;
    }

    int size() {
        return ends[ends.length - 1];
    }

    int start(int place) {
        return starts[place];
    }

    /** Those that are asked for. */
    Bits asked() {
        return asked;
    }

    /** Those that are asked for and of whom something was measured that is asked for too. */
    Bits where(IntPredicate measured) {
        return answers.where(measured).and(asked);
    }

    /** The place of the first from a place on that starts at a moment or later. */
    int place(int from, long start) {
        int first = from;
        int end = size();
        while (first < end) {
            int middle = (first + end) >>> 1;
            if (starts[middle] < start) {
                first = middle + 1;
            } else {
                end = middle;
            }
        }
        return first;
    }

    /** Puts those that are asked for on a pile, from a place on and before an end. */
    void pile(int first, int end, Pile pile) {
        answers.pile(first, end, asked, pile);
        pile.addMadeUp(madeUp.count(first, end, asked));
    }

    /** Puts those that are asked for on the pile of their month. */
    void pile(IntFunction<Pile> ofMonth) {
        int first = 0;
        for (int i = 0; i < months.length; i++) {
            if (asked.next(first) < ends[i]) {
                pile(first, ends[i], ofMonth.apply(months[i]));
            }
            first = ends[i];
        }
    }
}
