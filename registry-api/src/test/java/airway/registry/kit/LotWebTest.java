package airway.registry.kit;

import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.sql.Sql;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;

/** Single-use stock by lot: records take from it whatever the books say, and the keeper sees what runs out. */
class LotWebTest extends KitDesk {
    private static final String TUBE = "Tube, cuffed, 3.5";

    /** Built by the rules of the GS1 General Specifications: GTIN, use-by day 30 November 2027, lot L9. */
    private static final String PACK = "]d2010950600013435217271130" + "10L9";

    private void tube(int least) {
        Answer made = sent(
                keeper,
                "/api/v1/kit/kinds",
                "{\"title\": \"" + TUBE + "\", \"profile\": \"single_use\", \"least_ready\": " + least + "}");
        assertThat(made.status()).as(made.text()).isEqualTo(201);
    }

    private String came(String more) {
        Answer made = sent(keeper, "/api/v1/kit/lots", "{" + more + "}");
        assertThat(made.status()).as(made.text()).isEqualTo(201);
        return made.header("Location");
    }

    private String typed(String lot, String useBy, int number) {
        return came("\"kind\": \"" + TUBE + "\", \"lot\": \"" + lot + "\", \"number\": " + number
                + (useBy.isEmpty() ? "" : ", \"use_by\": \"" + useBy + "\""));
    }

    private static List<String> log(JsonNode lot) {
        List<String> lines = new ArrayList<>();
        lot.path("log")
                .forEach(line -> lines.add(
                        0,
                        line.path("move").asString() + " " + line.path("change").asInt()));
        return lines;
    }

    private int left(String lot) {
        return read(lot).path("left").asInt();
    }

    @Test
    void takesOneDownForEachLabelOfARecordAndPutsBackWhatItNoLongerNames() throws SQLException {
        tube(5);
        String pack = came("\"kind\": \"" + TUBE + "\", \"number\": 10, \"label\": \"" + PACK + "\"");
        assertThat(read(pack).path("gtin").asString()).isEqualTo("09506000134352");
        assertThat(read(pack).path("use_by").asString()).isEqualTo("2027-11-30");
        // The GTIN came before: the kind need not be told, and the lot is the one that is there.
        assertThat(came("\"number\": 2, \"label\": \"" + PACK + "\"")).isEqualTo(pack);
        assertThat(left(pack)).isEqualTo(12);

        String record = recorded("06:20", attempts("[\"" + PACK + "\"]", "[\"L9\", \"" + PACK + "\"]"));
        assertThat(left(pack)).isEqualTo(9);
        assertThat(told()).isEmpty();
        amended(record, 1, "06:20", attempts("[\"" + PACK + "\"]", "[\"L9\"]"));
        assertThat(left(pack)).isEqualTo(10);
        amended(record, 2, "06:20", attempts("[\"" + PACK + "\"]", "[\"L9\"]"));
        assertThat(left(pack)).as("said again, nothing happens").isEqualTo(10);
        assertThat(post("/api/v1/encounters/" + record + "/withdrawal", "{\"reason_code\": \"other\"}")
                        .status())
                .isEqualTo(200);
        assertThat(left(pack)).as("a record that is withdrawn used nothing").isEqualTo(12);
        assertThat(log(read(pack)))
                .containsExactly("received 10", "received 2", "used -1", "used -2", "unused 1", "unused 1", "unused 1");
        assertThat(Sql.rows(
                        LOGINS.owner(),
                        "select finding || coalesce(detail, '') from audit.findings() where site = '" + unit.code()
                                + "'"))
                .isEmpty();
    }

