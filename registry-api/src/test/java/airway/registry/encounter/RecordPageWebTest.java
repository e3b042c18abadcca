package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Setups;
import com.zaxxer.hikari.HikariDataSource;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.UUID;
import java.util.concurrent.CompletableFuture;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.springframework.beans.factory.annotation.Autowired;

/** The record page by plain form posts, as a browser without script sends them. */
class RecordPageWebTest extends ServedRegistry {
    @Autowired
    private Encounters encounters;

    @Autowired
    private HikariDataSource pool;

    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    @BeforeEach
    void ownUnit() {
        unit = unit();
        Setups.of(unit.code())
                .forEach(
                        setup -> assertThat(post("/api/v1/device-setups", setup).status())
                                .isEqualTo(201));
    }

    /** A plain first pass as fields of the form, with changes. */
    private List<String> plain(String... changes) {
        List<String> fields = new ArrayList<>();
        Fields.plain(changes)
                .fields()
                .forEach((name, values) -> values.forEach(value -> fields.add(name + "=" + value)));
        for (String needed : List.of("site_id=" + unit.code(), "key=" + UUID.randomUUID())) {
            String name = needed.substring(0, needed.indexOf('=') + 1);
            if (fields.stream().noneMatch(field -> field.startsWith(name))) {
                fields.add(needed);
            }
        }
        return fields;
    }

    private Answer page(String path) {
        return send(request(path).header("Accept", "text/html").GET());
    }

    private Answer blank() {
        return page("/record?site_id=" + unit.code());
    }

