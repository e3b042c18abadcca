package airway.stats.regression;

import java.util.Optional;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.CholeskyDecomposition;
import org.apache.commons.math3.linear.NonPositiveDefiniteMatrixException;
import org.apache.commons.math3.linear.RealMatrix;

/** The log-likelihood of a logistic model, with Firth's penalty or without, and how to climb it. */
final class Likelihood {

    private static final int MOST_STEPS = 300;
    private static final int MOST_HALVINGS = 40;
    private static final double LONGEST_STEP = 5;
    private static final double SHORTEST_STEP = 1e-10;

    private final Design design;
    private final boolean penalised;

    Likelihood(Design design, boolean penalised) {
        this.design = design;
        this.penalised = penalised;
    }

    /** A point on the likelihood. */
    static final class Point {

        private final double[] coefficients;
        private final double value;
        private final double[] score;
        private final RealMatrix information;
        private final RealMatrix curvature;

        private Point(
                double[] coefficients, double value, double[] score, RealMatrix information, RealMatrix curvature) {
            this.coefficients = coefficients;
            this.value = value;
            this.score = score;
            this.information = information;
            this.curvature = curvature;
        }

        /** Coefficients of the columns of the design. */
        double[] coefficients() {
            return coefficients;
        }

        /** Log-likelihood, with the penalty if there is one. */
        double value() {
            return value;
        }

        /** Its slope in one coefficient, that of the penalty included. */
        double slope(int column) {
            return score[column];
        }

        /** Inverse of Fisher's information, without the penalty. */
        RealMatrix covariance() {
            return inverse(information);
        }
    }

    /** The maximum, unless it is too far away to be reached. */
    Optional<Point> maximum() {
        double[] start = new double[design.columns];
        double successes = design.successes();
        start[0] = Math.log((successes + 0.5) / (design.n() - successes + 0.5));
        return climb(start, -1);
    }

    /** The maximum with one coefficient kept as it is at the start; none is kept when the column is -1. */
    Optional<Point> climb(double[] start, int kept) {
        try {
            Point here = at(start);
            for (int step = 0; step < MOST_STEPS; step++) {
                double[] direction = direction(here, kept);
                double length = new ArrayRealVector(direction, false).getLInfNorm();
                here = higher(here, direction, Math.min(1, LONGEST_STEP / length));
                if (length < SHORTEST_STEP) {
                    return Optional.of(here);
                }
            }
        } catch (NonPositiveDefiniteMatrixException e) {
            // So far out that every probability is 0 or 1 in double precision.
        }
        return Optional.empty();
    }

    /** The point with the given coefficients. */
    Point at(double[] coefficients) {
        int k = design.columns;
        double value = 0;
        double[] score = new double[k];
        double[][] information = new double[k][k];
        for (int i = 0; i < design.rows; i++) {
            double[] z = design.z[i];
            double logOdds = design.logOdds(i, coefficients);
            double small = Math.exp(-Math.abs(logOdds));
            double cases = design.cases[i];
            value += design.successes[i] * logOdds - cases * (Math.max(0, logOdds) + Math.log1p(small));
            double residual = design.successes[i] - cases * (logOdds > 0 ? 1 : small) / (1 + small);
            double weight = cases * small / ((1 + small) * (1 + small));
            for (int j = 0; j < k; j++) {
                score[j] += residual * z[j];
                double weighted = weight * z[j];
                double[] row = information[j];
                for (int l = 0; l <= j; l++) {
                    row[l] += weighted * z[l];
                }
            }
        }
        RealMatrix fisher = symmetric(information);
        return penalised
                ? withPenalty(new Point(coefficients, value, score, fisher, fisher))
                : new Point(coefficients, value, score, fisher, fisher);
    }

    /**
     * Where all but the kept coefficient move to in a scoring step. The slopes are divided by Fisher's information, with the
     * penalty by that of cases to which their leverages are added: with the bare information, the steps need not settle.
     */
    private double[] direction(Point here, int kept) {
        int k = design.columns;
        int[] free = new int[kept < 0 ? k : k - 1];
        for (int j = 0; j < free.length; j++) {
            free[j] = kept < 0 || j < kept ? j : j + 1;
        }
        double[] direction = new double[k];
        if (free.length > 0) {
            double[] score = new double[free.length];
            for (int j = 0; j < free.length; j++) {
                score[j] = here.score[free[j]];
            }
            double[] solved = decomposed(here.curvature.getSubMatrix(free, free))
                    .getSolver()
                    .solve(new ArrayRealVector(score, false))
                    .toArray();
            for (int j = 0; j < free.length; j++) {
                direction[free[j]] = solved[j];
            }
        }
        return direction;
    }

    /** The point a share of the direction away, the share halved until the likelihood does not fall. */
    private Point higher(Point here, double[] direction, double share) {
        double part = share;
        for (int halving = 0; halving < MOST_HALVINGS; halving++) {
            double[] there = here.coefficients.clone();
            for (int j = 0; j < there.length; j++) {
                there[j] += part * direction[j];
            }
            try {
                Point next = at(there);
                if (next.value >= here.value - 1e-12 * Math.abs(here.value)) {
                    return next;
                }
            } catch (NonPositiveDefiniteMatrixException e) {
                // Too far; a shorter step is taken.
            }
            part /= 2;
        }
        return here;
    }

    /**
     * The same point with half the logarithm of the determinant of the information; its slope adds h(½ - p) for each pattern, h
     * its leverage.
     */
    private Point withPenalty(Point bare) {
        int k = design.columns;
        double[][] inverse = inverse(bare.information).getData();
        double[] score = bare.score.clone();
        double[][] curvature = new double[k][k];
        for (int i = 0; i < design.rows; i++) {
            double[] z = design.z[i];
            double form = 0;
            for (int j = 0; j < k; j++) {
                double part = inverse[j][j] * z[j] / 2;
                for (int l = 0; l < j; l++) {
                    part += inverse[j][l] * z[l];
                }
                form += 2 * z[j] * part;
            }
            double p = design.probability(i, bare.coefficients);
            double leverage = design.cases[i] * p * (1 - p) * form;
            double weight = (design.cases[i] + leverage) * p * (1 - p);
            for (int j = 0; j < k; j++) {
                score[j] += leverage * (0.5 - p) * z[j];
                double weighted = weight * z[j];
                double[] row = curvature[j];
                for (int l = 0; l <= j; l++) {
                    row[l] += weighted * z[l];
                }
            }
        }
        RealMatrix root = decomposed(bare.information).getL();
        double penalty = 0;
        for (int j = 0; j < k; j++) {
            penalty += Math.log(root.getEntry(j, j));
        }
        return new Point(bare.coefficients, bare.value + penalty, score, bare.information, symmetric(curvature));
    }

    /** The matrix of which the lower half is given. */
    private static RealMatrix symmetric(double[][] lower) {
        for (int j = 0; j < lower.length; j++) {
            for (int l = 0; l < j; l++) {
                lower[l][j] = lower[j][l];
            }
        }
        return new Array2DRowRealMatrix(lower, false);
    }

    private static RealMatrix inverse(RealMatrix information) {
        return decomposed(information).getSolver().getInverse();
    }

    private static CholeskyDecomposition decomposed(RealMatrix information) {
        return new CholeskyDecomposition(information, 1e-9, 0);
    }
}
