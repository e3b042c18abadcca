package airway.registry;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import airway.registry.testing.OpenRegistry;
import airway.registry.testing.ServedProgram;
import airway.registry.testing.Tester;
import airway.sql.TestDatabase;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.UUID;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.springframework.beans.factory.annotation.Autowired;
import org.springframework.boot.logging.LogLevel;
import org.springframework.boot.logging.LoggingInitializationContext;
import org.springframework.boot.logging.LoggingSystem;
import org.springframework.boot.test.system.CapturedOutput;
import org.springframework.boot.test.system.OutputCaptureExtension;
import org.springframework.mock.env.MockEnvironment;
import org.springframework.test.annotation.DirtiesContext;
import org.springframework.test.context.DynamicPropertyRegistry;
import org.springframework.test.context.DynamicPropertySource;
import org.springframework.test.context.TestPropertySource;
import org.springframework.web.servlet.mvc.method.annotation.RequestMappingHandlerMapping;

/**
 * S26: what stands nowhere else is typed everywhere it may be typed, while the log of the program says all it can. A
 * hospital number is in no log line, no table, no address and no answer to a GET; a secret or a free text in no log line.
 */
@ExtendWith(OutputCaptureExtension.class)
@TestPropertySource(properties = {"logging.config=classpath:logback-spring.xml", "logging.level.root=DEBUG"})
@DirtiesContext
class CanaryWebTest extends ServedProgram {
    private static final String NUMBER = "Zq 90817263";
    private static final TestDatabase.Logins OWN = TestDatabase.fresh();
    private static final Pattern LINK = Pattern.compile("(?:href|action)=\"(/[^\"#]*)\"");

    private final List<String> addresses = new ArrayList<>();

    @Autowired
    private RequestMappingHandlerMapping requestMappingHandlerMapping;

    @Override
    protected TestDatabase.Logins logins() {
        return OWN;
    }

    @DynamicPropertySource
    static void database(DynamicPropertyRegistry settings) {
        database(settings, OWN, "target/canary-keys/" + UUID.randomUUID());
    }

    /** The log of the tests again, for whatever runs after this. */
    @AfterAll
    static void quiet() {
        LoggingSystem logging = LoggingSystem.get(CanaryWebTest.class.getClassLoader());
        logging.cleanUp();
        logging.beforeInitialize();
        logging.initialize(new LoggingInitializationContext(new MockEnvironment()), "classpath:logback-test.xml", null);
        logging.setLogLevel("ROOT", LogLevel.WARN);
    }

    /** The number in every writing that somebody could search for. */
    private static List<String> writings() {
        List<String> all = new ArrayList<>();
        for (String text : List.of(NUMBER, "ZQ90817263", "90817263")) {
            byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
            all.add(text.toLowerCase(Locale.ROOT));
            all.add(URLEncoder.encode(text, StandardCharsets.UTF_8).toLowerCase(Locale.ROOT));
            all.add(HexFormat.of().formatHex(bytes));
        }
        return all;
    }

    private static void isNotIn(String what, String text) {
        String searched = text.toLowerCase(Locale.ROOT);
        for (String writing : writings()) {
            int at = searched.indexOf(writing);
            assertThat(at < 0 ? "" : text.substring(Math.max(0, at - 200), Math.min(text.length(), at + 50)))
                    .as("the number in " + what)
                    .isEmpty();
        }
    }

    private Answer form(String path, String... fields) {
        return form(tester(), path, fields);
    }

