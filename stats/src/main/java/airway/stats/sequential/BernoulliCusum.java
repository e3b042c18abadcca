package airway.stats.sequential;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.Series;
import java.util.List;

/**
 * Cumulative sum of single cases, each a success or a failure (Reynolds MR, Stoumbos ZG 1999, J Qual Technol 31:87-108,
 * doi:10.1080/00224065.1999.11979900; from memory).
 *
 * <pre>{@code
 * BernoulliCusum.of(cases, CusumDesign.forVolume(Hypotheses.oddsChanged(0.38, 2), 48), AfterSignal.RESTART)
 * }</pre>
 *
 * <p>S = max(0, S + score) with the scores of {@link Hypotheses}; a signal where S reaches h. It looks for one change in one
 * direction; {@link CusumDesign#inControl} and {@link CusumDesign#outOfControl} belong beside every such chart. Programs that
 * signal only above h, or that draw the sum after the restart, differ at a signal.
 *
 * @param design the limit and the probabilities to be told apart
 * @param path the sum after each case, and the signals
 */
public record BernoulliCusum(CusumDesign design, CusumPath path) {

    /**
     * The sum over cases in order of time. Not a single outcome known: {@link Reason#NO_DATA}.
     *
     * @param outcomes how each case ended
     * @param design the limit and the probabilities to be told apart
     * @param afterSignal what the sum does after a signal
     */
    public static Answer<BernoulliCusum> of(List<Outcome> outcomes, CusumDesign design, AfterSignal afterSignal) {
        Series scores =
                Series.numbered(outcomes.size(), number -> design.hypotheses().score(outcomes.get(number - 1)));
        return scores.observed() == 0
                ? Answer.refused(Reason.NO_DATA)
                : Answer.ok(new BernoulliCusum(design, CusumPath.of(scores, design.h(), afterSignal)));
    }
}
