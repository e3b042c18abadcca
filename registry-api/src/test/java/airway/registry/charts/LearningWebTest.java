package airway.registry.charts;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Setups;
import airway.registry.testing.Tester;
import java.net.http.HttpRequest;
import java.util.UUID;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;

/** One's own first attempts are seen by oneself alone; the unit sees bands that hide each person, or is told why not. */
class LearningWebTest extends ServedRegistry {
    private Site site = new Site((short) 0, "", "", "", java.time.ZoneId.of("UTC"), true);
    private String unit = "";

    @BeforeEach
    void ownUnit() {
        site = unit();
        unit = site.code();
        Setups.of(unit).forEach(setup -> post("/api/v1/device-setups", setup));
    }

    private Tester recorder() {
        return Tester.fresh(LOGINS).with(site.no(), Role.RECORDER);
    }

    private String body(String setup, boolean success, String held, String experience) {
        return """
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-01T10:00:00Z",
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "%s", "device_setup_id": "%s",
                   "operator_is_recorder": "%s", "operator_experience": "%s"}]}]}""".formatted(unit, success ? "yes" : "no", setup, held, experience);
    }

    private String intubate(Tester who, String body) {
        Answer answer = send(request("/api/v1/encounters", who)
                .header("Content-Type", "application/json")
                .header("Idempotency-Key", '"' + UUID.randomUUID().toString() + '"')
                .POST(HttpRequest.BodyPublishers.ofString(body)));
        assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        return answer.json().path("encounter_id").asString();
    }

    private void intubate(Tester who, String setup, int successes, int n) {
        for (int i = 0; i < n; i++) {
            intubate(who, body(setup, i < successes, "yes", "lt10"));
        }
    }

