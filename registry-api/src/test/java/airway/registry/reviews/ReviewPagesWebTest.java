package airway.registry.reviews;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Case reviews on their pages. */
class ReviewPagesWebTest extends ServedRegistry {
    private String unit = "";
    private String id = "";

    @BeforeEach
    void aCaseWithThreeAttempts() {
        unit = unit().code();
        id = record(3);
    }

    private String record(int attempts) {
        Answer made = recordConfirmed("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-01T14:20:00Z", "courses":
                 [{"course_approach": "oral", "attempts": [%s{"attempt_success": "yes"}]}]}""".formatted(unit, "{\"attempt_success\": \"no\"}, ".repeat(attempts - 1)));
        assertThat(made.status()).as(made.text()).isEqualTo(201);
        return made.json().path("encounter_id").asString();
    }

    private Answer page(String path) {
        return send(request(path).header("Accept", "text/html"));
    }

    private Answer form(String... fields) {
        StringBuilder body = new StringBuilder();
        for (int i = 0; i < fields.length; i += 2) {
            body.append('&')
                    .append(fields[i])
                    .append('=')
                    .append(URLEncoder.encode(fields[i + 1], StandardCharsets.UTF_8));
        }
        return send(request("/reviews/" + id)
                .header("Accept", "text/html")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(body.substring(1))));
    }

    @Test
    void tellsTheCasesInWordsAndThatTheListIsTheUnitsOwn() {
        assertThat(page("/reviews?site_id=" + unit).text())
                .contains("1 case waits for review, 0 done", "1 Mar 2026, 14:20", "Three or more attempts.")
                .contains("Waits for review", "href=\"/records/" + id + "\"")
                .contains("no report, no export and not to the board");
        assertThat(page("/reviews?site_id=" + unit + "&why=ae_severe").text())
                .contains("0 cases wait", "No case is opened by these filters.");
        Answer bad = page("/reviews?site_id=" + unit + "&from=May");
        assertThat(bad.status()).isEqualTo(400);
        assertThat(bad.text()).contains("Send one month, quarter or year", "value=\"May\"");
    }

    @Test
    void isLinkedFromTheFrontPageTheHistoryAndTheChartOfRareHarm() {
        assertThat(page("/?site_id=" + unit).text()).contains("1 case waits for review");
        assertThat(page("/records/" + id + "/history").text()).contains("href=\"/reviews/" + id + "\"");
        assertThat(page("/charts?measure=ae_severe&site_id=" + unit).text())
                .contains("href=\"/reviews?site_id=" + unit + "&amp;why=ae_severe\"");
        assertThat(page("/charts?measure=fps&site_id=" + unit).text()).doesNotContain("/reviews?");
    }

    @Test
    void keepsWhatWasWrittenAndTellsTheHistory() {
        assertThat(page("/reviews/" + id).text())
                .contains("no names of people, and nothing about the patient")
                .doesNotContain("checked");
        Answer done = form(
                "seen",
                "0",
                "contributed",
                "team",
                "contributed",
                "drugs",
                "learning_point",
                "Say <it> aloud",
                "action",
                "Briefing",
                "due_on",
                "2026-11-01",
                "done",
                "no");
        assertThat(done.status()).as(done.text()).isEqualTo(303);
        assertThat(page("/reviews?site_id=" + unit).text()).contains("Begun; the action was due 1 Nov 2026");

        Answer again = form(
                "seen",
                "1",
                "contributed",
                "team",
                "learning_point",
                "Say <it> aloud",
                "action",
                "Briefing",
                "due_on",
                "2026-11-01",
                "done",
                "yes",
                "reason_code",
                "went_on");
        assertThat(again.status()).as(again.text()).isEqualTo(303);
        assertThat(page("/reviews/" + id).text())
                .contains("Written anew, ", "Written, ", "The review went on.", "Drugs, Team", "Say &lt;it&gt; aloud");
        assertThat(page("/reviews?site_id=" + unit).text()).contains("0 cases wait for review, 1 done");
        assertThat(page("/?site_id=" + unit).text()).doesNotContain("for review");
    }

    @Test
    void keepsEverythingTypedAndNamesTheFieldAndTheMend() {
        Answer refused = form(
                "seen",
                "0",
                "contributed",
                "nothing_found",
                "contributed",
                "team",
                "learning_point",
                "kept text",
                "due_on",
                "2026-02-30");

        assertThat(refused.status()).isEqualTo(422);
        assertThat(refused.text())
                .contains("<title>Error: Case review", "href=\"#contributed\"", "href=\"#due_on\"", "href=\"#done\"")
                .contains("There is no such day in the calendar", "Choose whether it is done.", "stands alone")
                .contains("kept text</textarea>", "value=\"2026-02-30\"")
                .containsPattern("value=\"team\" checked")
                .containsPattern("value=\"nothing_found\" checked");
        assertThat(get("/api/v1/reviews/" + id + "/versions").json()).isEmpty();
    }

    @Test
    void keepsWhatWasTypedWhenSomebodyElseWasFaster() {
        assertThat(form("seen", "0", "contributed", "team", "done", "no").status())
                .isEqualTo(303);

        Answer stale = form("seen", "0", "contributed", "drugs", "learning_point", "mine", "done", "no");

        assertThat(stale.status()).isEqualTo(412);
        assertThat(stale.text())
                .contains("Somebody else has written about this case", "mine</textarea>", "name=\"seen\" value=\"1\"")
                .containsPattern("value=\"drugs\" checked");
        assertThat(form(
                                "seen",
                                "1",
                                "contributed",
                                "drugs",
                                "learning_point",
                                "mine",
                                "done",
                                "no",
                                "reason_code",
                                "went_on")
                        .status())
                .isEqualTo(303);
        assertThat(get("/api/v1/reviews/" + id + "/versions").json()).hasSize(2);
    }

    @Test
    void saysThatTheReasonIsGoneAndThatARecordOpensNone() {
        form("seen", "0", "contributed", "team", "done", "no");
        post("/api/v1/encounters/" + id + "/withdrawal", "{\"reason_code\": \"test_entry\"}");

        assertThat(page("/reviews/" + id).text())
                .contains("The reason is gone: the record was withdrawn.", "What was written stays.", "Team");
        assertThat(page("/reviews?site_id=" + unit).text()).contains("The reason is gone: the record was withdrawn.");
        assertThat(page("/reviews/" + record(1)).text())
                .contains("This record opens no review")
                .doesNotContain("<button class=\"btn\">Keep");
    }

    @Test
    void staysOutOfTheFileOfRecords() {
        form("seen", "0", "contributed", "team", "learning_point", "unheard of", "done", "no");

        assertThat(page("/records.csv?site_id=" + unit).text()).contains(id).doesNotContain("unheard of", "team");
    }
}