    private Answer form(Tester who, String path, String... fields) {
        addresses.add(path);
        String body = Arrays.stream(fields)
                .map(field -> field.substring(0, field.indexOf('=') + 1)
                        + URLEncoder.encode(field.substring(field.indexOf('=') + 1), StandardCharsets.UTF_8))
                .collect(Collectors.joining("&"));
        Answer answer = send(request(path, who)
                .header("Content-Type", "application/x-www-form-urlencoded")
                .header("Accept", "text/html")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
        addresses.add(answer.header("Location"));
        LINK.matcher(answer.text()).results().forEach(link -> addresses.add(link.group(1)));
        return answer;
    }

    private Answer json(String method, String path, String body) {
        return send(request(path)
                .header("Content-Type", "application/json")
                .method(method, HttpRequest.BodyPublishers.ofString(body)));
    }

    /** Types the number wherever it may be typed, right and wrong; gives a record and a draft that have it. */
    private Map<String, String> typeEverywhere(Site unit) {
        String site = "site_id=" + unit.code();
        String number = "hospital_number=" + NUMBER;
        String draft = UUID.randomUUID().toString();
        String writer = UUID.randomUUID().toString();
        assertThat(form("/record/draft", site, "key=" + draft, "writer=" + writer, "revision=0", "weight=7", number)
                        .status())
                .isEqualTo(200);
        assertThat(form("/record", site, "key=" + UUID.randomUUID(), number, "weight=x", "a1.who=me")
                        .status())
                .isEqualTo(422);
        Answer saved = form(
                "/record",
                site,
                "key=" + UUID.randomUUID(),
                number,
                "start=now",
                "kind=initial",
                "location=picu",
                "a1.who=none");
        assertThat(saved.status()).as(saved.text()).isEqualTo(303);
        String id = saved.header("Location").replaceAll(".*/records/([0-9a-f-]{36}).*", "$1");
        String api = "/api/v1/encounters/" + id + "/hospital-number";
        String body = "{\"hospital_number\": \"" + NUMBER + "\"}";
        assertThat(json("PUT", api, body).status()).isEqualTo(200);
        assertThat(json("PUT", api, body.replace("}", ", \"x\": 1}")).status()).isEqualTo(400);
        assertThat(json("PUT", api, body + "}").status()).isEqualTo(400);
        assertThat(json("PUT", api, body.replace(NUMBER, NUMBER.repeat(9))).status())
                .isEqualTo(422);
        assertThat(json("POST", api, body).status()).isEqualTo(405);
        String look = "{\"reason_code\": \"other\", \"reason_text\": \"%s\"}";
        assertThat(json("POST", api + "/look", look.formatted("asked")).text()).contains(NUMBER);
        assertThat(json("POST", api + "/look", look.formatted("of " + NUMBER)).status())
                .isEqualTo(422);
        assertThat(form("/records/" + id + "/hospital-number", site, "reason_code=care")
                        .text())
                .contains(NUMBER);
        assertThat(form("/child", site, number).text()).contains(id);
        assertThat(form("/child", site, number + "\u200b").status()).isEqualTo(422);
        assertThat(form("/child/erase", site, number, "reason_code=family").text())
                .contains("Erase it from one record?");
        assertThat(form("/child/erase", site, number, "reason_code=other", "reason_text=" + NUMBER)
                        .status())
                .isEqualTo(422);
        assertThat(form(administrator(), "/keys").status()).isEqualTo(303);
        return Map.of("id", id, "encounter_id", id, "draft", draft, "version", "1", "slug", "invalid");
    }

    @Test
    void isNowhereButWhereItWasAskedFor(CapturedOutput log) throws InterruptedException {
        Site unit = unit();
        Map<String, String> known = typeEverywhere(unit);

        Set<String> pages = new TreeSet<>();
        requestMappingHandlerMapping
                .getHandlerMethods()
                .keySet()
                .forEach(mapping -> mapping.getPatternValues().forEach(pages::add));
        int read = 0;
        for (String path : pages) {
            String address = path;
            Matcher part = Pattern.compile("\\{([a-z_]+)}").matcher(path);
            while (part.find()) {
                address = address.replace(part.group(), known.getOrDefault(part.group(1), "fps"));
            }
            for (String query : List.of("?site_id=" + unit.code(), "?draft=" + known.get("draft"))) {
                String asked = address + (query.startsWith("?draft") ? query + "&site_id=" + unit.code() : query);
                Answer answer = get(asked);
                read += answer.status() == 200 ? 1 : 0;
                isNotIn("GET " + asked, answer.text());
                LINK.matcher(answer.text()).results().forEach(link -> addresses.add(link.group(1)));
            }
        }
        assertThat(read).as("answers that were looked through").isGreaterThan(30);
        for (String address : addresses) {
            isNotIn("an address", address);
            assertThat(URI.create(address.replace(" ", "%20"))).isNotNull();
        }

        Map<String, Integer> rows = new LinkedHashMap<>();
        for (String table : OpenRegistry.rows(
                OWN,
                "select c.oid::regclass from pg_class c join pg_namespace n on n.oid = c.relnamespace"
                        + " where c.relkind in ('r', 'm') and n.nspname not in ('pg_catalog', 'information_schema',"
                        + " 'pg_toast')")) {
            List<String> dump = OpenRegistry.rows(OWN, "select t::text from " + table + " t");
            rows.put(table, dump.size());
            isNotIn("table " + table, String.join("\n", dump));
        }
        assertThat(rows).containsEntry("identity.hospital_number", 1).containsEntry("encounter.draft", 1);
        assertThat(rows.get("audit.entry")).isGreaterThan(5);

        assertThat(log.getAll()).as("the log says all it can").contains("DEBUG");
        isNotIn("the log", log.getAll());
    }

    private Answer anybody(String path, String cookie, String secret, String body) {
        return send(bare(path)
                .header("Content-Type", "application/x-www-form-urlencoded")
                .header("Accept", "text/html")
                .header("Cookie", cookie)
                .header("X-CSRF-TOKEN", secret)
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    private static String found(String pattern, Answer answer) {
        Matcher found = Pattern.compile(pattern).matcher(answer.text());
        assertThat(found.find()).as(answer.text()).isTrue();
        return found.group(1);
    }

    @Test
    void secretsAndFreeTextAreInNoLogLine(CapturedOutput log) {
        Site unit = unit();
        Tester administrator = administrator();
        Tester.Session session = administrator.session(bare("/").build().uri().getPort());
        List<String> secrets = new ArrayList<>(List.of(administrator.token(), session.secret(), Tester.PASSWORD));
        secrets.add(session.cookie().split("=", 2)[1]);

        Answer form = send(bare("/sign-in").header("Accept", "text/html").GET());
        String cookie = form.header("Set-Cookie").split(";", 2)[0];
        String secret = found("name=\"_csrf\" value=\"([^\"]+)\"", form);
        assertThat(anybody("/sign-in", cookie, secret, "login=KestrelLogin&password=KestrelPassword")
                        .status())
                .isEqualTo(401);
        Answer invited = form(
                administrator,
                "/people",
                "login=KestrelNewcomer",
                "title=KestrelTitle",
                "role=recorder",
                "unit=" + unit.code());
        String code = found("<code>([A-Za-z0-9_-]{43})</code>", invited);
        secrets.add(code);
        assertThat(anybody("/join", cookie, secret, "code=KestrelCode").status())
                .isEqualTo(422);
        assertThat(anybody("/join/choose", cookie, secret, "code=" + code + "&password=Kestrel")
                        .status())
                .isEqualTo(422);
        assertThat(anybody("/join/choose", cookie, secret, "code=" + code + "&password=KestrelChosenPassword")
                        .status())
                .isEqualTo(303);
        secrets.add(found(
                "Secret: <code>([A-Z2-7 ]{16,})</code>",
                send(request("/me/codes", administrator)
                        .header("Accept", "text/html")
                        .GET())));

        for (String body : List.of(
                "{\"site_id\": \"%s\", \"changed_on\": \"2026-03-14\", \"name\": \"KestrelName\","
                        + " \"reason\": \"KestrelReason\", \"cuts_chart\": \"no\"}",
                "{\"site_id\": \"%s\", \"changed_on\": \"KestrelDay\", \"KestrelField\": 1}",
                "{\"site_id\": \"%s\", KestrelBroken")) {
            json("POST", "/api/v1/changes", body.formatted(unit.code()));
        }
        get("/charts?measure=KestrelMeasure&from=KestrelFrom&site_id=" + unit.code());
        get("/KestrelAddress%0d%0aKestrelLine");
        send(bare("/api/v1/encounters")
                .header("Authorization", "Bearer KestrelToken")
                .header("User-Agent", "KestrelAgent")
                .header("Referer", "http://127.0.0.1/KestrelReferer")
                .header("X-Forwarded-For", "KestrelForwarded")
                .GET());

        // The test itself asks by the client of the platform, which writes its addresses into the same log.
        String said = log.getAll()
                .lines()
                .filter(line -> !line.contains(" j.i.httpclient."))
                .collect(Collectors.joining("\n"));
        assertThat(said).as("the log says all it can").contains("DEBUG");
        assertThat(said).doesNotContainIgnoringCase("kestrel");
        assertThat(said).doesNotContain(secrets);
    }
}
