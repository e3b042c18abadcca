package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import java.net.http.HttpRequest;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

class HistoryPageWebTest extends ServedRegistry {
    private String unit = "";
    private String id = "";

    @BeforeEach
    void anAmendedRecord() {
        unit = unit().code();
        id = record(body("\"weight_kg\": 7.4", 98)).json().path("encounter_id").asString();
        Answer amended = send(request("/api/v1/encounters/" + id)
                .header("Content-Type", "application/json")
                .header("If-Match", "\"v1\"")
                .PUT(HttpRequest.BodyPublishers.ofString(body(
                        "\"unknown\": [\"weight_kg\"], \"urgency\": \"urgent\", \"amendment\": {\"reason_code\": \"mistyped\","
                                + " \"reason_text\": \"<b>98</b> was 89\"}",
                        89))));
        assertThat(amended.status()).as(amended.text()).isEqualTo(200);
    }

    private String body(String more, int lowest) {
        return """
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-01T14:20:00Z", %s,
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes", "spo2_lowest": %d}]}]}""".formatted(unit, more, lowest);
    }

    private Answer page(String path) {
        return send(request(path).header("Accept", "text/html"));
    }

    private Answer withdraw(String form) {
        return send(request("/records/" + id + "/withdrawal")
                .header("Accept", "text/html")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(form)));
    }

    @Test
    void tellsEveryVersionWithItsReasonAndWhatItChanged() {
        String text = page("/records/" + id + "/history").text();

        assertThat(text)
                .contains("Put right, ", "Saved, ")
                .contains("Mistyped: &lt;b&gt;98&lt;/b&gt; was 89")
                .contains(
                        "<th scope=\"row\">Weight</th><td data-label=\"was\">7.4</td><td data-label=\"now\">not known</td>")
                .contains(
                        "<th scope=\"row\">Urgency</th><td data-label=\"was\">–</td><td data-label=\"now\">Urgent, time to prepare</td>")
                .contains("<th scope=\"row\">Course 1, attempt 1: Lowest saturation")
                .contains("<td data-label=\"was\">98</td><td data-label=\"now\">89</td>")
                .doesNotContain("<th scope=\"row\">Kind of encounter</th>");
    }

    @Test
    void withdrawsWithAReasonAndSaysSoWhereverTheRecordIsShown() {
        Answer done = withdraw("reason_code=duplicate");

        assertThat(done.status()).isEqualTo(303);
        assertThat(done.header("Location")).endsWith("/records/" + id + "/history");
        for (String path : new String[] {"/records/" + id, "/records/" + id + "/history"}) {
            assertThat(page(path).text()).contains("This record was withdrawn. It no longer counts anywhere.");
        }
        assertThat(page("/records/" + id + "/history").text()).contains("Withdrawn, ", "Recorded twice.");
    }

    @Test
    void asksForTheReasonAndKeepsWhatWasTyped() {
        Answer refused = withdraw("reason_text=made+for+a+course");

        assertThat(refused.status()).isEqualTo(422);
        assertThat(refused.text())
                .contains("<title>Error: ", "Choose why the record is withdrawn.", "value=\"made for a course\"");
        assertThat(get("/api/v1/encounters/" + id).json().path("status").asString())
                .isEqualTo("amended");
    }

    @Test
    void isMissingForARecordThatIsNot() {
        assertThat(page("/records/7b1de6a0-0000-4000-8000-000000000000/history").status())
                .isEqualTo(404);
    }

    @Test
    void showsEveryVersionAsItWas() {
        assertThat(page("/records/" + id + "/versions/1").text())
                .contains("This is version 1 as it was.", "owest SpO2 98%")
                .doesNotContain("Put it right");
        assertThat(page("/records/" + id + "/versions/2").text()).contains("owest SpO2 89%");
        for (String none : new String[] {"0", "99", "x"}) {
            assertThat(page("/records/" + id + "/versions/" + none).status()).isEqualTo(404);
        }
    }
}
