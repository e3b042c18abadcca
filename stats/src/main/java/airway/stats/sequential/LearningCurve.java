package airway.stats.sequential;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.Series;
import java.util.List;
import java.util.OptionalDouble;

/**
 * Learning curve as a sequential test of two probabilities of failure (Wald A 1945, Ann Math Stat 16:117-186,
 * doi:10.1214/aoms/1177731118; for procedures de Oliveira Filho GR 2002, Anesth Analg 95:411-416,
 * doi:10.1097/00000539-200208000-00033; both from memory).
 *
 * <p>With P = ln(p₁/p₀) and Q = ln((1 - p₀)/(1 - p₁)) a success takes s = Q/(P + Q) off the path and a failure adds 1 - s. A path
 * that falls by h₀ says p₀, one that rises by h₁ says p₁: h₀ = ln((1 - α)/β)/(P + Q), h₁ = ln((1 - β)/α)/(P + Q). There is no
 * floor. For the eyes of the person alone, and below {@link LcCusum#FEWEST_CASES} cases without a verdict.
 *
 * @param step what a success takes off, s
 * @param acceptLine distance between the lines that say "acceptable", h₀
 * @param rejectLine distance between the lines that say "unacceptable", h₁
 * @param path the sum after each case; a gap where the outcome is unknown
 */
public record LearningCurve(double step, double acceptLine, double rejectLine, Series path) {

    /**
     * The path over the cases of one operator in order of time. Not a single outcome known: {@link Reason#NO_DATA}.
     *
     * @param outcomes how each case ended
     * @param hypotheses acceptable probability of failure p₀, and unacceptable p₁ above it
     * @param alpha accepted probability to be called unacceptable when p₀ holds, in (0, 0.5)
     * @param beta accepted probability to be called acceptable when p₁ holds, in (0, 0.5)
     * @throws IllegalArgumentException if a number is out of range or not a number
     */
    public static Answer<LearningCurve> of(List<Outcome> outcomes, Hypotheses hypotheses, double alpha, double beta) {
        if (hypotheses.p1() < hypotheses.p0()) {
            throw new IllegalArgumentException("p1 = " + hypotheses.p1() + ", must be above p0 = " + hypotheses.p0());
        }
        check("alpha", alpha);
        check("beta", beta);
        double both = hypotheses.failureScore() - hypotheses.successScore();
        double[] sum = {0};
        Series path = Series.numbered(outcomes.size(), number -> {
            OptionalDouble score = hypotheses.score(outcomes.get(number - 1));
            if (score.isPresent()) {
                sum[0] += score.getAsDouble() / both;
            }
            return score.isPresent() ? OptionalDouble.of(sum[0]) : score;
        });
        return path.observed() == 0
                ? Answer.refused(Reason.NO_DATA)
                : Answer.ok(new LearningCurve(
                        -hypotheses.successScore() / both,
                        Math.log((1 - alpha) / beta) / both,
                        Math.log((1 - beta) / alpha) / both,
                        path));
    }

    private static void check(String name, double error) {
        if (!(error > 0 && error < 0.5)) {
            throw new IllegalArgumentException(name + " = " + error + ", must be in (0, 0.5)");
        }
    }
}
