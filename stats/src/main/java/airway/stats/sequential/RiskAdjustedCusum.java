package airway.stats.sequential;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.Series;
import airway.stats.Shown;
import java.util.List;
import java.util.OptionalDouble;

/**
 * Cumulative sum of single cases that allows for the risk of each (Steiner SH, Cook RJ, Farewell VT, Treasure T 2000,
 * Biostatistics 1:441-452, doi:10.1093/biostatistics/1.4.441; abstract read, weights from memory).
 *
 * <p>With risk p and an odds ratio R to be noticed, against R₀ = 1: a failure weighs ln(R/(1 - p + Rp)), a success ln(1/(1 - p +
 * Rp)); S = max(0, S + weight), a signal where S reaches h. R above 1 looks for deterioration, below 1 for improvement. Run
 * lengths depend on the mix of risks and are not given here. A chart on a badly calibrated model misleads: show the calibration,
 * or no chart. Programs that draw the sum for improvement as negative, or scale the risks anew within the chart, differ.
 *
 * @param oddsRatio the multiple of the odds of failure that is to be noticed
 * @param weights what each case adds; a gap where the outcome is unknown
 * @param path the sum after each case, and the signals
 */
public record RiskAdjustedCusum(double oddsRatio, Series weights, CusumPath path) {

    /**
     * The sum over cases in order of time. Not a single outcome known: {@link Reason#NO_DATA}. A risk of exactly 0 or 1, which
     * no outcome could ever contradict: {@link Reason#INVALID_INPUT}, with the number of known outcomes.
     *
     * @param cases how each case ended, with its risk
     * @param oddsRatio multiple of the odds of failure that is to be noticed, above 0, finite and not 1
     * @param h limit, in (0, 20]
     * @param afterSignal what the sum does after a signal
     * @throws IllegalArgumentException if odds ratio or limit is out of range or not a number
     */
    public static Answer<RiskAdjustedCusum> of(
            List<PredictedCase> cases, double oddsRatio, double h, AfterSignal afterSignal) {
        Hypotheses.checkOddsRatio(oddsRatio);
        if (oddsRatio == 1) {
            throw new IllegalArgumentException("oddsRatio = 1.0, must be other than 1");
        }
        CusumPath.checkLimit(h);
        long known = cases.stream().filter(PredictedCase::isKnown).count();
        if (known == 0) {
            return Answer.refused(Reason.NO_DATA);
        }
        if (cases.stream().anyMatch(one -> one.risk() == 0 || one.risk() == 1)) {
            return Answer.refused(Reason.INVALID_INPUT, Shown.NOTHING.withN(known));
        }
        Series weights = Series.numbered(cases.size(), number -> weight(cases.get(number - 1), oddsRatio));
        return Answer.ok(new RiskAdjustedCusum(oddsRatio, weights, CusumPath.of(weights, h, afterSignal)));
    }

    private static OptionalDouble weight(PredictedCase one, double oddsRatio) {
        double success = -Math.log(1 - one.risk() + oddsRatio * one.risk());
        return one.isKnown()
                ? OptionalDouble.of(success + one.failures() * Math.log(oddsRatio))
                : OptionalDouble.empty();
    }
}
