package airway.stats.regression;

import airway.stats.Estimate;
import airway.stats.Interval;
import org.apache.commons.math3.linear.RealMatrix;

/** The average of the predictions over all cases with some covariates set for everybody, and its slopes in the coefficients. */
final class AverageRisk {

    private final double value;
    private final double[] slopes;

    private AverageRisk(double value, double[] slopes) {
        this.value = value;
        this.slopes = slopes;
    }

    /**
     * The average with neighbouring covariates set.
     *
     * @param first number of the first of them
     * @param settings what they are set to, in order
     */
    static AverageRisk of(MaximumLikelihood fit, int first, double... settings) {
        Design design = fit.design();
        double[] coefficients = fit.point().coefficients();
        double[] slopes = new double[design.columns];
        double value = 0;
        double n = design.n();
        for (int i = 0; i < design.rows; i++) {
            double[] z = design.row(i);
            double logOdds = design.logOdds(i, coefficients);
            for (int k = 0; k < settings.length; k++) {
                int column = first + k;
                double set = design.standardised(column, settings[k]);
                logOdds += (set - z[column]) * coefficients[column];
                z[column] = set;
            }
            double p = Design.inverseLogit(logOdds);
            double share = design.cases[i] / n;
            value += share * p;
            for (int j = 0; j < slopes.length; j++) {
                slopes[j] += share * p * (1 - p) * z[j];
            }
        }
        return new AverageRisk(Math.min(1, value), slopes);
    }

    double value() {
        return value;
    }

    AverageRisk less(AverageRisk other) {
        double[] apart = slopes.clone();
        for (int j = 0; j < apart.length; j++) {
            apart[j] -= other.slopes[j];
        }
        return new AverageRisk(value - other.value, apart);
    }

    /** By the delta method. */
    double standardError(RealMatrix covariance) {
        double[] product = covariance.operate(slopes);
        double variance = 0;
        for (int j = 0; j < product.length; j++) {
            variance += product[j] * slopes[j];
        }
        return Math.sqrt(Math.max(0, variance));
    }

    /** The value with limits as many standard errors away. */
    Estimate estimate(RealMatrix covariance, double quantile, double least) {
        double half = quantile * standardError(covariance);
        return new Estimate(value, new Interval(value - half, value + half).clippedTo(least, 1));
    }
}
