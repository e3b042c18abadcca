package airway.registry.kit;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.net.http.HttpRequest;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import tools.jackson.databind.JsonNode;

/** The kit over the API. The clock of the tests stands at noon of 24 November 2026. */
class KitWebTest extends ServedRegistry {
    private static final String KIND = "Straight blade, size 1";

    private static Tester keeper = Tester.fresh(LOGINS);
    private static Tester second = Tester.fresh(LOGINS);

    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    @BeforeEach
    void twoKeepers() {
        unit = unit();
        keeper = Tester.fresh(LOGINS).with(unit.no(), Role.KIT_KEEPER);
        second = Tester.fresh(LOGINS).with(unit.no(), Role.KIT_KEEPER);
    }

    private Answer post(Tester who, String path, String body) {
        return send(request(path, who)
                .header("Content-Type", "application/json")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    private void kind(String more) {
        Answer made = post(
                keeper,
                "/api/v1/kit/kinds",
                "{\"title\": \"" + KIND + "\", \"instructions\": \"Leaflet 7, March 2024\"" + more + "}");
        assertThat(made.status()).as(made.text()).isEqualTo(201);
    }

    private String item(String name) {
        Answer made = post(
                keeper,
                "/api/v1/kit/items",
                "{\"kind\": \"" + KIND + "\", \"name\": \"" + name + "\", \"cycles_before\": 0}");
        assertThat(made.status()).as(made.text()).isEqualTo(201);
        return made.header("Location");
    }

    private Answer move(Tester who, String item, String move, int seen, String more) {
        return post(
                who,
                item + "/moves",
                "{\"move\": \"" + move + "\", \"seen\": " + seen + (more.isEmpty() ? "" : ", " + more) + "}");
    }

    private JsonNode moved(Tester who, String item, String move, int seen, String more) {
        Answer answer = move(who, item, move, seen, more);
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    private static String cycle(String ended) {
        return "\"cycle\": \"24-1\", \"cycle_ended_at\": \"" + ended
                + "\", \"cycle_passed\": \"yes\", \"use_by\": \"2027-05-18\"";
    }

    /** A blade that two keepers have released: its log has three lines. */
    private String ready(String name) {
        String item = item(name);
        moved(keeper, item, "ready", 1, cycle("2026-11-23T18:00"));
        moved(second, item, "confirmed", 2, "");
        return item;
    }

    private static List<String> values(JsonNode list, String name) {
        List<String> values = new ArrayList<>();
        list.forEach(one -> values.add(one.path(name).asString()));
        return values;
    }

    @Test
    void leadsABladeRoundAndKeepsEveryLineOfIt() {
        kind("");
        String item = ready("0417");
        moved(keeper, item, "placed", 3, "\"place\": \"Trolley 2, drawer 2\", \"pack_whole\": \"yes\"");
        moved(tester(), item, "opened", 4, "\"at\": \"2026-11-24T09:00\"");
        moved(tester(), item, "used", 5, "\"place\": \"Used-blade box\", \"at\": \"2026-11-24T09:10\"");
        moved(
                keeper,
                item,
                "sent",
                6,
                "\"label\": \"7731\", \"destination\": \"Sterile services\", \"at\": \"2026-11-24T09:20\"");
        moved(keeper, item, "in_processing", 7, "\"cycle\": \"24-2\"");
        moved(keeper, item, "returned", 8, "\"label\": \"7731\", " + cycle("2026-11-24T11:30"));
        JsonNode back = moved(keeper, item, "ready", 9, "\"checked\": \"yes\", \"place\": \"Shelf C\"");

        assertThat(back.path("state").asString()).isEqualTo("ready");
        assertThat(back.path("cycles").asInt()).isEqualTo(2);
        assertThat(back.path("use_by").asString()).isEqualTo("2027-05-18");
        assertThat(back.path("place").asString()).isEqualTo("Shelf C");
        assertThat(values(back.path("log"), "state"))
                .containsExactly(
                        "new",
                        "new",
                        "ready",
                        "placed",
                        "opened",
                        "used",
                        "sent",
                        "in_processing",
                        "returned",
                        "ready");
        assertThat(send(request(item, tester()).GET()).json()).isEqualTo(back);
    }

    @Test
    void tellsOneOfTwoWhoTakeTheSameBladeWhereItIsNow() throws Exception {
        kind("");
        String item = ready("0417");
        ExecutorService two = Executors.newFixedThreadPool(2);
        try {
            List<Callable<Answer>> takes = List.of(
                    () -> move(keeper, item, "placed", 3, "\"place\": \"Trolley 1\", \"pack_whole\": \"yes\""),
                    () -> move(second, item, "placed", 3, "\"place\": \"Trolley 2\", \"pack_whole\": \"yes\""));
            List<Answer> answers = new ArrayList<>();
            for (Future<Answer> answer : two.invokeAll(takes)) {
                answers.add(answer.get());
            }
            assertThat(answers).extracting(Answer::status).containsExactlyInAnyOrder(200, 409);
            Answer lost = answers.get(answers.get(0).status() == 409 ? 0 : 1);
            JsonNode problem = isProblem(lost, 409, "item-moved");
            assertThat(faults(problem)).containsExactly("/seen state.placed");
            assertThat(problem.path("detail").asString()).contains("On the trolley", "move 4");
        } finally {
            two.shutdown();
        }
    }

    @Test
    void needsTwoAccountsForWhatTwoPeopleDo() {
        kind("");
        String item = item("0417");
        JsonNode proposed = moved(keeper, item, "ready", 1, cycle("2026-11-23T18:00"));
        assertThat(proposed.path("state").asString()).isEqualTo("new");
        assertThat(proposed.path("proposed").asString()).isEqualTo("ready");

        isProblem(move(keeper, item, "confirmed", 2, ""), 403, "not-allowed");
        isProblem(move(tester(), item, "confirmed", 2, ""), 403, "not-allowed");
        assertThat(moved(second, item, "confirmed", 2, "").path("state").asString())
                .isEqualTo("ready");
        isProblem(move(second, item, "confirmed", 3, ""), 409, "no-such-move");
    }

    @Test
    void lapsesAProposalThatIsTakenBack() {
        kind("");
        String item = ready("0417");
        moved(keeper, item, "retired", 3, "\"reason\": \"The light flickers.\"");
        isProblem(move(keeper, item, "undo", 4, ""), 422, "invalid");
        JsonNode kept = moved(keeper, item, "undo", 4, "\"reason\": \"It was the battery.\"");

        assertThat(kept.path("state").asString()).isEqualTo("ready");
        assertThat(kept.has("proposed")).isFalse();
        isProblem(move(second, item, "confirmed", 5, ""), 409, "no-such-move");
    }

    @Test
    void leavesEachMoveToWhoseItIs() {
        kind("");
        String item = ready("0417");
        isProblem(
                move(tester(), item, "placed", 3, "\"place\": \"Trolley 1\", \"pack_whole\": \"yes\""),
                403,
                "not-allowed");
        Tester recorder = Tester.fresh(LOGINS).with(unit.no(), Role.RECORDER);
        isProblem(move(recorder, item, "held", 3, "\"place\": \"Sink\", \"reason\": \"It fell.\""), 403, "not-allowed");
        isProblem(post(recorder, "/api/v1/kit/kinds", "{\"title\": \"a\"}"), 403, "not-allowed");
        isProblem(
                move(
                        keeper,
                        item,
                        "in_use",
                        3,
                        "\"encounter_id\": \"00000000-0000-4000-8000-000000000009\", \"attempt_no\": 1"),
                403,
                "not-allowed");
        assertThat(moved(recorder, item, "opened", 3, "").path("state").asString())
                .isEqualTo("opened");
    }

    @Test
    void showsNothingToAnotherUnit() {
        kind("");
        String item = ready("0417");
        Tester stranger = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.KIT_KEEPER);

        isProblem(send(request(item, stranger).GET()), 404, "missing");
        isProblem(move(stranger, item, "opened", 3, ""), 404, "missing");
        assertThat(send(request("/api/v1/kit/items", stranger).GET()).json()).isEmpty();
    }

    @Test
    void namesTheRecordThatAnItemWasUsedIn() {
        kind("");
        String item = ready("0417");
        String record = recordConfirmed("""
                        {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-11-24T06:20:00Z",
                         "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}]}""".formatted(unit.code()))
                .json()
                .path("encounter_id")
                .asString();
        String use = "\"attempt_no\": 1, \"encounter_id\": ";
        JsonNode unknown = isProblem(
                move(tester(), item, "in_use", 3, use + "\"00000000-0000-4000-8000-000000000009\""), 422, "invalid");
        assertThat(faults(unknown)).containsExactly("/encounter_id record.unknown");

        JsonNode used = moved(tester(), item, "in_use", 3, use + "\"" + record + "\", \"at\": \"2026-11-24T06:25\"");
        assertThat(used.at("/log/3/encounter_id").asString()).isEqualTo(record);
        assertThat(used.at("/log/3/late").asString()).as("entered hours later").isEqualTo("yes");
    }

    @Test
    void sendsSeveralUnderOneLabelOrNone() {
        kind("");
        List<String> items = List.of(ready("0417"), ready("0388"));
        for (String item : items) {
            moved(tester(), item, "opened", 3, "");
            moved(tester(), item, "used", 4, "\"place\": \"Box\"");
        }
        String body = "{\"label\": \"7731\", \"destination\": \"Sterile services\", \"items\": ["
                + "{\"item_id\": \"%s\", \"seen\": 5}, {\"item_id\": \"%s\", \"seen\": %d}]}";
        String one = items.get(0).substring(items.get(0).lastIndexOf('/') + 1);
        String other = items.get(1).substring(items.get(1).lastIndexOf('/') + 1);
        isProblem(post(keeper, "/api/v1/kit/labels", body.formatted(one, other, 4)), 409, "item-moved");
        assertThat(values(
                        send(request("/api/v1/kit/items?state=used", keeper).GET())
                                .json(),
                        "name"))
                .containsExactly("0388", "0417");

        Answer sent = post(keeper, "/api/v1/kit/labels", body.formatted(one, other, 5));
        assertThat(sent.status()).as(sent.text()).isEqualTo(200);
        assertThat(values(sent.json(), "label")).containsExactly("7731", "7731");

        String third = ready("0391");
        moved(tester(), third, "opened", 3, "");
        moved(tester(), third, "used", 4, "\"place\": \"Box\"");
        JsonNode open = isProblem(
                move(keeper, third, "sent", 5, "\"label\": \"7731\", \"destination\": \"Sterile services\""),
                409,
                "no-such-move");
        assertThat(faults(open)).containsExactly("/label label.open");
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "placed | | /place required,/pack_whole required",
                "placed | \"place\": \"a\", \"pack_whole\": \"no\" | /pack_whole not_passed",
                "held | | /reason required,/place required",
                "opened | \"label\": \"7\" | /label not_asked",
                "opened | \"at\": \"2026-11-24T12:01Z\" | /at time.ahead",
                "opened | \"at\": \"yesterday\" | /at moment",
                "repair | | /reason required"
            })
    void namesTheFieldAndTheMend(String move, String more, String faults) {
        kind("");
        String item = ready("0417");

        JsonNode problem = isProblem(move(keeper, item, move, 3, more == null ? "" : more), 422, "invalid");

        assertThat(String.join(",", faults(problem))).isEqualTo(faults);
    }

    @Test
    void releasesNothingWhoseInstructionsAreNotCited() {
        Answer made = post(keeper, "/api/v1/kit/kinds", "{\"title\": \"" + KIND + "\"}");
        String item = item("0417");
        JsonNode refused = isProblem(move(keeper, item, "ready", 1, cycle("2026-11-23T18:00")), 409, "no-such-move");
        assertThat(faults(refused)).containsExactly("/move instructions.missing");

        Answer cited = send(request(made.header("Location"), keeper)
                .header("Content-Type", "application/json")
                .header("If-Match", "\"v1\"")
                .PUT(HttpRequest.BodyPublishers.ofString(
                        "{\"title\": \"" + KIND + "\", \"instructions\": \"Leaflet 7\", \"cycle_limit\": 60}")));
        assertThat(cited.status()).as(cited.text()).isEqualTo(200);
        assertThat(moved(keeper, item, "ready", 1, cycle("2026-11-23T18:00"))
                        .path("cycle_limit")
                        .asInt())
                .isEqualTo(60);
    }

    @Test
    void takesAKindAndAnItemOnce() {
        kind("");
        isProblem(post(keeper, "/api/v1/kit/kinds", "{\"title\": \"" + KIND + "\"}"), 409, "conflict");
        item("0417");
        JsonNode twice = isProblem(
                post(
                        keeper,
                        "/api/v1/kit/items",
                        "{\"kind\": \"" + KIND + "\", \"name\": \"0417\", \"cycles_before\": 0}"),
                409,
                "conflict");
        assertThat(faults(twice)).containsExactly("/name item.there");
        JsonNode half = isProblem(
                post(
                        keeper,
                        "/api/v1/kit/items",
                        "{\"kind\": \"Nothing\", \"name\": \"0418\", \"cycles_before\": -1, \"gtin\": \"123\"}"),
                422,
                "invalid");
        assertThat(faults(half))
                .containsExactly("/kind kind.unknown", "/gtin gtin.form", "/serial required", "/cycles_before number");
    }

    @Test
    void makesAWipedKindReadyByWipingAndACheckAndNoOtherKind() {
        kind("");
        String blade = item("0417");
        Answer made = post(
                keeper,
                "/api/v1/kit/kinds",
                "{\"title\": \"Screen\", \"profile\": \"wiped\", \"instructions\": \"Manual, chapter 9\"}");
        assertThat(made.status()).as(made.text()).isEqualTo(201);
        String screen = post(
                        keeper, "/api/v1/kit/items", "{\"kind\": \"Screen\", \"name\": \"S1\", \"cycles_before\": 0}")
                .header("Location");
        String told = "\"cycle\": \"Wipes W\", \"cycle_ended_at\": \"2026-11-23T18:00\", \"cycle_passed\": \"yes\"";
        // No pack and so no use-by day is asked of it; a blade has one.
        moved(keeper, screen, "ready", 1, told);
        moved(second, screen, "confirmed", 2, "");
        moved(keeper, screen, "placed", 3, "\"place\": \"Trolley 1, top\"");
        moved(keeper, screen, "opened", 4, "\"at\": \"2026-11-24T08:00\"");
        String wiped = "{\"move\": \"wiped\", \"seen\": 5, \"cycle\": \"Wipes W\", \"at\": \"2026-11-24T%s\"}";
        // Forbidden: by a wiping before the use, without saying with what, and ready without the check.
        assertThat(faults(isProblem(post(keeper, screen + "/moves", wiped.formatted("07:59")), 422, "invalid")))
                .containsExactly("/at cycle.early");
        assertThat(faults(isProblem(
                        post(keeper, screen + "/moves", "{\"move\": \"wiped\", \"seen\": 5}"), 422, "invalid")))
                .containsExactly("/cycle required");
        assertThat(moved(keeper, screen, "wiped", 5, "\"cycle\": \"Wipes W\", \"at\": \"2026-11-24T08:10\"")
                        .path("state")
                        .asString())
                .isEqualTo("returned");
        assertThat(faults(isProblem(
                        post(keeper, screen + "/moves", "{\"move\": \"ready\", \"seen\": 6}"), 422, "invalid")))
                .containsExactly("/checked required");
        JsonNode ready = moved(keeper, screen, "ready", 6, "\"checked\": \"yes\"");
        assertThat(ready.path("clean").asString()).isEqualTo("yes");
        assertThat(ready.path("cycles").asInt()).isEqualTo(2);
        // A blade is not wiped clean.
        moved(keeper, blade, "ready", 1, cycle("2026-11-23T18:00"));
        moved(second, blade, "confirmed", 2, "");
        moved(keeper, blade, "opened", 3, "\"at\": \"2026-11-24T08:00\"");
        assertThat(faults(isProblem(
                        post(keeper, blade + "/moves", wiped.formatted("08:10").replace("5", "4")),
                        409,
                        "no-such-move")))
                .containsExactly("/move wiping.kind");
    }
}
