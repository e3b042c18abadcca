package airway.stats.bench;

import airway.stats.sequential.CusumDesign;
import airway.stats.sequential.EwmaDesign;
import airway.stats.sequential.Hypotheses;
import airway.stats.sequential.TabularCusumDesign;
import java.util.concurrent.TimeUnit;
import java.util.function.IntToDoubleFunction;
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
 * Average run lengths of 10,000 charts before there are data, none like another. None is simulated: that of single cases is
 * exact, the two others come from an integral equation. {@code against-r.R} has the same charts.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
@Fork(1)
@Warmup(iterations = 2, time = 1)
@Measurement(iterations = 3, time = 1)
public class RunLengths {

    /** Sums of single cases: failures of 2 to 40 %, doubled odds, limits from 2 to 5. */
    @Benchmark
    public double bernoulliCusum() {
        return sum(i -> new CusumDesign(Hypotheses.oddsChanged(0.02 + 0.0038 * (i % 100), 2), 2 + 0.03 * (i / 100))
                .inControl());
    }

    /** Two-sided sums of measurements: limits from 3 to 5 standard deviations, shifts up to one. */
    @Benchmark
    public double cusum() {
        return sum(i -> new TabularCusumDesign(0.25 + 0.005 * (i % 100), 3 + 0.02 * (i / 100)).runLength(shift(i), 1));
    }

    /** Moving averages: weights from 0.1 to 0.9, limits from 2.5 to 3, shifts up to one standard deviation. */
    @Benchmark
    public double ewma() {
        return sum(i -> new EwmaDesign(0.1 + 0.008 * (i % 100), 2.5 + 0.005 * (i / 100)).runLength(shift(i)));
    }

    private static double shift(int chart) {
        return chart % 10 / 10.0;
    }

    private static double sum(IntToDoubleFunction runLength) {
        double sum = 0;
        for (int i = 0; i < 10_000; i++) {
            sum += runLength.applyAsDouble(i);
        }
        return sum;
    }
}