    @Test
    void neverRefusesARecordWhateverTheBooksSay() {
        tube(1);
        String lot = typed("A1207", "2026-11-23", 1);
        recorded("06:20", attempts("[\"A1207\"]", "[\"A1207\"]"));
        assertThat(left(lot)).isEqualTo(-1);
        assertThat(told())
                .containsExactlyInAnyOrder(
                        "expired A1207 of attempt 1", "expired A1207 of attempt 2", "stock_none A1207 of attempt 2");
        assertThat(page(keeper, "/kit").text()).contains("Records used more than came: count it.", "To look into: 3");
        // What is counted counts; whoever has not seen the last line is told so.
        assertThat(sent(keeper, lot + "/moves", "{\"move\": \"counted\", \"seen\": 1, \"number\": 3}"))
                .satisfies(answer -> isProblem(answer, 412, "stale"));
        assertThat(sent(keeper, lot + "/moves", "{\"move\": \"counted\", \"seen\": 3, \"number\": 3}")
                        .status())
                .isEqualTo(200);
        assertThat(sent(
                                keeper,
                                lot + "/moves",
                                "{\"move\": \"discarded\", \"seen\": 4, \"number\": 4, \"reason\": \"Over\"}")
                        .status())
                .isEqualTo(422);
        assertThat(sent(
                                keeper,
                                lot + "/moves",
                                "{\"move\": \"discarded\", \"seen\": 4, \"number\": 3, \"reason\": \"Over\"}")
                        .status())
                .isEqualTo(200);
        assertThat(left(lot)).isZero();
        assertThat(sent(recorder, lot + "/moves", "{\"move\": \"counted\", \"seen\": 4, \"number\": 3}")
                        .status())
                .isEqualTo(403);
    }

    @Test
    void tellsInTheMorningWhatRunsOutAndWhatToOrder() {
        tube(10);
        // The day of the tests is 24 November; a pack may be used through its use-by day.
        typed("OVER", "2026-11-23", 1);
        typed("TODAY", "2026-11-24", 1);
        typed("SEVEN", "2026-12-01", 1);
        typed("EIGHT", "2026-12-02", 1);
        typed("SIXTY", "2027-01-23", 1);
        typed("LATER", "2027-01-24", 1);
        typed("NEVER", "", 3);
        assertThat(StreamSupport.stream(
                                send(request("/api/v1/kit/lots", keeper).GET())
                                        .json()
                                        .spliterator(),
                                false)
                        .map(lot -> lot.path("lot").asString() + " "
                                + lot.path("alert").asString()))
                .containsExactly(
                        "OVER expired",
                        "TODAY very_soon",
                        "SEVEN very_soon",
                        "EIGHT soon",
                        "SIXTY soon",
                        "LATER none",
                        "NEVER none");
        assertThat(page(recorder, "/kit").text())
                .contains("Single-use stock to see to: 5", "The use-by day is over", "Runs out within 7 days.")
                .contains("8 in date, minimum 10: order it.");
        assertThat(page(recorder, "/kit/stock").text())
                .contains("8 in date, minimum 10.", "Low: order it.")
                .doesNotContain("Something came");
        assertThat(form(keeper, "/kit/stock", "kind", TUBE, "number", "x").text())
                .contains("Write the lot as it stands");
        assertThat(form(keeper, "/kit/stock", "kind", TUBE, "lot", "NEVER", "number", "4")
                        .status())
                .isEqualTo(303);
        assertThat(page(keeper, "/kit/stock").text()).contains("7 left; no use-by day");
    }

