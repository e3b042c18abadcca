package airway.stats.bench;

import java.util.Map;
import java.util.TreeMap;
import org.openjdk.jmh.profile.GCProfiler;
import org.openjdk.jmh.results.Result;
import org.openjdk.jmh.results.RunResult;
import org.openjdk.jmh.results.format.ResultFormatType;
import org.openjdk.jmh.runner.Runner;
import org.openjdk.jmh.runner.RunnerException;
import org.openjdk.jmh.runner.options.Options;
import org.openjdk.jmh.runner.options.OptionsBuilder;

/** Runs the benchmarks, writes them as JSON and prints each beside its plain yardstick of the same run and what it allocated. */
final class Measure {

    private static final String PLAIN = "Plain";

    private Measure() {}

    /**
     * Measures.
     *
     * @param args the file that the JSON is written to
     */
    public static void main(String[] args) throws RunnerException {
        Options options = new OptionsBuilder()
                .include(HeavyQuestions.class.getName())
                .include(HeavyModels.class.getName())
                .include(RunLengths.class.getName())
                .addProfiler(GCProfiler.class)
                .resultFormat(ResultFormatType.JSON)
                .result(args[0])
                .shouldFailOnError(true)
                .build();
        Map<String, Double> microseconds = new TreeMap<>();
        Map<String, Double> bytes = new TreeMap<>();
        for (RunResult result : new Runner(options).run()) {
            microseconds.put(
                    result.getPrimaryResult().getLabel(),
                    result.getPrimaryResult().getScore());
            Result<?> allocated = result.getSecondaryResults().get("gc.alloc.rate.norm");
            bytes.put(result.getPrimaryResult().getLabel(), allocated == null ? Double.NaN : allocated.getScore());
        }
        System.out.printf(
                "%n%-20s %14s %14s %8s %14s%n", "question", "ours, µs", "plain, µs", "ratio", "allocated, kB");
        microseconds.forEach((question, ours) -> {
            if (!question.endsWith(PLAIN)) {
                // Some questions have R for their only yardstick: NaN here.
                double plain = microseconds.getOrDefault(question + PLAIN, Double.NaN);
                System.out.printf(
                        "%-20s %14.1f %14.1f %8.2f %14.1f%n",
                        question, ours, plain, ours / plain, bytes.get(question) / 1024);
            }
        });
    }
}
