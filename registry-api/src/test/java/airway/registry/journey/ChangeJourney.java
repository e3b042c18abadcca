package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import java.net.URI;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.openqa.selenium.By;

/** The improvement team notes what it changed, so that the chart can be read before and after it. */
class ChangeJourney extends ServedRegistry {
    private static final By NOTE = By.xpath("//button[text()='Note the change']");

    private String text(Browser browser) {
        return browser.driver().findElement(By.tagName("main")).getText();
    }

    @ParameterizedTest(name = "{0} by {1}")
    @CsvSource({"320, 700", "390, 844", "1280, 900"})
    void readsTheListAndAChangeInBothTones(int width, int height) {
        String unit = unit().code();
        Answer noted = post("/api/v1/changes", """
                {"site_id": "%s", "changed_on": "2026-03-14", "name": "Briefing before each intubation, with everybody",
                 "reason": "%s", "cuts_chart": "no"}""".formatted(
                        unit, "Why not sooner? ".repeat(31).strip()));
        String id = noted.json().path("change_id").asString();
        try (Browser browser =
                Browser.open(width, height).as(request("/").build().uri(), session())) {
            browser.visit(request("/changes?site_id=" + unit).build().uri());
            browser.openAll();
            browser.looksRight("changes-" + width);
            browser.visit(request("/changes/" + id).build().uri());
            browser.openAll();
            browser.looksRight("change-" + width);
        }
    }

    @ParameterizedTest(name = "{0} by {1}")
    @CsvSource({"390, 844", "1280, 900"})
    void notesAChangePutsItRightAndWithdrawsIt(int width, int height) {
        String unit = unit().code();
        URI charts = request("/charts?site_id=" + unit).build().uri();
        try (Browser browser =
                Browser.open(width, height).as(request("/").build().uri(), session())) {
            browser.visit(charts);
            browser.press(By.linkText("What was changed and when"));
            browser.waitForTitle("What was changed and when");
            browser.type("changed_on", "2026-02-30");
            browser.type("name", "Briefing before each intubation");
            browser.type("reason", "The plan was not shared.");
            browser.press(NOTE);
            browser.waitForTitle("Error: ");
            assertThat(browser.driver().switchTo().activeElement().getDomAttribute("role"))
                    .as("the focus is on what is to be mended")
                    .isEqualTo("alert");
            assertThat(text(browser))
                    .contains("There is no such day in the calendar")
                    .doesNotContain("Give it a name");
            browser.openAll();
            browser.looksRight("changes-error-" + width);

            browser.type("changed_on", "2026-03-14");
            browser.tap("cuts_chart", "yes");
            browser.press(NOTE);
            browser.waitFor(By.partialLinkText("14 Mar 2026"));
            browser.picture("changes-noted-" + width);

            browser.press(By.partialLinkText("14 Mar 2026: Briefing before each intubation"));
            browser.waitForTitle("Briefing before each intubation");
            browser.type("changed_on", "2026-03-16");
            browser.tap("reason_code", "known_better");
            browser.press(By.xpath("//button[text()='Put right']"));
            browser.waitFor(By.id("v2"));
            assertThat(text(browser)).contains("It is known better now.", "14 Mar 2026", "16 Mar 2026");
            browser.picture("change-put-right-" + width);

            browser.tap("reason_code", "did_not_happen");
            browser.press(By.xpath("//button[text()='Withdraw the change']"));
            browser.waitFor(By.id("v3"));
            assertThat(text(browser)).contains("This change was withdrawn.");
            browser.press(By.linkText("All changes"));
            browser.waitForTitle("What was changed and when");
            assertThat(text(browser)).contains("No change is noted", "1 withdrawn change");
        }
    }
}
