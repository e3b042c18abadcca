package airway.stats.compare;

import airway.stats.Answer;
import airway.stats.Proportion;
import airway.stats.Reason;
import java.util.function.Supplier;

/** Successes and failures of two groups: what the tests of two proportions have in common. */
record Table(Proportion first, Proportion second) {

    long cases() {
        return first.n() + second.n();
    }

    long successes() {
        return first.x() + second.x();
    }

    long failures() {
        return first.failures() + second.failures();
    }

    /** Refuses a table that cannot tell anything: a group without cases, or all outcomes alike. */
    <T> Answer<T> unlessEmpty(Supplier<Answer<T>> answer) {
        if (first.isEmpty() || second.isEmpty()) {
            return Answer.refused(Reason.ONE_GROUP_EMPTY);
        }
        return successes() == 0 || failures() == 0 ? Answer.refused(Reason.NO_VARIATION) : answer.get();
    }
}
