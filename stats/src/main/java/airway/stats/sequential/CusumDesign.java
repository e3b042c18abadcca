package airway.stats.sequential;

import java.util.function.IntPredicate;

/**
 * A cumulative sum of the outcomes of single cases, before there are any: what it is to tell apart, the limit at which it
 * signals, and how long that takes.
 *
 * <pre>{@code
 * CusumDesign design = CusumDesign.forVolume(Hypotheses.oddsChanged(0.38, 2), 48);
 * design.h();                 // the limit
 * design.inControl();         // cases between false alarms, on average
 * design.outOfControl();      // cases until a change that is there shows, on average
 * }</pre>
 *
 * <p>Run lengths count cases from a sum of 0 up to and including the signal, and are exact: with E the expected length of a
 * cycle from 0 until the sum is back at 0 or has reached the limit, and P the probability of the latter, the average is E/P
 * (Page ES 1954, Biometrika 41:100-115, doi:10.1093/biomet/41.1-2.100; for single cases Reynolds MR, Stoumbos ZG 1999, J Qual
 * Technol 31:87-108, doi:10.1080/00224065.1999.11979900; both from memory). Programs that round the scores to a grid differ
 * unless the scores are multiples of a common step. The distribution is close to geometric: one in ten false alarms comes within
 * a tenth of the average.
 *
 * @param hypotheses the probabilities of failure to be told apart
 * @param h the limit on the scale of the scores (natural logarithm of a likelihood ratio), in (0, 20]; a sum that reaches it
 *     signals
 */
public record CusumDesign(Hypotheses hypotheses, double h) {

    /** False alarms are kept this many years apart, on average, unless something else is asked for (house rule). */
    public static final double YEARS_BETWEEN_FALSE_ALARMS = 10;

    static final double HIGHEST_LIMIT = 20;

    private static final int STEPS_OF_H = 100;
    private static final double LONGEST_WANTED = 1e8;
    private static final int MOST_CASES = 10_000;
    private static final int MOST_WATCHED = 1_000;

    /** A share of the result that no longer changes it. */
    private static final double NEGLIGIBLE = 1e-14;

    /**
     * A design with a given limit.
     *
     * @throws IllegalArgumentException if the limit is not in (0, 20] or not a number
     */
    public CusumDesign {
        CusumPath.checkLimit(h);
    }

    /**
     * The design with the lowest limit, in steps of 0.01, at which false alarms are at least so many cases apart on average.
     *
     * @param hypotheses the probabilities of failure to be told apart
     * @param cases wanted average number of cases between false alarms, in [1, 10^8]
     * @throws IllegalArgumentException if the number of cases is out of range or not a number
     */
    public static CusumDesign forRunLength(Hypotheses hypotheses, double cases) {
        if (!(cases >= 1 && cases <= LONGEST_WANTED)) {
            throw new IllegalArgumentException("cases = " + cases + ", must be in [1, 10^8]");
        }
        // A false alarm is at least e^h cases away on average (Wald), so that the highest limit is always high enough.
        int steps = smallest(step -> at(hypotheses, step).inControl() >= cases);
        return at(hypotheses, steps);
    }

    /**
     * The design with the lowest limit at which false alarms are at least {@link #YEARS_BETWEEN_FALSE_ALARMS} years apart on
     * average.
     *
     * @param hypotheses the probabilities of failure to be told apart
     * @param casesPerYear yearly number of cases of the unit, in [0.1, 10^7]
     * @throws IllegalArgumentException if the number of cases is out of range or not a number
     */
    public static CusumDesign forVolume(Hypotheses hypotheses, double casesPerYear) {
        return forRunLength(hypotheses, YEARS_BETWEEN_FALSE_ALARMS * casesPerYear);
    }

