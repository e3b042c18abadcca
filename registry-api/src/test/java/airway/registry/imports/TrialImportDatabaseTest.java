package airway.registry.imports;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import airway.registry.access.Sites;
import airway.registry.database.Acting;
import airway.registry.testing.OpenRegistry;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.interval.ProportionInterval;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.UUID;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The open trial of the tutorial, taken whole. Expected counts: R 4.2, {@code table}; see the data's README. */
class TrialImportDatabaseTest {
    private static final Path DATA = Path.of("../docs/tutorial/data");
    private static final Path TRIAL = DATA.resolve("video_vs_direct_trial.csv");
    private static final Path MAPPING = DATA.resolve("trial-mapping.json");

    private final Heard heard = new Heard();
    private OpenRegistry registry;

    @BeforeEach
    void open() {
        registry = OpenRegistry.fresh();
    }

    @AfterEach
    void close() {
        registry.close();
    }

    @Test
    void findsTheFirstPassSuccessesThatAnIndependentProgramFinds() {
        ImportReport report = take(TRIAL, MAPPING);

        assertThat(report.words()).first().isEqualTo("99 rows: 99 new, 0 taken before, 0 rejected");
        assertThat(firstPasses()).containsExactly("direct-curved-4,45,49", "video-channel,43,50");
        // prop.test(x, n, correct = FALSE) of R 4.2 computes this score interval; here by its formula, z =
        // 1.959963984540054.
        assertThat(wilson(45, 49).lower()).isCloseTo(0.808108724034, within(1e-6));
        assertThat(wilson(45, 49).upper()).isCloseTo(0.967797182332, within(1e-6));
        assertThat(wilson(43, 50).lower()).isCloseTo(0.738138062894, within(1e-6));
        assertThat(wilson(43, 50).upper()).isCloseTo(0.930491665730, within(1e-6));
    }

    @Test
    void keepsEveryAttemptWithItsLaryngoscope() {
        take(TRIAL, MAPPING);

        assertThat(registry.rows("""
                select attempts, count(*) from (
                  select count(*) as attempts from encounter.attempt group by encounter_id) a group by 1 order by 1""")).containsExactly("1,89", "2,7", "3,3");
        // Row 79: video, then the other; row 88: video three times; row 90: video twice, then the other.
        assertThat(registry.rows("""
                select v.source_row, string_agg(a.device_setup_id || '/' || a.attempt_success, ' ' order by a.attempt_no)
                from encounter.version v join encounter.attempt a using (site_id, encounter_id, version)
                where v.source_row in ('video_vs_direct_trial:79', 'video_vs_direct_trial:88', 'video_vs_direct_trial:90')
                group by 1 order by 1"""))
                .containsExactly(
                        "video_vs_direct_trial:79,video-channel/no direct-curved-4/yes",
                        "video_vs_direct_trial:88,video-channel/no video-channel/no video-channel/yes",
                        "video_vs_direct_trial:90,video-channel/no video-channel/no direct-curved-4/yes");
    }

    @Test
    void marksDatesAsMadeUpAndSaysWhatIsNotKnown() {
        ImportReport report = take(TRIAL, MAPPING);

        assertThat(registry.rows("select count(*), min(day), max(day) from analysis.fact where nominal"))
                .containsExactly("99,2000-01-01,2000-04-08");
        assertThat(report.notKnown())
                .containsEntry("weight_kg", 99)
                .containsEntry("look_target", 50)
                .containsEntry("failure_reason", 11);
        assertThat(registry.rows("select distinct operator_grade from encounter.attempt"))
                .containsExactly("unk");
        assertThat(registry.rows("select distinct c.code from analysis.fact f join analysis.code c"
                        + " on (c.variable, c.no) = ('age_band', f.age_band)"))
                .containsExactly("adult");
    }

    @Test
    void changesNothingTheSecondTime() {
        take(TRIAL, MAPPING);
        List<String> before = registry.rows("select count(*), max(written_at) from encounter.version");

        ImportReport again = take(TRIAL, MAPPING);

        assertThat(again.words()).containsExactly("99 rows: 0 new, 99 taken before, 0 rejected");
        assertThat(registry.rows("select count(*), max(written_at) from encounter.version"))
                .isEqualTo(before);
        assertThat(registry.rows("select count(*) from encounter.device_setup")).containsExactly("2");
    }

