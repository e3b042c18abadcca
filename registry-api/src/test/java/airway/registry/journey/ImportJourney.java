package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Setups;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.openqa.selenium.By;

/** Somebody with an old table checks it, mends it, and takes it in, by phone and at the desk. */
class ImportJourney extends ServedRegistry {
    @ParameterizedTest
    @CsvSource({"390, 844", "1280, 900"})
    void anOldTableIsCheckedMendedAndTakenIn(int width, int height, @TempDir Path here) throws IOException {
        String unit = unit().code();
        Setups.of(unit).forEach(setup -> post("/api/v1/device-setups", setup));
        Path mapping = Files.writeString(
                here.resolve("mapping.json"),
                get("/import/template-mapping.json?site_id=" + unit).text());
        String example = get("/import/example.csv?site_id=" + unit).text();
        Path bad = Files.writeString(here.resolve("bad.csv"), example.replace(",7.4,", ",740,"));
        Path good = Files.writeString(here.resolve("good.csv"), example);

        try (Browser browser =
                Browser.open(width, height).as(request("/").build().uri(), session())) {
            browser.visit(request("/import?site_id=" + unit).build().uri());
            browser.looksRight("import-form-" + width);

            browser.driver().findElement(By.id("file")).sendKeys(bad.toString());
            browser.driver().findElement(By.id("mapping_file")).sendKeys(mapping.toString());
            browser.press(By.cssSelector("form.steps button"));
            browser.waitForTitle("Error: Import");
            assertThat(browser.driver().findElement(By.cssSelector(".words")).getText())
                    .contains("Allowed is 0.25 to 350 kg.");
            browser.looksRight("import-mend-" + width);

            browser.press(By.linkText("Mend and check again"));
            browser.waitFor(By.id("mapping"));
            assertThat(browser.script("return document.getElementById('mapping').value"))
                    .as("the mapping is still there")
                    .isEqualTo(Files.readString(mapping));
            browser.driver().findElement(By.id("file")).sendKeys(good.toString());
            browser.press(By.cssSelector("form.steps button"));
            browser.waitFor(By.cssSelector("form[action$='/take'] button"));
            browser.looksRight("import-checked-" + width);

            browser.press(By.cssSelector("form[action$='/take'] button"));
            browser.waitFor(By.cssSelector(".note"));
            assertThat(browser.driver().findElement(By.cssSelector(".note")).getText())
                    .contains("2 records are in the register.");
            browser.looksRight("import-taken-" + width);
        }
    }
}
