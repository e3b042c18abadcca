package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import java.net.URI;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.openqa.selenium.By;

/** An improvement lead reads the report of a quarter, writes into it, and makes it final. */
class ReportJourney extends ServedRegistry {
    private String unit = "";

    @BeforeEach
    void aQuarter() {
        unit = unit().code();
        for (int day = 1; day <= 6; day++) {
            Answer made = recordConfirmed("""
                    {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-08-%02dT14:20:00Z",
                     "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "%s"}]}]}""".formatted(unit, day, day % 3 == 0 ? "no" : "yes"));
            assertThat(made.status()).as(made.text()).isEqualTo(201);
        }
    }

    private URI at(String path) {
        return request(path).build().uri();
    }

    @ParameterizedTest(name = "{0} by {1}")
    @CsvSource({"320, 700", "390, 844", "1280, 900"})
    void readsTheListAndAReportInBothTones(int width, int height) {
        try (Browser browser =
                Browser.open(width, height).as(request("/").build().uri(), session())) {
            browser.visit(at("/reports?site_id=" + unit));
            browser.looksRight("reports-" + width);
            browser.visit(at("/reports/2026-Q3?site_id=" + unit));
            browser.looksRight("report-" + width);
            browser.visit(at("/reports/2026-Q3?readers=board&site_id=" + unit));
            browser.looksRight("report-board-" + width);
        }
    }

    @Test
    void writesAndMakesFinalAfterBeingAskedTwice() {
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.visit(at("/reports?site_id=" + unit));
            browser.press(By.partialLinkText("July to September 2026"));
            browser.waitForTitle("Quarterly report");
            browser.type("learned", "Say the plan aloud.");
            browser.press(By.xpath("//button[text()='Make it final']"));
            browser.waitForTitle("Error: ");
            assertThat(browser.driver().findElement(By.id("learned")).getDomProperty("value"))
                    .isEqualTo("Say the plan aloud.");

            browser.press(By.xpath("//label[@class='aside']"));
            browser.press(By.xpath("//button[text()='Make it final']"));
            browser.waitForTitle("Quarterly report");
            String page = browser.driver().findElement(By.tagName("main")).getText();
            assertThat(page)
                    .contains("Final; numbers as of 24 Nov 2026, 12:00")
                    .contains("Say the plan aloud.")
                    .contains("First-pass success in the quarter: 4 of 6");
            browser.looksRight("report-final-390");
        }
    }
}
