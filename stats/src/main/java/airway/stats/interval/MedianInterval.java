package airway.stats.interval;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Shown;
import airway.stats.numeric.BinomialLaw;

/**
 * The median with an interval between two of the observations.
 *
 * @param n number of observations
 * @param estimate the median, and the observations of the two ranks
 * @param achieved the level that this interval has; at least the level asked for
 * @param lowerRank rank of the lower limit among the observations, 1 being the smallest
 * @param upperRank rank of the upper limit
 */
public record MedianInterval(int n, Estimate estimate, double achieved, int lowerRank, int upperRank) {

    /**
     * The observations of rank k and n + 1 - k, with the largest k for which P(X &lt;= k - 1) is at most α/2, X
     * binomial with n trials of probability ½ (Thompson WR 1936, Ann Math Stat 7:122-128, doi:10.1214/aoms/1177732502;
     * from memory). The level achieved is 1 - 2 P(X &lt;= k - 1). Ties need nothing special.
     *
     * <p>No observations: {@link Reason#NO_DATA}. Too few for the level, at 95 % five or fewer: {@link
     * Reason#TOO_FEW_OBSERVATIONS}, the median shown. The exact binomial is used at every n, where other programs change
     * to a normal approximation.
     *
     * @param sample observations, independent of each other
     * @param confidence level, two-sided
     */
    public static Answer<MedianInterval> of(Sample sample, Confidence confidence) {
        int n = sample.n();
        if (n == 0) {
            return Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0));
        }
        int rank = (int) BinomialLaw.largestWithAtMost(confidence.tail(), n, 0.5) + 1;
        if (rank == 0) {
            return Answer.refused(
                    Reason.TOO_FEW_OBSERVATIONS, Shown.NOTHING.withN(n).withEstimate(sample.median()));
        }
        int mirrored = n + 1 - rank;
        return Answer.ok(new MedianInterval(
                n,
                Estimate.of(sample.median(), sample.ofRank(rank), sample.ofRank(mirrored)),
                1 - 2 * BinomialLaw.atMost(rank - 1, n, 0.5),
                rank,
                mirrored));
    }
}
