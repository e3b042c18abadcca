package airway.stats.strata;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Interval;
import airway.stats.Reason;
import airway.stats.Shown;
import java.util.List;
import java.util.function.ToDoubleFunction;

/**
 * One effect of the first group against the second, pooled over strata with the weights of Mantel and Haenszel. It means
 * something only where the effect is about the same in every stratum: see {@link BreslowDay}.
 *
 * <p>In the formulas a, b are successes and failures of the first group in a stratum, c, d of the second, n₁ = a + b, n₂ = c +
 * d, N all cases. Holds for few large strata and for many small ones.
 *
 * <p>A stratum that says nothing is left out and counted; none left: {@link Reason#NO_INFORMATIVE_STRATA}. No method adds one
 * half to a count of zero. Exchanging the groups changes the sign of the difference and inverts the ratios.
 */
public enum MantelHaenszel {

    /**
     * The risk difference, Σ(n₁n₂/N)(a/n₁ - c/n₂) / Σ(n₁n₂/N), with the variance of Sato T, Greenland S, Robins JM (1989, Biometrics
     * 45:1323-1324); from memory. Clipped to [-1, 1]. The default
     * of the three: it is in percentage points.
     *
     * <p>A stratum counts when both groups have cases; one where all succeed counts too. A variance of 0, as when a single
     * stratum has nothing but successes against nothing but failures: {@link Reason#NO_VARIATION}, the difference shown.
     */
    RISK_DIFFERENCE {
        @Override
        boolean counts(Stratum stratum) {
            return stratum.comparable();
        }

        @Override
        Answer<StratifiedEffect> pool(List<Stratum> strata, int leftOut, Confidence confidence) {
            double weight = sum(strata, s -> n1(s) * n2(s) / s.cases());
            double difference = sum(strata, s -> (a(s) * n2(s) - c(s) * n1(s)) / s.cases()) / weight;
            double cross = sum(strata, s -> {
                double n = s.cases();
                return (n1(s) * n1(s) * c(s) - n2(s) * n2(s) * a(s) + n1(s) * n2(s) * (n2(s) - n1(s)) / 2) / n / n;
            });
            double spread = sum(strata, s -> (a(s) * d(s) + c(s) * b(s)) / 2 / s.cases());
            double variance = difference * cross + spread;
            if (variance <= ROUNDING * spread) {
                return Answer.refused(Reason.NO_VARIATION, Shown.NOTHING.withEstimate(difference));
            }
            double standardError = Math.sqrt(variance) / weight;
            double half = confidence.z() * standardError;
            return Answer.ok(new StratifiedEffect(
                    new Estimate(difference, new Interval(difference - half, difference + half).clippedTo(-1, 1)),
                    standardError,
                    strata.size(),
                    leftOut));
        }
    },

    /**
     * The risk ratio, Σ(a n₂/N) / Σ(c n₁/N), its logarithm with the variance of Greenland S, Robins JM (1985, Biometrics
     * 41:55-68, doi:10.2307/2530643); from memory.
     *
     * <p>A stratum counts when both groups have cases and there is a success. No success in one of the groups: {@link
     * Reason#ZERO_CELL}. Nothing but successes: {@link Reason#NO_VARIATION}, the ratio shown.
     */
    RISK_RATIO {
        @Override
        boolean counts(Stratum stratum) {
            return stratum.comparable() && stratum.successes() > 0;
        }

        @Override
        Answer<StratifiedEffect> pool(List<Stratum> strata, int leftOut, Confidence confidence) {
            double above = sum(strata, s -> a(s) * n2(s) / s.cases());
            double below = sum(strata, s -> c(s) * n1(s) / s.cases());
            double spread = sum(strata, s -> {
                double n = s.cases();
                return (n1(s) * n2(s) * s.successes() / n - a(s) * c(s)) / n;
            });
            return ratio(above, below, spread / above / below, strata.size(), leftOut, confidence);
        }
    },

    /**
     * The odds ratio, Σ(ad/N) / Σ(bc/N) (Mantel N, Haenszel W 1959, J Natl Cancer Inst 22:719-748,
     * doi:10.1093/jnci/22.4.719), its logarithm with the variance of Robins J, Breslow N, Greenland S (1986, Biometrics
     * 42:311-323, doi:10.2307/2531052); from memory.
     *
     * <p>A stratum counts when all four margins are above 0. Σ(ad/N) or Σ(bc/N) of 0: {@link Reason#ZERO_CELL}. Equal to
     * {@code mantelhaen.test} of R.
     */
    ODDS_RATIO {
        @Override
        boolean counts(Stratum stratum) {
            return stratum.informative();
        }

        @Override
        Answer<StratifiedEffect> pool(List<Stratum> strata, int leftOut, Confidence confidence) {
            double above = sum(strata, s -> a(s) * d(s) / s.cases());
            double below = sum(strata, s -> b(s) * c(s) / s.cases());
            double variance = sum(strata, s -> {
                double n = s.cases();
                double shares = a(s) * d(s) / n / above + b(s) * c(s) / n / below;
                return shares * ((a(s) + d(s)) / n / above + (b(s) + c(s)) / n / below) / 2;
            });
            return ratio(above, below, variance, strata.size(), leftOut, confidence);
        }
    };

    private static final double ROUNDING = 1e-12;

    /**
     * The effect with its interval.
     *
     * @param strata the groups in each stratum
     * @param confidence level, two-sided
     */
    public Answer<StratifiedEffect> of(List<Stratum> strata, Confidence confidence) {
        List<Stratum> counted = strata.stream().filter(this::counts).toList();
        return counted.isEmpty()
                ? Answer.refused(Reason.NO_INFORMATIVE_STRATA)
                : pool(counted, strata.size() - counted.size(), confidence);
    }

    /** Whether the stratum says something about this effect. */
    abstract boolean counts(Stratum stratum);

    abstract Answer<StratifiedEffect> pool(List<Stratum> strata, int leftOut, Confidence confidence);

    /** The pooled odds ratio alone; NaN, 0 or infinite without informative strata or with a sum of 0. */
    static double oddsRatio(List<Stratum> strata) {
        return sum(strata, s -> a(s) * d(s) / s.cases()) / sum(strata, s -> b(s) * c(s) / s.cases());
    }

    private static Answer<StratifiedEffect> ratio(
            double above, double below, double logVariance, int used, int leftOut, Confidence confidence) {
        if (above == 0 || below == 0) {
            return Answer.refused(Reason.ZERO_CELL);
        }
        double ratio = above / below;
        if (logVariance <= 0) {
            return Answer.refused(Reason.NO_VARIATION, Shown.NOTHING.withEstimate(ratio));
        }
        double standardError = Math.sqrt(logVariance);
        double spread = Math.exp(confidence.z() * standardError);
        return Answer.ok(
                new StratifiedEffect(Estimate.of(ratio, ratio / spread, ratio * spread), standardError, used, leftOut));
    }

    private static double sum(List<Stratum> strata, ToDoubleFunction<Stratum> term) {
        return strata.stream().mapToDouble(term).sum();
    }

    private static double a(Stratum s) {
        return s.first().x();
    }

    private static double b(Stratum s) {
        return s.first().failures();
    }

    private static double c(Stratum s) {
        return s.second().x();
    }

    private static double d(Stratum s) {
        return s.second().failures();
    }

    private static double n1(Stratum s) {
        return s.first().n();
    }

    private static double n2(Stratum s) {
        return s.second().n();
    }
}
