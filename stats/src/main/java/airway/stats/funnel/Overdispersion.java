package airway.stats.funnel;

import airway.stats.Answer;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.Shown;
import airway.stats.chart.Limits;
import airway.stats.numeric.GammaLaw;
import airway.stats.numeric.NormalLaw;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.LongToDoubleFunction;

/**
 * Do units scatter about their target more than chance explains, and how wide are limits that allow for it (Spiegelhalter DJ
 * 2005, Stat Med 24:1185-1202, doi:10.1002/sim.1970, section 4; abstract read, formulas from memory)?
 *
 * <p>z = (x/n - θ)/√(θ(1 - θ)/n); with the tenth that lies farthest on either side pulled in to the next value (winsorised) φ =
 * Σz²/I over I units, against chi-square with I degrees of freedom. Limits θ ± 3.09 √(φθ(1 - θ)/n) where φ exceeds 1, or θ ± 3.09
 * √(θ(1 - θ)/n + τ²) with τ² = max(0, (Iφ - (I - 1))/(Σw - Σw²/Σw)), w = n/(θ(1 - θ)); clipped to [0, 1]. First look for what
 * makes units differ: wider limits hide real differences too.
 *
 * @param target the proportion that all units are held against, θ
 * @param z distance of each unit from the target in its standard deviations, as seen; none without cases
 * @param phi ratio of the scatter to that by chance, φ
 * @param tau2 variance between units, τ²
 * @param p P(chi-square > Iφ)
 * @param multiplicative the 99.8 % limits of each unit widened by √φ; none without cases
 * @param additive the 99.8 % limits of each unit with the variance between units added; none without cases
 */
public record Overdispersion(
        double target,
        List<OptionalDouble> z,
        double phi,
        double tau2,
        double p,
        List<Optional<Limits>> multiplicative,
        List<Optional<Limits>> additive) {

    /** Share of the units on either side whose distance is pulled in, unless another is asked for. */
    public static final double WINSORISED = 0.1;

    /** Units with cases below which their scatter is not judged (house rule). */
    public static final int FEWEST_UNITS = 10;

    private static final double FAR = NormalLaw.upperQuantile(0.001);
    private static final double ALARMING_P = 0.01;
    private static final double ALARMING_PHI = 1.5;

    /** An answer with copies of the lists. */
    public Overdispersion {
        z = List.copyOf(z);
        multiplicative = List.copyOf(multiplicative);
        additive = List.copyOf(additive);
    }

    /**
     * The scatter of units about the proportion of all of them together.
     *
     * <p>No cases at all: {@link Reason#NO_DATA}. Fewer than {@value #FEWEST_UNITS} units with cases: {@link
     * Reason#TOO_FEW_UNITS}. Nothing but successes, or none: {@link Reason#ZERO_WIDTH_LIMITS}. A refusal shows the number of
     * units with cases, and the proportion if there is one.
     *
     * @param units successes among cases of each unit; 0 of 0 does not count
     * @param winsorised share of the units on either side whose distance is pulled in, in [0, 0.4]; usually {@link #WINSORISED}
     * @throws IllegalArgumentException if the share is not in [0, 0.4] or not a number
     */
    public static Answer<Overdispersion> of(List<Proportion> units, double winsorised) {
        if (!(winsorised >= 0 && winsorised <= 0.4)) {
            throw new IllegalArgumentException("winsorised = " + winsorised + ", must be in [0, 0.4]");
        }
        long cases = units.stream().mapToLong(Proportion::n).sum();
        if (cases == 0) {
            return Answer.refused(Reason.NO_DATA);
        }
        double target = (double) units.stream().mapToLong(Proportion::x).sum() / cases;
        return about(target, units, winsorised);
    }

    /** Whether the scatter deserves a caution: p below 0.01 and φ above 1.5 (house rule, as on control charts). */
    public boolean excessive() {
        return p < ALARMING_P && phi > ALARMING_PHI;
    }

    static Answer<Overdispersion> about(double target, List<Proportion> units, double winsorised) {
        List<Proportion> known = units.stream().filter(unit -> !unit.isEmpty()).toList();
        Shown shown = Shown.NOTHING.withN(known.size()).withEstimate(target);
        if (known.size() < FEWEST_UNITS) {
            return Answer.refused(Reason.TOO_FEW_UNITS, shown);
        }
        if (target == 0 || target == 1) {
            return Answer.refused(Reason.ZERO_WIDTH_LIMITS, shown);
        }
        double variance = target * (1 - target);
        LongToDoubleFunction sd = n -> Math.sqrt(variance / n);
        double[] distances = known.stream()
                .mapToDouble(unit -> (unit.value() - target) / sd.applyAsDouble(unit.n()))
                .toArray();
        double chi2 = Arrays.stream(pulledIn(distances, winsorised))
                .map(one -> one * one)
                .sum();
        double weights = known.stream().mapToDouble(unit -> unit.n() / variance).sum();
        double squares = known.stream()
                .mapToDouble(unit -> unit.n() / variance)
                .map(weight -> weight * weight)
                .sum();
        double phi = chi2 / known.size();
        double tau2 = Math.max(0, (chi2 - (known.size() - 1)) / (weights - squares / weights));
        return Answer.ok(new Overdispersion(
                target,
                units.stream()
                        .map(unit -> unit.isEmpty()
                                ? OptionalDouble.empty()
                                : OptionalDouble.of((unit.value() - target) / sd.applyAsDouble(unit.n())))
                        .toList(),
                phi,
                tau2,
                GammaLaw.chiSquareUpperTail(chi2, known.size()),
                limits(units, target, n -> Math.sqrt(Math.max(1, phi)) * sd.applyAsDouble(n)),
                limits(units, target, n -> Math.sqrt(variance / n + tau2))));
    }

    /** The lowest and the highest distances replaced by their neighbours. */
    private static double[] pulledIn(double[] distances, double share) {
        double[] sorted = distances.clone();
        Arrays.sort(sorted);
        int pulled = (int) Math.floor(share * sorted.length);
        Arrays.fill(sorted, 0, pulled, sorted[pulled]);
        Arrays.fill(sorted, sorted.length - pulled, sorted.length, sorted[sorted.length - 1 - pulled]);
        return sorted;
    }

    private static List<Optional<Limits>> limits(List<Proportion> units, double target, LongToDoubleFunction sd) {
        return units.stream()
                .map(unit -> unit.isEmpty() ? Optional.<Limits>empty() : limits(target, sd.applyAsDouble(unit.n())))
                .toList();
    }

    private static Optional<Limits> limits(double target, double sd) {
        return Optional.of(new Limits(Math.max(0, target - FAR * sd), target, Math.min(1, target + FAR * sd)));
    }
}
