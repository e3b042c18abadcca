package airway.registry.changes;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What was changed and when, on its pages. */
class ChangePagesWebTest extends ServedRegistry {
    private String unit = "";

    @BeforeEach
    void ownUnit() {
        unit = unit().code();
    }

    private Answer page(String path) {
        return send(request(path).header("Accept", "text/html"));
    }

    private Answer form(String path, String... fields) {
        StringBuilder body = new StringBuilder("site_id=" + unit);
        for (int i = 0; i < fields.length; i += 2) {
            body.append('&')
                    .append(fields[i])
                    .append('=')
                    .append(URLEncoder.encode(fields[i + 1], StandardCharsets.UTF_8));
        }
        return send(request(path)
                .header("Accept", "text/html")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(body.toString())));
    }

    private String list() {
        return page("/changes?site_id=" + unit).text();
    }

    private String noted() {
        Answer done = form(
                "/changes", "changed_on", "2026-03-14", "name", "Briefing", "reason", "Why <not>", "cuts_chart", "yes");
        assertThat(done.status()).as(done.text()).isEqualTo(303);
        return get("/api/v1/changes?site_id=" + unit)
                .json()
                .get(0)
                .path("change_id")
                .asString();
    }

    @Test
    void notesAChangeAndShowsItInTheList() {
        assertThat(list()).contains("No change is noted", "no names of people, and nothing about a patient");
        noted();
        assertThat(list()).contains("1 change", "14 Mar 2026: Briefing", "Why &lt;not&gt;", "A new phase begins.");
    }

    @Test
    void keepsEverythingTypedAndNamesTheFieldAndTheMend() {
        Answer refused =
                form("/changes", "changed_on", "2026-02-30", "name", " ", "reason", "a <reason>\nin two lines");

        assertThat(refused.status()).isEqualTo(422);
        assertThat(refused.text())
                .contains("<title>Error: What was changed and when", "href=\"#changed_on\"", "href=\"#name\"")
                .contains("There is no such day in the calendar", "Give it a name")
                .contains("Choose whether charts begin a new phase")
                .contains("value=\"2026-02-30\"", "a &lt;reason&gt;\nin two lines</textarea>");
        assertThat(get("/api/v1/changes?site_id=" + unit).json()).isEmpty();
    }

    @Test
    void refusesADayThatLiesAhead() {
        Answer refused =
                form("/changes", "changed_on", "2026-11-25", "name", "Soon", "reason", "Planned", "cuts_chart", "no");

        assertThat(refused.status()).isEqualTo(422);
        assertThat(refused.text())
                .contains("This day lies ahead; note the change once it has begun.", "value=\"2026-11-25\"")
                .containsPattern("value=\"no\" checked");
    }

    @Test
    void putsRightWithAReasonAndTellsTheHistory() {
        String id = noted();
        Answer done = form(
                "/changes/" + id + "/amend",
                "seen",
                "1",
                "changed_on",
                "2026-03-16",
                "name",
                "Briefing",
                "reason",
                "Why <not>",
                "cuts_chart",
                "no",
                "reason_code",
                "known_better",
                "reason_text",
                "began a Monday");

        assertThat(done.status()).as(done.text()).isEqualTo(303);
        assertThat(page("/changes/" + id).text())
                .contains("Put right, ", "Noted, ", "It is known better now: began a Monday")
                .as("the first version as it was")
                .contains("<dt>First day</dt><dd>14 Mar 2026</dd>", "<dt>On the charts</dt><dd>A new phase begins</dd>")
                .as("and what the second changed")
                .contains("<td data-label=\"was\">14 Mar 2026</td><td data-label=\"now\">16 Mar 2026</td>")
                .contains(
                        "<td data-label=\"was\">A new phase begins</td><td data-label=\"now\">A note, no new phase</td>");
        assertThat(list()).contains("16 Mar 2026: Briefing", "Put right.");
    }

    @Test
    void asksForTheReasonAndForADifference() {
        String id = noted();
        Answer refused = form(
                "/changes/" + id + "/amend",
                "seen",
                "1",
                "changed_on",
                "2026-03-14",
                "name",
                "Briefing",
                "reason",
                "Why <not>",
                "cuts_chart",
                "yes");

        assertThat(refused.status()).isEqualTo(422);
        assertThat(refused.text())
                .contains("<title>Error: ", "Choose why.", "Nothing was changed: every answer is as it was.");
        assertThat(form("/changes/" + id + "/amend", "changed_on", "2026-03-14").status())
                .isEqualTo(400);
    }

    @Test
    void keepsWhatWasTypedWhenSomebodyElseWasFaster() {
        String id = noted();
        String[] mine = {
            "seen",
            "1",
            "changed_on",
            "2026-03-17",
            "name",
            "Mine",
            "reason",
            "x",
            "cuts_chart",
            "no",
            "reason_code",
            "mistyped",
            "reason_text",
            "slip"
        };
        form(
                "/changes/" + id + "/amend",
                "seen",
                "1",
                "changed_on",
                "2026-03-16",
                "name",
                "Theirs",
                "reason",
                "y",
                "cuts_chart",
                "yes",
                "reason_code",
                "mistyped");

        Answer stale = form("/changes/" + id + "/amend", mine);

        assertThat(stale.status()).isEqualTo(412);
        assertThat(stale.text())
                .contains("Somebody else has put this change right", "Theirs", "value=\"Mine\"", "value=\"2026-03-17\"")
                .contains("value=\"slip\"", "name=\"seen\" value=\"2\"");
        mine[1] = "2";
        assertThat(form("/changes/" + id + "/amend", mine).status()).isEqualTo(303);
        assertThat(get("/api/v1/changes/" + id + "/versions").json()).hasSize(3);
    }

    @Test
    void withdrawsWithAReasonAndShowsTheWithdrawnApart() {
        String id = noted();
        Answer refused = form("/changes/" + id + "/withdrawal", "reason_text", "never came");
        assertThat(refused.status()).isEqualTo(422);
        assertThat(refused.text()).contains("href=\"#out_reason_code\"", "Choose why.", "value=\"never came\"");

        assertThat(form("/changes/" + id + "/withdrawal", "reason_code", "did_not_happen")
                        .status())
                .isEqualTo(303);
        assertThat(page("/changes/" + id).text())
                .contains("This change was withdrawn. Charts no longer show it.", "It did not happen.")
                .doesNotContain("Put it right");
        assertThat(list()).contains("No change is noted", "1 withdrawn change");
    }

    @Test
    void isLinkedFromTheChartsPage() {
        assertThat(page("/charts?site_id=" + unit).text())
                .contains("<a href=\"/changes?site_id=" + unit + "\">What was changed and when</a>");
    }
}
