package airway.registry.encounter;

import java.util.Arrays;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * How often an operator has used a set-up before: at least and at most, from what was once answered and what has been
 * recorded since. The registry knows its own records only, so the first answer has to come from the operator.
 */
record EarlierUses(int least, int most) {
    /** Nothing was answered yet: any number of uses may lie before the first record. */
    static final EarlierUses UNTOLD = new EarlierUses(0, Integer.MAX_VALUE);

    /** The answers there are, with what they mean. */
    private enum Band {
        FIRST("first", 0, 0),
        ONE_TO_FIVE("1_5", 1, 5),
        SIX_TO_TWENTY("6_20", 6, 20),
        MORE("gt20", 21, Integer.MAX_VALUE);

        private final String code;
        private final int least;
        private final int most;

        Band(String code, int least, int most) {
            this.code = code;
            this.least = least;
            this.most = most;
        }
    }

    /** After a use of which the operator had said how many went before it; null is no answer. */
    EarlierUses after(@Nullable String answered) {
        EarlierUses before = Arrays.stream(Band.values())
                .filter(band -> band.code.equals(answered))
                .findFirst()
                .map(band -> within(band.least, band.most))
                .orElse(this);
        return before.plus(1);
    }

    /** What both know; where they contradict each other the operator is believed. */
    private EarlierUses within(int from, int to) {
        int low = Math.max(least, from);
        int high = Math.min(most, to);
        return low <= high ? new EarlierUses(low, high) : new EarlierUses(from, to);
    }

    EarlierUses plus(int uses) {
        return new EarlierUses(least + uses, most > Integer.MAX_VALUE - uses ? Integer.MAX_VALUE : most + uses);
    }

    /** The code of the variable, where it can be told; else it has to be asked. */
    Optional<String> code() {
        return Arrays.stream(Band.values())
                .filter(band -> band.least <= least && most <= band.most)
                .findFirst()
                .map(band -> band.code);
    }
}
