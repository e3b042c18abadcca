package airway.registry;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.research.ApprovedRequest;
import airway.registry.testing.OpenRegistry;
import airway.sql.TestDatabase;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.UUID;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.zip.ZipInputStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The export on the command line: data to standard output, words to standard error, 4 where it may not leave. */
class ExportCommandDatabaseTest {
    private final TestDatabase.Logins logins = TestDatabase.fresh();

    @TempDir
    Path directory = Path.of("");

    /** What came of a command. */
    private record Ended(int exit, String out, String err) {
        byte[] bytes() {
            return out.getBytes(StandardCharsets.ISO_8859_1);
        }
    }

    @Test
    void writesOnlyWhatWasApproved() throws IOException {
        assertThat(run("demo", "--seed", "3", "--months", "2").exit()).isZero();
        String unit = OpenRegistry.rows(logins, "select code from access.site where site_id = 1")
                .get(0);
        UUID id = ApprovedRequest.of(logins, unit, "EC 26-114", "2149-12-31");

        assertThat(run("export", "--unit", unit)).satisfies(ended -> refused(ended, "--approval"));
        assertThat(run("export", "--unit", unit, "--approval", "EC 1"))
                .satisfies(ended -> refused(ended, "There is no yes to this request"));
        assertThat(run("export", "--moon").exit()).isEqualTo(2);

        String guide = Files.readString(Path.of("../docs/howto/ask-for-research-data.md"));
        Matcher told = Pattern.compile(
                        "registry\\.jar export --approval \"([^\"]+)\" --unit harbour --out package\\.zip")
                .matcher(guide);
        assertThat(told.find()).as("the command of the guide").isTrue();
        Path file = directory.resolve("package.zip");
        Ended done = run("export", "--approval", told.group(1), "--unit", unit, "--out", file.toString());
        assertThat(done.exit()).as(done.err()).isZero();
        assertThat(done.err()).contains("rows, for: Project").contains("SHA-256 ");
        assertThat(run("export", "--approval", "EC 26-114", "--unit", unit, "--out", file.toString())
                        .exit())
                .isEqualTo(2);

        Ended streamed = run("export", "--approval", "EC 26-114", "--unit", unit, "--request", id.toString());
        assertThat(streamed.bytes()).as("the same bytes again").isEqualTo(Files.readAllBytes(file));
        try (ZipInputStream zip = new ZipInputStream(new ByteArrayInputStream(streamed.bytes()))) {
            assertThat(String.valueOf(zip.getNextEntry())).isEqualTo("data/events.csv");
        }
        assertThat(OpenRegistry.rows(
                        logins, "select count(*) from audit.entry where action = 'fetched' and actor_id = 1"))
                .containsExactly("2");

        // Somebody objects: the record is put right, and nothing leaves until the guardian has looked again.
        OpenRegistry.rows(
                logins,
                "with one as (select encounter_id from research.chosen limit 1), put as (update encounter.patient p"
                        + " set research_opt_out = 'yes' from one where p.encounter_id = one.encounter_id returning 1)"
                        + " select count(*) from put");
        assertThat(run("export", "--approval", "EC 26-114", "--unit", unit))
                .satisfies(ended -> refused(ended, "The records have changed since"));
    }

    private static void refused(Ended ended, String words) {
        assertThat(ended.exit()).as(ended.err()).isEqualTo(4);
        assertThat(ended.err()).contains(words);
        assertThat(ended.out()).isEmpty();
    }

    private Ended run(String... words) {
        List<String> args = new ArrayList<>(List.of(words));
        args.addAll(OpenRegistry.settings(logins));
        args.add("--airway.data-dir=" + directory.resolve("data"));
        PrintStream out = System.out;
        PrintStream err = System.err;
        ByteArrayOutputStream data = new ByteArrayOutputStream();
        ByteArrayOutputStream said = new ByteArrayOutputStream();
        try {
            System.setOut(new PrintStream(data, true, StandardCharsets.UTF_8));
            System.setErr(new PrintStream(said, true, StandardCharsets.UTF_8));
            int exit = CommandLine.run(args.toArray(String[]::new));
            return new Ended(exit, data.toString(StandardCharsets.ISO_8859_1), said.toString(StandardCharsets.UTF_8));
        } finally {
            System.setOut(out);
            System.setErr(err);
        }
    }
}
