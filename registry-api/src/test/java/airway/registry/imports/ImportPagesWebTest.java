package airway.registry.imports;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.registry.access.Site;
import airway.registry.encounter.Encounters;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Setups;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublisher;
import java.net.http.HttpRequest.BodyPublishers;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.Collections;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.springframework.beans.factory.annotation.Autowired;
import tools.jackson.databind.JsonNode;

/** Importing by the page, as a browser sends it: what is checked is taken, and bad files are told by row. */
class ImportPagesWebTest extends ServedRegistry {
    private static final String EDGE = "a-line-between-parts";
    private static final String HEAD = "nr,kg,sat,film,ok\n";

    @Autowired
    private Encounters encounters;

    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    @BeforeEach
    void oneUnit() {
        unit = unit();
    }

    private String mapping() {
        return """
                {"site": {"site_id": "%s", "title": "A unit", "site_kind": "picu", "zone": "Europe/London", "invented": true},
                 "source": "old", "row_key": ["nr"],
                 "encounter_start": {"nominal": "2000-01-01T12:00:00", "step": "P1D"},
                 "constants": {"encounter": {"encounter_kind": "initial"}, "course": {"course_approach": "oral"}},
                 "columns": {"kg": {"to": "weight_kg"}},
                 "attempts": [{"columns": {"sat": {"to": "spo2_lowest"}, "film": {"to": "footage_reference"},
                   "ok": {"to": "attempt_success", "codes": {"1": "yes", "0": "no"}}}}]}
                """.formatted(unit.code());
    }

    private static BodyPublisher part(String name, String file, BodyPublisher content) {
        String head = "--" + EDGE + "\r\nContent-Disposition: form-data; name=\"" + name + "\""
                + (file.isEmpty()
                        ? "\r\n\r\n"
                        : "; filename=\"" + file + "\"\r\nContent-Type: application/octet-stream\r\n\r\n");
        return BodyPublishers.concat(BodyPublishers.ofString(head), content, BodyPublishers.ofString("\r\n"));
    }

    private Answer check(BodyPublisher table, String mapping, String upload) {
        return send(request("/import")
                .header("Content-Type", "multipart/form-data; boundary=" + EDGE)
                .header("Accept", "text/html")
                .POST(BodyPublishers.concat(
                        part("site_id", "", BodyPublishers.ofString(unit.code())),
                        part("upload", "", BodyPublishers.ofString(upload)),
                        part("file", "table.csv", table),
                        part("mapping_file", "none.json", BodyPublishers.noBody()),
                        part("mapping", "", BodyPublishers.ofString(mapping)),
                        BodyPublishers.ofString("--" + EDGE + "--\r\n"))));
    }

    private Answer check(String table) {
        return check(table.getBytes(StandardCharsets.UTF_8));
    }

    private Answer check(byte[] table) {
        return check(BodyPublishers.ofByteArray(table), mapping(), "");
    }

    private Answer page(String path) {
        return send(request(path).header("Accept", "text/html").GET());
    }