    private Answer save(List<String> fields) {
        String body = fields.stream()
                .map(field -> encode(field.substring(0, field.indexOf('='))) + "="
                        + encode(field.substring(field.indexOf('=') + 1)))
                .collect(Collectors.joining("&"));
        return send(request("/record")
                .header("Accept", "text/html")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    private static String encode(String text) {
        return URLEncoder.encode(text, StandardCharsets.UTF_8);
    }

    private int records() {
        return encounters.count(unit);
    }

    @Test
    void ticksNothingBeforehandButThePlaceOfTheUnit() {
        Answer page = blank();
        assertThat(page.status()).isEqualTo(200);
        assertThat(page.text()).containsOnlyOnce("checked=").contains("name=\"key\" value=\"");
        assertThat(page.text()).contains("name=\"location\" value=\"picu\" checked=\"checked\"");
    }

    @Test
    void needsNoInlineStyleOrScript() {
        assertThat(blank().text()).doesNotContain("style=").doesNotContainPattern("<script>|onclick=");
    }

    @Test
    void savesAndSaysWhatWasWorkedOut() {
        Answer saved = save(plain());
        assertThat(saved.status()).isEqualTo(303);
        String location = saved.header("Location");
        assertThat(location).startsWith("/records/");
        String page = page(location).text();
        assertThat(page)
                .contains("Saved at ")
                .contains("Attempt 1 aimed at a tracheal tube and succeeded: one blade insertion.")
                .contains("First pass; none of the events; lowest SpO₂ 94%, not under 80%.")
                .contains("Every question is answered.")
                .contains("Operator: trainee, advanced or fellow; 25 to 100 intubations before.");
    }

    @Test
    void listsOpenQuestionsInWords() {
        Answer saved = save(plain("weight=", "a1.lowest="));
        String page = page(saved.header("Location")).text();
        assertThat(page).contains("2 questions are open", "<li>Weight</li>", "<li>Lowest saturation</li>");
    }

    @Test
    void keepsEverythingTypedWhenSomethingIsWrong() {
        Answer page = save(plain("weight=seven", "a1.lowest=99", "age=<b>7", "key=" + UUID.randomUUID()));
        assertThat(page.status()).isEqualTo(422);
        assertThat(page.text())
                .contains("<title>Error: Record an intubation")
                .contains("3 answers need another look")
                .contains("href=\"#weight\"", "href=\"#a1.lowest\"")
                .contains("value=\"seven\"", "value=\"&lt;b&gt;7\"")
                .containsPattern("name=\"a1.setup\" value=\"metal-handle\" checked");
    }

    @Test
    void asksAboutAnUnlikelyValueAndTakesTheYes() {
        String[] nine = {"a1.lowest=typed", "a1.lowest_typed=9", "event=vomiting"};
        Answer asked = save(plain(nine));
        assertThat(asked.status()).isEqualTo(422);
        assertThat(asked.text()).contains("Yes, 9% is right", "No, I change it", "Usual is at least 30%.");
        assertThat(save(plain(nine[0], nine[1], nine[2], "confirm.a1.lowest=9")).status())
                .isEqualTo(303);
    }

    @Test
    void opensTheNextAttemptAndKeepsTheFirst() {
        Answer page = save(plain("a1.end=fail", "attempt=another"));
        assertThat(page.status()).isEqualTo(200);
        assertThat(page.text())
                .contains("name=\"attempts\" value=\"2\"", "Change attempt 1", "as in attempt 1", "Take attempt 2 out")
                .containsPattern("name=\"a1.end\" value=\"fail\" checked");
        Answer saving = save(plain("a1.end=fail", "a1.next=another"));
        assertThat(saving.text()).contains("name=\"attempts\" value=\"2\"");
        Answer out = save(plain("attempts=2", "a1.end=fail", "a1.next=another", "a2.passes=3", "attempt=out"));
        assertThat(out.text()).contains("name=\"attempts\" value=\"1\"").doesNotContain("name=\"a2.");
    }

    @Test
    void makesOneRecordOfADoubleTap() {
        int before = records();
        List<String> form = plain();
        List<CompletableFuture<Answer>> taps = List.of(
                CompletableFuture.supplyAsync(() -> save(form)), CompletableFuture.supplyAsync(() -> save(form)));
        List<String> places = taps.stream()
                .map(CompletableFuture::join)
                .map(saved -> saved.header("Location"))
                .distinct()
                .toList();
        assertThat(places).hasSize(1);
        assertThat(records()).isEqualTo(before + 1);
    }

    @Test
    void saysThatAFormWasSavedBefore() {
        String key = "key=" + UUID.randomUUID();
        assertThat(save(plain(key)).status()).isEqualTo(303);
        Answer changed = save(plain(key, "weight=8"));
        assertThat(changed.status()).isEqualTo(422);
        assertThat(changed.text()).contains("This form was saved before.");
    }

    @Test
    void answersWithAPageWhenThereIsNoSuchRecord() {
        Answer page = page("/records/" + UUID.randomUUID());
        assertThat(page.status()).isEqualTo(404);
        assertThat(page.text()).contains("Not found", "Back to the front page");
        assertThat(page("/records/nonsense").status()).isEqualTo(404);
    }

    @Test
    void saysThatNothingWasStoredWhileTheDatabaseIsAway() throws SQLException {
        assertThat(blank().status()).isEqualTo(200);
        List<Connection> taken = new ArrayList<>();
        try {
            while (taken.size() < pool.getMaximumPoolSize()) {
                taken.add(pool.getConnection());
            }
            Answer away = save(plain());
            assertThat(away.status()).isEqualTo(503);
            assertThat(away.text()).contains("The registry cannot reach its database", "Nothing was stored");
        } finally {
            for (Connection connection : taken) {
                connection.close();
            }
        }
    }

    @Test
    void saysOnEveryPageOfAnInventedUnitThatItIsInvented() {
        String line = "Invented data: nothing here happened to anybody.";
        String real = unit(unit.code() + "-real", "Europe/London", false).code();
        for (String path : List.of("/", "/record", "/problems/invalid", "/nowhere")) {
            assertThat(page(path + "?site_id=" + unit.code()).text()).as(path).contains(line);
            assertThat(page(path + "?site_id=" + real).text())
                    .as(path)
                    .doesNotContain(line)
                    .contains("<option value=\"" + real + "\" selected");
        }
        assertThat(page(save(plain()).header("Location")).text()).contains(line);
    }

    @Test
    void countsEarlierUsesOnceTheFirstWasTold() {
        assertThat(save(plain("a1.uses=first")).status()).isEqualTo(303);
        assertThat(blank().text()).contains("data-when=\"a1.who:other,kept;a1.setup:plastic-cable,metal-direct,other");
        Answer second = save(plain("a1.uses="));
        assertThat(second.status()).isEqualTo(303);
        String id = second.header("Location").replaceAll(".*/", "");
        assertThat(get("/api/v1/encounters/" + id)
                        .json()
                        .at("/courses/0/attempts/0/operator_setup_uses")
                        .asString())
                .isEqualTo("1_5");
        Answer others = save(plain("a1.uses=", "a1.who=other", "a1.grade=junior"));
        assertThat(get("/api/v1/encounters/" + others.header("Location").replaceAll(".*/", ""))
                        .json()
                        .at("/courses/0/attempts/0")
                        .has("operator_setup_uses"))
                .as("somebody else's uses are asked, not counted")
                .isFalse();
    }

    @Test
    void answersAFormThatCannotBeRead() {
        String many = IntStream.range(0, 20_000).mapToObj(n -> "f" + n + "=1").collect(Collectors.joining("&"));
        for (String path : List.of("/record", "/record/draft", "/quality/counts")) {
            for (String accept : List.of("text/html", "application/json")) {
                assertThat(raw(path, accept, "weight=" + "7".repeat(3_000_000)))
                        .as(path + " too large, " + accept)
                        .isEqualTo(413);
                assertThat(raw(path, accept, "weight=%zz"))
                        .as(path + " broken, " + accept)
                        .isEqualTo(400);
                assertThat(raw(path, accept, many))
                        .as(path + " many, " + accept)
                        .isIn(400, 413);
            }
        }
    }

    private int raw(String path, String accept, String body) {
        return send(request(path)
                        .header("Content-Type", "application/x-www-form-urlencoded")
                        .header("Accept", accept)
                        .POST(HttpRequest.BodyPublishers.ofString(body)))
                .status();
    }
}
