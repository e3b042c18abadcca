package airway.registry.release;

import airway.registry.cohort.Stratum;
import java.time.YearMonth;
import java.util.Map;
import java.util.Objects;

/**
 * Encounters that are alike in all that some tables ask about.
 *
 * @param month when they were
 * @param codes their answers, those not given too
 * @param answers 1 with the outcome, 0 without, anything else where the measure leaves them out
 * @param count how many
 */
record FactRow(YearMonth month, Map<Stratum, String> codes, Map<Counting, Integer> answers, long count) {
    String code(Stratum stratum) {
        return Objects.requireNonNull(codes.get(stratum));
    }

    int answer(Counting counting) {
        return Objects.requireNonNull(answers.get(counting));
    }
}
