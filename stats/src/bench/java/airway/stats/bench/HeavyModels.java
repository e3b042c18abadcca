package airway.stats.bench;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.regression.ClusterRobust;
import airway.stats.regression.CovariatePatterns;
import airway.stats.regression.LogisticModel;
import airway.stats.regression.LogisticRegression;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.TimeUnit;
import java.util.stream.IntStream;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;

/**
 * Logistic models of a million cases with five covariates, each beside Newton's method by loops over arrays of all rows
 * ({@link PlainLoops#logistic}), which finds the maximum and nothing else: no separation, no penalty, no clusters, no limits.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
@Fork(value = 1, jvmArgsAppend = "-Xmx3g")
@Warmup(iterations = 2, time = 1)
@Measurement(iterations = 3, time = 1)
public class HeavyModels {

    private static final int CASES = 1_000_000;
    private static final int OPERATORS = 200;

    private final CovariatePatterns grouped;
    private final CovariatePatterns rows;
    private final List<CovariatePatterns> clusters;
    private final double[][] groupedRows = new double[CASES][];
    private final double[][] differentRows = new double[CASES][];
    private final boolean[] outcomes = new boolean[CASES];

    /** Data drawn with a fixed seed. */
    public HeavyModels() {
        SplittableRandom random = new SplittableRandom(1);
        var few = CovariatePatterns.of(5);
        var many = CovariatePatterns.of(5);
        List<CovariatePatterns.Builder> operators = IntStream.range(0, OPERATORS)
                .mapToObj(g -> CovariatePatterns.of(5))
                .toList();
        for (int i = 0; i < CASES; i++) {
            double[] x = {random.nextInt(2), random.nextInt(2), random.nextInt(2), random.nextInt(5), random.nextInt(10)
            };
            double[] different = x.clone();
            different[3] += random.nextDouble();
            double odds = Math.exp(0.5 * x[0] - 0.3 * x[1] + 0.2 * x[3]);
            outcomes[i] = random.nextDouble() < odds / (1 + odds);
            groupedRows[i] = x;
            differentRows[i] = different;
            few.add(outcomes[i], x);
            many.add(outcomes[i], different);
            operators.get(i % OPERATORS).add(outcomes[i], x);
        }
        grouped = few.build();
        rows = many.build();
        clusters = operators.stream().map(CovariatePatterns.Builder::build).toList();
    }

    /** Maximum likelihood of the patterns. */
    @Benchmark
    public Answer<LogisticModel> patterns() {
        return LogisticRegression.WALD.of(grouped, Confidence.DEFAULT);
    }

    /** The maximum by loops over the rows. */
    @Benchmark
    public double[] patternsPlain() {
        return PlainLoops.logistic(groupedRows, outcomes);
    }

    /** Maximum likelihood of rows that all differ. */
    @Benchmark
    public Answer<LogisticModel> rows() {
        return LogisticRegression.WALD.of(rows, Confidence.DEFAULT);
    }

    /** The maximum by loops over these rows. */
    @Benchmark
    public double[] rowsPlain() {
        return PlainLoops.logistic(differentRows, outcomes);
    }

    /** Firth's method with profile limits, of the patterns. */
    @Benchmark
    @Warmup(iterations = 6, time = 1)
    @Measurement(iterations = 5, time = 1)
    public Answer<LogisticModel> firth() {
        return LogisticRegression.FIRTH.of(grouped, Confidence.DEFAULT);
    }

    /** The maximum by loops over the rows. */
    @Benchmark
    public double[] firthPlain() {
        return PlainLoops.logistic(groupedRows, outcomes);
    }

    /** Firth's method with profile limits, of rows that all differ. */
    @Benchmark
    @Warmup(iterations = 1, time = 1)
    @Measurement(iterations = 1, time = 1)
    public Answer<LogisticModel> firthRows() {
        return LogisticRegression.FIRTH.of(rows, Confidence.DEFAULT);
    }

    /** Variances for 200 clusters. */
    @Benchmark
    public Answer<ClusterRobust> clusterRobust() {
        return ClusterRobust.of(clusters, Confidence.DEFAULT);
    }

    /** The maximum by loops over the rows. */
    @Benchmark
    public double[] clusterRobustPlain() {
        return PlainLoops.logistic(groupedRows, outcomes);
    }
}
