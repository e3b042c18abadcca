package airway.stats.funnel;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.Shown;
import airway.stats.chart.Limits;
import airway.stats.chart.Signal;
import airway.stats.numeric.BinomialLaw;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.IntStream;

/**
 * Proportions of units against their numbers of cases, with exact limits about a target (Spiegelhalter DJ 2005, Stat Med
 * 24:1185-1202, doi:10.1002/sim.1970; abstract read, interpolation from memory).
 *
 * <p>For n cases and a tail q, with r the smallest number with F(r) of at least q of the binomial, the limit is (r - (F(r) -
 * q)/f(r))/n, clipped to [0, 1]; q is 0.025 and 0.975, and 0.001 and 0.999. A unit lies outside only strictly beyond a limit.
 * Programs that take the normal distribution differ with few cases.
 *
 * <p>Of 20 units one lies outside the 95 % limits by chance: only the 99.8 % limits ask for a look. {@link
 * Caution#OVERDISPERSED} says that the units scatter more than chance ({@link Overdispersion}), so that limits are too narrow.
 *
 * @param target the proportion that all units are held against
 * @param points the units in the order given
 */
public record FunnelPlot(double target, List<FunnelPoint> points) {

    private static final double USUAL_TAIL = 0.025;
    private static final double FAR_TAIL = 0.001;

    /** A plot with a copy of the points. */
    public FunnelPlot {
        points = List.copyOf(points);
    }

    /**
     * The units about the proportion of all of them together.
     *
     * <p>No cases at all: {@link Reason#NO_DATA}. One unit with cases, which could only be held against itself: {@link
     * Reason#SINGLE_UNIT}. Nothing but successes, or none: {@link Reason#ZERO_WIDTH_LIMITS}. A refusal shows the number of units
     * with cases and the proportion.
     *
     * @param units successes among cases of each unit; 0 of 0 has no point
     */
    public static Answer<FunnelPlot> of(List<Proportion> units) {
        long cases = units.stream().mapToLong(Proportion::n).sum();
        if (cases == 0) {
            return Answer.refused(Reason.NO_DATA);
        }
        double target = (double) units.stream().mapToLong(Proportion::x).sum() / cases;
        long withCases = units.stream().filter(unit -> !unit.isEmpty()).count();
        Shown shown = Shown.NOTHING.withN(withCases).withEstimate(target);
        if (withCases == 1) {
            return Answer.refused(Reason.SINGLE_UNIT, shown);
        }
        return target == 0 || target == 1 ? Answer.refused(Reason.ZERO_WIDTH_LIMITS, shown) : about(target, units);
    }

    /**
     * The units about a target from outside.
     *
     * <p>No cases at all: {@link Reason#NO_DATA}.
     *
     * @param units successes among cases of each unit; 0 of 0 has no point
     * @param target the proportion that all units are held against, in (0, 1)
     * @throws IllegalArgumentException if the target is not in (0, 1) or not a number
     */
    public static Answer<FunnelPlot> of(List<Proportion> units, double target) {
        if (!(target > 0 && target < 1)) {
            throw new IllegalArgumentException("target = " + target + ", must be in (0, 1)");
        }
        return units.stream().allMatch(Proportion::isEmpty) ? Answer.refused(Reason.NO_DATA) : about(target, units);
    }

    /** Numbers of the units strictly beyond the 95 % limits: 1 in 20 by chance alone. */
    public List<Integer> outsideUsual() {
        return outside(FunnelPoint::usual);
    }

    /** Numbers of the units strictly beyond the 99.8 % limits: 1 in 500 by chance alone. */
    public List<Integer> outsideFar() {
        return outside(FunnelPoint::far);
    }

    private List<Integer> outside(Function<FunnelPoint, Optional<Limits>> limits) {
        return points.stream()
                .filter(point -> limits.apply(point)
                        .map(its -> its.judge(point.counts().value()) != Signal.NONE)
                        .orElse(false))
                .map(FunnelPoint::number)
                .toList();
    }

    private static Answer<FunnelPlot> about(double target, List<Proportion> units) {
        List<FunnelPoint> points = IntStream.range(0, units.size())
                .mapToObj(i -> new FunnelPoint(
                        i + 1,
                        units.get(i),
                        limits(units.get(i).n(), target, USUAL_TAIL),
                        limits(units.get(i).n(), target, FAR_TAIL)))
                .toList();
        boolean excessive = Overdispersion.about(target, units, Overdispersion.WINSORISED)
                .map(Overdispersion::excessive)
                .toOptional()
                .orElse(false);
        return Answer.ok(new FunnelPlot(target, points), excessive ? Set.of(Caution.OVERDISPERSED) : Set.of());
    }

    private static Optional<Limits> limits(long n, double target, double tail) {
        return n == 0
                ? Optional.empty()
                : Optional.of(new Limits(limit(n, target, tail), target, limit(n, target, 1 - tail)));
    }

    private static double limit(long n, double target, double q) {
        long r = BinomialLaw.largestWithAtMost(Math.nextDown(q), n, target) + 1;
        double within = (BinomialLaw.atMost(r, n, target) - q) / BinomialLaw.probability(r, n, target);
        return Math.max(0, Math.min(1, (r - within) / n));
    }
}
