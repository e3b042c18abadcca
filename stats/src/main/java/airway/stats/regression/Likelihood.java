package airway.stats.regression;

import java.util.Arrays;
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
    private static final double LEAST_GAIN = 1e-12;

    /** Leverages so small beside the cases that the steps settle as well without them. */
    private static final double LEAST_LEVERAGE = 1e-3;

    private final Design design;
    private final boolean penalised;

    /** For each row at the latest point: the penalty needs the information of all rows first. */
    private final double[] probabilities;

    private final double[] leverages;

    private final double[] logOdds = new double[Design.BLOCK];
    private final double[] residuals = new double[Design.BLOCK];
    private final double[] weights = new double[Design.BLOCK];
    private final double[] parts = new double[Design.BLOCK];
    private final double[] forms = new double[Design.BLOCK];

    Likelihood(Design design, boolean penalised) {
        this.design = design;
        this.penalised = penalised;
        this.probabilities = new double[penalised ? design.rows : 0];
        this.leverages = new double[penalised ? design.rows : 0];
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

        /** How much higher the end of a scoring step lies, were the likelihood a parabola. */
        private double gain(double[] direction) {
            double sum = 0;
            for (int j = 0; j < direction.length; j++) {
                sum += direction[j] * score[j];
            }
            return sum / 2;
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

    /**
     * The maximum with one coefficient kept as it is at the start; none is kept when the column is -1. With one kept, its value
     * counts and not its place: the climb ends where there is nothing more to gain.
     */
    Optional<Point> climb(double[] start, int kept) {
        try {
            Point here = at(start);
            for (int step = 0; step < MOST_STEPS; step++) {
                double[] direction = direction(here, kept);
                if (kept >= 0 && here.gain(direction) < LEAST_GAIN) {
                    return Optional.of(here);
                }
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
        for (int from = 0; from < design.rows; from += Design.BLOCK) {
            design.combine(from, coefficients, k, logOdds);
            for (int i = 0; i < design.lengthOfBlock(from); i++) {
                double small = Math.exp(-Math.abs(logOdds[i]));
                double larger = 1 / (1 + small);
                double p = logOdds[i] > 0 ? larger : small * larger;
                double successes = design.successes[from + i];
                double cases = design.cases[from + i];
                // Several times as fast as log1p, and as good where sums of many are wanted to an absolute accuracy.
                value += successes * logOdds[i] - cases * (Math.max(0, logOdds[i]) + Math.log(1 + small));
                residuals[i] = successes - cases * p;
                weights[i] = cases * small * larger * larger;
                if (penalised) {
                    probabilities[from + i] = p;
                }
            }
            design.addRows(from, residuals, score);
            design.addProducts(from, weights, information);
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
     * The latest point with half the logarithm of the determinant of the information; its slope adds h(½ - p) for each pattern,
     * h its leverage.
     */
    private Point withPenalty(Point bare) {
        int k = design.columns;
        double[][] root = decomposed(bare.information).getL().getData();
        double[][] inverse = inverseOfLower(root);
        double[] score = bare.score.clone();
        double largest = 0;
        for (int from = 0; from < design.rows; from += Design.BLOCK) {
            int length = design.lengthOfBlock(from);
            Arrays.fill(forms, 0);
            for (int j = 0; j < k; j++) {
                design.combine(from, inverse[j], j + 1, parts);
                for (int i = 0; i < length; i++) {
                    forms[i] += parts[i] * parts[i];
                }
            }
            for (int i = 0; i < length; i++) {
                double p = probabilities[from + i];
                double ofOne = p * (1 - p) * forms[i];
                double leverage = design.cases[from + i] * ofOne;
                largest = Math.max(largest, ofOne);
                leverages[from + i] = leverage;
                residuals[i] = leverage * (0.5 - p);
            }
            design.addRows(from, residuals, score);
        }
        double penalty = 0;
        for (int j = 0; j < k; j++) {
            penalty += Math.log(root[j][j]);
        }
        RealMatrix curvature = largest < LEAST_LEVERAGE ? bare.information : withLeverages();
        return new Point(bare.coefficients, bare.value + penalty, score, bare.information, curvature);
    }

    /** The information of the latest point if to the cases of each row its leverage were added. */
    private RealMatrix withLeverages() {
        double[][] curvature = new double[design.columns][design.columns];
        for (int from = 0; from < design.rows; from += Design.BLOCK) {
            for (int i = 0; i < design.lengthOfBlock(from); i++) {
                double p = probabilities[from + i];
                weights[i] = (design.cases[from + i] + leverages[from + i]) * p * (1 - p);
            }
            design.addProducts(from, weights, curvature);
        }
        return symmetric(curvature);
    }

    /** The inverse of a lower triangular matrix, which is one too: a quadratic form is the sum of squares of its rows. */
    private static double[][] inverseOfLower(double[][] lower) {
        int k = lower.length;
        double[][] inverse = new double[k][k];
        for (int j = 0; j < k; j++) {
            inverse[j][j] = 1 / lower[j][j];
            for (int l = 0; l < j; l++) {
                double sum = 0;
                for (int m = l; m < j; m++) {
                    sum -= lower[j][m] * inverse[m][l];
                }
                inverse[j][l] = sum * inverse[j][j];
            }
        }
        return inverse;
    }

    /** The matrix of which the lower half is given. */
    static RealMatrix symmetric(double[][] lower) {
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
