package airway.stats.bench;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.Series;
import airway.stats.chart.PChart;
import airway.stats.chart.RunChart;
import airway.stats.compare.ExactTest;
import airway.stats.interval.DifferenceInterval;
import airway.stats.power.TwoPeriods;
import airway.stats.sequential.EwmaDesign;
import airway.stats.sequential.Hypotheses;
import airway.stats.sequential.Watch;
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
 * The questions that take longest, each beside a plain computation over arrays ({@link PlainLoops}) or, for the interval, a
 * closed formula. {@code against-r.R} asks the same of R; inputs that both need are written in both.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
@Fork(1)
@Warmup(iterations = 4, time = 1)
@Measurement(iterations = 6, time = 1)
public class HeavyQuestions {

    private static final int POINTS = 10_000;
    private static final int CHARTS = 1_000;
    private static final int MONTHS = 24;

    private final Proportion first = new Proportion(140, 200);
    private final Proportion second = new Proportion(120, 200);
    private final Watch watch = new Watch(200, Hypotheses.oddsChanged(0.38, 2));
    private final List<Proportion> points;
    private final int[] successes;
    private final int[] cases;
    private final List<Series> charts;
    private final double[][] values;

    /** Data drawn with a fixed seed. */
    public HeavyQuestions() {
        SplittableRandom random = new SplittableRandom(1);
        cases = random.ints(POINTS, 20, 61).toArray();
        successes = IntStream.of(cases).map(n -> binomial(n, 0.8, random)).toArray();
        points = IntStream.range(0, POINTS)
                .mapToObj(i -> new Proportion(successes[i], cases[i]))
                .toList();
        values = IntStream.range(0, CHARTS)
                .mapToObj(i -> random.doubles(MONTHS).toArray())
                .toArray(double[][]::new);
        charts = IntStream.range(0, CHARTS).mapToObj(i -> Series.of(values[i])).toList();
    }

    /** A p chart of 10,000 points. */
    @Benchmark
    public Answer<PChart> pChart() {
        return PChart.of(points);
    }

    /** The same limits and signals by a loop over arrays. */
    @Benchmark
    public int pChartPlain() {
        return PlainLoops.pointsBeyondLimits(successes, cases);
    }

    /** Miettinen and Nurminen's interval, 140 of 200 against 120 of 200. */
    @Benchmark
    public Answer<Estimate> miettinenNurminen() {
        return DifferenceInterval.MIETTINEN_NURMINEN.of(first, second, Confidence.DEFAULT);
    }

    /** Newcombe's interval of the same, a closed formula. */
    @Benchmark
    public Answer<Estimate> miettinenNurminenPlain() {
        return DifferenceInterval.NEWCOMBE.of(first, second, Confidence.DEFAULT);
    }

    /** Boschloo's test, 140 of 200 against 120 of 200. */
    @Benchmark
    public Answer<Double> boschloo() {
        return ExactTest.BOSCHLOO.of(first, second);
    }

    /** The same by adding up all tables at 100 common probabilities. */
    @Benchmark
    public double boschlooPlain() {
        return PlainLoops.boschloo(140, 200, 120, 200);
    }

    /** The rules for runs and crossings over 1,000 charts of 24 points. */
    @Benchmark
    public long anhoej() {
        return charts.stream()
                .map(chart -> RunChart.of(chart).orElseThrow())
                .filter(chart -> chart.signalsByLongestRun() || chart.signalsByCrossings())
                .count();
    }

    /** The same rules by loops over arrays, the limits for 24 points known beforehand. */
    @Benchmark
    public long anhoejPlain() {
        long signals = 0;
        for (double[] chart : values) {
            signals += PlainLoops.signals(chart, 8, 8) ? 1 : 0;
        }
        return signals;
    }

    /** What two years of 200 cases each can show: asked with every view of a page, so it has 50 ms at most. */
    @Benchmark
    public TwoPeriods.SmallestChange twoPeriods() {
        return new TwoPeriods(200, 200, 0.62, Confidence.DEFAULT).smallestChange(0.8);
    }

    /** How soon a unit of 200 cases a year would notice doubled odds, by single cases. */
    @Benchmark
    public Watch.Months watchBySingleCases() {
        return watch.cusum();
    }

    /** The same by the moving average of months. */
    @Benchmark
    public Answer<Watch.Months> watchByMovingAverage() {
        return watch.ewma(EwmaDesign.DEFAULT);
    }

    private static int binomial(int n, double p, SplittableRandom random) {
        return (int) random.doubles(n).filter(u -> u < p).count();
    }
}