    private JsonNode own(Tester who, String parameters) {
        Answer answer = send(
                request("/api/v1/learning/me?site_id=" + unit + parameters, who).GET());
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    private String page(Tester who, String path) {
        Answer answer = send(request(path, who).header("Accept", "text/html").GET());
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.text().replace("&#39;", "'");
    }

    @Test
    void countsWhatOneHeldAndWroteDownAndNothingElse() {
        Tester me = recorder();
        Tester colleague = recorder();
        intubate(me, "metal-handle", 3, 4);
        intubate(me, "plastic-cable", 1, 2);
        intubate(me, body("metal-handle", true, "no", "lt10"));
        intubate(me, body("metal-handle", true, "unk", "lt10"));
        intubate(colleague, "metal-handle", 0, 7);

        JsonNode mine = own(me, "");
        assertThat(mine.path("x").asInt()).isEqualTo(4);
        assertThat(mine.path("n").asInt()).isEqualTo(6);
        assertThat(mine.path("setups")).hasSize(2);
        assertThat(mine.path("cases")).hasSize(6);
        assertThat(mine.at("/lc_cusum/status").asString()).isEqualTo("too_few_cases");
        assertThat(mine.at("/lc_cusum/path")).hasSize(6);
        assertThat(mine.at("/run/chart").asString()).isEqualTo("run");

        JsonNode alone = own(me, "&device_setup_id=plastic-cable");
        assertThat(alone.path("n").asInt()).isEqualTo(2);
        assertThat(alone.path("setups")).as("the list stays whole").hasSize(2);
        assertThat(own(colleague, "").path("x").asInt()).isZero();
        assertThat(own(colleague, "").path("n").asInt()).isEqualTo(7);
    }

    /** Who corrects a record did not hold the laryngoscope, whatever version is in force. */
    @Test
    void keepsAFirstAttemptWithWhoMadeItWhenSomebodyElsePutsItRight() {
        Tester me = recorder();
        String id = intubate(me, body("metal-handle", false, "yes", "lt10"));
        int before = own(tester(), "").path("n").asInt();
        String right = body("metal-handle", true, "yes", "lt10");
        Answer amended = send(request("/api/v1/encounters/" + id)
                .header("Content-Type", "application/json")
                .header("If-Match", "\"v1\"")
                .PUT(HttpRequest.BodyPublishers.ofString(right.substring(0, right.length() - 1)
                        + ", \"amendment\": {\"reason_code\": \"other\", \"reason_text\": \"seen twice\"}}")));
        assertThat(amended.status()).as(amended.text()).isEqualTo(200);
        assertThat(own(me, "").path("x").asInt()).isEqualTo(1);
        assertThat(own(tester(), "").path("n").asInt())
                .as("the one who put it right")
                .isEqualTo(before);
    }

    /** The lead of the unit, a colleague and an administrator alike: there is no address for another's curve. */
    @Test
    void hasNoAddressForAnothersCurve() {
        Tester me = recorder();
        intubate(me, "metal-handle", 1, 3);
        for (String other : new String[] {String.valueOf(me.actor()), me.login(), "someone"}) {
            isProblem(get("/api/v1/learning/" + other), 404, "not-found");
            isProblem(get("/api/v1/learning/me/" + other), 404, "not-found");
            assertThat(send(request("/learning/" + other)
                                    .header("Accept", "text/html")
                                    .GET())
                            .status())
                    .isEqualTo(404);
            assertThat(faults(isProblem(get("/api/v1/learning/me?operator=" + other), 400, "malformed")))
                    .containsExactly("operator parameter.unknown");
        }
        assertThat(page(tester(), "/learning?site_id=" + unit))
                .contains("None so far.")
                .doesNotContain(me.login());
        isProblem(send(request("/api/v1/learning/me", administrator()).GET()), 403, "not-allowed");
        isProblem(send(bare("/api/v1/learning/me").GET()), 401, "signed-out");
    }

    @Test
    void showsNothingOfAUnitThatIsNotOnesOwn() {
        Tester me = recorder();
        intubate(me, "metal-handle", 1, 3);
        Site elsewhere = strangeUnit();
        assertThat(faults(isProblem(
                        send(request("/api/v1/learning/me?site_id=" + elsewhere.code(), me)
                                .GET()),
                        400,
                        "malformed")))
                .containsExactly("site_id site.unknown");
        Tester stranger = Tester.fresh(LOGINS).with(elsewhere.no(), Role.RECORDER);
        JsonNode bands = send(request("/api/v1/learning", stranger).GET()).json();
        assertThat(bands.at("/by/operator_experience/bands")).isEmpty();
    }

    @Test
    void showsBandsFromFivePeopleOnAndTellsWhatIsHidden() {
        for (int person = 0; person < 4; person++) {
            intubate(recorder(), "metal-handle", 1, 3);
        }
        String path = "/api/v1/learning?site_id=" + unit;
        assertThat(get(path).json().at("/by/operator_experience/bands/0").toString())
                .as("four people")
                .isEqualTo("{\"code\":\"lt10\",\"label\":\"Under 10\",\"hidden\":true}".replace("Under 10", label()));
        assertThat(page(tester(), "/learning?site_id=" + unit))
                .contains("This unit has too few people in every band of")
                .doesNotContain("4 of 12");

        intubate(recorder(), "metal-handle", 2, 3);
        Tester other = recorder();
        intubate(other, body("metal-handle", true, "no", "lt10"));
        JsonNode band = get(path).json().at("/by/operator_experience/bands/0");
        assertThat(band.path("hidden").asBoolean()).isFalse();
        assertThat(band.path("people").asInt()).isEqualTo(5);
        assertThat(band.path("x").asInt()).isEqualTo(6);
        assertThat(band.path("n").asInt()).isEqualTo(15);
        assertThat(band.path("left_out").asInt()).as("operator not known").isEqualTo(1);
        assertThat(page(tester(), "/learning?site_id=" + unit))
                .contains("6 of 15 (40%)", "They do not rank people")
                .doesNotContain("best", "worst", "Tester</th>");
    }

    private String label() {
        return airway.registry.cohort.Stratum.OPERATOR_EXPERIENCE.label("lt10");
    }

    @Test
    void tellsEveryParameterThatCannotBeTaken() {
        String path = "/api/v1/learning/me?site_id=" + unit;
        assertThat(faults(isProblem(get(path + "&acceptable=2&measure=ae_any&colour=red"), 400, "malformed")))
                .containsExactlyInAnyOrder(
                        "acceptable share.form", "measure measure.not_learned", "colour parameter.unknown");
        assertThat(faults(isProblem(get(path + "&acceptable=0.4&unacceptable=0.3"), 400, "malformed")))
                .containsExactly("unacceptable levels.near");
        assertThat(faults(isProblem(get(path + "&acceptable=0.3&acceptable=0.2"), 400, "malformed")))
                .containsExactly("acceptable parameter.repeated");
        Answer page = send(request("/learning?site_id=" + unit + "&acceptable=0.4&unacceptable=0.3")
                .header("Accept", "text/html")
                .GET());
        assertThat(page.status()).isEqualTo(400);
        assertThat(page.text()).contains("fail clearly more often");
    }

    @Test
    void tellsOneselfWhatTheCurveShowsWithBothLevels() {
        Tester me = recorder();
        intubate(me, "metal-handle", 20, 22);
        assertThat(page(me, "/learning?site_id=" + unit))
                .contains("Only you see this.")
                .contains("So far 20 of 22 (91%)")
                .contains("The level aimed for: 70 of 100 succeed. The level that is not enough: 50 of 100.")
                .contains("What it cannot say", "How hard the airways were")
                .contains("The cases show the level aimed for: the count reached its line with case")
                .contains("Metal blade, straight, size 1: 20 of 22");
        assertThat(page(
                        me,
                        "/learning?site_id=" + unit + "&acceptable=0.1&unacceptable=0.2&device_setup_id=metal-handle"))
                .contains("90 of 100 succeed", "Not yet shown to be at the level aimed for");
    }
}
