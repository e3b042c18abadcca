package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Sites;
import airway.registry.testing.ServedRegistry;
import java.net.http.HttpResponse;
import java.util.ArrayList;
import java.util.List;
import java.util.UUID;
import java.util.concurrent.CompletableFuture;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;

/** The record page by plain form posts, as a browser without script sends them. */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class RecordPageWebTest {
    private ServedRegistry registry;

    @BeforeAll
    void start() {
        registry = ServedRegistry.fresh();
    }

    @AfterAll
    void stop() {
        registry.close();
    }

    private static List<String> plain(String... changes) {
        List<String> fields = new ArrayList<>();
        Fields.plain(changes)
                .fields()
                .forEach((name, values) -> values.forEach(value -> fields.add(name + "=" + value)));
        for (String needed : List.of("site_id=harbour", "key=" + UUID.randomUUID())) {
            String name = needed.substring(0, needed.indexOf('=') + 1);
            if (fields.stream().noneMatch(field -> field.startsWith(name))) {
                fields.add(needed);
            }
        }
        return fields;
    }

    private int records() {
        return registry.bean(Encounters.class).count(registry.bean(Sites.class).named("harbour"));
    }

    @Test
    void ticksNothingBeforehand() {
        HttpResponse<String> page = registry.get("/record");
        assertThat(page.statusCode()).isEqualTo(200);
        assertThat(page.body()).doesNotContain("checked=").contains("name=\"key\" value=\"");
    }

    @Test
    void needsNoInlineStyleOrScript() {
        assertThat(registry.get("/record").body()).doesNotContain("style=").doesNotContainPattern("<script>|onclick=");
    }

    @Test
    void savesAndSaysWhatWasWorkedOut() {
        HttpResponse<String> saved = registry.post("/record", plain());
        assertThat(saved.statusCode()).isEqualTo(303);
        String location = saved.headers().firstValue("Location").orElseThrow();
        assertThat(location).startsWith("/records/");
        String page = registry.get(location).body();
        assertThat(page)
                .contains("Saved at ")
                .contains("Attempt 1 aimed at a tracheal tube and succeeded: one blade insertion.")
                .contains("First pass; none of the events; lowest SpO₂ 94%, not under 80%.")
                .contains("Every question is answered.")
                .contains("Operator: trainee, advanced or fellow; 25 to 100 intubations before.");
    }

    @Test
    void listsOpenQuestionsInWords() {
        HttpResponse<String> saved = registry.post("/record", plain("weight=", "a1.lowest="));
        String page = registry.get(saved.headers().firstValue("Location").orElseThrow())
                .body();
        assertThat(page).contains("2 questions are open", "<li>Weight</li>", "<li>Lowest saturation</li>");
    }

    @Test
    void keepsEverythingTypedWhenSomethingIsWrong() {
        HttpResponse<String> page =
                registry.post("/record", plain("weight=seven", "a1.lowest=99", "age=<b>7", "key=" + UUID.randomUUID()));
        assertThat(page.statusCode()).isEqualTo(422);
        assertThat(page.body())
                .contains("<title>Error: Record an intubation")
                .contains("3 answers need another look")
                .contains("href=\"#weight\"", "href=\"#a1.lowest\"")
                .contains("value=\"seven\"", "value=\"&lt;b&gt;7\"")
                .containsPattern("name=\"a1.setup\" value=\"metal-handle\" checked");
    }

    @Test
    void asksAboutAnUnlikelyValueAndTakesTheYes() {
        String[] nine = {"a1.lowest=typed", "a1.lowest_typed=9"};
        HttpResponse<String> asked = registry.post("/record", plain(nine));
        assertThat(asked.statusCode()).isEqualTo(422);
        assertThat(asked.body()).contains("Yes, 9% is right", "No, I change it", "Usual is at least 30%.");
        assertThat(registry.post("/record", plain(nine[0], nine[1], "confirm.a1.lowest=9"))
                        .statusCode())
                .isEqualTo(303);
    }

    @Test
    void opensTheNextAttemptAndKeepsTheFirst() {
        HttpResponse<String> page = registry.post("/record", plain("a1.end=fail", "attempt=another"));
        assertThat(page.statusCode()).isEqualTo(200);
        assertThat(page.body())
                .contains("name=\"attempts\" value=\"2\"", "Change attempt 1", "as in attempt 1", "Take attempt 2 out")
                .containsPattern("name=\"a1.end\" value=\"fail\" checked");
        HttpResponse<String> saving = registry.post("/record", plain("a1.end=fail", "a1.next=another"));
        assertThat(saving.body()).contains("name=\"attempts\" value=\"2\"");
        HttpResponse<String> out = registry.post(
                "/record", plain("attempts=2", "a1.end=fail", "a1.next=another", "a2.passes=3", "attempt=out"));
        assertThat(out.body()).contains("name=\"attempts\" value=\"1\"").doesNotContain("name=\"a2.");
    }

    @Test
    void makesOneRecordOfADoubleTap() {
        int before = records();
        List<String> form = plain();
        List<CompletableFuture<HttpResponse<String>>> taps = List.of(
                CompletableFuture.supplyAsync(() -> registry.post("/record", form)),
                CompletableFuture.supplyAsync(() -> registry.post("/record", form)));
        List<String> places = taps.stream()
                .map(CompletableFuture::join)
                .map(saved -> saved.headers().firstValue("Location").orElseThrow())
                .distinct()
                .toList();
        assertThat(places).hasSize(1);
        assertThat(records()).isEqualTo(before + 1);
    }

    @Test
    void saysThatAFormWasSavedBefore() {
        String key = "key=" + UUID.randomUUID();
        assertThat(registry.post("/record", plain(key)).statusCode()).isEqualTo(303);
        HttpResponse<String> changed = registry.post("/record", plain(key, "weight=8"));
        assertThat(changed.statusCode()).isEqualTo(422);
        assertThat(changed.body()).contains("This form was saved before.");
    }

    @Test
    void answersWithAPageWhenThereIsNoSuchRecord() {
        HttpResponse<String> page = registry.get("/records/" + UUID.randomUUID());
        assertThat(page.statusCode()).isEqualTo(404);
        assertThat(page.body()).contains("Not found", "Back to the front page");
        assertThat(registry.get("/records/nonsense").statusCode()).isEqualTo(404);
    }

    @Test
    void keepsWhatWasTypedWhileTheDatabaseIsAway() {
        try (ServedRegistry away = ServedRegistry.fresh()) {
            assertThat(away.get("/record").statusCode()).isEqualTo(200);
            away.loseDatabase();
            HttpResponse<String> page = away.post("/record", plain());
            assertThat(page.statusCode()).isEqualTo(503);
            assertThat(page.body())
                    .contains("Nothing was saved yet: the register cannot reach its database.")
                    .contains("value=\"7.4\"")
                    .containsPattern("name=\"a1.end\" value=\"stay\" checked");
        }
    }

    @Test
    void saysOnEveryPageOfAnInventedUnitThatItIsInvented() {
        try (ServedRegistry two = ServedRegistry.fresh()) {
            two.unit("demo", "Demonstration unit", true);
            String line = "Invented data: nothing here happened to anybody.";
            for (String path : List.of("/", "/record", "/problems/invalid")) {
                assertThat(two.get(path).body()).as(path).doesNotContain(line).contains("<option value=\"demo\">");
                assertThat(two.get(path + "?site_id=demo").body()).as(path).contains(line);
            }
            HttpResponse<String> saved = two.post("/record", plain("site_id=demo", "a1.setup=other"));
            assertThat(two.get(saved.headers().firstValue("Location").orElseThrow())
                            .body())
                    .contains(line);
        }
    }
}
