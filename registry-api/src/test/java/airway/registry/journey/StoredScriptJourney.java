package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.OpenRegistry;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.openqa.selenium.By;
import org.openqa.selenium.logging.LogEntry;
import org.openqa.selenium.logging.LogType;

/** S11: what somebody typed is shown as text on every page, and the browser is never asked to run it. */
class StoredScriptJourney extends ServedRegistry {
    private static final String SCRIPT = "\"><img src=x onerror=document.title='gone'>";
    private static final String JSON = SCRIPT.replace("\"", "\\\"");

    @Test
    void showsStoredScriptsAsText() {
        Site unit = sites.add("script-unit", SCRIPT, "picu", ZoneId.of("Europe/London"), true);
        Tester person = Tester.fresh(LOGINS)
                .with(unit.no(), Role.RECORDER, Role.IMPROVEMENT_LEAD)
                .with(null, Role.ADMINISTRATOR, Role.AUDITOR);
        OpenRegistry.rows(
                LOGINS,
                "update access.actor set title = '" + SCRIPT.replace("'", "''") + "' where actor_id = " + person.actor()
                        + " returning actor_id");
        json(person, "/api/v1/device-setups", "POST", Map.of(), """
                {"site_id": "script-unit", "title": "%s", "device_mode": "direct"}""".formatted(JSON), 201);
        String record = json(
                        person,
                        "/api/v1/encounters",
                        "POST",
                        Map.of("Idempotency-Key", "\"0123456789012345678901234\""),
                        """
                {"site_id": "script-unit", "encounter_kind": "initial", "encounter_start": "2026-11-24T09:20:00+00:00",
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "no"}, {"attempt_success": "no"},
                   {"attempt_success": "yes"}]}]}""",
                        201)
                .json()
                .path("encounter_id")
                .asString();
        json(person, "/api/v1/encounters/" + record, "PUT", Map.of("If-Match", "\"v1\""), """
                {"site_id": "script-unit", "encounter_kind": "initial", "encounter_start": "2026-11-24T09:20:00+00:00",
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "no"}, {"attempt_success": "no"},
                   {"attempt_success": "no"}]}], "amendment": {"reason_code": "mistyped", "reason_text": "%s"}}""".formatted(JSON), 200);
        String change = json(
                        person,
                        "/api/v1/changes",
                        "POST",
                        Map.of("Idempotency-Key", "\"0123456789012345678901235\""),
                        """
                {"site_id": "script-unit", "changed_on": "2026-11-01", "name": "%s", "reason": "%s", "cuts_chart": "yes"}""".formatted(JSON, JSON),
                        201)
                .json()
                .path("change_id")
                .asString();
        json(person, "/api/v1/reviews/" + record, "PUT", Map.of("If-None-Match", "*"), """
                {"contributed": ["equipment"], "learning_point": "%s", "action": "%s", "due_on": "2026-12-01", "done": "no"}""".formatted(JSON, JSON), 201);
        json(
                person,
                "/api/v1/reports/2026-Q3?site_id=script-unit",
                "PUT",
                Map.of("If-None-Match", "*"),
                """
                {"asked_for": "%s", "context": "%s", "learned": "%s", "next_steps": "%s", "read_with_care": "%s"}""".formatted(JSON, JSON, JSON, JSON, JSON),
                201);
        Answer aim = send(request("/aim", person)
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString("site_id=script-unit&seen=0&outcome=fps&sentence="
                        + URLEncoder.encode(SCRIPT, StandardCharsets.UTF_8))));
        assertThat(aim.status()).as(aim.text()).isEqualTo(303);
        List<String> pages = List.of(
                "/",
                "/record",
                "/records",
                "/records/" + record,
                "/records/" + record + "/history",
                "/records/" + record + "/amend",
                "/charts",
                "/charts?chart=p",
                "/compare",
                "/quality",
                "/import",
                "/changes",
                "/changes/" + change,
                "/reviews",
                "/reviews/" + record,
                "/aim",
                "/learning",
                "/reports",
                "/reports/2026-Q3",
                "/kit/scanner",
                "/setups",
                "/people",
                "/people/" + person.actor(),
                "/units",
                "/tokens",
                "/settings",
                "/me",
                "/nowhere");
        try (Browser browser = Browser.open(1280, 900)
                .as(
                        request("/").build().uri(),
                        person.session(request("/").build().uri().getPort()))) {
            List<String> seen = new ArrayList<>();
            for (String page : pages) {
                browser.visit(request(page + (page.contains("?") ? "&" : "?") + "site_id=script-unit")
                        .build()
                        .uri());
                assertThat(browser.driver().getTitle()).as(page).isNotEqualTo("gone");
                assertThat(browser.driver().findElements(By.cssSelector("img[src='x']")))
                        .as(page)
                        .isEmpty();
                if (browser.driver().getPageSource().contains("onerror=document.title")) {
                    seen.add(page);
                }
            }
            assertThat(seen)
                    .as("the text is on these pages")
                    .contains(
                            "/changes",
                            "/setups",
                            "/people",
                            "/units",
                            "/aim",
                            "/reports/2026-Q3",
                            "/reviews/" + record,
                            "/records/" + record + "/history");
            assertThat(browser.driver().manage().logs().get(LogType.BROWSER).getAll())
                    .extracting(LogEntry::getMessage)
                    .as("reports of the content security policy")
                    .noneMatch(message -> message.contains("Content Security Policy"));
        }
    }

    private Answer json(
            Tester person, String path, String method, Map<String, String> headers, String body, int expected) {
        HttpRequest.Builder request = request(path, person).header("Content-Type", "application/json");
        headers.forEach(request::header);
        Answer answer = send(request.method(method, HttpRequest.BodyPublishers.ofString(body)));
        assertThat(answer.status()).as(path + ": " + answer.text()).isEqualTo(expected);
        return answer;
    }
}
