package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.OpenRegistry;
import airway.registry.testing.Program;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import com.eatthepath.otp.TimeBasedOneTimePasswordGenerator;
import java.net.URI;
import java.nio.file.Path;
import java.security.InvalidKeyException;
import java.time.Instant;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.crypto.spec.SecretKeySpec;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.openqa.selenium.By;

/** Signing in by hand: the first administrator, somebody invited, a session that ends while a record is written. */
class SignInJourney extends ServedRegistry {
    private static final Pattern CODE = Pattern.compile("does: ([A-Za-z0-9_-]{43})");

    @TempDir
    Path directory = Path.of("");

    private URI at(String path) {
        return bare(path).build().uri();
    }

    /** S36: no account comes along; a code that is printed once makes the first. */
    @Test
    void makesTheFirstAdministratorByTheCodeOfTheFirstStart() throws InvalidKeyException {
        try (Program program = Program.serve(List.of(), directory, "--airway.unit.code=harbour");
                Browser browser = Browser.open(390, 844)) {
            Matcher code = CODE.matcher(String.join(" ", program.said()));
            assertThat(code.find()).as("%s", program.said()).isTrue();
            browser.visit(URI.create(program.address() + "/"));
            browser.waitForTitle("Sign in");
            assertThat(browser.driver().findElements(By.name("role")))
                    .as("nobody invented is offered")
                    .isEmpty();
            browser.visit(URI.create(program.address() + "/join"));
            type(browser, "code", code.group(1));
            browser.press(By.cssSelector("main button"));
            browser.waitFor(By.id("login"));
            type(browser, "title", "Administration");
            type(browser, "login", "admin");
            type(browser, "password", Tester.PASSWORD);
            browser.isAccessible();
            browser.picture("join-390");
            browser.press(By.cssSelector("main button"));
            browser.waitForTitle("Front page");
            browser.visit(URI.create(program.address() + "/people"));
            browser.waitForTitle("One-time codes");
            browser.isAccessible();
            browser.picture("codes-390");
            String secret =
                    browser.driver().findElement(By.cssSelector("main code")).getText();
            type(
                    browser,
                    "code",
                    new TimeBasedOneTimePasswordGenerator()
                            .generateOneTimePasswordString(
                                    new SecretKeySpec(Tester.base32(secret.replace(" ", "")), "HmacSHA1"),
                                    Instant.now()));
            browser.press(By.cssSelector("main button"));
            browser.waitFor(By.id("rec"));
            assertThat(browser.driver().findElements(By.cssSelector("main li code")))
                    .hasSize(10);
            browser.visit(URI.create(program.address() + "/people"));
            browser.waitForTitle("People");
            browser.visit(URI.create(program.address() + "/records"));
            assertThat(browser.driver().findElement(By.tagName("h1")).getText())
                    .as("an administrator sees no record")
                    .isEqualTo("Not allowed here");
        }
        try (Program again = Program.serve(List.of(), directory)) {
            assertThat(String.join(" ", again.said()))
                    .as("somebody administers it now")
                    .doesNotContain("Nobody administers");
        }
    }

    @ParameterizedTest(name = "{0} by {1}")
    @CsvSource({"320, 700", "390, 844", "1280, 900"})
    void thePagesOfTheAdministratorFitAndSpeak(int width, int height) {
        strangeUnit();
        Tester administrator = Tester.fresh(LOGINS).with(null, Role.ADMINISTRATOR);
        try (Browser browser = Browser.open(width, height)) {
            browser.visit(at("/sign-in"));
            browser.isAccessible();
            browser.isLargeEnough();
            type(browser, "login", administrator.login());
            type(browser, "password", Tester.PASSWORD);
            browser.press(By.xpath("//button[.='Sign in']"));
            browser.waitForTitle("Front page");
            for (String page : new String[] {
                "/",
                "/people",
                "/people/" + administrator.actor(),
                "/units",
                "/tokens",
                "/keys",
                "/settings",
                "/setups",
                "/me",
                "/me/codes"
            }) {
                browser.visit(at(page));
                browser.script("document.querySelectorAll('details').forEach(d => d.open = true)");
                browser.fitsSideways();
                browser.isLargeEnough();
                browser.isAccessible();
                browser.picture("administration" + page.replaceAll("[/0-9]+", "-") + "-" + width);
                browser.dim();
                browser.isAccessible();
            }
        }
    }

    /** On a shared machine the session ends while somebody types: nothing of it is lost. */
    @Test
    void signsInOverTheRecordAndLosesNothing() {
        Site unit = unit();
        Tester person = Tester.fresh(LOGINS).with(unit.no(), Role.RECORDER);
        try (Browser browser = Browser.open(390, 844).as(at("/"), person.session(at("/").getPort()))) {
            browser.visit(at("/record"));
            browser.tap("start", "now");
            browser.tap("kind", "initial");
            browser.type("age", "7");
            browser.tap("age_unit", "months");
            browser.tap("a1.who", "me");
            browser.tap("a1.setup", "other");
            browser.tap("a1.end", "stay");
            browser.type("weight", "7.4");
            OpenRegistry.rows(
                    LOGINS,
                    "delete from session.spring_session where principal_name = '" + person.actor()
                            + "' returning primary_id");
            browser.script("document.getElementById('save').click()");
            browser.waitFor(By.cssSelector("dialog[open]"));
            browser.isAccessible();
            browser.picture("again-390");
            assertThat(browser.driver().findElement(By.id("again-login")).getDomProperty("value"))
                    .isEqualTo(person.login());
            browser.fill(browser.driver().findElement(By.id("again-password")), Tester.PASSWORD);
            browser.driver().findElement(By.cssSelector("#again-form button")).click();
            browser.waitForTitle("Saved at ");
        }
        assertThat(OpenRegistry.rows(
                        LOGINS, "select weight_kg, recorded_by from encounter.version where site_id = " + unit.no()))
                .containsExactly("7.4," + person.actor());
    }

    private static void type(Browser browser, String name, String text) {
        browser.fill(browser.driver().findElement(By.name(name)), text);
    }
}
