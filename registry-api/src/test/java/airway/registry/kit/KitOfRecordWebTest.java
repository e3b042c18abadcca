package airway.registry.kit;

import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.Tester;
import java.net.http.HttpRequest;
import java.util.List;
import java.util.UUID;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ObjectNode;

/** What records say of the kit: they are never held up by it, and the kit keeper sees what does not agree. */
class KitOfRecordWebTest extends KitDesk {
    @Test
    void makesTheItemsOfARecordUsedAndLinksThem() {
        kind();
        String blade = ready("0417");
        String marked = item("H1", ", \"gtin\": \"09506000134352\", \"serial\": \"A7\"");
        moved(keeper, marked, "ready", 1, cycle("2026-11-23T18:00"));
        moved(second, marked, "confirmed", 2, "");

        String record = recorded("06:20", attempts("[\"0417\", \"]d2010950600013435221A7\"]", "[\"0417\"]"));

        JsonNode used = read(blade);
        assertThat(used.path("state").asString()).isEqualTo("used");
        assertThat(used.path("clean").asString()).isEqualTo("no");
        assertThat(used.at("/log/3/move").asString()).isEqualTo("named");
        assertThat(used.at("/log/3/encounter_id").asString()).isEqualTo(record);
        assertThat(used.at("/log/3/attempt_no").asInt()).isEqualTo(1);
        assertThat(used.at("/log/4/attempt_no").asInt()).isEqualTo(2);
        assertThat(read(marked).path("state").asString()).isEqualTo("used");
        assertThat(told()).isEmpty();
        assertThat(page(keeper, pageOf(blade)).text())
                .contains("Named by a record: Used, waiting to go", "named by 1 record")
                .contains("Record " + record.substring(0, 8) + ", attempt 2")
                .doesNotContain("/records/");
    }

    @Test
    void keepsALabelThatNobodyKnowsAsTypedAndRaisesIt() {
        kind();
        String record = recorded("06:20", attempts("[\"0471 <b>\"]"));

        assertThat(get("/api/v1/encounters/" + record)
                        .json()
                        .at("/courses/0/attempts/0/kit_labels/0")
                        .asString())
                .isEqualTo("0471 <b>");
        assertThat(told()).containsExactly("item_unknown 0471 <b> of attempt 1");
        assertThat(page(keeper, "/kit/discrepancies").text())
                .contains("1 is open", "This label names no item and no lot of the unit: 0471 &lt;b&gt;")
                .contains("Record " + record.substring(0, 8))
                .doesNotContain("41 days", "Female", "/records/");
        assertThat(page(recorder, "/kit/discrepancies").status()).isEqualTo(403);
    }

