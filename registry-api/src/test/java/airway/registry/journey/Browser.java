package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import airway.registry.testing.Tester;
import airway.sql.TestDatabase;
import com.deque.html.axecore.results.Rule;
import com.deque.html.axecore.selenium.AxeBuilder;
import java.io.File;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Base64;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.BooleanSupplier;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.openqa.selenium.By;
import org.openqa.selenium.Cookie;
import org.openqa.selenium.JavascriptExecutor;
import org.openqa.selenium.OutputType;
import org.openqa.selenium.TimeoutException;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.chrome.ChromeDriver;
import org.openqa.selenium.chrome.ChromeDriverService;
import org.openqa.selenium.chrome.ChromeOptions;
import org.openqa.selenium.print.PageSize;
import org.openqa.selenium.print.PrintOptions;
import org.openqa.selenium.support.ui.WebDriverWait;

/**
 * A browser that counts what its user does: each tap and each key.
 *
 * <p>Pictures are kept below {@code target/journey}. Where there is no browser the journey is left out, and says so.
 */
final class Browser implements AutoCloseable {
    private static final Path CHROMIUM = Path.of(System.getProperty("airway.test.chromium", "/usr/bin/chromium"));
    private static final Path DRIVER = Path.of(System.getProperty("airway.test.chromedriver", "/usr/bin/chromedriver"));
    private static final Path PICTURES = Path.of("target", "journey");
    private static final int PHONE = 500;

    private final ChromeDriver driver;
    private final Path profile;
    private int interactions;

    private Browser(ChromeDriver driver, Path profile) {
        this.driver = driver;
        this.profile = profile;
    }

