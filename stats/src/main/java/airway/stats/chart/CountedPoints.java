package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Interval;
import airway.stats.Proportion;
import airway.stats.Rate;
import airway.stats.Reason;
import airway.stats.Series;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.IntToDoubleFunction;
import java.util.function.Predicate;
import java.util.function.ToDoubleFunction;
import java.util.stream.IntStream;

/**
 * Counts over their denominators, before they have limits: what the charts of proportions and of rates do in the same way.
 *
 * @param plot the points about their centre, total count over total denominator
 * @param denominators cases or exposure at each point by its number, 0 at a gap
 * @param possible the values that a point can have: [0, 1] or [0, infinity]
 */
record CountedPoints(Plot plot, IntToDoubleFunction denominators, Interval possible) {

    static CountedPoints ofProportions(List<Proportion> points, Baseline baseline) {
        baseline.checkWithin(points.size());
        List<Proportion> inBaseline = points.subList(baseline.first() - 1, baseline.last());
        return new CountedPoints(
                new Plot(
                        seriesOf(points, Proportion::isEmpty, Proportion::value),
                        baseline,
                        over(
                                (double) inBaseline.stream()
                                        .mapToLong(Proportion::x)
                                        .sum(),
                                (double) inBaseline.stream()
                                        .mapToLong(Proportion::n)
                                        .sum())),
                number -> points.get(number - 1).n(),
                new Interval(0, 1));
    }

    static CountedPoints ofRates(List<Rate> points, Baseline baseline) {
        baseline.checkWithin(points.size());
        List<Rate> known = points.subList(baseline.first() - 1, baseline.last()).stream()
                .filter(point -> !point.isEmpty())
                .toList();
        return new CountedPoints(
                new Plot(
                        seriesOf(points, Rate::isEmpty, Rate::value),
                        baseline,
                        over(
                                (double) known.stream().mapToLong(Rate::events).sum(),
                                known.stream().mapToDouble(Rate::exposure).sum())),
                number -> points.get(number - 1).exposure(),
                new Interval(0, Double.POSITIVE_INFINITY));
    }

    double centre() {
        return plot.centre().orElseThrow();
    }

    /** Why there can be no limits, if so; limits without width among the reasons. */
    Optional<Reason> refusal() {
        if (plot.tooLittle().isPresent()) {
            return plot.tooLittle();
        }
        return centre() == possible.lower() || centre() == possible.upper()
                ? Optional.of(Reason.ZERO_WIDTH_LIMITS)
                : Optional.empty();
    }

    <T> Answer<T> refuse(Reason reason) {
        return plot.refuse(reason);
    }

    /** Standard deviation of the point by chance alone, binomial or Poisson. */
    double sigma(int number) {
        return Math.sqrt(varianceOfOne() / denominator(number));
    }

    private double varianceOfOne() {
        double centre = centre();
        return possible.upper() == 1 ? centre * (1 - centre) : centre;
    }

    /** Limits at three times sigma times the given factor. */
    ControlChart chart(double factor) {
        return plot.judgedBy(
                number -> Limits.about(centre(), 3 * factor * sigma(number), possible.lower(), possible.upper()));
    }

    /** Distances of all points from the centre in units of their sigma. */
    Series z() {
        return Series.numbered(plot.values().size(), number -> {
            OptionalDouble value = plot.values().at(number);
            return value.isPresent() ? OptionalDouble.of(z(number, value.getAsDouble())) : value;
        });
    }

    /** The scatter of the baseline points about the centre. */
    Dispersion dispersion() {
        double centre = centre();
        double squares = 0;
        for (int i = plot.baseline().first(); i <= plot.baseline().last(); i++) {
            OptionalDouble value = plot.values().at(i);
            double distance = value.isPresent() ? value.getAsDouble() - centre : 0;
            squares += denominator(i) * distance * distance;
        }
        return Dispersion.of(squares / varianceOfOne(), plot.baselinePoints());
    }

    /** Whether more than a quarter of the baseline points expect fewer than 5 of the rarer outcome. */
    boolean smallDenominators() {
        double rarer = Math.min(centre(), 1 - centre());
        long small = IntStream.rangeClosed(
                        plot.baseline().first(), plot.baseline().last())
                .mapToDouble(this::denominator)
                .filter(denominator -> denominator > 0 && denominator * rarer < 5)
                .count();
        return small * 4 > plot.baselinePoints();
    }

    private double denominator(int number) {
        return denominators.applyAsDouble(number);
    }

    private double z(int number, double value) {
        return (value - centre()) / sigma(number);
    }

    private static <P> Series seriesOf(List<P> points, Predicate<P> isGap, ToDoubleFunction<P> value) {
        return Series.numbered(points.size(), number -> {
            P point = points.get(number - 1);
            return isGap.test(point) ? OptionalDouble.empty() : OptionalDouble.of(value.applyAsDouble(point));
        });
    }

    private static OptionalDouble over(double count, double denominator) {
        return denominator == 0 ? OptionalDouble.empty() : OptionalDouble.of(count / denominator);
    }
}
