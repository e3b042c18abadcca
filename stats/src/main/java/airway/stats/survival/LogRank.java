package airway.stats.survival;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.Shown;
import airway.stats.numeric.GammaLaw;
import java.util.List;
import java.util.stream.Stream;

/**
 * Do two groups differ in how long it takes?
 *
 * @param chi2 the statistic, on 1 degree of freedom
 * @param p P(chi-square >= chi2)
 * @param observedFirst events of the first group
 * @param expectedFirst events of the first group to be expected if the groups do not differ
 * @param observedSecond events of the second group
 * @param expectedSecond events of the second group to be expected
 */
public record LogRank(
        double chi2, double p, int observedFirst, double expectedFirst, int observedSecond, double expectedSecond) {

    /**
     * (O - E)²/V: at each time with d events among n at risk, n₁ of them in the first group, its share d n₁/n is expected, with the
     * hypergeometric variance d (n₁/n)(1 - n₁/n)(n - d)/(n - 1) (Mantel N 1966, Cancer Chemother Rep 50:163-170, which has no
     * DOI; Peto R, Peto J 1972, J R Stat Soc A 135:185-207, doi:10.2307/2344317; both from memory). It sees best a difference that goes the same way throughout; curves that cross may have a large p.
     *
     * <p>No cases: {@link Reason#NO_DATA}. A group without cases: {@link Reason#SINGLE_GROUP}. No events: {@link
     * Reason#NO_EVENTS}. Nobody of one group still at risk at any event, so that nothing is compared: {@link
     * Reason#NO_VARIATION}. Equal to {@code survdiff} of R.
     *
     * @param first cases of the first group
     * @param second cases of the second group
     */
    public static Answer<LogRank> of(List<Observation> first, List<Observation> second) {
        int n = first.size() + second.size();
        if (first.isEmpty() || second.isEmpty()) {
            return Answer.refused(n == 0 ? Reason.NO_DATA : Reason.SINGLE_GROUP, Shown.NOTHING.withN(n));
        }
        List<RiskSets.AtTime> sets =
                RiskSets.of(Stream.concat(first.stream(), second.stream()).toList());
        if (sets.isEmpty()) {
            return Answer.refused(Reason.NO_EVENTS, Shown.NOTHING.withN(n));
        }
        double[] endings =
                first.stream().mapToDouble(Observation::time).sorted().toArray();
        int ended = 0;
        double expected = 0;
        double variance = 0;
        int events = 0;
        for (RiskSets.AtTime set : sets) {
            while (ended < endings.length && endings[ended] < set.time()) {
                ended++;
            }
            double share = (double) (endings.length - ended) / set.atRisk();
            expected += set.events() * share;
            if (set.atRisk() > 1) {
                variance += set.events() * share * (1 - share) * (set.atRisk() - set.events()) / (set.atRisk() - 1.0);
            }
            events += set.events();
        }
        if (variance == 0) {
            return Answer.refused(Reason.NO_VARIATION, Shown.NOTHING.withN(n));
        }
        int observed = (int) first.stream().filter(Observation::event).count();
        double chi2 = (observed - expected) * (observed - expected) / variance;
        return Answer.ok(new LogRank(
                chi2, GammaLaw.chiSquareUpperTail(chi2, 1), observed, expected, events - observed, events - expected));
    }

    /** Degrees of freedom: 1. */
    public int df() {
        return 1;
    }
}
