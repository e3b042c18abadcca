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

/** Whoever answers for the data looks for records and asks whether the numbers can be trusted. */
class RecordListJourney extends ServedRegistry {
    private static final By SHOW = By.cssSelector("form.sentence .words button");

    private String unit = "";

    @BeforeEach
    void aMonthOfRecords() {
        unit = unit().code();
        Setups.of(unit).forEach(setup -> post("/api/v1/device-setups", setup));
        for (int day = 1; day <= 30; day++) {
            String attempts = day % 3 == 0
                    ? "{\"attempt_success\": \"no\", \"tube_passes\": 1, \"tube_position\": \"oesophagus\"},"
                            + " {\"attempt_success\": \"yes\"}"
                    : "{\"attempt_success\": \"yes\", \"device_setup_id\": \"metal-handle\"}";
            Answer answer = recordConfirmed("""
                    {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-10-%02dT10:00:00Z",
                     "age_days": %d, "weight_kg": 4, "courses": [{"course_approach": "oral", "attempts": [%s]}]}""".formatted(unit, day, day * 40, attempts));
            assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        }
    }

    private URI at(String path) {
        return request(path + "?site_id=" + unit).build().uri();
    }

    @ParameterizedTest(name = "{0} by {1}")
    @CsvSource({"320, 700", "390, 844", "1280, 900"})
    void readsBothPagesInBothTones(int width, int height) {
        try (Browser browser =
                Browser.open(width, height).as(request("/").build().uri(), session())) {
            for (String page : new String[] {"/records", "/quality"}) {
                browser.visit(at(page));
                browser.script("document.querySelectorAll('details').forEach(d => d.open = true)");
                browser.fitsSideways();
                browser.isLargeEnough();
                browser.isAccessible();
                browser.picture(page.substring(1) + "-" + width);
                browser.dim();
                browser.isAccessible();
            }
        }
    }

    @Test
    void findsLastMonthsSecondAttemptsUnderAYearAndGoesOnToOlderOnes() {
        try (Browser browser = Browser.open(1280, 900).as(request("/").build().uri(), session())) {
            browser.visit(at("/records"));
            assertThat(text(browser)).contains("30 intubations", "Older records");
            browser.press(By.cssSelector("a[rel=next]"));
            browser.waitFor(By.linkText("Newest records"));
            assertThat(browser.driver().findElements(By.cssSelector("table.records tbody tr")))
                    .hasSize(5);

            browser.press(By.linkText("Last month"));
            new Select(browser.driver().findElement(By.name("tracheal_attempts"))).selectByValue("2_or_more");
            new Select(browser.driver().findElement(By.name("age_band"))).selectByValue("under_1_year");
            browser.press(SHOW);
            browser.waitForTitle("Records");

            assertThat(text(browser))
                    .contains("3 intubations in Oct 2026, with 2 or more attempts, at age under 1 year");
            assertThat(browser.driver().getCurrentUrl())
                    .contains("tracheal_attempts=2_or_more", "age_band=under_1_year", "from=2026-10");
        }
    }

    @Test
    void goesFromWhatContradictsToTheRecordAndComparesALog() {
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.visit(at("/quality"));
            assertThat(text(browser)).contains("Contradictory: 10", "no such event is told");
            browser.press(By.cssSelector("#contradictory li a"));
            browser.waitForTitle("Saved");

            browser.visit(at("/quality"));
            browser.type("list_from", "2026-10");
            browser.type("list_to", "2026-10");
            browser.type("list", "2026-10-01 10:30\n2026-10-31 10:30");
            browser.press(By.xpath("//button[text()='Compare']"));
            browser.waitFor(By.id("compared"));
            assertThat(browser.driver().findElement(By.id("compared")).getText())
                    .contains("1 of 2", "Row 2: 31 Oct 2026, 10:30");
        }
    }

    private static String text(Browser browser) {
        return browser.driver().findElement(By.tagName("main")).getText();
    }
}
