package airway.stats.sequential;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.Series;
import airway.stats.chart.ChartPoint;
import airway.stats.chart.Limits;
import airway.stats.chart.Signal;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;

/**
 * Exponentially weighted moving average: z = λx + (1 - λ)z, from the target on (Roberts SW 1959, Technometrics 1:239-250,
 * doi:10.1080/00401706.1959.10489860, from memory; NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.4, read as quoted).
 *
 * <p>A gap leaves the average and its variance as they were. A point signals only strictly beyond its limits. Target and
 * spread come from a baseline or from outside, never from the points that are judged. Programs that estimate them from the points
 * themselves, or start from the first value, differ.
 *
 * @param design weight of the latest point and width of the limits
 * @param points the average at each place with its limits; a gap where nothing was observed
 */
public record Ewma(EwmaDesign design, List<ChartPoint> points) {

    private static final double LARGEST = 1e100;

    /** How wide the limits are at the first points. */
    public enum Width {
        /** From the variance that the average has at that point: narrow at first, √(1 - (1 - λ)^2i) of the final width. */
        EXACT,
        /** The final width from the first point on, as in the tables of run lengths. */
        FINAL
    }

    /** A chart with a copy of the points. */
    public Ewma {
        points = List.copyOf(points);
    }

    /**
     * The average of single values: limits target ± L σ √(λ/(2 - λ) (1 - (1 - λ)^2i)) with i the number of values so far.
     *
     * <p>No value at all: {@link Reason#NO_DATA}.
     *
     * @param values the points in order of time
     * @param target what the mean should be, in [-1e100, 1e100]
     * @param sigma standard deviation of a point, in (0, 1e100]
     * @param design weight and width
     * @param width how wide the limits are at the first points
     * @throws IllegalArgumentException if target or sigma is out of range or not a number
     */
    public static Answer<Ewma> of(Series values, double target, double sigma, EwmaDesign design, Width width) {
        if (!(Math.abs(target) <= LARGEST)) {
            throw new IllegalArgumentException("target = " + target + ", must be in [-1e100, 1e100]");
        }
        if (!(sigma > 0 && sigma <= LARGEST)) {
            throw new IllegalArgumentException("sigma = " + sigma + ", must be in (0, 1e100]");
        }
        if (values.observed() == 0) {
            return Answer.refused(Reason.NO_DATA);
        }
        // The variance of a point is taken as 1, for sigma squared may be too large or too small for a number.
        Average average = new Average(design, target);
        List<ChartPoint> points = new ArrayList<>();
        for (int i = 1; i <= values.size(); i++) {
            OptionalDouble value = values.at(i);
            if (value.isEmpty()) {
                points.add(ChartPoint.gap(i));
                continue;
            }
            average.take(value.getAsDouble(), 1);
            double sd = width == Width.FINAL ? design.finalSd() : average.sd();
            double half = design.width() * sigma * sd;
            points.add(ChartPoint.judged(i, average.value, new Limits(target - half, target, target + half)));
        }
        return Answer.ok(new Ewma(design, points));
    }

    /**
     * The average of proportions, each with its own number of cases: var = λ² p₀(1 - p₀)/n + (1 - λ)² var, limits p₀ ± L √var,
     * clipped to [0, 1].
     *
     * <p>No cases at all: {@link Reason#NO_DATA}. {@link Caution#LIMIT_UNREACHABLE} when a limit lies at 0 or 1 somewhere.
     *
     * @param points successes among cases, in order of time; 0 of 0 is a gap
     * @param p0 what the proportion should be, in (0, 1)
     * @param design weight and width
     * @throws IllegalArgumentException if p₀ is not in (0, 1) or not a number
     */
    public static Answer<Ewma> ofProportions(List<Proportion> points, double p0, EwmaDesign design) {
        if (!(p0 > 0 && p0 < 1)) {
            throw new IllegalArgumentException("p0 = " + p0 + ", must be in (0, 1)");
        }
        if (points.stream().allMatch(Proportion::isEmpty)) {
            return Answer.refused(Reason.NO_DATA);
        }
        Average average = new Average(design, p0);
        List<ChartPoint> averages = new ArrayList<>();
        boolean clipped = false;
        for (int i = 1; i <= points.size(); i++) {
            Proportion point = points.get(i - 1);
            if (point.isEmpty()) {
                averages.add(ChartPoint.gap(i));
                continue;
            }
            average.take(point.value(), p0 * (1 - p0) / point.n());
            double half = design.width() * average.sd();
            clipped |= p0 - half <= 0 || p0 + half >= 1;
            averages.add(ChartPoint.judged(
                    i, average.value, new Limits(Math.max(0, p0 - half), p0, Math.min(1, p0 + half))));
        }
        return Answer.ok(new Ewma(design, averages), clipped ? Set.of(Caution.LIMIT_UNREACHABLE) : Set.of());
    }

    /** Numbers of the points at which the average lies strictly beyond its limits. */
    public List<Integer> signals() {
        return points.stream()
                .filter(point -> point.signal() != Signal.NONE)
                .map(ChartPoint::number)
                .toList();
    }

    /** The moving average so far, with its variance. */
    private static final class Average {
        private final double lambda;
        private double value;
        private double variance;

        Average(EwmaDesign design, double start) {
            lambda = design.lambda();
            value = start;
        }

        void take(double point, double itsVariance) {
            value = lambda * point + (1 - lambda) * value;
            variance = lambda * lambda * itsVariance + (1 - lambda) * (1 - lambda) * variance;
        }

        double sd() {
            return Math.sqrt(variance);
        }
    }
}
