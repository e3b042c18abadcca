package airway.registry;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.OpenRegistry;
import airway.sql.TestDatabase;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import tools.jackson.databind.json.JsonMapper;

/** The report on the command line: data to standard output, words to standard error, exit codes of the contract. */
class ReportCommandDatabaseTest {
    private final TestDatabase.Logins logins = TestDatabase.fresh();

    @TempDir
    Path directory = Path.of("");

    /** What came of a command. */
    private record Ended(int exit, String out, String err) {}

    @Test
    void printsTheReportOfAQuarterAndSaysWhatItIs() throws IOException {
        OpenRegistry.on(logins).close();
        OpenRegistry.rows(logins, "select access.add_site('harbour', 'Harbour', 'picu', 'UTC', true)");

        Ended html = run("--quarter", "2025-Q3", "--unit", "harbour");
        assertThat(html.exit()).as(html.err()).isZero();
        assertThat(html.out())
                .contains("<h1>Intubations, July to September 2025</h1>")
                .contains("no value: nothing could be counted");
        assertThat(html.err()).contains("Draft; numbers as of");

        Ended json = run("--quarter", "2025-Q3", "--unit", "harbour", "--format", "json", "--readers", "board");
        assertThat(new JsonMapper().readTree(json.out()).path("readers").asString())
                .isEqualTo("board");

        String told = Files.readString(Path.of("../docs/howto/quarterly-report.md"));
        Matcher command =
                Pattern.compile("registry\\.jar report (.*) --out report\\.pdf").matcher(told);
        assertThat(command.find()).as("the command of the guide").isTrue();
        Path file = directory.resolve("report.pdf");
        List<String> words = new ArrayList<>(List.of(command.group(1).split(" ")));
        words.addAll(List.of("--out", file.toString()));
        assertThat(run(words.toArray(String[]::new)).exit()).isZero();
        assertThat(Files.readString(file, StandardCharsets.ISO_8859_1)).startsWith("%PDF-");
        Ended there = run("--quarter", "2025-Q3", "--unit", "harbour", "--format", "pdf", "--out", file.toString());
        assertThat(there.exit()).isEqualTo(2);
        assertThat(there.err()).contains("--out names a file that is there already");
    }

    @Test
    void answersTwoToWhatItCannotTake() {
        OpenRegistry.on(logins).close();
        OpenRegistry.rows(logins, "select access.add_site('harbour', 'Harbour', 'picu', 'UTC', true)");

        assertThat(run("--quarter", "2026-Q5", "--unit", "harbour"))
                .satisfies(ended -> fails(ended, "--quarter: Name a quarter as 2026-Q3"));
        assertThat(run("--quarter", "2149-Q4", "--unit", "harbour"))
                .satisfies(ended -> fails(ended, "--quarter: Name a quarter up to the present one"));
        assertThat(run("--quarter", "2025-Q3", "--unit", "bay"))
                .satisfies(ended -> fails(ended, "--unit: Name one of your units"));
        assertThat(run("--quarter", "2025-Q3", "--unit", "harbour", "--format", "doc"))
                .satisfies(ended -> fails(ended, "--format: Name html, pdf or json"));
        assertThat(run("--quarter", "2025-Q3", "--unit", "harbour", "--readers", "all"))
                .satisfies(ended -> fails(ended, "--readers: Send unit or board"));
        assertThat(run("--unit", "harbour").exit()).isEqualTo(2);
    }

    private static void fails(Ended ended, String words) {
        assertThat(ended.exit()).as(ended.err()).isEqualTo(2);
        assertThat(ended.err()).contains(words);
        assertThat(ended.out()).isEmpty();
    }

    private Ended run(String... words) {
        List<String> args = new ArrayList<>(List.of("report"));
        args.addAll(List.of(words));
        args.addAll(OpenRegistry.settings(logins));
        PrintStream out = System.out;
        PrintStream err = System.err;
        ByteArrayOutputStream data = new ByteArrayOutputStream();
        ByteArrayOutputStream said = new ByteArrayOutputStream();
        try {
            System.setOut(new PrintStream(data, true, StandardCharsets.UTF_8));
            System.setErr(new PrintStream(said, true, StandardCharsets.UTF_8));
            int exit = CommandLine.run(args.toArray(String[]::new));
            return new Ended(exit, data.toString(StandardCharsets.UTF_8), said.toString(StandardCharsets.UTF_8));
        } finally {
            System.setOut(out);
            System.setErr(err);
        }
    }
}