    @Test
    void keepsTheGoodRowsAndNamesRowAndColumnOfTheBad(@TempDir Path here) throws IOException {
        List<String> lines = Files.readAllLines(TRIAL);
        lines.set(3, lines.get(3).replaceFirst("^37,0,3", "37,0,9"));
        lines.set(7, lines.get(7).replace("13,1,,", "4000,1,,"));
        lines.set(9, "59,0");
        Path bad = Files.write(here.resolve("bad.csv"), lines);

        assertThat(take(bad, MAPPING).words()).contains("99 rows: 96 new, 0 taken before, 3 rejected");
        assertThat(heard.lines)
                .contains(
                        "row 3, asa, asa_class, cell.unmapped",
                        "row 7, attempt1_time, attempt_duration_s, range",
                        "row 9, , , row.ragged");
        assertThat(heard.taken).hasSize(96).doesNotContainKeys(3, 7, 9);
        assertThat(registry.rows("select count(*) from encounter.encounter")).containsExactly("96");
    }

    @Test
    void storesNothingAtAllWhenOneRowIsToBeMended(@TempDir Path here) throws IOException {
        List<String> lines = Files.readAllLines(TRIAL);
        lines.add("59,0");
        Path bad = Files.write(here.resolve("bad.csv"), lines);

        ImportReport report = run(bad, MAPPING, Take.ALL_OR_NOTHING);

        assertThat(report.stored()).isFalse();
        assertThat(report.words())
                .first()
                .isEqualTo("100 rows: 99 new, 0 taken before, 1 rejected; nothing was stored");
        assertThat(registry.rows(
                        "select (select count(*) from encounter.encounter), (select count(*) from access.site),"
                                + " (select count(*) from encounter.device_setup)"))
                .containsExactly("0,0,0");

        assertThat(run(TRIAL, MAPPING, Take.ALL_OR_NOTHING).stored()).isTrue();
        assertThat(registry.rows("select count(*) from analysis.fact")).containsExactly("99");
    }

    @Test
    void onlyChecksAndFindsTheSameAsWhenItTakes() {
        ImportReport checked = run(TRIAL, MAPPING, Take.CHECK_ONLY);

        assertThat(checked.words())
                .first()
                .isEqualTo("99 rows: 99 new, 0 taken before, 0 rejected; only checked; nothing was stored");
        assertThat(heard.taken).isEmpty();
        assertThat(registry.rows("select count(*) from access.site")).containsExactly("0");
        assertThat(take(TRIAL, MAPPING).notKnown()).isEqualTo(checked.notKnown());
        assertThat(run(TRIAL, MAPPING, Take.CHECK_ONLY).before()).isEqualTo(99);
    }

    @Test
    void takesEachRowOnceWhenTwoImportAtTheSameInstant() throws Exception {
        ExecutorService both = Executors.newFixedThreadPool(4);
        try {
            List<Future<ImportReport>> reports = new ArrayList<>();
            for (Take take : List.of(Take.GOOD_ROWS, Take.ALL_OR_NOTHING, Take.GOOD_ROWS, Take.ALL_OR_NOTHING)) {
                reports.add(both.submit(() -> Acting.asProgram(() ->
                        registry.bean(Imports.class).run(ImportFile.read(TRIAL, MAPPING), take, new Watcher() {}))));
            }
            int fresh = 0;
            int before = 0;
            for (Future<ImportReport> report : reports) {
                fresh += report.get().fresh();
                before += report.get().before();
            }
            assertThat(fresh).isEqualTo(99);
            assertThat(before).isEqualTo(3 * 99);
        } finally {
            both.shutdownNow();
        }
        assertThat(registry.rows("select count(*) from encounter.version")).containsExactly("99");
    }