    @Test
    void linksARecordToWhatItsUnknownLabelWasFoundToBe() {
        tube(1);
        kind();
        String blade = ready("0417");
        String record = recorded("06:20", attempts("[\"A12O7\", \"O417\"]"));
        assertThat(told()).containsExactly("item_unknown A12O7 of attempt 1", "item_unknown O417 of attempt 1");
        String lot = typed("A1207", "2027-05-31", 5);
        String of = "/api/v1/kit/discrepancies/";
        String first = open().path(0).path("discrepancy_id").asString();
        String second = open().path(1).path("discrepancy_id").asString();
        assertThat(sent(keeper, of + first + "/closing", "{\"reason\": \"Read wrongly\", \"label\": \"B1\"}")
                        .status())
                .isEqualTo(422);
        assertThat(form(keeper, "/kit/discrepancies/" + first + "/closing", "reason", "Read wrongly", "label", "B1")
                        .text())
                .contains("No item and no lot of the unit has this label", "value=\"Read wrongly\"")
                .contains("<p class=\"field-err\">No item and no lot of the unit has this label");
        assertThat(form(keeper, "/kit/discrepancies/" + first + "/closing", "label", "A1207")
                        .text())
                .contains("<p class=\"field-err\">Write what was found and done.");
        assertThat(form(keeper, "/kit/stock/" + lot.substring(lot.lastIndexOf('/') + 1), "move", "counted", "seen", "1")
                        .text())
                .contains("<p class=\"field-err\">Write how many there are.");
        assertThat(form(
                                keeper,
                                "/kit/items/" + blade.substring(blade.lastIndexOf('/') + 1) + "/moves",
                                "move",
                                "held",
                                "seen",
                                "3")
                        .text())
                .contains("<p class=\"field-err\">Write why it is held.");
        JsonNode closed = sent(keeper, of + first + "/closing", "{\"reason\": \"Read wrongly\", \"label\": \"A1207\"}")
                .json();
        assertThat(closed.path("lot").asString()).isEqualTo("A1207");
        assertThat(left(lot)).isEqualTo(4);
        sent(keeper, of + second + "/closing", "{\"reason\": \"Read wrongly\", \"label\": \"0417\"}");
        assertThat(read(blade).path("state").asString()).isEqualTo("used");
        assertThat(read(blade).at("/log/3/encounter_id").asString()).isEqualTo(record);
        // The record still says what was typed; put right elsewhere, it stays linked to what was found.
        amended(record, 1, "06:25", attempts("[\"A12O7\", \"O417\"]"));
        assertThat(told()).isEmpty();
        assertThat(left(lot)).isEqualTo(4);
        assertThat(read(blade).path("version").asInt()).isEqualTo(4);
        amended(record, 2, "06:25", attempts("[\"O417\"]"));
        assertThat(left(lot)).as("no longer named").isEqualTo(5);
    }

    @Test
    void findsTheRecordsOfALotAndTheLotsOfARecord() {
        tube(1);
        typed("A1207", "2027-05-31", 5);
        typed("B1", "2027-05-31", 5);
        String one = recorded("06:20", attempts("[\"A1207\"]", "[\"B1\", \"A1207\"]"));
        String other = recorded("07:20", attempts("[\"A1207\"]"));
        List<String> fromLots = new ArrayList<>();
        for (String lot : List.of("A1207", "B1")) {
            JsonNode look = look("lot", lot);
            look.path("uses").forEach(use -> fromLots.add(said(use)));
            assertThat(look.at("/items/0/left").asInt()).isEqualTo(lot.equals("B1") ? 4 : 2);
            assertThat(look.at("/coverage/records_named").asInt()).isPositive();
        }
        List<String> fromRecords = new ArrayList<>();
        List.of(one, other)
                .forEach(record -> look("record", record).path("uses").forEach(use -> fromRecords.add(said(use))));
        assertThat(fromLots)
                .containsExactlyInAnyOrderElementsOf(fromRecords)
                .containsExactlyInAnyOrder(
                        "Lot A1207 " + one + " 1 1",
                        "Lot A1207 " + one + " 2 1",
                        "Lot B1 " + one + " 2 1",
                        "Lot A1207 " + other + " 1 1");
    }

    private JsonNode look(String by, String value) {
        Answer answer = sent(
                keeper,
                "/api/v1/kit/look-backs",
                "{\"by\": \"" + by + "\", \"value\": \"" + value + "\", \"reason\": \"Recall 7\"}");
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    private static String said(JsonNode use) {
        return use.path("name").asString() + " " + use.path("encounter_id").asString() + " "
                + use.path("attempt_no").asInt() + " " + use.path("units").asInt();
    }
}