    /**
     * The design with the lowest limit, in steps of 0.01, at which a signal among the first cases is at most so probable as long
     * as failures have the probability p₀.
     *
     * @param hypotheses the probabilities of failure to be told apart
     * @param cases number of cases, in [1, 1000]
     * @param most probability that is not exceeded, in [0.001, 0.5]
     * @throws IllegalArgumentException if a number is out of range or not a number
     */
    public static CusumDesign forChance(Hypotheses hypotheses, int cases, double most) {
        if (cases < 1 || cases > MOST_WATCHED) {
            throw new IllegalArgumentException("cases = " + cases + ", must be in [1, " + MOST_WATCHED + "]");
        } else if (!(most >= 0.001 && most <= 0.5)) {
            throw new IllegalArgumentException("most = " + most + ", must be in [0.001, 0.5]");
        }
        // Within n cases a signal by chance is at most n times as probable as e^-h (Wald), so that the highest limit is
        // high enough.
        int steps = smallest(step -> at(hypotheses, step).signalWithin(cases, hypotheses.p0()) <= most);
        return at(hypotheses, steps);
    }

    /** Average number of cases between false alarms, as long as failures have the probability p₀ (ARL₀). */
    public double inControl() {
        return runLength(hypotheses.p0());
    }

    /** Average number of cases until the signal when failures have the probability p₁ from the first case on (ARL₁). */
    public double outOfControl() {
        return runLength(hypotheses.p1());
    }

    /**
     * Average number of cases until the signal. Takes a few milliseconds at most, but seconds where failures of one in a
     * thousand meet a limit near 20.
     *
     * @param p probability of failure, in [0, 1]
     * @return 1 or more; infinite when there can be no signal, or none within 10^308 cases
     * @throws IllegalArgumentException if the probability is not in [0, 1] or not a number
     */
    public double runLength(double p) {
        check(p);
        Cycle cycle = new Cycle(this, p);
        double length = 1;
        double signal = 0;
        double alive = 1;
        while (alive > NEGLIGIBLE * Math.min(1, signal)) {
            cycle.advance();
            alive = cycle.alive();
            signal += cycle.signalled();
            length += alive;
        }
        return length / signal;
    }

    /**
     * Probability of a signal among the first cases, from a sum of 0 on.
     *
     * @param cases number of cases, in [0, 10000]
     * @param p probability of failure, in [0, 1]
     * @throws IllegalArgumentException if the number or the probability is out of range
     */
    public double signalWithin(int cases, double p) {
        check(p);
        if (cases < 0 || cases > MOST_CASES) {
            throw new IllegalArgumentException("cases = " + cases + ", must be in [0, " + MOST_CASES + "]");
        }
        double[] returned = new double[cases + 1];
        double[] signalled = new double[cases + 1];
        int longest = 0;
        Cycle cycle = new Cycle(this, p);
        for (double alive = 1; longest < cases && alive > 0; alive = cycle.alive()) {
            cycle.advance();
            longest++;
            returned[longest] = cycle.returned();
            signalled[longest] = cycle.signalled();
        }
        // A cycle begins with the first case, and wherever one has ended at 0.
        double[] begins = new double[cases + 1];
        begins[0] = 1;
        double signal = 0;
        for (int end = 1; end <= cases; end++) {
            for (int length = 1; length <= Math.min(end, longest); length++) {
                begins[end] += begins[end - length] * returned[length];
                signal += begins[end - length] * signalled[length];
            }
        }
        return Math.min(1, signal);
    }

    private static CusumDesign at(Hypotheses hypotheses, int steps) {
        return new CusumDesign(hypotheses, (double) steps / STEPS_OF_H);
    }

    /** The smallest number of steps that is enough, if the highest is. Low ones are tried first: they are answered faster. */
    private static int smallest(IntPredicate enough) {
        int most = (int) (HIGHEST_LIMIT * STEPS_OF_H);
        int high = STEPS_OF_H;
        while (high < most && !enough.test(high)) {
            high = Math.min(most, 2 * high);
        }
        int low = 0;
        while (high - low > 1) {
            int middle = (low + high) / 2;
            if (enough.test(middle)) {
                high = middle;
            } else {
                low = middle;
            }
        }
        return high;
    }

    private static void check(double p) {
        if (!(p >= 0 && p <= 1)) {
            throw new IllegalArgumentException("p = " + p + ", must be in [0, 1]");
        }
    }
}
