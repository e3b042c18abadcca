package airway.stats.compare;

import airway.stats.Sample;
import airway.stats.numeric.NormalLaw;
import java.util.Arrays;

/** Two samples ranked together, and how unusual the rank sum of the first is. */
final class Ranks {

    /** Twice the ranks: observations that are equal share their mean rank, and twice that is a whole number. */
    private final int[] doubled;

    private final int m;
    private final long doubledSum;
    private final double tied;

    private Ranks(int[] doubled, int m, long doubledSum, double tied) {
        this.doubled = doubled;
        this.m = m;
        this.doubledSum = doubledSum;
        this.tied = tied;
    }

    static Ranks of(Sample first, Sample second) {
        int m = first.n();
        double[] all = Arrays.copyOf(first.sorted(), m + second.n());
        System.arraycopy(second.sorted(), 0, all, m, second.n());
        Arrays.sort(all);
        int[] doubled = new int[all.length];
        long sum = 0;
        double tied = 0;
        int taken = 0;
        int start = 0;
        while (start < all.length) {
            int end = start;
            while (end < all.length && all[end] == all[start]) {
                end++;
            }
            // Ranks start + 1 to end share their mean.
            int twiceTheMean = start + 1 + end;
            Arrays.fill(doubled, start, end, twiceTheMean);
            while (taken < m && first.ofRank(taken + 1) == all[start]) {
                sum += twiceTheMean;
                taken++;
            }
            tied += cubeLess(end - start);
            start = end;
        }
        return new Ranks(doubled, m, sum, tied / cubeLess(all.length));
    }

    /** Rank sum of the first sample. */
    double sum() {
        return doubledSum / 2.0;
    }

    /** Whether all observations are equal. */
    boolean allTied() {
        return tied == 1;
    }

    /** Share of all allocations of the ranks to the two samples whose rank sum is at least as far from its mean. */
    double permutationP() {
        int n = doubled.length - m;
        int chosen = Math.min(m, n);
        int largest = Arrays.stream(doubled).skip(doubled.length - chosen).sum();
        // ways[j][s]: in how many ways j of the observations seen so far have doubled ranks that add up to s.
        double[][] ways = new double[chosen + 1][largest + 1];
        ways[0][0] = 1;
        for (int rank : doubled) {
            for (int j = chosen; j >= 1; j--) {
                for (int s = largest; s >= rank; s--) {
                    ways[j][s] += ways[j - 1][s - rank];
                }
            }
        }
        long distance = Math.abs(doubledSum - doubledMean(m));
        double asFar = 0;
        double all = 0;
        for (int s = 0; s <= largest; s++) {
            all += ways[chosen][s];
            asFar += Math.abs(s - doubledMean(chosen)) >= distance ? ways[chosen][s] : 0;
        }
        return asFar / all;
    }

    /** Normal approximation, the variance corrected for ties, with a continuity correction of one half. */
    double normalP() {
        double all = doubled.length;
        double variance = m * (all - m) / 12 * (all + 1) * (1 - tied);
        double distance = Math.abs(doubledSum - doubledMean(m)) / 2.0;
        return NormalLaw.twoSided(Math.max(0, distance - 0.5) / Math.sqrt(variance));
    }

    private long doubledMean(int size) {
        return (long) size * (doubled.length + 1);
    }

    private static double cubeLess(double t) {
        return t * t * t - t;
    }
}
