package airway.stats.sequential;

import airway.stats.Answer;
import airway.stats.Proportion;
import airway.stats.Reason;
import java.util.OptionalDouble;

/**
 * Two probabilities of failure that a sequential chart is to tell apart: the one that holds until something changes, and the
 * one that should be noticed.
 *
 * <p>Each case scores the logarithm of its likelihood ratio (Wald A 1945, Ann Math Stat 16:117-186,
 * doi:10.1214/aoms/1177731118; from memory): a failure ln(p₁/p₀), a success ln((1 - p₁)/(1 - p₀)).
 *
 * @param p0 probability of failure as long as nothing has changed, in [0.001, 0.999]; from a baseline or a target, never from
 *     the cases that are judged
 * @param p1 probability of failure that is to be noticed, in [0.001, 0.999]; above p0 for a deterioration, below for an
 *     improvement
 */
public record Hypotheses(double p0, double p1) {

    private static final double LEAST = 0.001;
    private static final double MOST = 0.999;

    /** Odds that differ by less than this factor take thousands of cases to tell apart. */
    private static final double SMALLEST_ODDS_RATIO = 1.5;

    /** For a ratio of the odds that is exactly the smallest, but for rounding. */
    private static final double ROUNDING = 1e-9;

    /**
     * Two probabilities to be told apart.
     *
     * @throws IllegalArgumentException if one is not in [0.001, 0.999] or not a number, or if the larger odds are less than 1.5
     *     times the smaller
     */
    public Hypotheses {
        check("p0", p0);
        check("p1", p1);
        double ratio = Math.exp(Math.abs(logOdds(p1) - logOdds(p0)));
        if (ratio < SMALLEST_ODDS_RATIO - ROUNDING) {
            throw new IllegalArgumentException("p1 = " + p1 + ", must be at odds at least " + SMALLEST_ODDS_RATIO
                    + " times as large or as small as p0 = " + p0);
        }
    }

    /**
     * A probability of failure, and the one whose odds are a multiple of its odds.
     *
     * @param p0 probability of failure as long as nothing has changed
     * @param oddsRatio multiple of the odds that is to be noticed: 2 for doubled, 0.5 for halved
     * @throws IllegalArgumentException if the ratio is not above 0 and finite, or the probabilities cannot be
     */
    public static Hypotheses oddsChanged(double p0, double oddsRatio) {
        checkOddsRatio(oddsRatio);
        check("p0", p0);
        return new Hypotheses(p0, multipliedOdds(p0, oddsRatio));
    }

    /**
     * The failures of a baseline, and odds that are a multiple of theirs.
     *
     * <p>No cases: {@link Reason#NO_DATA}. Either probability outside [0.001, 0.999], as when all cases of the baseline ended
     * alike: {@link Reason#NO_VARIATION}. The baseline is taken as if it were known for sure: with few cases the run lengths
     * that follow from it are as uncertain as it is.
     *
     * @param failures failures among the cases of the baseline
     * @param oddsRatio multiple of the odds that is to be noticed, at least 1.5 or at most 1/1.5
     * @throws IllegalArgumentException if the ratio is out of range
     */
    public static Answer<Hypotheses> fromBaseline(Proportion failures, double oddsRatio) {
        checkOddsRatio(oddsRatio);
        if (failures.isEmpty()) {
            return Answer.refused(Reason.NO_DATA);
        }
        double p0 = failures.value();
        double p1 = multipliedOdds(p0, oddsRatio);
        return isPossible(p0) && isPossible(p1)
                ? Answer.ok(new Hypotheses(p0, p1))
                : Answer.refused(Reason.NO_VARIATION);
    }

    /** What a failure adds: ln(p₁/p₀), above 0 when a deterioration is looked for. */
    public double failureScore() {
        return Math.log(p1 / p0);
    }

    /** What a success adds: ln((1 - p₁)/(1 - p₀)), below 0 when a deterioration is looked for. */
    public double successScore() {
        return Math.log((1 - p1) / (1 - p0));
    }

    /** What a case adds; empty where the outcome is unknown. */
    OptionalDouble score(Outcome outcome) {
        return switch (outcome) {
            case FAILURE -> OptionalDouble.of(failureScore());
            case SUCCESS -> OptionalDouble.of(successScore());
            case UNKNOWN -> OptionalDouble.empty();
        };
    }

    /** Refuses a ratio of odds that is not above 0 and finite. */
    static void checkOddsRatio(double oddsRatio) {
        if (!(oddsRatio > 0 && oddsRatio < Double.POSITIVE_INFINITY)) {
            throw new IllegalArgumentException("oddsRatio = " + oddsRatio + ", must be above 0 and finite");
        }
    }

    private static double multipliedOdds(double p, double oddsRatio) {
        return oddsRatio * p / (1 - p + oddsRatio * p);
    }

    private static double logOdds(double p) {
        return Math.log(p / (1 - p));
    }

    private static boolean isPossible(double p) {
        return p >= LEAST && p <= MOST;
    }

    private static void check(String name, double p) {
        if (!isPossible(p)) {
            throw new IllegalArgumentException(name + " = " + p + ", must be in [" + LEAST + ", " + MOST + "]");
        }
    }
}
