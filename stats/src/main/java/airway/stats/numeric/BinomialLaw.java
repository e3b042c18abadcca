package airway.stats.numeric;

import org.apache.commons.math3.distribution.BinomialDistribution;
import org.apache.commons.math3.special.Beta;

/** The binomial distribution with n trials of probability p in (0, 1). */
public final class BinomialLaw {

    /** Outcomes whose probabilities differ by no more than this share count as equally probable. */
    private static final double TIE = 1e-7;

    private BinomialLaw() {}

    /** ln of n over k, k in [0, n]. */
    public static double logChoose(long n, long k) {
        return -Math.log1p((double) n) - Beta.logBeta(k + 1.0, n - k + 1.0);
    }

    /** P(X = k), k in [0, n], n below 2^31: by the library's saddle point, exact enough for ties among thousands of millions. */
    public static double probability(long k, long n, double p) {
        return new BinomialDistribution(null, Math.toIntExact(n), p).probability(Math.toIntExact(k));
    }

    /** P(X <= k). */
    public static double atMost(long k, long n, double p) {
        if (k < 0) {
            return 0;
        }
        return k >= n ? 1 : BetaLaw.cumulative(1 - p, (double) (n - k), k + 1.0);
    }

    /** P(X >= k). */
    public static double atLeast(long k, long n, double p) {
        if (k > n) {
            return 0;
        }
        return k <= 0 ? 1 : BetaLaw.cumulative(p, (double) k, n - k + 1.0);
    }

    /** The largest k with P(X <= k) of no more than q, q in [0, 1); -1 if there is none. */
    public static long largestWithAtMost(double q, long n, double p) {
        long low = -1;
        long high = n;
        while (low < high) {
            long middle = low + (high - low + 1) / 2;
            if (atMost(middle, n, p) <= q) {
                low = middle;
            } else {
                high = middle - 1;
            }
        }
        return low;
    }

    /** Two-sided p-value of x: the probability of all outcomes that are no more probable than x. */
    public static double twoSided(long x, long n, double p) {
        long mode = Math.min(n, (long) Math.floor((n + 1) * p));
        double asProbable = probability(x, n, p) * (1 + TIE);
        if (x <= mode) {
            long other = firstAtMost(asProbable, Math.max(mode, x + 1), n, p);
            return Math.min(1, atMost(x, n, p) + atLeast(other, n, p));
        }
        return twoSided(n - x, n, 1 - p);
    }

    /** The first k of from..n, on the falling side, with a probability of no more than the bound; n + 1 if none. */
    private static long firstAtMost(double bound, long from, long n, double p) {
        long low = from;
        long high = n + 1;
        while (low < high) {
            long middle = (low + high) / 2;
            if (probability(middle, n, p) <= bound) {
                high = middle;
            } else {
                low = middle + 1;
            }
        }
        return low;
    }
}
