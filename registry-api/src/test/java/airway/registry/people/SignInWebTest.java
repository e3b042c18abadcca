package airway.registry.people;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.SignedIn;
import airway.registry.testing.OpenRegistry;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import com.eatthepath.otp.TimeBasedOneTimePasswordGenerator;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.ObjectOutputStream;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.security.InvalidKeyException;
import java.time.Duration;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import javax.crypto.spec.SecretKeySpec;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.springframework.security.authentication.UsernamePasswordAuthenticationToken;
import org.springframework.security.core.context.SecurityContextImpl;

/** Signing in and out, joining, one-time codes: rows S9, S10, S13 to S18 and S36 of the security requirements. */
class SignInWebTest extends ServedRegistry {
    private static final Pattern SECRET = Pattern.compile("name=\"_csrf\" value=\"([^\"]+)\"");

    /** A browser: it keeps its cookie, and reads the secret of the form it was shown. */
    private final class Visitor {
        private String cookie = "";
        private String secret = "";

        Answer get(String path) {
            return seen(send(bare(path)
                    .header("Accept", "text/html")
                    .header("Cookie", cookie)
                    .GET()));
        }

        Answer post(String path, Map<String, String> fields) {
            return seen(send(bare(path)
                    .header("Accept", "text/html")
                    .header("Cookie", cookie)
                    .header("Content-Type", "application/x-www-form-urlencoded")
                    .header("X-CSRF-TOKEN", secret)
                    .POST(HttpRequest.BodyPublishers.ofString(fields.entrySet().stream()
                            .map(field ->
                                    field.getKey() + "=" + URLEncoder.encode(field.getValue(), StandardCharsets.UTF_8))
                            .collect(Collectors.joining("&"))))));
        }

        private Answer seen(Answer answer) {
            List<String> set = answer.response().headers().allValues("Set-Cookie");
            if (!set.isEmpty()) {
                cookie = set.get(set.size() - 1).split(";", 2)[0];
            }
            Matcher found = SECRET.matcher(answer.text());
            if (found.find()) {
                secret = found.group(1);
            }
            return answer;
        }

        Answer signIn(String login, String password) {
            get("/sign-in");
            return post("/sign-in", Map.of("login", login, "password", password));
        }
    }

