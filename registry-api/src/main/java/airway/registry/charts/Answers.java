package airway.registry.charts;

import java.nio.ByteBuffer;
import java.util.function.IntPredicate;

/** What was measured of the encounters of a block: below 0 it does not count, and -1 is not known. */
sealed interface Answers {
    /** Those of whom something was measured that is asked for. */
    Bits where(IntPredicate measured);

    /** Puts those on a pile that lie from a place on and before an end, and are asked for. */
    void pile(int first, int end, Bits asked, Pile pile);

    /** There are few, and the bits of those who gave each are known. */
    final class Few implements Answers {
        private final Integer[] answers;
        private final Bits[] given;

        /**
         * @param given the bits of each, one behind the other
         */
        Few(Integer[] answers, byte[] given) {
            this.answers = answers;
            this.given = new Bits[answers.length];
            int length = given.length / answers.length;
            for (int i = 0; i < answers.length; i++) {
                this.given[i] = Bits.sent(given, i * length, length);
            }
        }

        @Override
        public Bits where(IntPredicate measured) {
            Bits where = Bits.NONE;
            for (int i = 0; i < answers.length; i++) {
                if (measured.test(answers[i])) {
                    where = where.or(given[i]);
                }
            }
            return where;
        }

        @Override
        public void pile(int first, int end, Bits asked, Pile pile) {
            for (int i = 0; i < answers.length; i++) {
                pile.add(answers[i], given[i].count(first, end, asked));
            }
        }
    }

    /** There are many, and that of each is known. */
    final class Many implements Answers {
        private final short[] answers;

        /**
         * @param sent two bytes for each
         */
        Many(byte[] sent) {
            answers = new short[sent.length / Short.BYTES];
            ByteBuffer.wrap(sent).asShortBuffer().get(answers);
        }

        @Override
        public Bits where(IntPredicate measured) {
            return Bits.of(answers.length, place -> measured.test(answers[place]));
        }

        @Override
        public void pile(int first, int end, Bits asked, Pile pile) {
            for (int place = asked.next(first); place < end; place = asked.next(place + 1)) {
                pile.add(answers[place], 1);
            }
        }
    }
}
