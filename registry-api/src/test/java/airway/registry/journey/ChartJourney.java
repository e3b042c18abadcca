package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Setups;
import java.net.URI;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.openqa.selenium.By;
import org.openqa.selenium.support.ui.Select;

/** The improvement team looks at its chart and at its set-ups, by phone and at the desk. */
class ChartJourney extends ServedRegistry {
    private static final By SHOW = By.cssSelector("form.ask button");

    private String unit = "";

    @BeforeEach
    void thirteenMonthsOfRecords() {
        unit = unit().code();
        Setups.of(unit).forEach(setup -> post("/api/v1/device-setups", setup));
        for (int month = 0; month < 13; month++) {
            for (int i = 0; i < 6; i++) {
                String success = month == 4 || i == month % 6 ? "no" : "yes";
                String setup = i % 2 == 0 ? "metal-handle" : "plastic-cable";
                Answer answer =
                        record("""
                        {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "%d-%02d-10T10:00:00Z", "courses":
                         [{"course_approach": "oral", "attempts": [{"attempt_success": "%s", "device_setup_id": "%s", "operator_is_recorder": "yes"}]}]}""".formatted(unit, 2025 + (month + 9) / 12, (month + 9) % 12 + 1, success, setup));
                assertThat(answer.status()).as(answer.text()).isEqualTo(201);
            }
        }
    }

    private URI at(String path) {
        return request(path + (path.contains("?") ? "&" : "?") + "site_id=" + unit)
                .build()
                .uri();
    }

    @ParameterizedTest(name = "{0} by {1}")
    @CsvSource({"320, 700", "390, 844", "1280, 900"})
    void readsTheChartAndTheComparisonInBothTones(int width, int height) {
        try (Browser browser =
                Browser.open(width, height).as(request("/").build().uri(), session())) {
            for (String page : new String[] {
                "/charts", "/charts?chart=p", "/charts?chart=p&split=device_mode", "/aim", "/compare", "/learning", "/"
            }) {
                browser.visit(at(page));
                browser.script("document.querySelectorAll('details').forEach(d => d.open = true)");
                browser.fitsSideways();
                browser.isLargeEnough();
                browser.isAccessible();
                assertThat(browser.driver().findElements(By.cssSelector(".large-only")))
                        .as("what is for large screens only")
                        .allSatisfy(only -> assertThat(only.isDisplayed()).isEqualTo(width >= 860));
                browser.picture(page.replace("/", "chart-journey-").replaceAll("[?&=]", "-") + "-" + width);
                browser.dim();
                browser.isAccessible();
            }
        }
    }

    @Test
    void seesTheSignalInWordsAndChoosesLongerSpans() {
        try (Browser browser = Browser.open(1280, 900).as(request("/").build().uri(), session())) {
            browser.visit(at("/charts"));
            assertThat(browser.driver().findElement(By.tagName("main")).getText())
                    .as("so few open one by one")
                    .contains("About 3 intubations a month, so they are shown one by one", "The running count");
            assertThat(browser.driver().findElements(By.cssSelector(".large svg.plot g[role=img][tabindex='0']")))
                    .as("each month can be reached and speaks")
                    .isNotEmpty();
            new Select(browser.driver().findElement(By.name("chart"))).selectByValue("p");
            browser.press(SHOW);
            browser.waitFor(By.name("by"));
            String text = browser.driver().findElement(By.tagName("main")).getText();
            assertThat(text)
                    .contains(
                            "60 of 78 (77%)",
                            "Signal 1. Feb 2026: fewer than chance usually gives. 0 of 6 (0%)",
                            "Provisional",
                            "Can't reach the upper limit at 13 of 13 points",
                            "they do not rank people");
            assertThat(browser.driver().findElements(By.cssSelector("svg.plot g[role=img][tabindex='0']")))
                    .as("each point can be reached and speaks")
                    .hasSizeGreaterThanOrEqualTo(13)
                    .first()
                    .satisfies(point -> assertThat(point.getDomAttribute("aria-label"))
                            .startsWith("Oct 2025: 5 of 6 (83%), limits "));

            new Select(browser.driver().findElement(By.name("by"))).selectByValue("quarter");
            browser.press(SHOW);
            browser.waitForTitle("Charts");
            assertThat(browser.driver().getCurrentUrl()).contains("by=quarter").contains("site_id=" + unit);
            assertThat(browser.driver().findElement(By.tagName("main")).getText())
                    .contains("First-pass success, by quarter", "No limits: there are 4 complete points");
        }
    }

    @Test
    void keepsWhatWasAskedWhenAPeriodCannotBeRead() {
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.visit(at("/charts?chart=p"));
            browser.driver().findElement(By.cssSelector(".ask summary")).click();
            browser.type("from", "May");
            browser.press(SHOW);
            browser.waitFor(By.cssSelector(".err"));
            assertThat(browser.driver().findElement(By.cssSelector(".err")).getText())
                    .contains("Send one month, quarter or year");
            assertThat(browser.driver().findElement(By.name("from")).getDomProperty("value"))
                    .isEqualTo("May");
        }
    }
}
