package airway.stats.sequential;

import airway.stats.Answer;
import airway.stats.Reason;
import java.util.List;
import java.util.OptionalInt;

/**
 * Learning curve by cumulative sum (LC-CUSUM): starts from "not yet competent" and signals when the outcomes say otherwise
 * (Biau DJ, Williams SM, Schlup MM, Nizard RS, Porcher R 2008, Br J Surg 95:925-929, doi:10.1002/bjs.6056; abstract read, scores
 * from memory).
 *
 * <p>S = max(0, S + score) as in {@link BernoulliCusum}, but a success raises the sum, and it goes on after the signal. With
 * many cases it signals even where nothing was learned: {@link #falseCompetence} belongs beside it. Not a certificate: for the
 * eyes of the person alone, and below {@link #FEWEST_CASES} cases the path without a verdict.
 *
 * @param design limit and scores, from unacceptable to acceptable
 * @param path the sum after each case
 */
public record LcCusum(CusumDesign design, CusumPath path) {

    /** Cases below which there is no verdict (house rule). */
    public static final int FEWEST_CASES = 20;

    /**
     * The sum over the cases of one operator in order of time. Not a single outcome known: {@link Reason#NO_DATA}.
     *
     * @param outcomes how each case ended
     * @param acceptable probability of failure of the competent, in [0.001, 0.999]
     * @param unacceptable probability of failure of those who are not, above it; odds at least 1.5 times as large
     * @param h limit, in (0, 20]
     * @throws IllegalArgumentException if a number is out of range or not a number
     */
    public static Answer<LcCusum> of(List<Outcome> outcomes, double acceptable, double unacceptable, double h) {
        checkOrder(acceptable, unacceptable);
        var design = new CusumDesign(new Hypotheses(unacceptable, acceptable), h);
        return BernoulliCusum.of(outcomes, design, AfterSignal.CONTINUE)
                .map(cusum -> new LcCusum(design, cusum.path()));
    }

    /**
     * The same with the lowest limit, in steps of 0.01, at which somebody who fails unacceptably often is signalled as competent
     * at most so probably within so many cases.
     *
     * @param cases number of cases, in [1, 1000]; fixed beforehand, not the number there happen to be
     * @param most probability of a false signal that is not exceeded, in [0.001, 0.5]
     */
    public static Answer<LcCusum> of(
            List<Outcome> outcomes, double acceptable, double unacceptable, int cases, double most) {
        checkOrder(acceptable, unacceptable);
        return of(
                outcomes,
                acceptable,
                unacceptable,
                CusumDesign.forChance(new Hypotheses(unacceptable, acceptable), cases, most)
                        .h());
    }

    private static void checkOrder(double acceptable, double unacceptable) {
        if (!(acceptable < unacceptable)) {
            throw new IllegalArgumentException(
                    "acceptable = " + acceptable + ", must be below unacceptable = " + unacceptable);
        }
    }

    /** Cases that somebody who fails acceptably often needs until the signal, on average. Exact. */
    public double casesNeeded() {
        return design.outOfControl();
    }

    /** Number of the case at which the sum reached the limit, if any; a verdict only from {@link #FEWEST_CASES} cases on. */
    public OptionalInt competenceAt() {
        return path.firstSignal();
    }

    /** Whether there are enough cases with a known outcome for a verdict. */
    public boolean enoughForAVerdict() {
        return path.sums().observed() >= FEWEST_CASES;
    }

    /**
     * Probability that somebody who fails unacceptably often is signalled as competent within so many cases. Exact.
     *
     * @param cases number of cases, in [0, 10000]
     * @throws IllegalArgumentException if the number is out of range
     */
    public double falseCompetence(int cases) {
        return design.signalWithin(cases, design.hypotheses().p0());
    }
}
