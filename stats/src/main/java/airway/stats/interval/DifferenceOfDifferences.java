package airway.stats.interval;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Interval;
import airway.stats.Proportion;

/** How much a difference between two groups differs from one kind of cases to another, such as from novices to others. */
public final class DifferenceOfDifferences {
    private DifferenceOfDifferences() {}

    /**
     * D = d₁ - d₂ of two differences with their limits l, u, each by {@link DifferenceInterval#NEWCOMBE}: D - √((d₁ - l₁)² + (u₂ -
     * d₂)²) to D + √((u₁ - d₁)² + (d₂ - l₂)²) (MOVER: Zou GY, Donner A 2008, Stat Med 27:1693-1702, doi:10.1002/sim.3095; from
     * memory).
     *
     * @param first first group in the first kind of cases
     * @param second second group in the first kind of cases
     * @param third first group in the second kind of cases
     * @param fourth second group in the second kind of cases
     * @param confidence level, two-sided
     * @return (first - second) - (third - fourth) with limits in [-2, 2], or {@link airway.stats.Reason#ONE_GROUP_EMPTY}
     */
    public static Answer<Estimate> of(
            Proportion first, Proportion second, Proportion third, Proportion fourth, Confidence confidence) {
        return DifferenceInterval.NEWCOMBE
                .of(first, second, confidence)
                .then(one -> DifferenceInterval.NEWCOMBE
                        .of(third, fourth, confidence)
                        .map(two -> less(one, two)));
    }

    private static Estimate less(Estimate one, Estimate two) {
        double difference = one.value() - two.value();
        return new Estimate(
                difference,
                new Interval(
                                difference - Math.hypot(one.value() - one.lower(), two.upper() - two.value()),
                                difference + Math.hypot(one.upper() - one.value(), two.value() - two.lower()))
                        .clippedTo(-2, 2));
    }
}
