package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.openqa.selenium.By;
import org.openqa.selenium.Keys;
import org.openqa.selenium.WebElement;

/** Trying a scanner by hand: it types like a keyboard, with Ctrl and ] for the separator. */
class ScannerJourney extends ServedRegistry {
    @ParameterizedTest(name = "{0} by {1}")
    @CsvSource({"390, 844", "1280, 900"})
    void takesTheSeparatorAsAScannerTypesIt(int width, int height) {
        try (Browser browser =
                Browser.open(width, height).as(request("/").build().uri(), session())) {
            browser.visit(request("/kit/scanner").build().uri());
            WebElement box = browser.driver().findElement(By.id("data"));
            box.click();
            box.sendKeys("010950600013435210yz-YZ/1", Keys.chord(Keys.CONTROL, "]"), "21a_B.7");
            browser.press(By.cssSelector("main form button"));
            browser.waitFor(By.id("verdict"));
            assertThat(browser.driver().findElement(By.tagName("main")).getText())
                    .contains("This scanner can be used", "It can be read.", "(21)", "a_B.7");
            browser.openAll();
            browser.looksRight("scanner-" + width);
        }
    }
}
