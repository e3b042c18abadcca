package airway.stats;

import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalLong;

/**
 * What can still honestly be shown when an answer is refused: how much was seen, the bare estimate without an interval,
 * a p-value that does not depend on the interval, the points of a chart without limits. Each part may be missing.
 *
 * @param n cases, observations or points with data
 * @param estimate the bare estimate: a mean, a median, a shift, the centre of a chart
 * @param p a p-value
 * @param points the points of a chart, empty when the question is not about a chart
 * @param covariates numbers of the covariates of a model that are to blame, empty when the question is not about a model
 */
public record Shown(
        OptionalLong n, OptionalDouble estimate, OptionalDouble p, Series points, List<Integer> covariates) {

    /** Nothing can be shown. */
    public static final Shown NOTHING =
            new Shown(OptionalLong.empty(), OptionalDouble.empty(), OptionalDouble.empty(), Series.of(), List.of());

    /** With a copy of the list. */
    public Shown {
        covariates = List.copyOf(covariates);
    }

    /** The same, with the number of cases, observations or points with data. */
    public Shown withN(long number) {
        return new Shown(OptionalLong.of(number), estimate, p, points, covariates);
    }

    /** The same, with a bare estimate. */
    public Shown withEstimate(double value) {
        return new Shown(n, OptionalDouble.of(value), p, points, covariates);
    }

    /** The same, with a bare estimate if there is one. */
    public Shown withEstimate(OptionalDouble value) {
        return new Shown(n, value, p, points, covariates);
    }

    /** The same, with a p-value. */
    public Shown withP(double value) {
        return new Shown(n, estimate, OptionalDouble.of(value), points, covariates);
    }

    /** The same, with the points of a chart. */
    public Shown withPoints(Series values) {
        return new Shown(n, estimate, p, values, covariates);
    }

    /** The same, with the covariates that are to blame. */
    public Shown withCovariates(List<Integer> numbers) {
        return new Shown(n, estimate, p, points, numbers);
    }
}