    @Test
    void goesThroughThousandsOfRowsBatchByBatch(@TempDir Path here) throws IOException {
        List<String> trial = Files.readAllLines(TRIAL);
        Path many = here.resolve("many.csv");
        Files.write(many, List.of(trial.get(0)));
        for (int i = 0; i < 26; i++) {
            Files.write(many, trial.subList(1, trial.size()), StandardOpenOption.APPEND);
        }
        List<Integer> reached = new ArrayList<>();

        ImportReport report = registry.bean(Imports.class)
                .run(ImportFile.read(many, MAPPING), Take.ALL_OR_NOTHING, new Watcher() {
                    @Override
                    public void reached(int row, int rows) {
                        reached.add(row);
                    }
                });

        assertThat(report.fresh()).isEqualTo(26 * 99);
        assertThat(reached).containsExactly(500, 1000, 1500, 2000, 2500, 2574);
        assertThat(firstPasses()).containsExactly("direct-curved-4,1170,1274", "video-channel,1118,1300");
    }

    @Test
    void asksForUnlikelyValuesToBeLookedAt(@TempDir Path here) throws IOException {
        Path slow = Files.write(
                here.resolve("slow.csv"),
                List.of(Files.readAllLines(TRIAL).get(0), "51,0,3,56.2,1,0,400,1,,,,,,,1,0,29,1,0,5,0,1"));
        Path vouched = Files.writeString(
                here.resolve("vouched.json"),
                Files.readString(MAPPING).replace("\"absent\":", "\"confirm\": [\"attempt_duration_s\"], \"absent\":"));

        assertThat(take(slow, MAPPING).rejected()).isEqualTo(1);
        assertThat(heard.lines).containsExactly("row 1, attempt1_time, attempt_duration_s, unlikely");
        assertThat(take(slow, vouched).fresh()).isEqualTo(1);
        assertThat(registry.rows("select confirmed from encounter.version"))
                .containsExactly("{/courses/0/attempts/0/attempt_duration_s}");
    }

    @Test
    void addsNothingWhenTheMappingNamesASetUpThatIsNotThere(@TempDir Path here) throws IOException {
        Path wrong = Files.writeString(
                here.resolve("wrong.json"),
                Files.readString(MAPPING).replace("\"1\": \"video-channel\"}", "\"1\": \"x\"}"));

        assertThatThrownBy(() -> take(TRIAL, wrong))
                .isInstanceOf(ImportRefused.class)
                .hasMessageContaining("the unit has no set-up \"x\"");
        assertThat(registry.rows("select count(*) from access.site")).containsExactly("0");
    }

    @Test
    void keepsRealRecordsOutOfAnInventedUnit() {
        registry.bean(Sites.class).add("trial", "Invented", "theatre", ZoneId.of("UTC"), true);

        assertThatThrownBy(() -> take(TRIAL, MAPPING))
                .isInstanceOf(ImportRefused.class)
                .hasMessageContaining("holds invented records")
                .satisfies(e -> assertThat(((ImportRefused) e).exitCode()).isEqualTo(4));
    }

    private ImportReport take(Path table, Path mapping) {
        return run(table, mapping, Take.GOOD_ROWS);
    }

    private ImportReport run(Path table, Path mapping, Take take) {
        return registry.bean(Imports.class).run(ImportFile.read(table, mapping), take, heard);
    }

    /** Hears what becomes of each row. */
    private static final class Heard implements Watcher {
        private final Map<Integer, UUID> taken = new TreeMap<>();
        private final List<String> lines = new ArrayList<>();

        @Override
        public void taken(int row, UUID id) {
            taken.put(row, id);
        }

        @Override
        public void rejected(int row, List<Complaint> complaints) {
            complaints.forEach(complaint -> lines.add(
                    "row " + row + ", " + complaint.column() + ", " + complaint.field() + ", " + complaint.code()));
        }
    }

    private List<String> firstPasses() {
        return registry.rows("""
                select s.device_setup_id, sum(f.fps), count(*) from analysis.fact f
                join encounter.device_setup s using (setup_no) where f.fps >= 0 group by 1 order by 1""");
    }

    private static Estimate wilson(int x, int n) {
        return ProportionInterval.WILSON
                .of(new Proportion(x, n), Confidence.DEFAULT)
                .orElseThrow();
    }
}
