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
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The verb as a script sees it: exit code, data on standard output, words on standard error. */
class ImportCommandDatabaseTest {
    private static final Path DATA = Path.of("../docs/tutorial/data");

    private final TestDatabase.Logins logins = TestDatabase.fresh();

    /** What a run left behind. */
    private record Ran(int code, List<String> out, List<String> err) {}

    @Test
    void answersZeroWithARecordForEachRow() {
        Ran ran = run(DATA.resolve("video_vs_direct_trial.csv"), DATA.resolve("trial-mapping.json"));

        assertThat(ran.code).isZero();
        assertThat(ran.out).contains("row,encounter_id");
        assertThat(ran.out)
                .filteredOn(line -> line.matches("[0-9]+,[0-9a-f-]{36}"))
                .hasSize(99);
        assertThat(ran.err).contains("99 rows: 99 new, 0 taken before, 0 rejected");
    }

    @Test
    void answersOneWhenARowIsRejected(@TempDir Path here) throws IOException {
        List<String> lines = Files.readAllLines(DATA.resolve("video_vs_direct_trial.csv"));
        lines.add("1,2");
        Ran ran = run(Files.write(here.resolve("bad.csv"), lines), DATA.resolve("trial-mapping.json"));

        assertThat(ran.code).isEqualTo(1);
        assertThat(ran.err)
                .contains(
                        "row 100: row.ragged: The row has 2 cells and the file 22 columns.",
                        "100 rows: 99 new, 0 taken before, 1 rejected");
    }

    @Test
    void answersTwoWithOneSentenceBeforeAnyDatabaseIsNeeded(@TempDir Path here) throws IOException {
        Path wrong = Files.writeString(
                here.resolve("wrong.json"),
                Files.readString(DATA.resolve("trial-mapping.json")).replace("\"BMI\": \"no such variable\",", ""));
        Ran ran = run(DATA.resolve("video_vs_direct_trial.csv"), wrong);

        assertThat(ran.code).isEqualTo(2);
        assertThat(ran.out).isEmpty();
        assertThat(ran.err)
                .containsExactly("The column \"BMI\" is neither mapped nor ignored: name it under \"columns\" or"
                        + " \"ignore\".");
        assertThat(run(Path.of("absent.csv"), wrong).err).containsExactly("The file absent.csv cannot be read.");
        assertThat(OpenRegistry.rows(logins, "select count(*) from access.site"))
                .containsExactly("0");
    }

    @Test
    void takesAllOrNothingWhenAskedTo(@TempDir Path here) throws IOException {
        List<String> lines = Files.readAllLines(DATA.resolve("video_vs_direct_trial.csv"));
        lines.add("1,2");
        Path bad = Files.write(here.resolve("bad.csv"), lines);
        Ran ran = run(bad, DATA.resolve("trial-mapping.json"), "--all-or-nothing");

        assertThat(ran.code).isEqualTo(1);
        assertThat(ran.out).isEmpty();
        assertThat(ran.err).contains("100 rows: 99 new, 0 taken before, 1 rejected; nothing was stored");
        assertThat(OpenRegistry.rows(logins, "select count(*) from encounter.encounter"))
                .containsExactly("0");

        Ran good =
                run(DATA.resolve("video_vs_direct_trial.csv"), DATA.resolve("trial-mapping.json"), "--all-or-nothing");
        assertThat(good.code).isZero();
        assertThat(good.out).hasSize(100).startsWith("row,encounter_id");
    }

    @Test
    void onlyChecksWhenAskedTo() {
        Ran ran = run(DATA.resolve("video_vs_direct_trial.csv"), DATA.resolve("trial-mapping.json"), "--dry-run");

        assertThat(ran.code).isZero();
        assertThat(ran.out).isEmpty();
        assertThat(ran.err).contains("99 rows: 99 new, 0 taken before, 0 rejected; only checked; nothing was stored");
        assertThat(OpenRegistry.rows(logins, "select count(*) from access.site"))
                .containsExactly("0");
    }

    private Ran run(Path table, Path mapping, String... more) {
        List<String> args = new ArrayList<>(List.of("import", table.toString(), "--mapping", mapping.toString()));
        args.addAll(List.of(more));
        args.addAll(OpenRegistry.settings(logins));
        PrintStream out = System.out;
        PrintStream err = System.err;
        ByteArrayOutputStream outBytes = new ByteArrayOutputStream();
        ByteArrayOutputStream errBytes = new ByteArrayOutputStream();
        try {
            System.setOut(new PrintStream(outBytes, true, StandardCharsets.UTF_8));
            System.setErr(new PrintStream(errBytes, true, StandardCharsets.UTF_8));
            int code = CommandLine.run(args.toArray(String[]::new));
            return new Ran(code, lines(outBytes), lines(errBytes));
        } finally {
            System.setOut(out);
            System.setErr(err);
        }
    }

    private static List<String> lines(ByteArrayOutputStream bytes) {
        return bytes.toString(StandardCharsets.UTF_8).lines().toList();
    }
}
