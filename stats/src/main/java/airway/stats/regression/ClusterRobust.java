package airway.stats.regression;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Reason;
import airway.stats.Shown;
import airway.stats.numeric.BetaLaw;
import java.util.List;
import java.util.Set;
import org.apache.commons.math3.linear.MatrixUtils;
import org.apache.commons.math3.linear.RealMatrix;
import org.apache.commons.math3.linear.RealVector;

/**
 * A logistic model with variances that allow for cases of one cluster, such as one operator, being alike.
 *
 * @param model the maximum-likelihood model, with robust standard errors, limits and p
 * @param clusters number of clusters with cases
 */
public record ClusterRobust(LogisticModel model, int clusters) {

    private static final int FEWEST_CLUSTERS = 10;
    private static final int FEW_CLUSTERS = 40;

    /**
     * I⁻¹ (Σ u u′) I⁻¹ G/(G - 1), u the score of each of G clusters, I Fisher's information; limits and p by Student's t on G - 1
     * degrees of freedom (Liang KY, Zeger SL 1986, Biometrika 73:13-22, doi:10.1093/biomet/73.1.13; from memory). Equal to
     * {@code vcovCL(type = "HC0")} of the R package sandwich; some programs multiply by (n - 1)/(n - k) as well.
     *
     * <p>Fewer than 10 clusters with cases, or no more clusters than coefficients: {@link Reason#TOO_FEW_CLUSTERS}, with their
     * number. Fewer than 40: {@link Caution#FEW_CLUSTERS}, the interval then tends to be too narrow. Otherwise refused for the
     * reasons of {@link LogisticRegression#WALD}.
     *
     * @param clusters the cases of each cluster
     * @param confidence level, two-sided
     * @throws IllegalArgumentException if the clusters have different numbers of covariates
     */
    public static Answer<ClusterRobust> of(List<CovariatePatterns> clusters, Confidence confidence) {
        return fit(clusters)
                .map(fit -> new ClusterRobust(robust(fit.model(), fit.clusters(), confidence), fit.number()));
    }

    /** A fit of all clusters as one, and those of them that have cases. */
    record Fit(MaximumLikelihood model, List<CovariatePatterns> clusters) {
        int number() {
            return clusters.size();
        }
    }

    /** Fits, or refuses for the reasons above. */
    static Answer<Fit> fit(List<CovariatePatterns> clusters) {
        for (int g = 1; g < clusters.size(); g++) {
            if (clusters.get(g).covariates() != clusters.get(0).covariates()) {
                throw new IllegalArgumentException("covariates of cluster " + (g + 1) + " = "
                        + clusters.get(g).covariates() + ", must be "
                        + clusters.get(0).covariates());
            }
        }
        List<CovariatePatterns> present =
                clusters.stream().filter(cluster -> cluster.size() > 0).toList();
        if (present.isEmpty()) {
            return Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0));
        }
        int number = present.size();
        if (number < FEWEST_CLUSTERS || number <= present.get(0).covariates() + 1) {
            return Answer.refused(Reason.TOO_FEW_CLUSTERS, Shown.NOTHING.withN(number));
        }
        return MaximumLikelihood.of(present)
                .then(model -> Answer.ok(
                        new Fit(model, present), number < FEW_CLUSTERS ? Set.of(Caution.FEW_CLUSTERS) : Set.of()));
    }

    private static LogisticModel robust(
            MaximumLikelihood fit, List<CovariatePatterns> clusters, Confidence confidence) {
        Design design = fit.design();
        double[] coefficients = fit.point().coefficients();
        int g = clusters.size();
        RealMatrix covariance = design.original(covariance(fit, clusters));
        double[] values = design.original(coefficients);
        double t = BetaLaw.studentQuantile(confidence.alpha(), g - 1.0);
        return LogisticRegression.model(design, fit.point().value(), column -> {
            double standardError = Math.sqrt(covariance.getEntry(column, column));
            double half = t * standardError;
            return new Coefficient(
                    Estimate.of(values[column], values[column] - half, values[column] + half),
                    standardError,
                    BetaLaw.studentTwoSided(values[column] / standardError, g - 1.0));
        });
    }

    /** The covariance of the coefficients in the terms of the design. */
    static RealMatrix covariance(MaximumLikelihood fit, List<CovariatePatterns> clusters) {
        Design design = fit.design();
        double[] coefficients = fit.point().coefficients();
        int g = clusters.size();
        RealMatrix meat = MatrixUtils.createRealMatrix(design.columns, design.columns);
        int row = 0;
        for (CovariatePatterns cluster : clusters) {
            RealVector score = MatrixUtils.createRealVector(new double[design.columns]);
            for (int end = row + cluster.size(); row < end; row++) {
                double residual = design.successes[row] - design.cases[row] * design.probability(row, coefficients);
                score.combineToSelf(1, residual, MatrixUtils.createRealVector(design.row(row)));
            }
            meat = meat.add(score.outerProduct(score).scalarMultiply(g / (g - 1.0)));
        }
        RealMatrix bread = fit.point().covariance();
        return bread.multiply(meat).multiply(bread);
    }
}
