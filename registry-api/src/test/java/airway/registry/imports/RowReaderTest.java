package airway.registry.imports;

import static airway.registry.imports.MappingReaderTest.FRAME;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.node.JsonNodeFactory;
import tools.jackson.databind.node.ObjectNode;

class RowReaderTest {
    private static final Map<String, ObjectNode> SETUPS =
            Map.of("direct", setup("direct"), "screen", setup("video_standard"));

    @Test
    void keepsBlankNotKnownAndAnsweredApart() {
        String mapping = """
                , "not_known": ["NA"], "columns": {
                  "w": {"to": "weight_kg"}, "s": {"to": "sex", "not_known": ["?"], "codes": {"0": "f"}}}
                """;

        RowReader.Made answered = read(mapping, "w,s\n3.20,0");
        assertThat(answered.body().path("weight_kg").decimalValue()).isEqualByComparingTo("3.2");
        assertThat(answered.body().at("/patient/sex").asString()).isEqualTo("f");

        RowReader.Made blank = read(mapping, "w,s\n,");
        assertThat(blank.body().has("weight_kg")).isFalse();
        assertThat(blank.body().path("patient").has("sex")).isFalse();
        assertThat(blank.notKnown()).isEmpty();

        RowReader.Made notKnown = read(mapping, "w,s\nNA,?");
        assertThat(notKnown.body().at("/unknown/0").asString()).isEqualTo("weight_kg");
        assertThat(notKnown.body().at("/patient/sex").asString()).isEqualTo("unk");
        assertThat(notKnown.notKnown()).containsExactly("sex", "weight_kg");
    }

    @Test
    void complainsByColumnAndNeverRepeatsTheCell() {
        RowReader.Made made = read(
                ", \"columns\": {\"w\": {\"to\": \"weight_kg\"}, \"s\": {\"to\": \"sex\", \"codes\": {\"0\": \"f\"}}}",
                "w,s\n3kg,zz");

        assertThat(made.complaints()).extracting(Complaint::column).containsExactly("w", "s");
        assertThat(made.complaints()).extracting(Complaint::code).containsExactly("number", "cell.unmapped");
        assertThat(made.complaints())
                .noneMatch(complaint ->
                        complaint.mend().contains("3kg") || complaint.mend().contains("zz"));
    }

    @Test
    void turnsYearsIntoTheDaysOfTheDefinitions() {
        String mapping = ", \"columns\": {\"age\": {\"to\": \"age_days\", \"times\": 365.25, \"round\": true}}";

        for (String[] pair : new String[][] {{"1", "365"}, {"8", "2922"}, {"18", "6575"}}) {
            assertThat(read(mapping, "age\n" + pair[0]).body().path("age_days").intValue())
                    .isEqualTo(Integer.parseInt(pair[1]));
        }
    }

    @Test
    void ticksOneListFromSeveralColumns() {
        String mapping = """
                , "columns": {"shock": {"to": "indication", "codes": {"1": "shock", "0": []}},
                              "arrest": {"to": "indication", "codes": {"1": "arrest", "0": []}}}
                """;

        assertThat(read(mapping, "shock,arrest\n1,1").body().path("indication").toString())
                .isEqualTo("[\"shock\",\"arrest\"]");
        assertThat(read(mapping, "shock,arrest\n0,0").body().has("indication")).isFalse();
    }

    @Test
    void readsAPairOfColumnsAsOneCode() {
        String mapping = """
                , "attempts": [{"present": "ok", "columns": {
                   "arm": {"to": "device_setup_id", "with": "same", "codes": {
                     "0": {"1": "direct", "0": "screen"}, "1": {"1": "screen", "0": "direct"}}},
                   "ok": {"to": "attempt_success", "codes": {"1": "yes", "0": "no"}}}}]
                """;

        assertThat(setupOf(read(mapping, "arm,same,ok\n0,1,1"))).isEqualTo("direct");
        assertThat(setupOf(read(mapping, "arm,same,ok\n0,0,1"))).isEqualTo("screen");
        assertThat(setupOf(read(mapping, "arm,same,ok\n1,0,1"))).isEqualTo("direct");
        assertThat(read(mapping, "arm,same,ok\n0,1,")
                        .body()
                        .at("/courses/0/attempts")
                        .isEmpty())
                .isTrue();
    }

    @Test
    void saysNotKnownOnlyWhereTheQuestionIsAsked() {
        String mapping = """
                , "absent": ["look_target", "failure_reason", "tube_passes", "tube_position"],
                  "attempts": [{"columns": {
                    "arm": {"to": "device_setup_id", "codes": {"0": "direct", "1": "screen"}},
                    "ok": {"to": "attempt_success", "codes": {"1": "yes", "0": "no"}}}}]
                """;

        assertThat(read(mapping, "arm,ok\n0,1").notKnown()).containsExactly("tube_passes", "tube_position");
        assertThat(read(mapping, "arm,ok\n1,0").notKnown())
                .containsExactly("failure_reason", "look_target", "tube_passes", "tube_position");
    }

