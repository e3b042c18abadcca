package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.net.URI;
import java.net.http.HttpRequest;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.openqa.selenium.By;
import org.openqa.selenium.Keys;

/** The round of the morning: what is not ready, a full check by keyboard, and what was touched. */
class TrolleyJourney extends ServedRegistry {
    private static final int SLOTS = 12;
    private static final double SECONDS_EACH = 2.7;

    private static String trolley(Site unit) {
        StringBuilder slots = new StringBuilder();
        for (int i = 1; i <= SLOTS; i++) {
            slots.append(i == 1 ? "" : ", ")
                    .append("{\"drawer\": \"")
                    .append((i + 2) / 3)
                    .append("\", \"title\": \"Tube, cuffed, of size number ")
                    .append(i)
                    .append("\", \"wanted\": 2, \"least\": 1}");
        }
        return "{\"site_id\": \"" + unit.code()
                + "\", \"title\": \"Trolley 1\", \"due_at\": \"07:30\", \"check_days\": 1,"
                + " \"full_days\": 7, \"light\": \"yes\", \"battery_least\": 40, \"recorder\": \"yes\", \"slots\": ["
                + slots
                + "]}";
    }

    @ParameterizedTest(name = "{0} by {1}")
    @CsvSource({"390, 844", "1280, 900"})
    void checksATrolleyByKeyboardAndFindsItReady(int width, int height) {
        Site unit = unit();
        Tester keeper = Tester.fresh(LOGINS).with(unit.no(), Role.KIT_KEEPER);
        Answer made = send(request("/api/v1/kit/trolleys", keeper)
                .header("Content-Type", "application/json")
                .POST(HttpRequest.BodyPublishers.ofString(trolley(unit))));
        String path = made.header("Location").replace("/api/v1", "");
        try (Browser browser =
                Browser.open(width, height).as(request("/").build().uri(), session(keeper))) {
            browser.visit(request("/kit").build().uri());
            assertThat(browser.driver().findElement(By.tagName("main")).getText())
                    .contains("Trolley 1 was never checked in full, so it does not count as ready.");
            browser.press(By.linkText("Check it"));
            browser.waitForTitle("Full check");
            browser.openAll();
            browser.looksRight("trolley-check-" + width);
            for (int i = 1; i < SLOTS; i++) {
                browser.driver().findElement(By.name("ok." + i)).sendKeys(Keys.SPACE);
            }
            browser.driver().findElement(By.name("found." + SLOTS)).sendKeys("1");
            browser.driver()
                    .findElement(By.cssSelector("[name=seal_found][value=none]"))
                    .sendKeys(Keys.SPACE);
            browser.driver()
                    .findElement(By.cssSelector("[name=light][value=yes]"))
                    .sendKeys(Keys.SPACE);
            browser.driver().findElement(By.name("battery")).sendKeys("92");
            browser.driver()
                    .findElement(By.cssSelector("[name=memory_free][value=yes]"))
                    .sendKeys(Keys.SPACE);
            browser.driver()
                    .findElement(By.cssSelector("[name=recordings][value=none]"))
                    .sendKeys(Keys.SPACE);
            browser.driver().findElement(By.name("seal_applied")).sendKeys("20417", Keys.ENTER);
            browser.waitForTitle("Trolley 1");
            browser.openAll();
            browser.looksRight("trolley-" + width);
            shortCheck(browser, request(path + "/check?kind=short").build().uri());
            browser.visit(request("/kit").build().uri());
            assertThat(browser.driver().findElement(By.tagName("main")).getText())
                    .contains("Trolley 1 is ready, with a gap.", "1 × Tube, cuffed, of size number 12");
            browser.openAll();
            browser.looksRight("kit-" + width);
            browser.visit(request(path + "/layout").build().uri());
            browser.looksRight("trolley-layout-" + width);
            browser.visit(request("/kit/look-back").build().uri());
            browser.looksRight("look-back-" + width);
            browser.visit(request("/kit/measures").build().uri());
            browser.looksRight("kit-measures-" + width);
        }
    }

    /**
     * Without the server what was typed stays; with it the check is kept. Taps and keys are counted, and nothing is timed: with
     * 2.7 s for each (a mental step, pointing and pressing in the keystroke-level model of Card, Moran and Newell 1980, Commun
     * ACM 23:396-410; from memory) a check on the phone stays under two minutes. Looking into the drawers comes on top.
     */
    private static void shortCheck(Browser browser, URI page) {
        browser.visit(page);
        browser.waitForTitle("Short check");
        int before = browser.interactions();
        browser.tap("seal_found", "whole");
        browser.type("seal_read", "20417");
        browser.type("battery", "91");
        browser.tap("memory_free", "yes");
        browser.tap("recordings", "none");
        browser.offline(true);
        browser.press(By.cssSelector("form.check button.go"));
        browser.waitFor(By.xpath("//p[@role='status'][contains(., 'cannot be reached')]"));
        assertThat(browser.driver().findElement(By.name("seal_read")).getAttribute("value"))
                .isEqualTo("20417");
        browser.offline(false);
        browser.press(By.cssSelector("form.check button.go"));
        browser.waitForTitle("Trolley 1");
        assertThat(browser.driver().findElement(By.tagName("main")).getText()).contains("Seal 20417 whole");
        int taps = browser.interactions() - before;
        assertThat(taps * SECONDS_EACH).isLessThan(60);
        // A full check has a tick for each slot, light or picture, and the number of the new seal besides.
        assertThat((taps + SLOTS + 1 + "20417".length()) * SECONDS_EACH).isLessThan(120);
    }
}
