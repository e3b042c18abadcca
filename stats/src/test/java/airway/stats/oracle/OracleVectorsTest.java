package airway.stats.oracle;

import static org.assertj.core.api.Assertions.assertThat;

import airway.stats.Reason;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Function;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.json.JsonMapper;

/**
 * Checks this library against every reference case in a folder: the one in the test resources, or the one named by the
 * system property {@code oracles}. A relative path may start at this module or at the folder above it.
 */
class OracleVectorsTest {

    private static final String OWN_COPY = "src/test/resources/oracles";

    @Test
    void agreesWithEveryReferenceCase() throws IOException {
        List<Case> cases = Case.readAll(folder());
        Map<String, int[]> tally = new TreeMap<>();
        List<String> failures = new ArrayList<>();
        for (Case reference : cases) {
            int[] counts = tally.computeIfAbsent(reference.method(), method -> new int[2]);
            Function<Inputs, Reply> adapter = Adapters.TABLE.get(reference.method());
            List<String> differences = adapter == null
                    ? List.of("method " + reference.method() + " has no adapter")
                    : differences(reference, adapter);
            counts[differences.isEmpty() ? 0 : 1]++;
            differences.forEach(difference -> failures.add(reference.id() + " " + difference));
        }
        print(tally);
        assertThat(cases).as("reference cases in %s", folder()).isNotEmpty();
        assertThat(failures).as("differences from the reference cases").isEmpty();
    }

    @Test
    void comparisonSeesEveryKindOfDifference() {
        var expected = JsonMapper.shared().readTree("""
                        {"real": 2.0, "count": 3, "flag": true, "text": "A", "gap": null, "list": [1, 2], "inf": "Inf",
                         "deep": {"real": 1}, "absent": 0}""");
        Reply same = Reply.ok()
                .put("real", 2.0000001)
                .put("count", 3)
                .put("flag", true)
                .put("text", "A")
                .put("gap", null)
                .put("list", List.of(1.0, 2.0))
                .put("inf", Double.POSITIVE_INFINITY)
                .put("deep", Map.of("real", 1.0))
                .put("absent", 0.0);
        Reply other = Reply.ok()
                .put("real", 2.001)
                .put("count", 4)
                .put("flag", false)
                .put("text", "B")
                .put("gap", 0.0)
                .put("list", List.of(1.0))
                .put("inf", 1e300)
                .put("deep", Map.of("real", Double.NaN));
        assertThat(Comparison.differences(expected, same.keys(), 1e-6)).isEmpty();
        assertThat(Comparison.differences(expected, other.keys(), 1e-6))
                .hasSize(9)
                .anyMatch(line -> line.equals("absent: expected 0, got no such key"))
                .anyMatch(line -> line.startsWith("deep.real:"));
    }

    private static List<String> differences(Case reference, Function<Inputs, Reply> adapter) {
        Reply reply;
        try {
            reply = adapter.apply(reference.inputs());
        } catch (IllegalArgumentException e) {
            // What a caller must not pass at all is, in the words of the reference cases, invalid input.
            reply = Reply.refused(Reason.INVALID_INPUT);
        }
        return Comparison.differences(reference.expected(), reply.keys(), reference.tolerance());
    }

    private static Path folder() {
        Path wanted = Path.of(System.getProperty("oracles", OWN_COPY));
        return Files.isDirectory(wanted) ? wanted : Path.of("..").resolve(wanted);
    }

    @SuppressWarnings("SystemOut")
    private static void print(Map<String, int[]> tally) {
        int[] all = new int[2];
        StringBuilder lines = new StringBuilder(String.format("%n%-34s passed failed%n", "method"));
        tally.forEach((method, counts) -> {
            lines.append(String.format("%-34s %6d %6d%n", method, counts[0], counts[1]));
            for (int i = 0; i < 2; i++) {
                all[i] += counts[i];
            }
        });
        lines.append(String.format("%-34s %6d %6d%n", "all", all[0], all[1]));
        System.out.print(lines);
    }
}