    @Test
    void leadsToTheSignInAndBackToWhatWasWanted() {
        Tester person = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.RECORDER);
        Visitor visitor = new Visitor();
        Answer wanted = visitor.get("/charts?by=quarter");
        assertThat(wanted.status()).isEqualTo(303);
        assertThat(wanted.header("Location")).isEqualTo("/sign-in?to=%2Fcharts%3Fby%3Dquarter");
        visitor.get(wanted.header("Location"));
        Answer in = visitor.post(
                "/sign-in", Map.of("login", person.login(), "password", Tester.PASSWORD, "to", "/charts?by=quarter"));
        assertThat(in.status()).isEqualTo(303);
        assertThat(in.header("Location")).isEqualTo("/charts?by=quarter");
        assertThat(visitor.get("/charts?by=quarter").status()).isEqualTo(200);
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "//elsewhere.example",
                "https://elsewhere.example",
                "/\\elsewhere.example",
                "javascript:x",
                "/sign-in"
            })
    void leadsNowhereElseAfterTheSignIn(String to) {
        Tester person = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.RECORDER);
        Visitor visitor = new Visitor();
        visitor.get("/sign-in");
        assertThat(visitor.post("/sign-in", Map.of("login", person.login(), "password", Tester.PASSWORD, "to", to))
                        .header("Location"))
                .isEqualTo("/");
    }

    /** S18: fixation, sign-out, an account that was closed. */
    @Test
    void givesTheSessionANewNameAndEndsItForGood() {
        Tester person = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.RECORDER);
        Visitor visitor = new Visitor();
        visitor.get("/sign-in");
        String before = visitor.cookie;
        assertThat(visitor.signIn(person.login(), Tester.PASSWORD).status()).isEqualTo(303);
        assertThat(visitor.cookie).isNotEqualTo(before);
        assertThat(visitor.get("/me").status()).isEqualTo(200);

        String cookie = visitor.cookie;
        assertThat(visitor.post("/sign-out", Map.of()).header("Location")).isEqualTo("/sign-in");
        visitor.cookie = cookie;
        assertThat(visitor.get("/me").status())
                .as("the old cookie opens nothing")
                .isEqualTo(303);

        Visitor again = new Visitor();
        again.signIn(person.login(), Tester.PASSWORD);
        assertThat(again.get("/me").status()).isEqualTo(200);
        OpenRegistry.rows(
                LOGINS,
                "update access.account set state = 'disabled' where actor_id = " + person.actor()
                        + " returning actor_id");
        assertThat(again.get("/me").status()).as("closed while signed in").isEqualTo(303);
        assertThat(new Visitor().signIn(person.login(), Tester.PASSWORD).status())
                .isEqualTo(401);
    }

    @Test
    void endsASessionThatIsNotUsed() {
        Tester person = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.RECORDER);
        Visitor visitor = new Visitor();
        visitor.signIn(person.login(), Tester.PASSWORD);
        assertThat(OpenRegistry.rows(
                        LOGINS,
                        "select max_inactive_interval from session.spring_session where principal_name = '"
                                + person.actor() + "'"))
                .containsExactly("1800");
        OpenRegistry.rows(
                LOGINS,
                "update session.spring_session set last_access_time = 0, expiry_time = 1 where principal_name = '"
                        + person.actor() + "' returning primary_id");
        assertThat(visitor.get("/me").status()).isEqualTo(303);
    }

    /** S18: as it stands in the database, so that the limit holds for every instance that reads it. */
    @ParameterizedTest
    @CsvSource({"PT7H59M59S, 200", "PT8H, 303"})
    void endsASessionEightHoursAfterTheSignInHoweverMuchItIsUsed(Duration ago, int status) throws IOException {
        Tester person = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.RECORDER);
        Visitor visitor = new Visitor();
        visitor.signIn(person.login(), Tester.PASSWORD);
        ByteArrayOutputStream context = new ByteArrayOutputStream();
        new ObjectOutputStream(context)
                .writeObject(new SecurityContextImpl(UsernamePasswordAuthenticationToken.authenticated(
                        new SignedIn(person.actor(), NOW.minus(ago)), null, List.of())));
        assertThat(OpenRegistry.rows(
                        LOGINS,
                        "update session.spring_session_attributes set attribute_bytes = decode('"
                                + HexFormat.of().formatHex(context.toByteArray()) + "', 'hex')"
                                + " from session.spring_session where primary_id = session_primary_id"
                                + " and attribute_name = 'SPRING_SECURITY_CONTEXT' and principal_name = '"
                                + person.actor() + "' returning attribute_name"))
                .hasSize(1);
        assertThat(visitor.get("/me").status()).isEqualTo(status);
    }

    /** S15: waiting grows, and is for one name only. */
    @Test
    void makesWaitAfterFiveWrongTriesAndTellsNothingAboutWhoThereIs() {
        Tester person = Tester.fresh(LOGINS);
        String nobody = "nobody-" + UUID.randomUUID();
        for (String login : List.of(person.login(), nobody)) {
            for (int wrong = 0; wrong < 5; wrong++) {
                Answer answer = new Visitor().signIn(login, "wrong");
                assertThat(answer.status()).isEqualTo(401);
                assertThat(answer.text()).contains("Name and password do not fit together");
            }
            Answer wait = new Visitor().signIn(login, login.equals(nobody) ? "wrong" : Tester.PASSWORD);
            assertThat(wait.status())
                    .as("the time of the tests stands still, so the wait does not end")
                    .isEqualTo(429);
            assertThat(wait.header("Retry-After")).isEqualTo("1");
        }
        Tester other = Tester.fresh(LOGINS);
        assertThat(new Visitor().signIn(other.login(), Tester.PASSWORD).status())
                .isEqualTo(303);
        OpenRegistry.rows(LOGINS, "delete from access.failed_try returning at");
    }

    /** S9 */
    @Test
    void takesNoFormWithoutTheSecretOfItsSession() {
        Tester person = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.RECORDER);
        Visitor visitor = new Visitor();
        visitor.signIn(person.login(), Tester.PASSWORD);
        visitor.get("/me");
        Visitor stranger = new Visitor();
        stranger.get("/sign-in");
        for (String secret : List.of("", "x", stranger.secret)) {
            visitor.secret = secret;
            assertThat(visitor.post("/me/others", Map.of()).status()).as(secret).isEqualTo(403);
        }
        Answer signedOut = stranger.post("/record", Map.of("weight", "7.4"));
        assertThat(signedOut.status()).as("the session has ended").isEqualTo(401);
        assertThat(signedOut.text()).contains("Please sign in");
    }

    /** S13: NIST SP 800-63B and OWASP ASVS 5.0 chapter 6 ask for length, no composition rules, and a list of common ones. */
    @ParameterizedTest
    @CsvSource({
        "short11char, At least",
        "password12345678, easy to guess",
        "qwertyuiop123456, easy to guess",
        "aaaaaaaaaaaaaaaa, easy to guess",
        "airwayairwayairway, easy to guess",
    })
    void refusesAPasswordThatIsShortOrCommon(String password, String words) {
        Tester person = Tester.fresh(LOGINS);
        Visitor visitor = new Visitor();
        visitor.signIn(person.login(), Tester.PASSWORD);
        visitor.get("/me");
        Answer answer = visitor.post("/me/password", Map.of("present", Tester.PASSWORD, "password", password));
        assertThat(answer.status()).isEqualTo(422);
        assertThat(answer.text().replace("at least 12", "At least"))
                .contains(words)
                .doesNotContain(password);
    }

    @ParameterizedTest
    @ValueSource(ints = {64, 128, 256})
    void takesLongPasswordsWhole(int length) {
        Tester person = Tester.fresh(LOGINS);
        Visitor visitor = new Visitor();
        visitor.signIn(person.login(), Tester.PASSWORD);
        visitor.get("/me");
        String password = "lämpchen über wölfe ".repeat(20).substring(0, length - 1);
        assertThat(visitor.post("/me/password", Map.of("present", Tester.PASSWORD, "password", password + "1"))
                        .status())
                .isEqualTo(303);
        assertThat(new Visitor().signIn(person.login(), password + "2").status())
                .as("never cut")
                .isEqualTo(401);
        assertThat(new Visitor().signIn(person.login(), password + "1").status())
                .isEqualTo(303);
        String decomposed = java.text.Normalizer.normalize(password + "1", java.text.Normalizer.Form.NFD);
        assertThat(new Visitor().signIn(person.login(), decomposed).status())
                .as("typed on another keyboard")
                .isEqualTo(303);
    }

    /** S14 */
    @Test
    void keepsArgon2idAndHashesAnewWhatWasHashedWithLess() {
        Tester person = Tester.fresh(LOGINS);
        String weak = new org.springframework.security.crypto.argon2.Argon2PasswordEncoder(16, 32, 1, 4096, 1)
                .encode(Tester.PASSWORD);
        String hash = "select password_hash from access.account where actor_id = " + person.actor();
        OpenRegistry.rows(
                LOGINS,
                "update access.account set password_hash = '" + weak + "' where actor_id = " + person.actor()
                        + " returning actor_id");
        assertThat(new Visitor().signIn(person.login(), Tester.PASSWORD).status())
                .isEqualTo(303);
        assertThat(OpenRegistry.rows(LOGINS, hash).get(0)).startsWith("$argon2id$v=19$m=19456,t=2,p=1$");
        assertThat(new Visitor().signIn(person.login(), Tester.PASSWORD).status())
                .isEqualTo(303);
    }

    /** S17; the codes are made here by another program: the examples of RFC 6238 are in OneTimeCodeTest. */
    @Test
    void asksForACodeOnceItIsSetUpAndTakesNoneTwice() throws InvalidKeyException {
        Tester person = Tester.fresh(LOGINS).with(null, Role.AUDITOR);
        OpenRegistry.rows(
                LOGINS, "delete from access.token where actor_id = " + person.actor() + " returning actor_id");
        Visitor visitor = new Visitor();
        visitor.signIn(person.login(), Tester.PASSWORD);
        assertThat(visitor.get("/me").status()).isEqualTo(200);
        Answer codes = visitor.get("/me/codes");
        assertThat(codes.text()).contains("<svg class=\"qr\"");
        Matcher secret = Pattern.compile("Secret: <code>([A-Z2-7 ]+)</code>").matcher(codes.text());
        assertThat(secret.find()).isTrue();
        byte[] key = Tester.base32(secret.group(1).replace(" ", ""));
        assertThat(visitor.post("/me/codes", Map.of("code", "000000")).status()).isEqualTo(422);
        Answer used = visitor.post("/me/codes", Map.of("code", code(key, 0)));
        assertThat(used.status()).isEqualTo(200);
        Matcher recovery = Pattern.compile("<code>([A-Z2-7-]{39})</code>").matcher(used.text());
        assertThat(recovery.find()).isTrue();
        String spare = recovery.group(1);

        Visitor next = new Visitor();
        assertThat(next.signIn(person.login(), Tester.PASSWORD).header("Location"))
                .isEqualTo("/sign-in/code");
        assertThat(next.get("/me").status()).as("half is nothing").isEqualTo(303);
        next.get("/sign-in/code");
        assertThat(next.post("/sign-in/code", Map.of("code", code(key, 0))).status())
                .as("the code that was typed at the set-up")
                .isEqualTo(401);
        next.get("/sign-in/code");
        assertThat(next.post("/sign-in/code", Map.of("code", code(key, -3))).status())
                .as("old")
                .isEqualTo(401);
        next.get("/sign-in/code");
        assertThat(next.post("/sign-in/code", Map.of("code", code(key, 1))).status())
                .as("a clock ahead")
                .isEqualTo(303);
        assertThat(next.get("/me").status()).isEqualTo(200);

        Visitor lost = new Visitor();
        lost.signIn(person.login(), Tester.PASSWORD);
        lost.get("/sign-in/code");
        assertThat(lost.post("/sign-in/code", Map.of("code", spare)).status()).isEqualTo(303);
        Visitor twice = new Visitor();
        twice.signIn(person.login(), Tester.PASSWORD);
        twice.get("/sign-in/code");
        assertThat(twice.post("/sign-in/code", Map.of("code", spare)).status()).isEqualTo(401);
        OpenRegistry.rows(LOGINS, "delete from access.failed_try returning at");
    }

    /** Who needs codes and has none can do nothing else. */
    @Test
    void letsAnAdministratorDoNothingBeforeTheCodesAreSetUp() {
        Tester person = Tester.fresh(LOGINS).with(null, Role.ADMINISTRATOR);
        OpenRegistry.rows(
                LOGINS, "delete from access.token where actor_id = " + person.actor() + " returning actor_id");
        Visitor visitor = new Visitor();
        visitor.signIn(person.login(), Tester.PASSWORD);
        Answer people = visitor.get("/people");
        assertThat(people.status()).isEqualTo(302);
        assertThat(people.header("Location")).endsWith("/me/codes");
        assertThat(visitor.get("/me").status()).isEqualTo(200);
    }

    /** Invitation, first role, closing: what an administrator does, seen from both sides. */
    @Test
    void invitesSomebodyWhoJoinsOnce() {
        Tester administrator = Tester.fresh(LOGINS).with(null, Role.ADMINISTRATOR);
        String unit = strangeUnit().code();
        String login = "new-" + UUID.randomUUID();
        Visitor admin = new Visitor();
        admin.signIn(administrator.login(), Tester.PASSWORD);
        assertThat(admin.get("/people").status())
                .as("a token stands for the codes")
                .isEqualTo(200);
        assertThat(admin.post("/people", Map.of("login", "a b", "title", "", "role", "", "unit", unit))
                        .status())
                .isEqualTo(422);
        Answer added = admin.post(
                "/people", Map.of("login", login, "title", "Somebody new", "role", "recorder", "unit", unit));
        assertThat(added.status()).as(added.text()).isEqualTo(200);
        Matcher code = Pattern.compile("<code>([A-Za-z0-9_-]{43})</code>").matcher(added.text());
        assertThat(code.find()).isTrue();

        Visitor visitor = new Visitor();
        visitor.get("/join");
        assertThat(visitor.post("/join", Map.of("code", "x")).status()).isEqualTo(422);
        assertThat(visitor.post("/join", Map.of("code", code.group(1))).text()).contains("Welcome, Somebody new");
        assertThat(visitor.post("/join/choose", Map.of("code", code.group(1), "password", "short"))
                        .status())
                .isEqualTo(422);
        assertThat(visitor.post("/join/choose", Map.of("code", code.group(1), "password", Tester.PASSWORD))
                        .status())
                .isEqualTo(303);
        assertThat(visitor.get("/record").status()).isEqualTo(200);
        Visitor second = new Visitor();
        second.get("/join");
        assertThat(second.post("/join", Map.of("code", code.group(1))).status())
                .as("used up")
                .isEqualTo(422);
        assertThat(OpenRegistry.rows(
                        LOGINS,
                        "select e.action || ' ' || e.object || case when e.actor_id = e.about then ', by themselves' else '' end"
                                + " from audit.entry e join access.account a on a.actor_id = e.about"
                                + " where a.login = '" + login + "' order by e.entry_id"))
                .containsExactly(
                        "invited person",
                        "granted grant",
                        "joined person, by themselves",
                        "signed_in session, by themselves");
    }

    /** S39 */
    @Test
    void makesNobodyAdministratorAndResearcher() {
        Tester administrator = Tester.fresh(LOGINS).with(null, Role.ADMINISTRATOR);
        Tester person = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.RESEARCHER);
        Visitor admin = new Visitor();
        admin.signIn(administrator.login(), Tester.PASSWORD);
        admin.get("/people/" + person.actor());
        Answer both = admin.post("/people/" + person.actor() + "/roles", Map.of("role", "administrator", "unit", ""));
        assertThat(both.status()).isEqualTo(422);
        assertThat(both.text()).contains("never the same person");
    }

    /** S10 */
    @ParameterizedTest
    @ValueSource(
            strings = {
                "/sign-in",
                "/",
                "/nowhere",
                "/static/register.css",
                "/api/v1/measures",
                "/problems/missing",
                "/join"
            })
    void sendsTheHeadersThatKeepABrowserInBounds(String path) {
        Answer answer = send(bare(path).header("Accept", "text/html").GET());
        assertThat(answer.header("Content-Security-Policy"))
                .contains("default-src 'none'", "frame-ancestors 'none'", "base-uri 'none'")
                .doesNotContain("unsafe");
        assertThat(answer.header("X-Content-Type-Options")).isEqualTo("nosniff");
        assertThat(answer.header("Referrer-Policy")).isEqualTo("no-referrer");
        assertThat(answer.header("Cross-Origin-Opener-Policy")).isEqualTo("same-origin");
        if (!path.startsWith("/static/")) {
            assertThat(answer.header("Cache-Control")).contains("no-store");
        }
    }

    @Test
    void takesATokenForTheApiAloneAndTellsHowToSendOne() {
        Answer none = send(bare("/api/v1/measures").GET());
        assertThat(none.status()).isEqualTo(401);
        assertThat(none.header("WWW-Authenticate")).isEqualTo("Bearer");
        assertThat(none.header("Content-Type")).isEqualTo("application/problem+json");
        String bearer = "Bearer " + tester().token();
        assertThat(send(bare("/api/v1/measures").header("Authorization", bearer).GET())
                        .status())
                .isEqualTo(200);
        assertThat(send(bare("/api/v1/measures")
                                .header("Authorization", bearer + "x")
                                .GET())
                        .status())
                .isEqualTo(401);
        assertThat(send(bare("/me").header("Authorization", bearer).GET()).status())
                .isEqualTo(401);
    }

    private static String code(byte[] key, int steps) throws InvalidKeyException {
        return new TimeBasedOneTimePasswordGenerator()
                .generateOneTimePasswordString(new SecretKeySpec(key, "HmacSHA1"), NOW.plusSeconds(30L * steps));
    }
}