    static Browser open(int width, int height) {
        assumeTrue(
                Files.isExecutable(CHROMIUM) && Files.isExecutable(DRIVER),
                "no browser: name one with -Dairway.test.chromium and -Dairway.test.chromedriver");
        try {
            Path profile = Files.createTempDirectory("registry-browser");
            ChromeOptions options = new ChromeOptions();
            options.setBinary(CHROMIUM.toFile());
            options.addArguments(
                    "--headless=new",
                    "--disable-gpu",
                    "--disable-dev-shm-usage",
                    "--no-first-run",
                    "--disable-background-networking",
                    "--disable-component-update",
                    "--disable-sync",
                    "--disable-quic",
                    "--hide-scrollbars",
                    "--user-data-dir=" + profile,
                    "--window-size=" + width + "," + height);
            if ("root".equals(System.getProperty("user.name"))) {
                options.addArguments("--no-sandbox");
            }
            if (width < PHONE) {
                options.setExperimentalOption(
                        "mobileEmulation",
                        Map.of("deviceMetrics", Map.of("width", width, "height", height, "pixelRatio", 1.0)));
            }
            ChromeDriver driver = new ChromeDriver(
                    new ChromeDriverService.Builder()
                            .usingDriverExecutable(new File(DRIVER.toString()))
                            .build(),
                    options);
            return new Browser(driver, profile);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    ChromeDriver driver() {
        return driver;
    }

    void visit(URI address) {
        driver.get(address.toString());
    }

    /** Takes over the session of somebody who signed in, so that a journey begins where it begins for them. */
    Browser as(URI anywhere, Tester.Session session) {
        driver.get(anywhere.resolve("/static/register.css").toString());
        String[] cookie = session.cookie().split("=", 2);
        driver.manage()
                .addCookie(new Cookie.Builder(cookie[0], cookie[1])
                        .isHttpOnly(true)
                        .build());
        return this;
    }

    /** The page has come whole and its scripts have run: before that no finger would be quick enough. */
    private void whole() {
        waitUntil("return document.readyState === 'complete'");
    }

    /** Taps the tile of an answer. */
    void tap(String name, String value) {
        whole();
        WebElement input = driver.findElement(By.cssSelector("input[name='" + name + "'][value='" + value + "']"));
        script("arguments[0].scrollIntoView({block: 'center'})", input);
        input.click();
        interactions++;
    }

    /** Taps into a box and types: the tap and each key count. */
    void type(String name, String text) {
        whole();
        WebElement input = driver.findElement(By.name(name));
        script("arguments[0].scrollIntoView({block: 'center'})", input);
        input.click();
        fill(input, text);
        interactions += 1 + text.length();
    }

    /** Types into a box in place of what stands there. */
    void fill(WebElement input, String text) {
        input.clear();
        input.sendKeys(text);
        if (!text.equals(input.getDomProperty("value"))) {
            // On a busy machine the driver loses keys: the text then comes as if pasted.
            script("arguments[0].focus(); arguments[0].select()", input);
            driver.executeCdpCommand("Input.insertText", Map.of("text", text));
        }
        assertThat(input.getDomProperty("value"))
                .as("typed into " + input.getDomAttribute("name"))
                .isEqualTo(text);
    }

    void press(By button) {
        whole();
        driver.findElement(button).click();
        interactions++;
    }

    /** A key, wherever the focus is. */
    void key(CharSequence keys) {
        whole();
        driver.switchTo().activeElement().sendKeys(keys);
        interactions++;
    }

    /** Takes the network away, or gives it back. */
    void offline(boolean off) {
        driver.executeCdpCommand("Network.enable", Map.of());
        driver.executeCdpCommand(
                "Network.emulateNetworkConditions",
                Map.of("offline", off, "latency", 0, "downloadThroughput", -1, "uploadThroughput", -1));
    }

    /** Does something in every page before its own scripts run. */
    void beforehand(String script) {
        driver.executeCdpCommand("Page.addScriptToEvaluateOnNewDocument", Map.of("source", script));
    }

    int interactions() {
        return interactions;
    }

    void dim() {
        script("localStorage.setItem('tone', 'dim'); document.documentElement.dataset.tone = 'dim'");
    }

    void waitForTitle(String beginning) {
        await(() -> String.valueOf(driver.getTitle()).startsWith(beginning), beginning);
    }

    void waitFor(By element) {
        await(() -> !driver.findElements(element).isEmpty(), element);
    }

    /** Waits until a script says true. */
    void waitUntil(String script) {
        await(() -> script(script).equals("true"), script);
    }

    private void await(BooleanSupplier seen, Object wanted) {
        try {
            new WebDriverWait(driver, Duration.ofSeconds(20)).until(now -> seen.getAsBoolean());
        } catch (TimeoutException e) {
            throw new AssertionError(
                    "waited in vain for " + wanted + " on " + driver.getCurrentUrl() + ", which says:\n"
                            + driver.findElement(By.tagName("body")).getText(),
                    e);
        }
    }

    /** How many pages this page takes on paper. Source of the marks counted: ISO 32000-1, 7.7.3. */
    int printedPages() {
        PrintOptions a4 = new PrintOptions();
        a4.setPageSize(new PageSize(29.7, 21.0));
        byte[] pdf = Base64.getDecoder().decode(driver.print(a4).getContent());
        Matcher page = Pattern.compile("/Type\\s*/Page[^s]").matcher(new String(pdf, StandardCharsets.ISO_8859_1));
        return (int) page.results().count();
    }

    Object script(String script, Object... arguments) {
        return String.valueOf(((JavascriptExecutor) driver).executeScript(script, arguments));
    }

    /** Nothing to be scrolled sideways. */
    void fitsSideways() {
        assertThat(script("return document.documentElement.scrollWidth <= document.documentElement.clientWidth"))
                .as("no sideways scroll on " + driver.getCurrentUrl())
                .isEqualTo("true");
    }

    /** Every answer and button one can see is large enough for a gloved finger. */
    void isLargeEnough() {
        assertThat(script("""
                        return Array.from(document.querySelectorAll('.tile, .btn, .aside, .num input, .text, select, summary'))
                          .map(e => [e.getBoundingClientRect(), e]).filter(([r]) => r.width > 2)
                          .filter(([r, e]) => (r.height < 44 || r.width < 44) && !e.closest('.vh'))
                          .map(([r, e]) => e.textContent.trim() + ' ' + r.width + 'x' + r.height).join(';')"""))
                .as("targets of 44 px on " + driver.getCurrentUrl())
                .isEqualTo("");
    }

    /** No serious or critical finding, in this tone, once colours have stopped changing. */
    void isAccessible() {
        waitUntil("return document.getAnimations().every(change => change.playState !== 'running')");
        List<Rule> findings = new AxeBuilder()
                .analyze(driver).getViolations().stream()
                        .filter(rule -> Set.of("serious", "critical").contains(rule.getImpact()))
                        .toList();
        assertThat(findings)
                .as(driver.getCurrentUrl())
                .extracting(rule -> rule.getId() + " " + rule.getNodes().get(0).getHtml())
                .isEmpty();
    }

    /** Opens all that can be opened at once. */
    void openAll() {
        script("document.querySelectorAll('details').forEach(part => part.open = true)");
    }

    /** Fits, is large enough and accessible in both tones; keeps a picture of it. */
    void looksRight(String picture) {
        fitsSideways();
        isLargeEnough();
        isAccessible();
        picture(picture);
        dim();
        isAccessible();
        script("localStorage.removeItem('tone'); delete document.documentElement.dataset.tone");
    }

    /** Keeps a picture of what can be seen. */
    void picture(String name) {
        try {
            Files.createDirectories(PICTURES);
            Files.write(PICTURES.resolve(name + ".png"), driver.getScreenshotAs(OutputType.BYTES));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    @Override
    public void close() {
        driver.quit();
        TestDatabase.delete(profile);
    }
}