    /** State it is led into, moves that lead there, what the record's naming makes of it, and what is raised. */
    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "held | held \"place\":\"Box\",\"reason\":\"It fell.\" | held | state_odd",
                "repair | repair \"reason\":\"No light\" | repair | state_odd",
                "missing | missing \"at\":\"2026-11-24T05:00\" | used | state_odd",
                "sent | opened ;used \"place\":\"Box\",\"at\":\"2026-11-24T05:10\";sent \"label\":\"7\",\"destination\":\"Services\",\"at\":\"2026-11-24T05:20\" | sent | state_odd",
                "opened | opened \"at\":\"2026-11-24T06:21\" | used |",
                "used before its record was written | opened \"at\":\"2026-11-24T06:21\";used \"place\":\"Box\",\"at\":\"2026-11-24T06:40\" | used |",
                "sent before its record was written | opened \"at\":\"2026-11-24T06:21\";used \"place\":\"Box\",\"at\":\"2026-11-24T06:40\";sent \"label\":\"7\",\"destination\":\"Services\",\"at\":\"2026-11-24T07:00\" | sent |",
                "in a cycle | opened \"at\":\"2026-11-24T06:21\";used \"place\":\"Box\",\"at\":\"2026-11-24T06:40\";sent \"label\":\"7\",\"destination\":\"Services\",\"at\":\"2026-11-24T07:00\";in_processing \"cycle\":\"9\" | in_processing |",
                "back | opened \"at\":\"2026-11-24T05:00\";used \"place\":\"Box\",\"at\":\"2026-11-24T05:10\";sent \"label\":\"7\",\"destination\":\"Services\",\"at\":\"2026-11-24T05:20\";returned \"label\":\"7\",\"cycle\":\"9\",\"cycle_ended_at\":\"2026-11-24T06:00\",\"cycle_passed\":\"yes\",\"use_by\":\"2027-05-18\" | used | state_odd",
                "retired | retired \"reason\":\"Cracked\";confirmed | retired | state_odd"
            })
    void neverRefusesARecordWhateverTheStateOfTheItem(String name, String moves, String after, String raised) {
        kind();
        String blade = ready("0417");
        int seen = 3;
        for (String move : moves.split(";", -1)) {
            String[] parts = move.split(" ", 2);
            Tester who = parts[0].equals("confirmed") ? second : keeper;
            moved(who, blade, parts[0], seen++, parts.length > 1 ? parts[1].strip() : "");
        }

        String record = recorded("06:20", attempts("[\"0417\"]"));

        JsonNode now = read(blade);
        assertThat(now.path("state").asString()).as(name).isEqualTo(after);
        assertThat(now.at("/log/" + seen + "/encounter_id").asString()).isEqualTo(record);
        assertThat(now.path("clean").asString()).isEqualTo("no");
        assertThat(told()).as(name).isEqualTo(raised == null ? List.of() : List.of(raised + " 0417 of attempt 1"));
    }

    @Test
    void raisesAUseAfterTheLastDayAndTwoUsesWithoutACycleBetween() {
        kind();
        String blade = item("0417", "");
        moved(
                keeper,
                blade,
                "ready",
                1,
                "\"cycle\": \"1\", \"cycle_ended_at\": \"2026-11-20T10:00\", \"cycle_passed\": \"yes\","
                        + " \"use_by\": \"2026-11-23\", \"at\": \"2026-11-20T11:00\"");
        moved(second, blade, "confirmed", 2, "");
        recorded("06:20", attempts("[\"0417\"]"));
        assertThat(told()).containsExactly("expired 0417 of attempt 1");
        recorded("06:30", attempts("[\"0417\"]"));
        assertThat(told()).containsExactly("expired 0417 of attempt 1", "used_twice 0417 of attempt 1");
    }

    @Test
    void countsAUseThatIsToldAfterTheNextCycleAsLaterThanIt() {
        kind();
        String blade = ready("0417");
        moved(recorder, blade, "opened", 3, "\"at\": \"2026-11-24T06:10\"");
        moved(recorder, blade, "used", 4, "\"place\": \"Box\", \"at\": \"2026-11-24T06:30\"");
        moved(
                keeper,
                blade,
                "sent",
                5,
                "\"label\": \"7\", \"destination\": \"Services\", \"at\": \"2026-11-24T07:00\"");
        moved(keeper, blade, "returned", 6, "\"label\": \"7\", " + cycle("2026-11-24T09:00"));
        moved(keeper, blade, "ready", 7, "\"checked\": \"yes\"");

        recorded("06:15", attempts("[\"0417\"]"));

        assertThat(told()).containsExactly("processed_since 0417 of attempt 1");
        JsonNode now = read(blade);
        assertThat(now.path("state").asString()).isEqualTo("used");
        moved(keeper, blade, "sent", now.path("version").asInt(), "\"label\": \"8\", \"destination\": \"Services\"");
        Answer early = sent(
                keeper,
                blade + "/moves",
                "{\"move\": \"returned\", \"seen\": " + (now.path("version").asInt() + 1) + ", \"label\": \"8\", "
                        + cycle("2026-11-24T09:00") + "}");
        isProblem(early, 422, "invalid");
    }

    @Test
    void unlinksWhatAnAmendedRecordNoLongerNamesAndLeavesItDirty() {
        kind();
        String wrong = ready("0417");
        String right = ready("0471");
        String record = recorded("06:20", attempts("[\"0417\", \"nobody's\"]"));
        amended(record, 1, "06:20", attempts("[\"0471\"]"));

        JsonNode unlinked = read(wrong);
        assertThat(unlinked.at("/log/4/move").asString()).isEqualTo("unnamed");
        assertThat(unlinked.path("state").asString()).isEqualTo("used");
        assertThat(read(right).path("state").asString()).isEqualTo("used");
        assertThat(told()).containsExactly("no_longer_named 0417 of attempt 1");
        assertThat(page(keeper, pageOf(wrong)).text()).contains("No longer named by the record", "named by 0 records");

        Answer gone = post("/api/v1/encounters/" + record + "/withdrawal", "{\"reason_code\": \"test_entry\"}");
        assertThat(gone.status()).as(gone.text()).isEqualTo(200);
        assertThat(told()).containsExactly("no_longer_named 0417 of attempt 1", "no_longer_named 0471 of attempt 1");
        assertThat(page(keeper, "/kit/discrepancies").text()).contains("The record no longer says so since");
    }

    @Test
    void leadsKitProblemsAndRecordingsToTheKeeperWhoClosesThemWithAReason() {
        kind();
        String record = recorded(
                "06:20",
                "{\"attempt_success\": \"yes\", \"kit_issue\": [\"light\", \"battery\"], \"kit_issue_effect\": \"harm\","
                        + " \"footage_recorded\": \"yes\"}, {\"attempt_success\": \"no\", \"kit_issue\": [\"none\"]}");
        assertThat(told())
                .containsExactlyInAnyOrder(
                        "kit_problem light of attempt 1",
                        "kit_problem battery of attempt 1",
                        "recording yes of attempt 1");
        String page = page(keeper, "/kit/discrepancies").text();
        assertThat(page)
                .contains("Kit problem: Light failed", "A recording was made")
                .doesNotContain("harm");

        String id = open().get(0).path("discrepancy_id").asString();
        Answer why = form(keeper, "/kit/discrepancies/" + id + "/closing");
        assertThat(why.status()).isEqualTo(422);
        assertThat(why.text()).contains("href=\"#r-" + id + "\"", "Write what was found and done.");
        assertThat(form(keeper, "/kit/discrepancies/" + id + "/closing", "reason", "New bulb <ok>")
                        .status())
                .isEqualTo(303);
        assertThat(told()).hasSize(2);
        assertThat(page(keeper, "/kit/discrepancies").text()).contains("New bulb &lt;ok&gt;");
        Answer again = form(second, "/kit/discrepancies/" + id + "/closing", "reason", "Mine");
        assertThat(again.status()).isEqualTo(409);
        assertThat(again.text()).contains("Somebody has closed it before. You had typed: Mine");

        amended(
                record,
                1,
                "06:20",
                "{\"attempt_success\": \"yes\", \"kit_issue\": [\"light\", \"battery\"], \"footage_recorded\": \"yes\"}");
        assertThat(told()).as("what somebody closed is not raised again").hasSize(2);
        isProblem(
                sent(recorder, "/api/v1/kit/discrepancies/" + id + "/closing", "{\"reason\": \"a\"}"),
                403,
                "not-allowed");
    }

    @Test
    void leavesAUseThatSomebodyToldApartFromTheRecordToThem() {
        kind();
        String blade = ready("0417");
        String record = recorded("06:20", attempts("[]"));
        moved(recorder, blade, "in_use", 3, "\"encounter_id\": \"" + record + "\", \"attempt_no\": 1");
        amended(record, 1, "06:20", attempts("[]"));
        assertThat(read(blade).path("version").asInt()).isEqualTo(4);
        assertThat(told()).isEmpty();
        amended(record, 2, "06:20", attempts("[\"0417\"]"));
        assertThat(read(blade).path("state").asString()).isEqualTo("used");
        assertThat(told()).isEmpty();
    }

    @Test
    void namesTheFieldOfABadLabelAndTakesASecondTapOnce() {
        kind();
        String blade = ready("0417");
        Answer bad = record(
                RECORD.formatted(unit.code(), "2026-11-24T06:20:00Z", attempts("[\"a\\u0007\", \"b\", \"b\", 3]")));
        assertThat(airway.registry.testing.Assertions.faults(isProblem(bad, 422, "invalid")))
                .contains(
                        "/courses/0/attempts/0/kit_labels/0 text",
                        "/courses/0/attempts/0/kit_labels/2 list.repeated",
                        "/courses/0/attempts/0/kit_labels/3 text");
        ObjectNode body = (ObjectNode)
                JSON.readTree(RECORD.formatted(unit.code(), "2026-11-24T06:20:00Z", attempts("[\"0417\"]")));
        String key = UUID.randomUUID().toString();
        assertThat(record(body.toString(), key).status()).isEqualTo(201);
        assertThat(record(body.toString(), key).status()).isLessThan(300);
        assertThat(read(blade).path("version").asInt()).isEqualTo(4);
    }

    @Test
    void keepsNoHospitalNumberThatStandsAmongTheLabels() {
        kind();
        String record = recorded("06:20", attempts("[\"MR 778 201\"]"));
        Answer put = number(record);
        assertThat(put.status()).isEqualTo(422);
        assertThat(put.text()).contains("number.open", "among the labels").doesNotContain("778");
        amended(record, 1, "06:20", attempts("[\"0417\"]"));
        assertThat(number(record).status()).isBetween(200, 204);
        ObjectNode body = (ObjectNode) JSON.readTree(
                RECORD.formatted(unit.code(), "2026-11-24T06:20:00Z", attempts("[\"0417\", \"mr778201\"]")));
        body.putObject("amendment").put("reason_code", "mistyped");
        Answer again = amend(record, 2, body);
        assertThat(again.status()).isEqualTo(422);
        assertThat(again.json().at("/errors/0/pointer").asString()).isEqualTo("/courses/0/attempts/0/kit_labels");
    }

    private Answer number(String record) {
        return send(request("/api/v1/encounters/" + record + "/hospital-number")
                .header("Content-Type", "application/json")
                .PUT(HttpRequest.BodyPublishers.ofString("{\"hospital_number\": \"MR 778 201\"}")));
    }
}
