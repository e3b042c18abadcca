package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import org.junit.jupiter.api.Test;
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

    /** Stands in for a browser that reads codes by itself: its camera shows one colour, and its reader sees one code. */
    private static final String READS_CODES = """
            window.BarcodeDetector = class {
              static getSupportedFormats() { return Promise.resolve(['qr_code', 'data_matrix']); }
              detect() { return Promise.resolve([{rawValue: '010950600013435210L9\\u001d21S7'}]); }
            };
            const canvas = document.createElement('canvas');
            canvas.width = canvas.height = 20;
            Object.defineProperty(navigator, 'mediaDevices', {value: {getUserMedia: () => {
              setInterval(() => canvas.getContext('2d').fillRect(0, 0, 20, 20), 50);
              canvas.getContext('2d').fillRect(0, 0, 20, 20);
              return Promise.resolve(canvas.captureStream(20));
            }}});
            """;

    @Test
    void offersTheCameraOnlyWhereTheBrowserReadsCodes() {
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.beforehand("delete window.BarcodeDetector;");
            browser.visit(request("/kit/scanner").build().uri());
            browser.waitForTitle("Try a scanner");
            assertThat(browser.driver().findElements(By.cssSelector("button.camera")))
                    .isEmpty();
        }
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.beforehand(READS_CODES);
            browser.visit(request("/kit/scanner").build().uri());
            browser.waitFor(By.cssSelector("button.camera"));
            browser.looksRight("scanner-camera");
            browser.press(By.cssSelector("button.camera"));
            browser.waitUntil("return document.getElementById('data').value !== ''");
            browser.press(By.cssSelector("main form button:not([type=button])"));
            browser.waitFor(By.id("verdict"));
            assertThat(browser.driver().findElement(By.tagName("main")).getText())
                    .contains("It can be read.", "(10)", "L9", "(21)", "S7");
        }
    }
}
