package airway.stats.regression;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Reason;
import airway.stats.Shown;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.CholeskyDecomposition;
import org.apache.commons.math3.linear.MatrixUtils;
import org.apache.commons.math3.linear.RealMatrix;
import org.apache.commons.math3.linear.RealVector;

/**
 * The model matrix: a column of ones, and the covariates made comparable by taking off a centre and dividing by a scale, so
 * that a year or a weight in grams spoils no figures. Column 0 is the intercept.
 */
final class Design {

    private static final double LEAST_RESIDUAL = 1e-10;
    private static final double FEWEST_EVENTS_PER_VARIABLE = 10;

    final int rows;
    final int columns;
    final double[][] z;
    final double[] successes;
    final double[] cases;
    private final double[] centres;
    private final double[] scales;

    private Design(double[][] z, double[] successes, double[] cases, double[] centres, double[] scales) {
        this.rows = z.length;
        this.columns = centres.length;
        this.z = z;
        this.successes = successes;
        this.cases = cases;
        this.centres = centres;
        this.scales = scales;
    }

    /** The matrix of all patterns, one table below the other, refused where no method can fit it. */
    static Answer<Design> of(List<CovariatePatterns> tables) {
        return tables.stream().allMatch(table -> table.size() == 0)
                ? Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0))
                : stacked(tables).unlessUnfit();
    }

    private static Design stacked(List<CovariatePatterns> tables) {
        int columns = tables.get(0).covariates() + 1;
        int rows = tables.stream().mapToInt(CovariatePatterns::size).sum();
        double[][] z = new double[rows][columns];
        double[] successes = new double[rows];
        double[] cases = new double[rows];
        int row = 0;
        for (CovariatePatterns table : tables) {
            for (int i = 0; i < table.size(); i++) {
                z[row][0] = 1;
                for (int j = 1; j < columns; j++) {
                    z[row][j] = table.value(i, j);
                }
                successes[row] = table.successes(i);
                cases[row] = table.cases(i);
                row++;
            }
        }
        double[] centres = new double[columns];
        double[] scales = new double[columns];
        scales[0] = 1;
        double n = sum(cases);
        for (int j = 1; j < columns; j++) {
            double first = z[0][j];
            double mean = 0;
            for (int i = 0; i < rows; i++) {
                mean += cases[i] * (z[i][j] - first);
            }
            centres[j] = first + mean / n;
            double squares = 0;
            for (int i = 0; i < rows; i++) {
                z[i][j] -= centres[j];
                squares += cases[i] * z[i][j] * z[i][j];
            }
            double sd = Math.sqrt(squares / n);
            // A constant column has no spread but rounding.
            scales[j] = sd > 1e-12 * Math.abs(centres[j]) ? sd : 0;
            for (int i = 0; i < rows; i++) {
                z[i][j] = scales[j] == 0 ? 0 : z[i][j] / scales[j];
            }
        }
        return new Design(z, successes, cases, centres, scales);
    }

    /** The same without the centres: here the intercept is the one of the covariates as they are. */
    Design uncentred() {
        double[][] moved = new double[rows][columns];
        for (int i = 0; i < rows; i++) {
            moved[i][0] = 1;
            for (int j = 1; j < columns; j++) {
                moved[i][j] = z[i][j] + centres[j] / scales[j];
            }
        }
        return new Design(moved, successes, cases, new double[columns], scales);
    }

    long n() {
        return (long) sum(cases);
    }

    long successes() {
        return (long) sum(successes);
    }

    /** ln(p/(1 - p)) of a row. */
    double logOdds(int row, double[] coefficients) {
        double sum = 0;
        for (int j = 0; j < columns; j++) {
            sum += z[row][j] * coefficients[j];
        }
        return sum;
    }

    /** The probability of success in a row. */
    double probability(int row, double[] coefficients) {
        return inverseLogit(logOdds(row, coefficients));
    }

    static double inverseLogit(double logOdds) {
        double small = Math.exp(-Math.abs(logOdds));
        return (logOdds > 0 ? 1 : small) / (1 + small);
    }

    double scale(int column) {
        return scales[column];
    }

    /** A value of a covariate as it stands in the matrix. */
    double standardised(int column, double value) {
        return (value - centres[column]) / scales[column];
    }

    /** Refuses what no method can fit. */
    private Answer<Design> unlessUnfit() {
        long successes = successes();
        if (successes == 0 || successes == n()) {
            return Answer.refused(Reason.NO_VARIATION, Shown.NOTHING.withN(n()));
        }
        Set<Integer> collinear = collinear();
        if (!collinear.isEmpty()) {
            return Answer.refused(Reason.COLLINEAR, Shown.NOTHING.withN(n()).withCovariates(List.copyOf(collinear)));
        }
        double rarer = Math.min(successes, n() - successes);
        return Answer.ok(
                this,
                rarer < FEWEST_EVENTS_PER_VARIABLE * (columns - 1)
                        ? Set.of(Caution.LOW_EVENTS_PER_VARIABLE)
                        : Set.of());
    }

    /** The covariates that are constant or combinations of each other, those they are combinations of included. */
    private Set<Integer> collinear() {
        double n = sum(cases);
        double[][] correlations = new double[columns][columns];
        for (int i = 0; i < rows; i++) {
            for (int j = 1; j < columns; j++) {
                for (int l = 1; l <= j; l++) {
                    correlations[j][l] += cases[i] / n * z[i][j] * z[i][l];
                }
            }
        }
        RealMatrix products = new Array2DRowRealMatrix(correlations, false);
        Set<Integer> found = new TreeSet<>();
        List<Integer> accepted = new ArrayList<>();
        for (int j = 1; j < columns; j++) {
            RealVector with = new ArrayRealVector(accepted.size());
            for (int l = 0; l < accepted.size(); l++) {
                with.setEntry(l, products.getEntry(j, accepted.get(l)));
            }
            RealVector combination = accepted.isEmpty()
                    ? with
                    : new CholeskyDecomposition(square(products, accepted))
                            .getSolver()
                            .solve(with);
            if (products.getEntry(j, j) - combination.dotProduct(with) > LEAST_RESIDUAL) {
                accepted.add(j);
                continue;
            }
            found.add(j);
            for (int l = 0; l < accepted.size(); l++) {
                if (Math.abs(combination.getEntry(l)) > 1e-6) {
                    found.add(accepted.get(l));
                }
            }
        }
        return found;
    }

    private static RealMatrix square(RealMatrix lower, List<Integer> chosen) {
        RealMatrix square = MatrixUtils.createRealMatrix(chosen.size(), chosen.size());
        for (int a = 0; a < chosen.size(); a++) {
            for (int b = 0; b <= a; b++) {
                double entry = lower.getEntry(chosen.get(a), chosen.get(b));
                square.setEntry(a, b, entry);
                square.setEntry(b, a, entry);
            }
        }
        return square;
    }

    /** Coefficients of the covariates as they are, from those of this matrix. */
    double[] original(double[] coefficients) {
        return toOriginal().operate(coefficients);
    }

    /** Covariance matrix of the coefficients of the covariates as they are. */
    RealMatrix original(RealMatrix covariance) {
        return toOriginal().multiply(covariance).multiply(toOriginal().transpose());
    }

    /** What the logarithm of the determinant of the information lacks, halved. */
    double halfLogDeterminantOfScales() {
        double sum = 0;
        for (double scale : scales) {
            sum += Math.log(scale);
        }
        return sum;
    }

    private RealMatrix toOriginal() {
        RealMatrix change = MatrixUtils.createRealIdentityMatrix(columns);
        for (int j = 1; j < columns; j++) {
            change.setEntry(0, j, -centres[j] / scales[j]);
            change.setEntry(j, j, 1 / scales[j]);
        }
        return change;
    }

    private static double sum(double[] values) {
        double sum = 0;
        for (double value : values) {
            sum += value;
        }
        return sum;
    }
}
