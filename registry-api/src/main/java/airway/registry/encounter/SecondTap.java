package airway.registry.encounter;

import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.function.Supplier;

/** A second tap comes while the first is still being kept: it waits, and is answered with the same record. */
final class SecondTap {
    private static final int ASKED_AGAIN = 20;
    private static final int PAUSE_MS = 100;

    private SecondTap() {}

    static Recorded waitingFor(Supplier<Recorded> saving) {
        for (int asked = 1; ; asked++) {
            try {
                return saving.get();
            } catch (Problem.Busy e) {
                if (asked == ASKED_AGAIN) {
                    throw e;
                }
                try {
                    Thread.sleep(PAUSE_MS);
                } catch (InterruptedException stop) {
                    Thread.currentThread().interrupt();
                    throw e;
                }
            }
        }
    }

    /** Whether a page was saved before with other answers, as after the way back. */
    static boolean usedBefore(Problem.Invalid problem) {
        return problem.faults().stream().map(Fault::code).anyMatch("key.reused"::equals);
    }
}
