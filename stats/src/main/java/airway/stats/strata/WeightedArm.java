package airway.stats.strata;

import airway.stats.Estimate;
import airway.stats.Interval;
import airway.stats.Proportion;
import airway.stats.numeric.NormalLaw;
import airway.stats.numeric.ScoreLimit;
import airway.stats.numeric.Solver;
import java.util.List;

/** One group over all strata, weighted, with limits that are combined by squares from the limits of the strata. */
final class WeightedArm {

    /** A deviate whose tail is 0 in double precision. */
    private static final double FARTHEST = 40;

    private final double[] x;
    private final double[] n;
    private final double[] weights;
    private final double value;

    private WeightedArm(double[] x, double[] n, double[] weights) {
        this.x = x;
        this.n = n;
        this.weights = weights;
        double sum = 0;
        for (int k = 0; k < x.length; k++) {
            sum += weights[k] * (x[k] / n[k]);
        }
        value = Math.min(1, sum);
    }

    /** The given group of every stratum. */
    static WeightedArm of(List<List<Proportion>> strata, int group, double[] weights) {
        return new WeightedArm(
                strata.stream().mapToDouble(groups -> groups.get(group).x()).toArray(),
                strata.stream().mapToDouble(groups -> groups.get(group).n()).toArray(),
                weights);
    }

    /** The share of all cases that each stratum has. */
    static double[] sharesOfCases(List<List<Proportion>> strata) {
        double[] cases = strata.stream()
                .mapToDouble(
                        groups -> groups.stream().mapToDouble(Proportion::n).sum())
                .toArray();
        double all = 0;
        for (double some : cases) {
            all += some;
        }
        for (int k = 0; k < cases.length; k++) {
            cases[k] /= all;
        }
        return cases;
    }

    double value() {
        return value;
    }

    Estimate estimate(double z) {
        return new Estimate(value, new Interval(value - below(z), value + above(z)).clippedTo(0, 1));
    }

    /** This group less another, with limits at the deviate. */
    Estimate less(WeightedArm other, double z) {
        double difference = value - other.value;
        return new Estimate(
                difference,
                new Interval(
                                difference - Math.hypot(below(z), other.above(z)),
                                difference + Math.hypot(above(z), other.below(z)))
                        .clippedTo(-1, 1));
    }

    /** 1 less the largest confidence at which the interval of the difference leaves out 0. */
    double p(WeightedArm other) {
        if (value < other.value) {
            return other.p(this);
        }
        double difference = value - other.value;
        if (difference == 0 || beyond(other, FARTHEST) < difference) {
            return difference == 0 ? 1 : 0;
        }
        return NormalLaw.twoSided(Solver.root(z -> beyond(other, z) - difference, 0, FARTHEST));
    }

    /** Number of strata in which the order of the two is opposite to the difference as recorded. */
    int strataAgainst(WeightedArm other, double recorded) {
        int against = 0;
        for (int k = 0; k < x.length; k++) {
            against += LikeForLike.opposite(recorded, x[k] / n[k] - other.x[k] / other.n[k]) ? 1 : 0;
        }
        return against;
    }

    /** Variance of the value by the binomial of each stratum. */
    double variance() {
        double sum = 0;
        for (int k = 0; k < x.length; k++) {
            sum += weights[k] * weights[k] * x[k] * (n[k] - x[k]) / (n[k] * n[k] * n[k]);
        }
        return sum;
    }

    /** How far the lower limit of the difference to a smaller value lies below it. */
    private double beyond(WeightedArm smaller, double z) {
        return Math.hypot(below(z), smaller.above(z));
    }

    private double below(double z) {
        double squares = 0;
        for (int k = 0; k < x.length; k++) {
            double distance = weights[k] * (x[k] / n[k] - ScoreLimit.lower(x[k], n[k], z));
            squares += distance * distance;
        }
        return Math.sqrt(squares);
    }

    private double above(double z) {
        double squares = 0;
        for (int k = 0; k < x.length; k++) {
            double failures = n[k] - x[k];
            double distance = weights[k] * (failures / n[k] - ScoreLimit.lower(failures, n[k], z));
            squares += distance * distance;
        }
        return Math.sqrt(squares);
    }
}
