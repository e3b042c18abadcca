package airway.stats.strata;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.Reason;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.stream.IntStream;

/**
 * Two or more groups compared as if each had met the same mix of cases: direct standardisation to the mix of all groups
 * together, with intervals that hold in small strata.
 *
 * <pre>{@code
 * LikeForLike.ofTwo(
 *         List.of(new Stratum(new Proportion(27, 30), new Proportion(84, 100)),
 *                 new Stratum(new Proportion(63, 90), new Proportion(15, 25))),
 *         Confidence.DEFAULT)   // 0.079, -0.048 to 0.193
 * }</pre>
 *
 * @param groups the groups, in the order given
 * @param pairs every two groups compared, (1, 2), (1, 3) and so on
 * @param strataUsed numbers, from 1, of the strata in which every group has cases
 * @param strataLeftOut numbers of the others, which a screen has to name
 */
public record LikeForLike(List<Group> groups, List<Pair> pairs, List<Integer> strataUsed, List<Integer> strataLeftOut) {

    /** Differences closer to 0 are rounding and have no sign. */
    private static final double ROUNDING = 1e-12;

    /** Copies of the lists. */
    public LikeForLike {
        groups = List.copyOf(groups);
        pairs = List.copyOf(pairs);
        strataUsed = List.copyOf(strataUsed);
        strataLeftOut = List.copyOf(strataLeftOut);
    }

    /**
     * One group, as recorded and like for like.
     *
     * @param recorded successes among cases in all strata, also those left out
     * @param standardised the proportion in the common mix of cases, with limits in [0, 1]
     */
    public record Group(Proportion recorded, Estimate standardised) {}

    /**
     * Two groups compared.
     *
     * @param first number of the first group, from 1
     * @param second number of the second group
     * @param recorded difference of the proportions as recorded, first less second
     * @param difference difference of the standardised proportions, with limits in [-1, 1]
     * @param p two-sided p-value: 1 less the largest confidence at which the interval leaves out 0; this is what {@link
     *     airway.stats.compare.Multiplicity} adjusts
     * @param strataAgainst number of strata used whose own difference has the sign opposite to the one as recorded
     */
    public record Pair(int first, int second, double recorded, Estimate difference, double p, int strataAgainst) {

        /** Whether the difference as recorded and the one like for like have opposite signs (Simpson's paradox). */
        public boolean reversal() {
            return opposite(recorded, difference.value());
        }
    }

    /**
     * Compares two groups, see {@link #of}.
     *
     * @param strata the groups in each stratum
     * @param confidence level, two-sided
     */
    public static Answer<LikeForLike> ofTwo(List<Stratum> strata, Confidence confidence) {
        return of(strata.stream().map(Stratum::groups).toList(), confidence);
    }

    /**
     * Compares two or more groups. Each stratum weighs as many as all its cases, w; a group has S = Σ w p with limits S -
     * √Σ(w(p - l))² and S + √Σ(w(u - p))², where l, u are the Wilson limits of each stratum; two groups differ by d = S₁ - S₂
     * with limits d - √((S₁ - l₁)² + (u₂ - S₂)²) and d + √((u₁ - S₁)² + (S₂ - l₂)²). This combination of limits by squares
     * (MOVER) is Newcombe's (1998, Stat Med 17:873-890, doi:10.1002/(SICI)1097-0258(19980430)17:8&lt;873::AID-SIM779&gt;3.0.CO;2-I)
     * and, for weighted sums, that of Zou GY, Donner A (2008, Stat Med 27:1693-1702, doi:10.1002/sim.3095); both from
     * memory. With a single stratum it is Newcombe's interval.
     *
     * <p>Simulated coverage at 95 % with 2 to 20 cases a group and stratum: 93 to 97 % where 60 to 95 % succeed, 98 to 99 %
     * where nearly all do, 91 to 93 % where about half do. With 2 to 5 cases and about half succeeding it falls to 84 to 90 %,
     * the lower the more strata there are: strata of so few are better made wider.
     *
     * <p>A stratum in which a group has no cases is left out for every group, so that all stand for the same mix; none
     * left: {@link Reason#NO_INFORMATIVE_STRATA}. One group: {@link Reason#SINGLE_GROUP}. A pair that turns round brings
     * {@link Caution#REVERSAL}: the difference as recorded is then not to be shown first.
     *
     * @param strata for each stratum the groups, always as many and in the same order; a group may be empty
     * @param confidence level, two-sided
     * @throws IllegalArgumentException if the strata have different numbers of groups, or a group more than 10^9 cases in all
     */
    public static Answer<LikeForLike> of(List<List<Proportion>> strata, Confidence confidence) {
        if (strata.isEmpty()) {
            return Answer.refused(Reason.NO_INFORMATIVE_STRATA);
        }
        int number = strata.get(0).size();
        for (int k = 0; k < strata.size(); k++) {
            if (strata.get(k).size() != number) {
                throw new IllegalArgumentException(
                        "groups of stratum " + (k + 1) + " = " + strata.get(k).size() + ", must be " + number);
            }
        }
        if (number < 2) {
            return Answer.refused(Reason.SINGLE_GROUP);
        }
        List<Integer> used = new ArrayList<>();
        List<Integer> leftOut = new ArrayList<>();
        for (int k = 1; k <= strata.size(); k++) {
            (strata.get(k - 1).stream().anyMatch(Proportion::isEmpty) ? leftOut : used).add(k);
        }
        if (used.isEmpty()) {
            return Answer.refused(Reason.NO_INFORMATIVE_STRATA);
        }
        List<List<Proportion>> shared =
                used.stream().map(k -> strata.get(k - 1)).toList();
        double[] weights = WeightedArm.sharesOfCases(shared);
        List<WeightedArm> arms = IntStream.range(0, number)
                .mapToObj(g -> WeightedArm.of(shared, g, weights))
                .toList();
        List<Proportion> recorded = IntStream.range(0, number)
                .mapToObj(
                        g -> total(strata.stream().map(groups -> groups.get(g)).toList()))
                .toList();
        List<Pair> pairs = new ArrayList<>();
        for (int a = 0; a < number; a++) {
            for (int b = a + 1; b < number; b++) {
                double asRecorded = recorded.get(a).value() - recorded.get(b).value();
                WeightedArm first = arms.get(a);
                WeightedArm second = arms.get(b);
                pairs.add(new Pair(
                        a + 1,
                        b + 1,
                        asRecorded,
                        first.less(second, confidence.z()),
                        first.p(second),
                        first.strataAgainst(second, asRecorded)));
            }
        }
        return Answer.ok(
                new LikeForLike(
                        IntStream.range(0, number)
                                .mapToObj(g ->
                                        new Group(recorded.get(g), arms.get(g).estimate(confidence.z())))
                                .toList(),
                        pairs,
                        used,
                        leftOut),
                pairs.stream().anyMatch(Pair::reversal) ? Set.of(Caution.REVERSAL) : Set.of());
    }

    /** Whether two differences have opposite signs, rounding left aside. */
    static boolean opposite(double one, double other) {
        return Math.abs(one) > ROUNDING && Math.abs(other) > ROUNDING && Math.signum(one) != Math.signum(other);
    }

    /** All cases of one group. */
    static Proportion total(List<Proportion> parts) {
        long x = 0;
        long n = 0;
        for (Proportion part : parts) {
            x += part.x();
            n += part.n();
        }
        return new Proportion(x, n);
    }
}
