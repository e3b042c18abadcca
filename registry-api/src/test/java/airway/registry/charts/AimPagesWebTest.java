package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import airway.registry.testing.OpenRegistry;
import airway.registry.testing.ServedRegistry;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.time.ZoneId;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The aim of a unit and the charts that tell how it goes. */
class AimPagesWebTest extends ServedRegistry {
    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    @BeforeEach
    void ownUnit() {
        unit = unit();
    }

    private String page() {
        return send(request("/aim?site_id=" + unit.code())
                        .header("Accept", "text/html")
                        .GET())
                .text();
    }

    private Answer write(String... fields) {
        StringBuilder body = new StringBuilder("site_id=" + unit.code());
        for (int i = 0; i < fields.length; i += 2) {
            body.append('&')
                    .append(fields[i])
                    .append('=')
                    .append(URLEncoder.encode(fields[i + 1], StandardCharsets.UTF_8));
        }
        return send(request("/aim")
                .header("Accept", "text/html")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(body.toString())));
    }

    private static final String SENTENCE = "First-pass success from 60% to 70% by December 2027";

    @Test
    void drawsOutcomeProcessAndBalancingMeasuresOnOnePage() {
        assertThat(record("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-10T10:00:00Z",
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}]}""".formatted(unit.code())).status()).isEqualTo(201);
        assertThat(page()).contains("No aim is written yet").doesNotContain("<figure");

        assertThat(write(
                                "seen",
                                "0",
                                "sentence",
                                SENTENCE,
                                "outcome",
                                "fps",
                                "process",
                                "checklist",
                                "process",
                                "sustained_co2",
                                "balancing",
                                "ae_severe")
                        .status())
                .isEqualTo(303);

        String page = page();
        assertThat(page.split("<figure", -1)).hasSize(5);
        assertThat(page)
                .contains(SENTENCE, "Outcome", "Is the work done?", "Does something else get worse?")
                .contains("First-pass success, by quarter", "first-pass success in 1 of 1")
                .contains("4 charts at once: some signal by chance alone.")
                .contains("name=\"seen\" value=\"1\"");
    }

    @Test
    void keepsEarlierAimsReadable() {
        write("seen", "0", "sentence", SENTENCE, "outcome", "fps");
        assertThat(write("seen", "1", "sentence", "Fewer desaturations by 2028", "outcome", "desat_80")
                        .status())
                .isEqualTo(303);
        assertThat(page()).contains("Fewer desaturations by 2028", "Aims before", SENTENCE);
        assertThat(OpenRegistry.rows(
                        LOGINS,
                        "select action || ' ' || object || ' ' || version from audit.entry where site_id = " + unit.no()
                                + " order by version"))
                .containsExactly("recorded aim 1", "amended aim 2");
    }

    @Test
    void namesTheFieldAndTheMendAndKeepsWhatWasTyped() {
        Answer refused = write(
                "seen", "0", "sentence", " ", "outcome", "shoe_size", "process", "fps_clean", "process", "fps_clean");
        assertThat(refused.status()).isEqualTo(422);
        assertThat(refused.text())
                .contains("href=\"#sentence\"", "Write what is to become how much better")
                .contains("Choose the measure that is to change")
                .contains("Choose every measure once");
        Answer longer = write("seen", "0", "sentence", "a".repeat(201), "outcome", "fps");
        assertThat(longer.status()).isEqualTo(422);
        assertThat(longer.text()).contains("at most 200 characters", "a".repeat(201));
        assertThat(page()).contains("No aim is written yet");
    }

    @Test
    void tellsTwoWritersOfEachOther() {
        write("seen", "0", "sentence", SENTENCE, "outcome", "fps");
        Answer stale = write("seen", "0", "sentence", "Another one", "outcome", "fps");
        assertThat(stale.status()).isEqualTo(412);
        assertThat(stale.text()).contains("Somebody else has written the aim anew", "value=\"Another one\"", SENTENCE);
        assertThat(write("seen", "1", "sentence", "Another one", "outcome", "fps")
                        .status())
                .isEqualTo(303);
    }
}
