package airway.stats.pooling;

import airway.stats.numeric.Solver;
import java.util.List;

/** The effects of two or more sites. */
final class Sites {

    private static final double FIRST_BOUND = 1e-12;

    private final double[] effects;
    private final double[] variances;

    private Sites(double[] effects, double[] variances) {
        this.effects = effects;
        this.variances = variances;
    }

    static Sites of(List<SiteEffect> sites) {
        return new Sites(
                sites.stream().mapToDouble(SiteEffect::effect).toArray(),
                sites.stream().mapToDouble(SiteEffect::variance).toArray());
    }

    int number() {
        return effects.length;
    }

    /**
     * The average at a variance between sites.
     *
     * @param value Σwy/Σw
     * @param weights Σw
     * @param squaredWeights Σw²
     * @param squares Σw(y - value)²
     * @param weightedSquares Σw²(y - value)²
     */
    record Average(double value, double weights, double squaredWeights, double squares, double weightedSquares) {

        double standardError() {
            return 1 / Math.sqrt(weights);
        }

        /** Twice the slope of the restricted log-likelihood in the variance between sites. */
        double slope() {
            return weightedSquares - weights + squaredWeights / weights;
        }
    }

    Average average(double tau2) {
        double weights = 0;
        double squaredWeights = 0;
        double sum = 0;
        for (int i = 0; i < effects.length; i++) {
            double w = 1 / (variances[i] + tau2);
            weights += w;
            squaredWeights += w * w;
            // About the first, so that equal effects give exactly that effect.
            sum += w * (effects[i] - effects[0]);
        }
        double value = effects[0] + sum / weights;
        double squares = 0;
        double weightedSquares = 0;
        for (int i = 0; i < effects.length; i++) {
            double w = 1 / (variances[i] + tau2);
            double distance = effects[i] - value;
            squares += w * distance * distance;
            weightedSquares += w * w * distance * distance;
        }
        return new Average(value, weights, squaredWeights, squares, weightedSquares);
    }

    /** The variance between sites at which the restricted likelihood is highest, 0 if it falls from the start. */
    double restrictedMaximum() {
        if (average(0).slope() <= 0) {
            return 0;
        }
        double below = 0;
        double above = FIRST_BOUND;
        while (average(above).slope() > 0) {
            below = above;
            above *= 2;
        }
        return Solver.root(tau2 -> average(tau2).slope(), below, above);
    }
}
