package airway.stats.regression;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Reason;
import airway.stats.Shown;
import java.util.ArrayList;
import java.util.Arrays;
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

    /** Rows that are worked on at a time, so that what is made of them stays near the processor. */
    static final int BLOCK = 512;

    final int rows;
    final int columns;
    /** By column, then by row: loops over a column are the fast ones. */
    final double[][] z;

    final double[] successes;
    final double[] cases;
    private final double[] centres;
    private final double[] scales;

    private Design(double[][] z, double[] successes, double[] cases, double[] centres, double[] scales) {
        this.rows = cases.length;
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
        double[][] z = new double[columns][rows];
        double[] successes = new double[rows];
        double[] cases = new double[rows];
        int row = 0;
        for (CovariatePatterns table : tables) {
            for (int i = 0; i < table.size(); i++) {
                z[0][row] = 1;
                for (int j = 1; j < columns; j++) {
                    z[j][row] = table.value(i, j);
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
            double[] column = z[j];
            double first = column[0];
            double mean = 0;
            for (int i = 0; i < rows; i++) {
                mean += cases[i] * (column[i] - first);
            }
            centres[j] = first + mean / n;
            double squares = 0;
            for (int i = 0; i < rows; i++) {
                column[i] -= centres[j];
                squares += cases[i] * column[i] * column[i];
            }
            double sd = Math.sqrt(squares / n);
            // A constant column has no spread but rounding.
            scales[j] = sd > 1e-12 * Math.abs(centres[j]) ? sd : 0;
            double unit = scales[j] == 0 ? 0 : 1 / scales[j];
            for (int i = 0; i < rows; i++) {
                column[i] *= unit;
            }
        }
        return new Design(z, successes, cases, centres, scales);
    }

    /** The same without the centres: here the intercept is the one of the covariates as they are. */
    Design uncentred() {
        double[][] moved = new double[columns][];
        moved[0] = z[0];
        for (int j = 1; j < columns; j++) {
            double away = centres[j] / scales[j];
            moved[j] = Arrays.stream(z[j]).map(value -> value + away).toArray();
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
            sum += z[j][row] * coefficients[j];
        }
        return sum;
    }

    /** The probability of success in a row. */
    double probability(int row, double[] coefficients) {
        return inverseLogit(logOdds(row, coefficients));
    }

    /** The values of a row. */
    double[] row(int row) {
        double[] values = new double[columns];
        for (int j = 0; j < columns; j++) {
            values[j] = z[j][row];
        }
        return values;
    }

    /** The length of the block that begins with a row. */
    int lengthOfBlock(int from) {
        return Math.min(BLOCK, rows - from);
    }

    /** Adds up columns of a block, each times a number of its own, those before a column alone: one sum for each row. */
    void combine(int from, double[] numbers, int before, double[] sums) {
        int length = lengthOfBlock(from);
        Arrays.fill(sums, 0, length, 0);
        for (int j = 0; j < before; j++) {
            double[] column = z[j];
            double number = numbers[j];
            for (int i = 0; i < length; i++) {
                sums[i] += number * column[from + i];
            }
        }
    }

    /** Adds the rows of a block, each times its weight, to the totals of the columns. */
    void addRows(int from, double[] weights, double[] totals) {
        for (int j = 0; j < columns; j++) {
            totals[j] += product(weights, z[j], from, lengthOfBlock(from));
        }
    }

    /** Adds the products of every two columns of a block, each row times its weight, to the lower half of a matrix. */
    void addProducts(int from, double[] weights, double[][] lower) {
        int length = lengthOfBlock(from);
        double[] weighted = new double[length];
        for (int j = 0; j < columns; j++) {
            double[] column = z[j];
            for (int i = 0; i < length; i++) {
                weighted[i] = weights[i] * column[from + i];
            }
            for (int l = 0; l <= j; l++) {
                lower[j][l] += product(weighted, z[l], from, length);
            }
        }
    }

    /** Four sums side by side, for one alone waits for each of its additions. */
    private static double product(double[] weights, double[] column, int from, int length) {
        double first = 0;
        double second = 0;
        double third = 0;
        double fourth = 0;
        int i = 0;
        for (; i < length - 3; i += 4) {
            first += weights[i] * column[from + i];
            second += weights[i + 1] * column[from + i + 1];
            third += weights[i + 2] * column[from + i + 2];
            fourth += weights[i + 3] * column[from + i + 3];
        }
        for (; i < length; i++) {
            first += weights[i] * column[from + i];
        }
        return first + second + (third + fourth);
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
        double[] shares = new double[BLOCK];
        for (int from = 0; from < rows; from += BLOCK) {
            for (int i = 0; i < lengthOfBlock(from); i++) {
                shares[i] = cases[from + i] / n;
            }
            addProducts(from, shares, correlations);
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
