package airway.registry.reports;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The pages of a report: writing, making final, and what was typed when something goes wrong. */
class ReportPagesWebTest extends ServedRegistry {
    private String unit = "";

    @BeforeEach
    void ownUnit() {
        unit = unit().code();
    }

    private Answer post(String quarter, Map<String, String> fields) {
        String form = fields.entrySet().stream()
                .map(field -> field.getKey() + "=" + URLEncoder.encode(field.getValue(), StandardCharsets.UTF_8))
                .collect(Collectors.joining("&", "site_id=" + unit + "&", ""));
        return send(request("/reports/" + quarter)
                .header("Content-Type", "application/x-www-form-urlencoded")
                .header("Accept", "text/html")
                .POST(HttpRequest.BodyPublishers.ofString(form)));
    }

    private String page(String quarter) {
        return get("/reports/" + quarter + "?site_id=" + unit).text();
    }

    @Test
    void keepsTheTextsAndShowsThemInTheReport() {
        Answer kept = post("2026-Q3", Map.of("seen", "0", "learned", "First line.\r\nSecond line.", "then", "keep"));
        assertThat(kept.status()).as(kept.text()).isEqualTo(303);

        String page = page("2026-Q3");
        List<String> places = Pattern.compile(" id=\"([^\"]+)\"")
                .matcher(page)
                .results()
                .map(place -> place.group(1))
                .toList();
        assertThat(places)
                .as("a link leads to one place")
                .doesNotHaveDuplicates()
                .contains("learned", "part-learned");
        assertThat(page)
                .contains("<p>First line.</p>")
                .contains("<p>Second line.</p>")
                .contains("Make it final");
        assertThat(get("/reports?site_id=" + unit).text()).contains("Draft, last written");
    }

    @Test
    void losesNothingThatWasTypedWhenSomebodyElseWasFaster() {
        post("2026-Q3", Map.of("seen", "0", "learned", "Theirs.", "then", "keep"));
        Answer stale =
                post("2026-Q3", Map.of("seen", "0", "learned", "Mine & yours.", "asked_for", "Time.", "then", "keep"));

        assertThat(stale.status()).isEqualTo(412);
        assertThat(stale.text())
                .contains("<p>Theirs.</p>")
                .contains(">Mine &amp; yours.</textarea>")
                .contains(">Time.</textarea>")
                .contains("name=\"seen\" value=\"1\"")
                .contains("Somebody else has written");
    }

    @Test
    void losesNothingThatWasTypedWhenATextIsTooLong() {
        String text = "y".repeat(2001);
        Answer refused = post("2026-Q3", Map.of("seen", "0", "learned", text, "context", "Kept?", "then", "keep"));

        assertThat(refused.status()).isEqualTo(422);
        assertThat(refused.text())
                .contains(">" + text + "</textarea>")
                .contains(">Kept?</textarea>")
                .contains("href=\"#learned\"")
                .contains("2000 characters at most");
    }

    @Test
    void makesFinalOnlyWhenToldSoTwiceAndShowsWhatWasTypedToAFinalOne() {
        Answer unsure = post("2026-Q2", Map.of("seen", "0", "learned", "Ours.", "then", "final"));
        assertThat(unsure.status()).isEqualTo(422);
        assertThat(unsure.text()).contains("Tick that the report may be locked").contains(">Ours.</textarea>");

        Answer done = post("2026-Q2", Map.of("seen", "0", "learned", "Ours.", "then", "final", "sure", "yes"));
        assertThat(done.status()).as(done.text()).isEqualTo(303);
        String page = page("2026-Q2");
        assertThat(page)
                .contains("Final; numbers as of 24 Nov 2026, 12:00")
                .contains("none of its records was amended, added or withdrawn")
                .contains("<p>Ours.</p>")
                .doesNotContain("<textarea");

        Answer late = post("2026-Q2", Map.of("seen", "1", "learned", "Too late.", "then", "keep"));
        assertThat(late.status()).isEqualTo(409);
        assertThat(late.text()).contains(">Too late.</textarea>").contains("This report was made final before");
    }

    @Test
    void saysOfARunningQuarterThatItIsNotOverAndDoesNotLockIt() {
        assertThat(page("2026-Q4"))
                .contains("This quarter is not over")
                .doesNotContain("name=\"then\" value=\"final\"");
        Answer refused = post("2026-Q4", Map.of("seen", "0", "learned", "Early.", "then", "final", "sure", "yes"));
        assertThat(refused.status()).isEqualTo(409);
        assertThat(refused.text()).contains("2026-12-31").contains(">Early.</textarea>");
    }

    @Test
    void opensTheQuarterThatIsNamedOrSaysHowToNameOne() {
        assertThat(get("/reports?site_id=" + unit + "&quarter=2026-Q1").header("Location"))
                .contains("/reports/2026-Q1");
        Answer none = get("/reports?site_id=" + unit + "&quarter=2026-Q5");
        assertThat(none.status()).isEqualTo(400);
        assertThat(none.text()).contains("value=\"2026-Q5\"").contains("Name a quarter as 2026-Q3");
        assertThat(get("/reports?site_id=" + unit + "&quarter=2030-Q1").status())
                .isEqualTo(422);
    }

    @Test
    void aRecorderReadsAndDoesNotWrite() {
        var site = strangeUnit();
        Tester recorder = Tester.fresh(LOGINS).with(site.no(), Role.RECORDER);
        String page = send(request("/reports/2026-Q3?site_id=" + site.code(), recorder)
                        .GET())
                .text();

        assertThat(page).contains("In short").doesNotContain("<textarea");
    }
}