    @Test
    void addsAnEventWhereItsColumnSaysYes() {
        String mapping = """
                , "events": {"arrest": {"yes": ["1"], "no": ["0"], "event": {"event_type": "arrest_rosc"}}}
                """;

        assertThat(read(mapping, "arrest\n1").body().at("/events/0/event_type").asString())
                .isEqualTo("arrest_rosc");
        assertThat(read(mapping, "arrest\n0").body().path("events").isEmpty()).isTrue();
        assertThat(read(mapping, "arrest\n2").complaints())
                .singleElement()
                .extracting(Complaint::code)
                .isEqualTo("cell.unmapped");
    }

    @Test
    void complainsOfAnAttemptWithoutTheOneBefore() {
        String mapping = """
                , "attempts": [
                   {"present": "ok1", "columns": {"ok1": {"to": "attempt_success", "codes": {"1": "yes"}}}},
                   {"present": "ok2", "columns": {"ok2": {"to": "attempt_success", "codes": {"1": "yes"}}}}]
                """;

        assertThat(read(mapping, "ok1,ok2\n,1").complaints()).singleElement().satisfies(complaint -> {
            assertThat(complaint.column()).isEqualTo("ok2");
            assertThat(complaint.code()).isEqualTo("attempt.gap");
        });
    }

    @Test
    void readsADateOfTheUnitsWallClockStrictly() {
        String frame = FRAME.formatted("")
                .replace(
                        "{\"nominal\": \"2000-01-01T12:00:00\", \"step\": \"P1D\"}",
                        "{\"column\": \"d\", \"format\": \"dd/MM/yyyy HH:mm\"}");
        Mapping mapping = MappingReaderTest.read(frame);

        assertThat(read(mapping, "d\n01/07/2025 09:30")
                        .body()
                        .path("encounter_start")
                        .asString())
                .isEqualTo("2025-07-01T09:30+01:00");
        assertThat(read(mapping, "d\n31/02/2025 09:30").complaints())
                .singleElement()
                .extracting(Complaint::code)
                .isEqualTo("datetime");
    }

    @Test
    void namesARowByItsKeyColumns() {
        assertThat(read(", \"row_key\": [\"a\", \"b\"]", "a,b\n7,8").sourceRow())
                .isEqualTo("old:7|8");
        assertThat(read(", \"row_key\": [\"a\", \"b\"]", "a,b\n7,").complaints())
                .singleElement()
                .extracting(Complaint::code)
                .isEqualTo("row.key");
        assertThat(read(", \"ignore\": [\"a\"]", "a\n7").sourceRow()).isEqualTo("old:1");
    }

    @Test
    void complainsOfARaggedRow() {
        assertThat(read(", \"ignore\": [\"a\", \"b\"]", "a,b\n1").complaints())
                .containsExactly(new Complaint("", "", "row.ragged", "The row has 1 cells and the file 2 columns."));
    }

    @Test
    void complainsOfACellThatIsNotUtf8() {
        assertThat(read(", \"ignore\": [\"a\", \"b\"]", "a,b\n1," + CsvRows.UNREADABLE)
                        .complaints())
                .singleElement()
                .satisfies(complaint -> {
                    assertThat(complaint.column()).isEqualTo("b");
                    assertThat(complaint.code()).isEqualTo("row.encoding");
                });
    }

    @Test
    void takesAFormulaForTheTextThatItIs() {
        String mapping = """
                , "attempts": [{"columns": {"f": {"to": "footage_reference"}, "s": {"to": "spo2_lowest"},
                   "ok": {"to": "attempt_success", "codes": {"1": "yes"}}}}]
                """;

        RowReader.Made made = read(mapping, "f,s,ok\n=1+1,=1+1,=1+1");
        assertThat(made.body().at("/courses/0/attempts/0/footage_reference").asString())
                .isEqualTo("=1+1");
        assertThat(made.complaints()).extracting(Complaint::field).containsExactly("spo2_lowest", "attempt_success");
    }

    private static String setupOf(RowReader.Made made) {
        return made.body().at("/courses/0/attempts/0/device_setup_id").asString();
    }

    private static RowReader.Made read(String settings, String csv) {
        return read(MappingReaderTest.read(FRAME.formatted(settings)), csv);
    }

    private static RowReader.Made read(Mapping mapping, String csv) {
        List<String> lines = csv.lines().toList();
        return RowReader.read(mapping, cells(lines.get(0)), new CsvRows.Row(1, cells(lines.get(1))), SETUPS);
    }

    private static List<String> cells(String line) {
        return List.of(line.split(",", -1));
    }

    private static ObjectNode setup(String mode) {
        return JsonNodeFactory.instance.objectNode().put("device_mode", mode);
    }
}
