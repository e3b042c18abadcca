package airway.stats.sequential;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.Series;
import java.util.List;
import java.util.OptionalDouble;

/**
 * Variable life-adjusted display: failures expected less failures seen, case by case (Lovegrove J, Valencia O, Treasure T,
 * Sherlaw-Johnson C, Gallivan S 1997, Lancet 350:1128-1130, doi:10.1016/S0140-6736(97)06507-0; from memory).
 *
 * <p>Each case adds its risk less 1 for a failure: a rising path is good news. It describes; it has no limits and gives no
 * signal.
 *
 * @param path the sum after each case; a gap where the outcome is unknown
 * @param observed number of failures
 * @param expected sum of the risks of the cases with a known outcome
 */
public record Vlad(Series path, long observed, double expected) {

    /**
     * The path over cases in order of time. Not a single outcome known: {@link Reason#NO_DATA}.
     *
     * @param cases how each case ended, with its risk
     */
    public static Answer<Vlad> of(List<PredictedCase> cases) {
        List<PredictedCase> known =
                cases.stream().filter(PredictedCase::isKnown).toList();
        if (known.isEmpty()) {
            return Answer.refused(Reason.NO_DATA);
        }
        double[] sum = {0};
        Series path = Series.numbered(cases.size(), number -> {
            PredictedCase one = cases.get(number - 1);
            if (!one.isKnown()) {
                return OptionalDouble.empty();
            }
            sum[0] += one.risk() - one.failures();
            return OptionalDouble.of(sum[0]);
        });
        return Answer.ok(new Vlad(
                path,
                known.stream().mapToLong(PredictedCase::failures).sum(),
                known.stream().mapToDouble(PredictedCase::risk).sum()));
    }
}
