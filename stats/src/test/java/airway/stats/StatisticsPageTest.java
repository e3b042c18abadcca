package airway.stats;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.URISyntaxException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import jdk.jshell.JShell;
import jdk.jshell.SnippetEvent;
import jdk.jshell.SourceCodeAnalysis.CompletionInfo;
import org.apache.commons.math3.special.Beta;
import org.jspecify.annotations.NullMarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Runs the examples of docs/topics/statistics.md: what stands behind the slashes is what the program answers. */
class StatisticsPageTest {

    private static final Path PAGE = Path.of("..", "docs", "topics", "statistics.md");
    private static final Pattern FENCE = Pattern.compile("```java\n(.*?)```", Pattern.DOTALL);
    private static final Pattern EXAMPLE = Pattern.compile("(.*)\n// (.*)\n", Pattern.DOTALL);
    private static final List<String> PACKAGES = List.of(
            "",
            ".chart",
            ".compare",
            ".disclosure",
            ".funnel",
            ".interval",
            ".pooling",
            ".power",
            ".regression",
            ".sequential",
            ".strata",
            ".survival");

    /** Code, and what it is said to answer. */
    record Example(String code, String answer) {}

    static Stream<Example> examples() throws IOException {
        return FENCE.matcher(Files.readString(PAGE)).results().map(fence -> example(fence.group(1)));
    }

    @Test
    void thePageHasAnExampleForEveryQuestion() throws IOException {
        assertThat(examples()).hasSizeGreaterThanOrEqualTo(20);
    }

    @ParameterizedTest
    @MethodSource("examples")
    void answersWhatThePageSays(Example example) throws URISyntaxException {
        assertThat(run(example.code())).isEqualTo(example.answer());
    }

    /** The check itself can fail. */
    @Test
    void noticesAnotherAnswerAndCodeThatIsWrong() throws URISyntaxException {
        assertThat(run("new Proportion(1, 4).value()")).isEqualTo("0.25").isNotEqualTo("0.26");
        assertThat(run("new Proportion(1, 4).nothing()")).startsWith("not run");
        assertThat(run("new Proportion(5, 4)")).contains("must be in [0, 4]");
    }

    private static Example example(String fence) {
        Matcher parts = EXAMPLE.matcher(fence);
        assertThat(parts.matches()).as("ends with // and the answer: %s", fence).isTrue();
        return new Example(parts.group(1), parts.group(2));
    }

    /** The value of the last statement as text. */
    private static String run(String code) throws URISyntaxException {
        try (JShell shell = JShell.builder().executionEngine("local").build()) {
            for (Class<?> library : List.of(Answer.class, Beta.class, NullMarked.class)) {
                shell.addToClasspath(Path.of(library.getProtectionDomain()
                                .getCodeSource()
                                .getLocation()
                                .toURI())
                        .toString());
            }
            shell.eval("import java.util.*;");
            PACKAGES.forEach(name -> shell.eval("import airway.stats" + name + ".*;"));
            String last = "not run";
            String rest = code;
            while (!rest.isBlank()) {
                CompletionInfo statement = shell.sourceCodeAnalysis().analyzeCompletion(rest);
                for (SnippetEvent event : shell.eval(statement.source())) {
                    if (event.exception() != null) {
                        return String.valueOf(event.exception().getMessage());
                    }
                    if (event.value() == null) {
                        return "not run: "
                                + shell.diagnostics(event.snippet())
                                        .map(problem -> problem.getMessage(null))
                                        .toList();
                    }
                    last = event.value();
                }
                rest = statement.remaining();
            }
            return last.replaceAll("^\"|\"$", "");
        }
    }
}
