package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.time.ZoneId;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Keeping an average on the page. */
class KeptAveragePagesWebTest extends ServedRegistry {
    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    @BeforeEach
    void tenMonths() {
        unit = unit();
        for (int month = 1; month <= 10; month++) {
            assertThat(record("""
                            {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2025-%02d-10T10:00:00Z",
                             "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "%s"}]}]}""".formatted(unit.code(), month, month % 2 == 0 ? "yes" : "no"))
                            .status())
                    .isEqualTo(201);
        }
    }

    private String page(String address) {
        return send(request(address + "site_id=" + unit.code() + "&measure=fps&chart=p")
                        .header("Accept", "text/html")
                        .GET())
                .text();
    }

    /** As a browser sends it: with the secret of the form among its fields. */
    private Answer send(String path, String... fields) {
        StringBuilder body =
                new StringBuilder("_csrf=" + session().secret() + "&measure=fps&chart=p&site_id=" + unit.code());
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

    private static final String REASON = "The year before <the> checklist";

    @Test
    void keepsAnewAndWithdrawsFromTheChart() {
        assertThat(page("/charts?")).contains("Keep this average");
        assertThat(page("/kept-average?"))
                .contains("No average is kept for this chart", "value=\"2025-01\"", "value=\"2025-10\"");

        assertThat(send("/kept-average", "from", "2025-01", "to", "2025-10", "seen", "0", "reason", REASON)
                        .status())
                .isEqualTo(303);
        assertThat(page("/charts?"))
                .contains(
                        "The average of 50% was kept on ",
                        "from Jan 2025 to Oct 2025 (all together 5 of 10 (50%), 95% interval 24% to 76%)")
                .contains("The year before &lt;the&gt; checklist")
                .contains("None of these records was changed, added or withdrawn since.")
                .contains("Keep it anew, or withdraw it");

        Answer stale = send("/kept-average", "from", "2025-01", "to", "2025-10", "seen", "0", "reason", "mine");
        assertThat(stale.status()).isEqualTo(412);
        assertThat(stale.text()).contains("Somebody else has kept this average", "value=\"mine\"");

        assertThat(send("/kept-average/withdrawal", "out_reason", " ").text())
                .contains("href=\"#out_reason\"", "Say why it is withdrawn.");
        assertThat(send("/kept-average/withdrawal", "out_reason", "Wrong year").status())
                .isEqualTo(303);
        assertThat(page("/charts?")).doesNotContain("was kept on").contains("Keep this average");
        assertThat(page("/kept-average?"))
                .contains("Withdrawn, ", "Kept, ", "Jan 2025 to Oct 2025: 5 of 10 (50%).", "Wrong year");
    }

    @Test
    void asksForMonthsWhereAPointIsAStretchOrAGroup() {
        assertThat(page("/kept-average?by=n:5&"))
                .contains("By group of 5.", "hold at least 10 whole groups of 5.", "value=\"2025-01\"");
        String stretch = send(request("/kept-average?measure=fps&chart=g&site_id=" + unit.code())
                        .header("Accept", "text/html")
                        .GET())
                .text();
        assertThat(stretch)
                .contains(
                        "First-pass success: the kept average",
                        "By stretch from one to the next.",
                        "hold at least 10 whole stretches from one to the next.")
                .contains("value=\"2025-03\"", "value=\"2026-10\"");
        Answer few = send(request("/kept-average")
                .header("Accept", "text/html")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(
                        "measure=fps&chart=g&from=2025-01&to=2025-10&seen=0&reason=a" + "&site_id=" + unit.code())));
        assertThat(few.status()).isEqualTo(422);
        assertThat(few.text()).contains("The period holds 4 whole stretches from one to the next, and an average");
    }

    @Test
    void namesTheFieldAndTheMendAndKeepsWhatWasTyped() {
        Answer refused = send("/kept-average", "from", "2025-05", "to", "2025-10", "seen", "0", "reason", "");
        assertThat(refused.status()).isEqualTo(422);
        assertThat(refused.text())
                .contains("href=\"#reason\"", "Say why this period is the one to keep.", "value=\"2025-05\"");
        assertThat(send("/kept-average", "from", "2025-05", "to", "2025-10", "seen", "0", "reason", "a")
                        .text())
                .contains("href=\"#from\"", "The period holds 6 points with intubations");
    }

    @Test
    void offersItOnlyToWhoMayImprove() {
        Tester recorder = Tester.fresh(LOGINS).with(unit.no(), Role.RECORDER);
        assertThat(send(request("/charts?measure=fps&chart=p", recorder)
                                .header("Accept", "text/html")
                                .GET())
                        .text())
                .contains("First-pass success")
                .doesNotContain("/kept-average");
        assertThat(send(request("/kept-average?measure=fps", recorder)
                                .header("Accept", "text/html")
                                .GET())
                        .status())
                .isEqualTo(403);
    }
}