    private Answer press(String path) {
        return send(request(path)
                .header("Accept", "text/html")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.noBody()));
    }

    private static String found(Answer page, String pattern) {
        Matcher matcher = Pattern.compile(pattern).matcher(page.text());
        assertThat(matcher.find()).as(page.text()).isTrue();
        return matcher.group(1);
    }

    @Test
    void takesInExactlyWhatWasChecked() {
        Answer sent = check(HEAD + "a,7.4,94,,1\nb,12,,,0\n");
        assertThat(sent.status()).as(sent.text()).isEqualTo(303);
        String address = sent.header("Location");

        assertThat(page(address).text())
                .contains("The table can be taken in")
                .contains("Nothing was stored")
                .contains("Take in 2 records");
        assertThat(encounters.count(unit)).isZero();

        assertThat(press(address + "/take").status()).isEqualTo(303);
        assertThat(page(address).text()).contains("Taken in").contains("2 records are in the register.");
        assertThat(encounters.count(unit)).isEqualTo(2);

        assertThat(press(address + "/take").status()).as("pressed twice").isEqualTo(303);
        assertThat(encounters.count(unit)).isEqualTo(2);
    }

    @Test
    void changesNothingTheSecondTime() {
        String table = HEAD + "a,7.4,94,,1\n";
        press(check(table).header("Location") + "/take");

        assertThat(page(check(table).header("Location")).text())
                .contains("Nothing new in this table")
                .doesNotContain("Take in ");
        assertThat(page(check(table + "b,8,95,,1\n").header("Location")).text()).contains("Take in 1 record<");
    }

    @Test
    void removesTheTableOnceItIsTaken() throws IOException {
        String address = check(HEAD + "a,7.4,94,,1\n").header("Location");
        Path folder = Path.of("target/test-data/tmp/import", address.substring(address.lastIndexOf('/') + 1));
        assertThat(folder.resolve("table.csv")).exists();

        press(address + "/take");
        assertThat(folder.resolve("table.csv")).doesNotExist();

        String other = check(HEAD + "b,7.4,94,,1\n").header("Location");
        assertThat(press(other + "/stop").header("Location")).endsWith("/import?site_id=" + unit.code());
        assertThat(page(other).status()).isEqualTo(404);
        try (Stream<Path> received = Files.list(Path.of("target/test-data/tmp/import/incoming"))) {
            assertThat(received)
                    .as("nothing stays where the server received it")
                    .isEmpty();
        }
    }

    @Test
    void takesNothingWhileOneRowNeedsMending() {
        Answer report = check(HEAD + "a,7.4,94,,1\nb,400,94,,1\nc,7,94,,maybe\n");
        assertThat(report.status()).isEqualTo(422);
        assertThat(report.text())
                .contains("2 rows need mending")
                .contains("Weight")
                .contains("Allowed is 0.25 to 350 kg.")
                .contains("cell.unmapped")
                .doesNotContain("maybe")
                .doesNotContain("Take in ");

        String id = found(report, "/import/([0-9a-f-]{36})/to-mend.csv");
        Answer list = page("/import/" + id + "/to-mend.csv");
        assertThat(list.header("Content-Type")).startsWith("text/csv");
        assertThat(list.text().lines())
                .contains("row,column,field,fault,mend")
                .contains("2,\"kg\",\"weight_kg\",range,\"Allowed is 0.25 to 350 kg.\"")
                .anyMatch(line -> line.startsWith("3,\"ok\",\"attempt_success\",cell.unmapped,"));
        assertThat(press("/import/" + id + "/take").status()).isEqualTo(422);
        assertThat(encounters.count(unit)).isZero();
    }

    @Test
    void goesOnWithTheSameTableWhenOnlyTheMappingWasToBeMended() {
        Answer refused =
                check(BodyPublishers.ofString(HEAD + "a,7.4,94,,1\n"), mapping().replace("weight_kg", "weight"), "");
        assertThat(refused.status()).isEqualTo(422);
        assertThat(refused.text())
                .contains("there is no variable &quot;weight&quot; here")
                .contains("The table you sent is still here")
                .contains("&quot;source&quot;: &quot;old&quot;");

        String held = found(refused, "name=\"upload\" value=\"([0-9a-f-]{36})\"");
        assertThat(check(BodyPublishers.noBody(), mapping(), held).header("Location"))
                .endsWith("/import/" + held);
    }

    @Test
    void savesTheMappingOfASourceVersionByVersion() {
        check(HEAD + "a,7.4,94,,1\n");
        check(HEAD + "a,7.4,94,,1\n");
        check(BodyPublishers.ofString(HEAD + "a,7.4,94,,1\n"), mapping().replace("P1D", "P2D"), "");

        assertThat(page("/import?site_id=" + unit.code()).text()).contains("source=old");
        assertThat(page("/import?site_id=" + unit.code() + "&source=old").text())
                .contains("P2D")
                .doesNotContain("P1D");
        assertThat(page("/import?site_id=" + unit.code() + "&source=other").status())
                .isEqualTo(404);
        assertThat(page("/import?site_id=" + unit().code()).text()).doesNotContain("source=old");
    }

    @Test
    void refusesAUnitThatIsNotThereAndOneOfTheOtherKind() {
        BodyPublisher table = BodyPublishers.ofString(HEAD + "a,7.4,94,,1\n");
        Answer absent = check(table, mapping().replace(unit.code(), "nowhere"), "");
        assertThat(absent.status()).isEqualTo(422);
        assertThat(absent.text()).contains("there is no unit &quot;nowhere&quot; here");

        Answer real = check(table, mapping().replace("\"invented\": true", "\"invented\": false"), "");
        assertThat(real.status()).isEqualTo(409);
        assertThat(real.text()).contains("holds invented records").contains("&quot;source&quot;: &quot;old&quot;");

        Answer setUp = check(
                table,
                mapping().replace("\"course\": {", "\"attempt\": {\"device_setup_id\": \"none-such\"}, \"course\": {"),
                "");
        assertThat(setUp.status()).isEqualTo(422);
        assertThat(setUp.text()).contains("the unit has no set-up &quot;none-such&quot;");
    }

    // security.md, section 7, row S23; the limits of the page are those of the issue: 64 MiB and 50,000 rows.

    @Test
    void storesAFormulaAsTextWhereTextIsAskedAndRefusesItElsewhere() {
        Answer elsewhere = check(HEAD + "a,=1+1,94,,1\n");
        assertThat(elsewhere.status()).isEqualTo(422);
        assertThat(elsewhere.text()).contains("A number with a decimal point is needed here.");

        Answer text = check(HEAD.replace("film", "film,seen") + "a,7.4,94,=1+1,yes,1\n");
        assertThat(text.status()).as("a column that is not mapped").isEqualTo(422);

        String withFilm = mapping()
                .replace(
                        "\"ok\": {",
                        "\"seen\": {\"to\": \"footage_recorded\", \"codes\": {\"yes\": \"yes\"}}, \"ok\": {");
        Answer good = check(
                BodyPublishers.ofString(HEAD.replace("film", "film,seen") + "a,7.4,94,=1+1,yes,1\n"), withFilm, "");
        press(good.header("Location") + "/take");
        assertThat(encounters.count(unit)).isEqualTo(1);
    }

    @Test
    void refusesMoreThan64MebibytesAndKeepsTheMapping() {
        byte[] mebibyte = new byte[1024 * 1024];
        java.util.Arrays.fill(mebibyte, (byte) 'a');
        Answer answer = check(
                BodyPublishers.concat(
                        BodyPublishers.ofByteArrays(Collections.nCopies(64, mebibyte)), BodyPublishers.ofString("a")),
                mapping(),
                "");
        assertThat(answer.status()).isEqualTo(413);
        assertThat(answer.text()).contains("larger than 64 MiB").contains("&quot;source&quot;: &quot;old&quot;");
    }

    @Test
    void refusesMoreThanFiftyThousandRows() {
        Answer answer = check(HEAD + "a,7.4,94,,1\n".repeat(50_001));
        assertThat(answer.status()).isEqualTo(413);
        assertThat(answer.text()).contains("more than 50,000 rows").contains("&quot;source&quot;: &quot;old&quot;");
    }

    @Test
    void tellsTheRowThatIsNotUtf8() {
        Answer answer = check((HEAD + "a,7.4,94,,1\nb,7.4,94,caf\u00e9,1\n").getBytes(Charset.forName("windows-1252")));
        assertThat(answer.status()).isEqualTo(422);
        assertThat(answer.text()).contains(">2</th>").contains("The cell is not UTF-8");
    }

    @Test
    void tellsARaggedRow() {
        Answer answer = check(HEAD + "a,7.4,94,,1\nb,7.4\n");
        assertThat(answer.status()).isEqualTo(422);
        assertThat(answer.text()).contains(">2</th>").contains("The row has 2 cells and the file 5 columns.");
    }

    @Test
    void refusesAnArchiveWhateverItsName() throws IOException {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        try (ZipOutputStream zip = new ZipOutputStream(bytes)) {
            zip.putNextEntry(new ZipEntry("table.csv"));
            zip.write(HEAD.getBytes(StandardCharsets.UTF_8));
        }
        Answer answer = check(bytes.toByteArray());
        assertThat(answer.status()).isEqualTo(415);
        assertThat(answer.text()).contains("The file is no text in UTF-8");
    }

    @Test
    void refusesAFormWithoutATable() {
        assertThat(check("").status()).isEqualTo(422);
        assertThat(press("/import").status()).isEqualTo(415);
        assertThat(page("/import/" + new java.util.UUID(1, 1)).status()).isEqualTo(404);
        assertThat(page("/import/nothing").status()).isEqualTo(404);
    }

    @Test
    void tellsHowFarALongTableHasComeAndStopsWhenAsked() throws InterruptedException {
        StringBuilder table = new StringBuilder(HEAD);
        for (int row = 1; row <= 30_000; row++) {
            table.append("r").append(row).append(",7.4,94,,1\n");
        }
        // An hour a row: a day a row would lead into the future.
        Answer sent = check(BodyPublishers.ofString(table.toString()), mapping().replace("P1D", "PT1H"), "");
        assertThat(sent.status()).as(sent.text()).isEqualTo(303);
        String address = sent.header("Location");
        Answer now = page(address);
        assertThat(now.status()).isEqualTo(200);
        if (now.header("Refresh").isEmpty()) {
            assertThat(now.text()).contains("Take in 30,000 records");
            press(address + "/take");
            now = page(address);
        }
        assertThat(now.header("Refresh")).isEqualTo("2");
        assertThat(now.text()).contains("of 30,000 rows").contains("<progress");

        press(address + "/stop");
        now = page(address);
        for (int i = 0; i < 100 && !now.header("Refresh").isEmpty(); i++) {
            Thread.sleep(100);
            now = page(address);
        }
        assertThat(now.text()).contains("Nothing was stored.");
        assertThat(encounters.count(unit)).isZero();
    }

    @Test
    void theExampleOfTheTemplateIsTakenByItsMapping() {
        Setups.of(unit.code()).forEach(setup -> post("/api/v1/device-setups", setup));
        for (String code : List.of(unit().code(), unit.code())) {
            String header = page("/import/template.csv?site_id=" + code).text();
            Answer example = page("/import/example.csv?site_id=" + code);
            String mapping =
                    page("/import/template-mapping.json?site_id=" + code).text();
            assertThat(header.lines()).hasSize(1);
            assertThat(example.text()).startsWith(header);
            assertThat(example.header("Content-Disposition")).isEqualTo("attachment; filename=\"example.csv\"");

            Answer report = check(BodyPublishers.ofString(example.text()), mapping, "");
            assertThat(report.status()).as(report.text()).isEqualTo(303);
            assertThat(page(report.header("Location")).text()).contains("Take in 2 records");
        }
    }

    @Test
    void theCodebookHasEveryVariableThatCanBeAnswered() {
        String codebook = page("/import/codebook.csv").text();
        assertThat(codebook.lines().findFirst())
                .contains("level,name,title,asked,when,type,unit,codes,allowed,usual," + "description,source");
        assertThat(codebook)
                .contains("\"encounter\",\"weight_kg\",\"Weight\",\"first\"")
                .contains("\"0.25 to 350\"")
                .contains("f = Female | m = Male")
                .contains("\"age_days <= 365\"")
                .doesNotContain("\"encounter_id\"");
        assertThat(codebook.lines()).hasSizeGreaterThan(80);
    }

    /**
     * The open trial from its file to its comparison. Expected: R 4.2. Newcombe: limits of {@code prop.test(correct = FALSE)}
     * combined by squares; Miettinen-Nurminen: {@code uniroot} on the score statistic with the likelihood maximised by {@code
     * optimize}; {@code fisher.test}. Counts and p also stand in the data's README.
     */
    @Test
    void comparesTheOpenTrialAsAnIndependentProgramDoes() throws IOException {
        unit = unit("trial-compared", "theatre", "UTC", false);
        Path data = Path.of("../docs/tutorial/data");
        String mapping = Files.readString(data.resolve("trial-mapping.json"))
                .replace("\"site_id\": \"trial\"", "\"site_id\": \"" + unit.code() + "\"");
        byte[] table = Files.readAllBytes(data.resolve("video_vs_direct_trial.csv"));
        Answer checked = check(BodyPublishers.ofByteArray(table), mapping, "");
        assertThat(checked.status()).as(checked.text()).isEqualTo(303);
        assertThat(press(checked.header("Location") + "/take").status()).isEqualTo(303);

        JsonNode comparison =
                get("/api/v1/comparisons/fps?site_id=" + unit.code()).json();

        JsonNode direct = comparison.path("groups").path(0);
        assertThat(direct.path("x").asInt()).isEqualTo(45);
        assertThat(direct.path("n").asInt()).isEqualTo(49);
        assertThat(comparison.at("/groups/1/x").asInt()).isEqualTo(43);
        assertThat(comparison.at("/groups/1/n").asInt()).isEqualTo(50);
        JsonNode pair = comparison.path("pairs").path(0);
        assertThat(pair.path("difference").asDouble()).isCloseTo(0.0583673469388, within(1e-9));
        assertThat(pair.path("lower").asDouble()).isCloseTo(-0.0724991455723, within(1e-9));
        assertThat(pair.path("upper").asDouble()).isCloseTo(0.1898726333048, within(1e-9));
        assertThat(pair.at("/score/lower").asDouble()).isCloseTo(-0.0731721862426, within(1e-6));
        assertThat(pair.at("/score/upper").asDouble()).isCloseTo(0.1938396162118, within(1e-6));
        assertThat(pair.path("p").asDouble()).isCloseTo(0.524555165253, within(1e-9));
        assertThat(comparison.at("/like_for_like/allowed_for").toString()).isEqualTo("[\"age_band\"]");
        assertThat(comparison.at("/like_for_like/pairs/0/lower").asDouble())
                .as("one stratum: the interval as recorded")
                .isCloseTo(-0.0724991455723, within(1e-9));
        assertThat(page("/compare?site_id=" + unit.code()).text())
                .contains("made up for order only", "6 points more (95% interval 7 fewer to 19 more)");
    }
}
