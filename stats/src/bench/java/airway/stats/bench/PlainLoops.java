package airway.stats.bench;

import java.util.Arrays;

/** The same questions with no more than loops over arrays: the yardstick, without checks, refusals or gaps. */
final class PlainLoops {

    private PlainLoops() {}

    static int pointsBeyondLimits(int[] successes, int[] cases) {
        double centre =
                (double) Arrays.stream(successes).sum() / Arrays.stream(cases).sum();
        int beyond = 0;
        for (int i = 0; i < cases.length; i++) {
            double value = (double) successes[i] / cases[i];
            double distance = 3 * Math.sqrt(centre * (1 - centre) / cases[i]);
            beyond += value > Math.min(1, centre + distance) || value < Math.max(0, centre - distance) ? 1 : 0;
        }
        return beyond;
    }

    static boolean signals(double[] values, int longestAllowed, int fewestCrossings) {
        double[] sorted = values.clone();
        Arrays.sort(sorted);
        double median = (sorted[sorted.length / 2] + sorted[(sorted.length - 1) / 2]) / 2;
        int longest = 0;
        int crossings = -1;
        int run = 0;
        boolean above = false;
        for (double value : values) {
            if (value == median) {
                continue;
            }
            if (run == 0 || value > median != above) {
                crossings++;
                run = 0;
                above = value > median;
            }
            longest = Math.max(longest, ++run);
        }
        return longest > longestAllowed || crossings < fewestCrossings;
    }

    /** Fisher's p of every table, then the tables as extreme added up at 99 common probabilities. */
    static double boschloo(int x1, int n1, int x2, int n2) {
        double[] logFactorial = new double[n1 + n2 + 1];
        for (int i = 1; i < logFactorial.length; i++) {
            logFactorial[i] = logFactorial[i - 1] + Math.log(i);
        }
        double[][] fisher = new double[n1 + 1][n2 + 1];
        for (int a = 0; a <= n1; a++) {
            for (int b = 0; b <= n2; b++) {
                fisher[a][b] = fisher(a, n1, b, n2, logFactorial);
            }
        }
        double bound = fisher[x1][x2] * (1 + 1e-7);
        double largest = 0;
        for (int i = 1; i < 100; i++) {
            double[] first = binomial(n1, i / 100.0, logFactorial);
            double[] second = binomial(n2, i / 100.0, logFactorial);
            double sum = 0;
            for (int a = 0; a <= n1; a++) {
                for (int b = 0; b <= n2; b++) {
                    sum += fisher[a][b] <= bound ? first[a] * second[b] : 0;
                }
            }
            largest = Math.max(largest, sum);
        }
        return largest;
    }

    private static double fisher(int a, int n1, int b, int n2, double[] logFactorial) {
        int successes = a + b;
        double observed = Math.exp(logTable(a, n1, b, n2, logFactorial)) * (1 + 1e-7);
        double sum = 0;
        double all = 0;
        for (int x = Math.max(0, successes - n2); x <= Math.min(n1, successes); x++) {
            double p = Math.exp(logTable(x, n1, successes - x, n2, logFactorial));
            all += p;
            sum += p <= observed ? p : 0;
        }
        return sum / all;
    }

    private static double logTable(int a, int n1, int b, int n2, double[] logFactorial) {
        return logChoose(n1, a, logFactorial)
                + logChoose(n2, b, logFactorial)
                - logChoose(n1 + n2, a + b, logFactorial);
    }

    private static double logChoose(int n, int k, double[] logFactorial) {
        return logFactorial[n] - logFactorial[k] - logFactorial[n - k];
    }

    private static double[] binomial(int n, double p, double[] logFactorial) {
        double[] probabilities = new double[n + 1];
        for (int k = 0; k <= n; k++) {
            probabilities[k] = Math.exp(logChoose(n, k, logFactorial) + k * Math.log(p) + (n - k) * Math.log1p(-p));
        }
        return probabilities;
    }

    /** Newton's method for a logistic model, until no coefficient moves by more than 1e-10. */
    static double[] logistic(double[][] rows, boolean[] outcomes) {
        int k = rows[0].length + 1;
        double[] beta = new double[k];
        double longest = 1;
        for (int step = 0; step < 50 && longest > 1e-10; step++) {
            double[] score = new double[k];
            double[][] information = new double[k][k];
            double[] x = new double[k];
            x[0] = 1;
            for (int i = 0; i < rows.length; i++) {
                System.arraycopy(rows[i], 0, x, 1, k - 1);
                double logOdds = 0;
                for (int j = 0; j < k; j++) {
                    logOdds += beta[j] * x[j];
                }
                double p = 1 / (1 + Math.exp(-logOdds));
                for (int j = 0; j < k; j++) {
                    score[j] += ((outcomes[i] ? 1 : 0) - p) * x[j];
                    for (int l = 0; l <= j; l++) {
                        information[j][l] += p * (1 - p) * x[j] * x[l];
                    }
                }
            }
            longest = 0;
            double[] change = solve(information, score);
            for (int j = 0; j < k; j++) {
                beta[j] += change[j];
                longest = Math.max(longest, Math.abs(change[j]));
            }
        }
        return beta;
    }

    /** Solves a symmetric system, of which the lower half is given, by Cholesky's method. */
    private static double[] solve(double[][] lower, double[] right) {
        int k = right.length;
        double[] solution = right.clone();
        for (int j = 0; j < k; j++) {
            for (int l = 0; l <= j; l++) {
                double sum = lower[j][l];
                for (int m = 0; m < l; m++) {
                    sum -= lower[j][m] * lower[l][m];
                }
                lower[j][l] = j == l ? Math.sqrt(sum) : sum / lower[l][l];
            }
        }
        for (int j = 0; j < k; j++) {
            for (int m = 0; m < j; m++) {
                solution[j] -= lower[j][m] * solution[m];
            }
            solution[j] /= lower[j][j];
        }
        for (int j = k - 1; j >= 0; j--) {
            for (int m = j + 1; m < k; m++) {
                solution[j] -= lower[m][j] * solution[m];
            }
            solution[j] /= lower[j][j];
        }
        return solution;
    }
}
