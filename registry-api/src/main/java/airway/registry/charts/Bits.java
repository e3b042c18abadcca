package airway.registry.charts;

import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.function.IntConsumer;
import java.util.function.IntPredicate;

/** Some of the encounters of a block: a bit for each, in the order of the block; behind the last one written down there is none. */
final class Bits {
    static final Bits NONE = new Bits(new long[0]);

    /** The database sends in front of bits how many they are. */
    private static final int HOW_MANY = Integer.BYTES;

    /** The first encounter has the highest bit of the first. */
    private final long[] words;

    private Bits(long[] words) {
        this.words = words;
    }

    /**
     * As the database sends them.
     *
     * @param sent theirs, and what else came with them
     * @param first where they begin in what was sent
     * @param length in bytes
     */
    static Bits sent(byte[] sent, int first, int length) {
        long[] words = new long[words(length - HOW_MANY, Long.BYTES)];
        byte[] whole = new byte[words.length * Long.BYTES];
        System.arraycopy(sent, first + HOW_MANY, whole, 0, length - HOW_MANY);
        ByteBuffer.wrap(whole).asLongBuffer().get(words);
        return new Bits(words);
    }

    /**
     * Those of a block of which something holds.
     *
     * @param size encounters of the block
     * @param which tells of each by its place
     */
    static Bits of(int size, IntPredicate which) {
        long[] words = new long[words(size, Long.SIZE)];
        for (int place = 0; place < size; place++) {
            if (which.test(place)) {
                words[place / Long.SIZE] |= Long.MIN_VALUE >>> place;
            }
        }
        return new Bits(words);
    }

    private static int words(int size, int inWord) {
        return (size + inWord - 1) / inWord;
    }

    /** Those that are among both. */
    Bits and(Bits other) {
        long[] both = Arrays.copyOf(words, Math.min(words.length, other.words.length));
        for (int word = 0; word < both.length; word++) {
            both[word] &= other.words[word];
        }
        return new Bits(both);
    }

    /** Those that are among one of both. */
    Bits or(Bits other) {
        long[] either = Arrays.copyOf(words, Math.max(words.length, other.words.length));
        for (int word = 0; word < other.words.length; word++) {
            either[word] |= other.words[word];
        }
        return new Bits(either);
    }

    /**
     * The first from a place on.
     *
     * @return beyond the block if there is none
     */
    int next(int place) {
        int word = place / Long.SIZE;
        if (word < words.length) {
            // Of the number of bits a shift takes the lowest six binary digits.
            long rest = words[word] & -1L >>> place;
            while (rest == 0 && ++word < words.length) {
                rest = words[word];
            }
            if (rest != 0) {
                return word * Long.SIZE + Long.numberOfLeadingZeros(rest);
            }
        }
        return Integer.MAX_VALUE;
    }

    /**
     * How many are among others too, and lie between places.
     *
     * @param first the first place
     * @param end the place behind the last one, which is behind the first
     * @param others of the same block
     */
    int count(int first, int end, Bits others) {
        int count = 0;
        int last = Math.min((end - 1) / Long.SIZE, Math.min(words.length, others.words.length) - 1);
        for (int word = first / Long.SIZE; word <= last; word++) {
            long both = words[word] & others.words[word];
            if (word == first / Long.SIZE) {
                both &= -1L >>> first;
            }
            if (word == (end - 1) / Long.SIZE) {
                both &= -1L << -end;
            }
            count += Long.bitCount(both);
        }
        return count;
    }

    /** Goes along their places. */
    void each(IntConsumer at) {
        for (int word = 0; word < words.length; word++) {
            for (long rest = words[word]; rest != 0; rest &= ~Long.highestOneBit(rest)) {
                at.accept(word * Long.SIZE + Long.numberOfLeadingZeros(rest));
            }
        }
    }
}
