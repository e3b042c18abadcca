package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import java.net.URI;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.openqa.selenium.By;

/** A team looks at its cases of harm one by one, and keeps what it learnt. */
class ReviewJourney extends ServedRegistry {
    private static final By KEEP = By.xpath("//button[text()='Keep']");

    private String unit = "";
    private String id = "";

    @BeforeEach
    void aFewCases() {
        unit = unit().code();
        for (int day = 1; day <= 3; day++) {
            Answer made = recordConfirmed("""
                    {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-%02dT14:20:00Z",
                     "adverse_event_any": "%s", "courses": [{"course_approach": "oral", "attempts":
                      [{"attempt_success": "no"}, {"attempt_success": "no"}, {"attempt_success": "yes"}]}],
                     "events": [%s]}""".formatted(
                            unit, day, day == 2 ? "yes" : "no", day == 2 ? "{\"event_type\": \"aspiration\"}" : ""));
            assertThat(made.status()).as(made.text()).isEqualTo(201);
            id = made.json().path("encounter_id").asString();
        }
    }

    private URI at(String path) {
        return request(path).build().uri();
    }

    private static String text(Browser browser) {
        return browser.driver().findElement(By.tagName("main")).getText();
    }

    @ParameterizedTest(name = "{0} by {1}")
    @CsvSource({"320, 700", "390, 844", "1280, 900"})
    void readsTheListAndACaseInBothTones(int width, int height) {
        try (Browser browser =
                Browser.open(width, height).as(request("/").build().uri(), session())) {
            browser.visit(at("/reviews?site_id=" + unit));
            browser.openAll();
            browser.looksRight("reviews-" + width);
            browser.visit(at("/reviews/" + id));
            browser.openAll();
            browser.looksRight("review-" + width);
        }
    }

    @Test
    void goesFromTheFrontPageToACaseAndKeepsWhatItLearnt() {
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.visit(at("/?site_id=" + unit));
            browser.press(By.partialLinkText("3 cases wait for review"));
            browser.waitForTitle("Case reviews");
            browser.press(By.linkText("3 Mar 2026, 14:20"));
            browser.waitForTitle("Case review –");
            browser.type("learning_point", "The plan for a second attempt was not said aloud.");
            browser.tap("done", "yes");
            browser.press(KEEP);
            browser.waitForTitle("Error: ");
            assertThat(browser.driver().switchTo().activeElement().getDomAttribute("role"))
                    .as("the focus is on what is to be mended")
                    .isEqualTo("alert");
            browser.openAll();
            browser.looksRight("review-error-390");

            browser.tap("contributed", "communication");
            browser.press(KEEP);
            browser.waitFor(By.id("v1"));
            assertThat(text(browser)).contains("Communication", "The plan for a second attempt was not said aloud.");
            browser.openAll();
            browser.looksRight("review-kept-390");
            browser.press(By.partialLinkText("All case reviews"));
            browser.waitForTitle("Case reviews");
            assertThat(text(browser)).contains("2 cases wait for review, 1 done");
        }
    }
}
