package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpResponse;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.openqa.selenium.By;

/** One asks for data with empty boxes and then whole, somebody else says yes, and the package is made and fetched. */
class ResearchJourney extends ServedRegistry {
    private static final int CHILDREN = 8;

    private void children(Site unit) {
        for (int i = 0; i < CHILDREN; i++) {
            Answer made = recordConfirmed("""
                    {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-0%dT14:20:00Z",
                     "age_days": 3, "age_precision": "days", "patient": {"research_opt_out": "no"}, "adverse_event_any": "%s",
                     "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}]%s}""".formatted(
                            unit.code(),
                            i + 1,
                            i % 2 == 0 ? "yes" : "no",
                            i % 2 == 0
                                    ? ", \"events\": [{\"event_type\": \"oesophageal_late\", \"event_attempt_no\": 1}]"
                                    : ""));
            assertThat(made.status()).as(made.text()).isEqualTo(201);
        }
    }

    private static String text(Browser browser) {
        return browser.driver().findElement(By.tagName("main")).getText();
    }

    @ParameterizedTest(name = "{0} by {1}")
    @CsvSource({"390, 844", "1280, 900"})
    void asksForDataAndFetchesWhatSomebodyElseApproved(int width, int height) throws IOException, InterruptedException {
        Site unit = unit();
        children(unit);
        Tester researcher = Tester.fresh(LOGINS).with(unit.no(), Role.RESEARCHER);
        Tester guardian = Tester.fresh(LOGINS).with(unit.no(), Role.DATA_GUARDIAN);
        URI home = request("/").build().uri();
        String there;
        try (Browser browser = Browser.open(width, height).as(home, session(researcher))) {
            browser.visit(request("/research?site_id=" + unit.code()).build().uri());
            browser.press(By.cssSelector("option[value=internal-pseudonymised]"));
            browser.tap("variables", "age_days");
            browser.tap("variables", "encounter_start");
            browser.tap("variables", "fps");
            browser.waitFor(By.cssSelector("#seen input[name=variables][value=fps]"));
            assertThat(text(browser))
                    .as("the figures follow the choices")
                    .contains("a pseudonym of this package alone", "About 10 intubations match", "has 8 children");
            browser.type("recipient", "Somebody");
            browser.tap("variables", "tracheal_attempts");
            browser.waitFor(By.cssSelector("#seen input[name=variables][value=tracheal_attempts]"));
            assertThat(browser.driver().findElement(By.name("recipient")).getDomProperty("value"))
                    .as("what was typed stays")
                    .isEqualTo("Somebody");
            browser.driver().findElement(By.name("recipient")).clear();
            browser.looksRight("research-outlook-" + width);

            browser.type("purpose", "First passes of newborns");
            browser.press(By.xpath("//button[text()='Send the request']"));
            browser.waitForTitle("Error: Research data");
            assertThat(browser.driver().switchTo().activeElement().getDomAttribute("role"))
                    .as("the focus is on what is to be mended")
                    .isEqualTo("alert");
            assertThat(text(browser))
                    .as("all that is empty, at once")
                    .contains("Write who will hold the data", "Write the number of the approval", "Write the last day");
            browser.looksRight("research-error-" + width);

            browser.type("recipient", "Quality group of the unit");
            browser.type("approval_reference", "EC 26-114");
            browser.type("approval_expires", "2027-12-31");
            browser.press(By.xpath("//button[text()='Send the request']"));
            browser.waitForTitle("Request for research data");
            assertThat(text(browser))
                    .contains("First passes of newborns", "Waits for the data guardian")
                    .doesNotContain("Make the package");
            there = browser.driver().getCurrentUrl();
        }
        try (Browser browser = Browser.open(width, height).as(home, session(guardian))) {
            browser.visit(URI.create(there));
            browser.looksRight("research-judge-" + width);
            browser.press(By.xpath("//button[text()='Approve']"));
            browser.waitFor(By.xpath("//small[text()='Approved']"));
        }
        try (Browser browser = Browser.open(width, height).as(home, session(researcher))) {
            browser.visit(URI.create(there));
            assertThat(browser.driver().findElement(By.id("cancel")).isDisplayed())
                    .as("nothing is being made")
                    .isFalse();
            browser.press(By.xpath("//button[text()='Make the package']"));
            browser.waitFor(By.linkText("Fetch the package"));
            browser.looksRight("research-made-" + width);
            String link = String.valueOf(browser.driver()
                    .findElement(By.linkText("Fetch the package"))
                    .getDomAttribute("href"));
            HttpResponse<byte[]> zip = HttpClient.newHttpClient()
                    .send(request(link, researcher).GET().build(), HttpResponse.BodyHandlers.ofByteArray());
            assertThat(zip.statusCode()).isEqualTo(200);
            assertThat(zip.body()).startsWith('P', 'K');
        }
    }
}
