package airway.stats.regression;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Reason;
import airway.stats.numeric.BetaLaw;
import java.util.ArrayList;
import java.util.List;
import org.apache.commons.math3.linear.RealMatrix;

/**
 * Two or more groups by a logistic model, in percentages: the average risk if all cases had been of each group in turn, all
 * other covariates as they are; with errors that allow for cases of one cluster, such as one operator, being alike. For more
 * covariates than strata can carry.
 *
 * @param groups average predicted probability of success of each group, with limits in [0, 1]
 * @param pairs every two groups, the first of each pair in order
 * @param clusters number of clusters with cases
 * @param n cases
 */
public record StandardisedGroups(List<Estimate> groups, List<Pair> pairs, int clusters, long n) {

    /** A standard error that is nothing but rounding. */
    private static final double ROUNDING = 1e-9;

    /** Copies the lists. */
    public StandardisedGroups {
        groups = List.copyOf(groups);
        pairs = List.copyOf(pairs);
    }

    /**
     * Two groups compared.
     *
     * @param first number of the group, from 1
     * @param second number of the other, above it
     * @param difference first less second, with limits in [-1, 1]
     * @param standardError of the difference
     * @param p two-sided
     */
    public record Pair(int first, int second, Estimate difference, double standardError, double p) {}

    /**
     * Averages the predictions of the maximum-likelihood model (marginal standardisation: Greenland S 2004, Am J Epidemiol
     * 160:301-305, doi:10.1093/aje/kwh221), errors by the delta method from the cluster-robust covariance of the coefficients, for
     * the cases as they are; limits and p by Student's t on G - 1 degrees of freedom, G the clusters (all from memory). Equal to
     * the same steps with {@code glm} and {@code vcovCL(type = "HC0")} of the R package sandwich.
     *
     * <p>One model for all groups, without interactions: the odds ratio of two groups is taken to be the same in all cases, and
     * where a group has no case like some others the model fills in. Refused for the reasons of {@link ClusterRobust#of};
     * fewer than 40 clusters: {@link Caution#FEW_CLUSTERS}. The interval is symmetric: near 0 or 1 it may end too early. Where
     * cases and clusters leave no variance at all: {@link Reason#NO_VARIATION}.
     *
     * @param clusters the cases of each cluster; the first covariates, one less than there are groups, are 1 in cases of the second
     *     group, the third and so on, and else 0
     * @param groups number of groups, in [2, covariates + 1]
     * @param confidence level, two-sided
     * @throws IllegalArgumentException if there are too few covariates for the groups, clusters have different numbers of
     *     covariates, or a case is of no group or of several
     */
    public static Answer<StandardisedGroups> of(List<CovariatePatterns> clusters, int groups, Confidence confidence) {
        clusters.forEach(cluster -> check(cluster, groups));
        return ClusterRobust.fit(clusters).then(fit -> {
            StandardisedGroups result = of(fit, groups, confidence);
            return result.pairs().stream().allMatch(pair -> pair.standardError() > ROUNDING)
                    ? Answer.ok(result)
                    : Answer.refused(Reason.NO_VARIATION);
        });
    }

    private static StandardisedGroups of(ClusterRobust.Fit fit, int groups, Confidence confidence) {
        RealMatrix covariance = ClusterRobust.covariance(fit.model(), fit.clusters());
        double freedom = fit.number() - 1.0;
        double t = BetaLaw.studentQuantile(confidence.alpha(), freedom);
        List<AverageRisk> risks = new ArrayList<>();
        for (int g = 0; g < groups; g++) {
            double[] member = new double[groups - 1];
            if (g > 0) {
                member[g - 1] = 1;
            }
            risks.add(AverageRisk.of(fit.model(), 1, member));
        }
        List<Pair> pairs = new ArrayList<>();
        for (int a = 0; a < groups; a++) {
            for (int b = a + 1; b < groups; b++) {
                AverageRisk difference = risks.get(a).less(risks.get(b));
                double error = difference.standardError(covariance);
                pairs.add(new Pair(
                        a + 1,
                        b + 1,
                        difference.estimate(covariance, t, -1),
                        error,
                        BetaLaw.studentTwoSided(difference.value() / error, freedom)));
            }
        }
        return new StandardisedGroups(
                risks.stream().map(risk -> risk.estimate(covariance, t, 0)).toList(),
                pairs,
                fit.number(),
                fit.model().design().n());
    }

    private static void check(CovariatePatterns cluster, int groups) {
        if (groups < 2 || groups > cluster.covariates() + 1) {
            throw new IllegalArgumentException(
                    "groups = " + groups + ", must be in [2, " + (cluster.covariates() + 1) + "]");
        }
        for (int i = 0; i < cluster.size(); i++) {
            int memberships = 0;
            for (int j = 1; j < groups; j++) {
                double value = cluster.value(i, j);
                if (value != 0 && value != 1) {
                    throw new IllegalArgumentException("membership = " + value + ", must be 0 or 1");
                }
                memberships += (int) value;
            }
            if (memberships > 1) {
                throw new IllegalArgumentException("memberships of a case = " + memberships + ", must be in [0, 1]");
            }
        }
    }
}
