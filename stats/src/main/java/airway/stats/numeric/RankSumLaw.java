package airway.stats.numeric;

/** The distribution of the Mann-Whitney statistic without ties, when both groups come from one distribution. */
public final class RankSumLaw {

    private RankSumLaw() {}

    /**
     * P(W = w) for w from 0 to mn/2; the other half mirrors it.
     *
     * <p>By P(m, n; w) = m/(m + n) P(m - 1, n; w - n) + n/(m + n) P(m, n - 1; w): is the largest value of the first group
     * or of the second? Only positive terms, so that nothing cancels. Takes of the order of (mn)² steps.
     */
    public static double[] lowerHalf(int m, int n) {
        int half = m * n / 2;
        double[][] p = new double[m + 1][half + 1];
        for (double[] row : p) {
            row[0] = 1;
        }
        for (int j = 1; j <= n; j++) {
            for (int i = 1; i <= m; i++) {
                double largestIsFirst = (double) i / (i + j);
                for (int w = Math.min(half, i * j); w >= 0; w--) {
                    double before = w >= j ? p[i - 1][w - j] : 0;
                    p[i][w] = largestIsFirst * before + (1 - largestIsFirst) * p[i][w];
                }
            }
        }
        return p[m];
    }
}
