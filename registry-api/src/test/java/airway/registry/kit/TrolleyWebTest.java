package airway.registry.kit;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import airway.sql.Sql;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.sql.SQLException;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;

/** Trolleys and their checks, over the API and as pages without script. The clock stands at noon of 24 November 2026. */
class TrolleyWebTest extends ServedRegistry {
    private static final String TROLLEY = """
            {"title": "Trolley 2", "due_at": "07:30", "check_days": 1, "full_days": 7, "light": "yes",
             "battery_least": 40, "recorder": "yes", "slots": [
               {"drawer": "1", "title": "Tube 3.5", "wanted": 3, "least": 2, "dated": "yes"},
               {"drawer": "2", "title": "Bougie", "wanted": 1}]}""";

    private static Tester keeper = Tester.fresh(LOGINS);
    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    @BeforeEach
    void aKeeper() {
        unit = unit();
        keeper = Tester.fresh(LOGINS).with(unit.no(), Role.KIT_KEEPER);
    }

    private Answer post(Tester who, String path, String body) {
        return send(request(path, who)
                .header("Content-Type", "application/json")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    private Answer form(Tester who, String path, Map<String, String> fields) {
        StringBuilder body = new StringBuilder();
        fields.forEach((name, value) -> body.append(body.isEmpty() ? "" : "&")
                .append(URLEncoder.encode(name, StandardCharsets.UTF_8))
                .append('=')
                .append(URLEncoder.encode(value, StandardCharsets.UTF_8)));
        return send(request(path, who)
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(body.toString())));
    }

    private String page(String path) {
        Answer answer = send(request(path, keeper).GET());
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.text();
    }

    private String trolley() {
        Answer made = post(keeper, "/api/v1/kit/trolleys", TROLLEY);
        assertThat(made.status()).as(made.text()).isEqualTo(201);
        assertThat(made.json().path("status").asString()).isEqualTo("not_checked");
        return made.header("Location");
    }

    private static String full(int seen, int tubes, String seal, String more) {
        return "{\"kind\": \"full\", \"seen\": " + seen + ", \"seal_found\": \"none\", \"seal_applied\": \"" + seal
                + "\", \"lines\": [{\"found\": " + tubes + ", \"use_by\": \"2027-01-12\"}, {\"found\": 1}],"
                + " \"light\": \"yes\", \"battery\": 92, \"memory_free\": \"yes\", \"recordings\": \"none\"" + more
                + "}";
    }

    private JsonNode checked(String trolley, String body) {
        Answer answer = post(keeper, trolley + "/checks", body);
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    private static List<String> texts(JsonNode list) {
        List<String> texts = new ArrayList<>();
        list.forEach(one -> texts.add(one.asString()));
        return texts;
    }

    @Test
    void tellsWhetherATrolleyIsReadyAfterEachLineOfItsLog() {
        String trolley = trolley();
        String form = trolley.replace("/api/v1", "") + "/check";
        assertThat(page(form))
                .contains("Charge in percent; it needs 40", "value=\"cleared\"", "Cleared, after the copy was checked");
        JsonNode gap = checked(trolley, full(0, 2, "20417", ""));
        assertThat(gap.path("status").asString()).isEqualTo("gap");
        assertThat(gap.path("restock").get(0).path("number").asInt()).isEqualTo(1);
        assertThat(gap.path("seal").asString()).isEqualTo("20417");
        assertThat(gap.path("due").asString()).isEqualTo("2026-11-25T07:30:00+00:00");

        JsonNode sealed = checked(
                trolley,
                "{\"kind\": \"short\", \"seen\": 1, \"seal_found\": \"whole\", \"seal_read\": \"20417\","
                        + " \"battery\": 38, \"memory_free\": \"yes\", \"recordings\": \"on_device\"}");
        assertThat(texts(sealed.path("reasons"))).contains("Charged 38%, needs 40%.");
        assertThat(texts(sealed.path("notes"))).contains("Recordings to copy off.");

        assertThat(page(form + "?kind=short")).contains("It should be 20417.").doesNotContain("Light or picture");
        Answer opened = post(tester(unit), trolley + "/checks", "{\"kind\": \"opened\"}");
        assertThat(opened.status()).as(opened.text()).isEqualTo(200);
        assertThat(opened.json().path("status").asString()).isEqualTo("not_ready");
        assertThat(faults(isProblem(
                        post(
                                keeper,
                                trolley + "/checks",
                                "{\"kind\": \"short\", \"seen\": 3, \"seal_found\": \"whole\", \"seal_read\": \"20417\","
                                        + " \"battery\": 90, \"memory_free\": \"yes\", \"recordings\": \"none\"}"),
                        422,
                        "invalid")))
                .containsExactly("/kind seal.not_whole");
        assertThat(faults(isProblem(post(keeper, trolley + "/checks", full(3, 3, "20417", "")), 422, "invalid")))
                .containsExactly("/seal_applied seal.used");
        assertThat(checked(trolley, full(3, 3, "20418", "")).path("status").asString())
                .isEqualTo("ready");
    }

    /** Somebody at the bedside: may say that a trolley was opened, and check nothing. */
    private static Tester tester(Site unit) {
        return Tester.fresh(LOGINS).with(unit.no(), Role.RECORDER);
    }

    @Test
    void letsOneOfTwoWhoCheckAtOnceKeepTheirsAndTellsTheOtherHowItStands() throws Exception {
        String trolley = trolley();
        List<Callable<Answer>> both = List.of(
                () -> post(keeper, trolley + "/checks", full(0, 3, "20417", "")),
                () -> post(keeper, trolley + "/checks", full(0, 1, "20418", "")));
        List<Answer> answers = new ArrayList<>();
        ExecutorService threads = Executors.newFixedThreadPool(2);
        for (Future<Answer> answer : threads.invokeAll(both)) {
            answers.add(answer.get());
        }
        threads.shutdown();
        assertThat(answers.stream().map(Answer::status)).containsExactlyInAnyOrder(200, 409);
        Answer late = answers.get(0).status() == 409 ? answers.get(0) : answers.get(1);
        Answer won = answers.get(0).status() == 200 ? answers.get(0) : answers.get(1);
        JsonNode problem = isProblem(late, 409, "trolley-checked");
        assertThat(faults(problem))
                .containsExactly("/seen status." + won.json().path("status").asString());
        assertThat(problem.path("detail").asString())
                .contains(won.json().path("words").asString().replace(".", ""));
        assertThat(send(request(trolley, keeper).GET()).json().path("log")).hasSize(1);
    }

    @Test
    void putsACheckRightByALaterLineAndOverwritesNone() throws SQLException {
        String trolley = trolley();
        checked(trolley, full(0, 0, "20417", ""));
        String right = full(1, 3, "20417", ", \"corrects\": 1, \"reason\": \"Miscounted\"");
        JsonNode mended = checked(trolley, right);
        assertThat(mended.path("status").asString()).isEqualTo("ready");
        assertThat(mended.path("log").get(1).path("lines").get(0).path("found").asInt())
                .isZero();
        assertThat(faults(isProblem(
                        post(keeper, trolley + "/checks", full(2, 3, "20417", ", \"corrects\": 1, \"reason\": \"x\"")),
                        409,
                        "conflict")))
                .containsExactly("/corrects check.corrected");

        Answer back =
                post(keeper, trolley + "/checks/2/withdrawal", "{\"seen\": 2, \"reason\": \"On the wrong trolley\"}");
        assertThat(back.status()).as(back.text()).isEqualTo(200);
        assertThat(back.json().path("status").asString()).isEqualTo("not_checked");
        assertThat(back.json().path("log")).hasSize(3);
        assertThat(Sql.rows(
                        LOGINS.owner(),
                        "select object || ' ' || action from audit.entry where site_id = " + unit.no()
                                + " and object like 'kit_%' order by entry_id"))
                .containsExactly(
                        "kit_trolley recorded", "kit_check recorded", "kit_check amended", "kit_check withdrawn");
        assertThat(Sql.rows(LOGINS.owner(), "select finding from audit.findings() where object like 'kit_%'"))
                .isEmpty();
    }

    @Test
    void namesEverythingThatIsMissingInACheckAtOnce() {
        String trolley = trolley();
        assertThat(faults(isProblem(
                        post(
                                keeper,
                                trolley + "/checks",
                                "{\"kind\": \"full\", \"lines\": [{\"found\": 3}, {\"found\": 100}],"
                                        + " \"seal_found\": \"whole\", \"at\": \"2026-11-24T12:01\"}"),
                        422,
                        "invalid")))
                .containsExactly(
                        "/seen required",
                        "/at time.ahead",
                        "/lines/0/use_by required",
                        "/lines/1/found number",
                        "/light required",
                        "/battery required",
                        "/memory_free required",
                        "/recordings required",
                        "/seal_read required");
        isProblem(post(tester(unit), trolley + "/checks", full(0, 3, "1", "")), 403, "not-allowed");
        Tester stranger = Tester.fresh(LOGINS).with(unit().no(), Role.KIT_KEEPER);
        isProblem(post(stranger, trolley + "/checks", full(0, 3, "1", "")), 404, "missing");
    }

    @Test
    void entersChangesAndChecksATrolleyInABrowserWithoutScript() {
        Map<String, String> layout = new TreeMap<>(Map.of(
                "site_id",
                unit.code(),
                "title",
                "Trolley <1>",
                "due_at",
                "07:30",
                "check_days",
                "1",
                "full_days",
                "7"));
        layout.putAll(Map.of("drawer.1", "", "title.1", "", "wanted.1", "", "least.1", ""));
        layout.putAll(Map.of("drawer.2", "A", "title.2", "Tube 3.5", "wanted.2", "x", "least.2", "", "dated.2", "yes"));
        Answer wrong = form(keeper, "/kit/trolleys", layout);
        assertThat(wrong.status()).isEqualTo(422);
        assertThat(wrong.text()).contains("Row 2:", "value=\"Tube 3.5\"", "Trolley &lt;1&gt;");
        layout.put("wanted.2", "3");
        Answer kept = form(keeper, "/kit/trolleys", layout);
        assertThat(kept.status()).as(kept.text()).isEqualTo(303);
        String path = kept.header("Location").replaceFirst("^https?://[^/]+", "");

        assertThat(page("/kit"))
                .contains("Trolley &lt;1&gt; was never checked in full, so it does not count as ready.");
        assertThat(page(path + "/check")).contains("As it should be: 3", "Drawer A");
        Map<String, String> check =
                new TreeMap<>(Map.of("kind", "full", "seen", "0", "seal_found", "none", "seal_applied", "20417"));
        Answer neither = form(keeper, path + "/checks", check);
        assertThat(neither.status()).isEqualTo(422);
        assertThat(neither.text()).contains("Tick that it is as it should be, or count.", "value=\"20417\"");
        check.putAll(Map.of("ok.1", "yes", "found.1", "2", "use_by.1", "2026-12-01"));
        assertThat(form(keeper, path + "/checks", check).text()).contains("it is ticked and counted");
        check.remove("found.1");
        assertThat(form(keeper, path + "/checks", check).status()).isEqualTo(303);

        assertThat(page("/kit")).contains("Trolley &lt;1&gt; is ready.", "Seal 20417 whole.", "Use by 1 Dec 2026");
        assertThat(page(path + "/check?kind=short")).contains("It should be 20417.");
        Answer late = form(keeper, path + "/checks", check);
        assertThat(late.status()).isEqualTo(409);
        assertThat(late.text()).contains("As it stands now: Trolley &lt;1&gt; is ready", "name=\"seen\" value=\"1\"");

        assertThat(page(path + "/checks/1")).contains("Put line 1 right");
        Map<String, String> right = new TreeMap<>(check);
        right.putAll(Map.of("seen", "1", "corrects", "1", "found.1", "1", "reason", "Miscounted"));
        right.remove("ok.1");
        assertThat(form(keeper, path + "/checks", right).status()).isEqualTo(303);
        assertThat(page(path)).contains("Missing: Tube 3.5, drawer A: 1 of 3.", "Does not count.", "Miscounted");
        assertThat(page("/kit")).contains("2 × Tube 3.5");

        assertThat(form(tester(unit), path + "/opened", Map.of("at", "")).status())
                .isEqualTo(303);
        assertThat(page(path)).contains("Opened 24 Nov, 12:00: it needs a full check and a new seal.");
        assertThat(form(keeper, path + "/checks/3/withdrawal", Map.of("seen", "3", "reason", ""))
                        .text())
                .contains("Write why it is taken back.");
        assertThat(form(keeper, path + "/checks/3/withdrawal", Map.of("seen", "3", "reason", "Not opened"))
                        .status())
                .isEqualTo(303);
        assertThat(page(path + "/layout")).contains("value=\"Tube 3.5\"");
        layout.putAll(Map.of("seen", "1", "in_use", "no"));
        assertThat(form(keeper, path + "/layout", layout).status()).isEqualTo(303);
        assertThat(form(keeper, path + "/layout", layout).status()).isEqualTo(412);
        assertThat(page("/kit")).contains("No trolley is entered.", "Not in use: 1");
    }
}
