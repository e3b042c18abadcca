package airway.registry.charts;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.OpenRegistry;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.net.http.HttpRequest;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;

/** Averages that a unit keeps: what they hold, what moves them, and who sees them. */
class KeptAverageWebTest extends ServedRegistry {
    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    /** Addresses of the records of 2025, five a month, two or three of them with success: 30 of 60. */
    private final List<String> records = new ArrayList<>();

    @BeforeEach
    void twoYears() {
        unit = unit();
        for (int month = 1; month <= 18; month++) {
            for (int i = 0; i < 5; i++) {
                String made = intubate(
                        "%d-%02d-1%d".formatted(2025 + (month - 1) / 12, (month - 1) % 12 + 1, i),
                        i < (month <= 12 ? 2 + month % 2 : 4));
                if (month <= 12) {
                    records.add(made);
                }
            }
        }
    }

    private String body(String day, boolean success, String more) {
        return """
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "%sT10:00:00Z",
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "%s"}]}]%s}""".formatted(unit.code(), day, success ? "yes" : "no", more);
    }

    private String intubate(String day, boolean success) {
        Answer answer = record(body(day, success, ""));
        assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        return answer.header("Location");
    }

    private Answer keep(String more) {
        return post("/api/v1/kept-averages", """
                {"site_id": "%s", "measure": "fps", "from": "2025-01", "to": "2025-12",
                 "reason": "The year before the checklist."%s}""".formatted(unit.code(), more));
    }

    private Answer put(String address, String tag, String body) {
        return send(request(address)
                .header("Content-Type", "application/json")
                .header("If-Match", tag)
                .PUT(HttpRequest.BodyPublishers.ofString(body)));
    }

    private JsonNode chart(String parameters) {
        return chart("fps", parameters);
    }

    private JsonNode chart(String measure, String parameters) {
        Answer answer = get("/api/v1/charts/" + measure + "?site_id=" + unit.code() + "&" + parameters);
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    private String page(String parameters) {
        return send(request("/charts?site_id=" + unit.code() + "&" + parameters)
                        .header("Accept", "text/html")
                        .GET())
                .text();
    }

    @Test
    void judgesLaterPointsByTheKeptAverageWhateverBecomesOfItsRecords() {
        assertThat(chart("chart=p").path("kept_average").isNull()).isTrue();
        Answer kept = keep("");
        assertThat(kept.status()).as(kept.text()).isEqualTo(201);
        assertThat(kept.json().path("x").asInt()).isEqualTo(30);
        assertThat(kept.json().path("n").asInt()).isEqualTo(60);
        assertThat(kept.json().path("points").findValuesAsString("x"))
                .containsExactly("3", "2", "3", "2", "3", "2", "3", "2", "3", "2", "3", "2");

        JsonNode before = chart("chart=p");
        assertThat(before.path("average").asString()).isEqualTo("kept");
        assertThat(before.at("/phases/0/centre").asDouble()).isEqualTo(0.5);
        assertThat(before.at("/phases/1/centre").asDouble()).isEqualTo(0.5);
        assertThat(before.at("/phases/1/from").asString()).isEqualTo("2026-01");
        assertThat(before.at("/kept_average/since").toString())
                .isEqualTo("{\"changed\":0,\"added\":0,\"gone\":0,\"n\":60,\"centre\":0.5}");
        double upper = before.at("/points/12/ucl").asDouble();

        // One failure becomes a success, one success is withdrawn, one success comes late: 31 of 60.
        assertThat(put(
                                records.get(4),
                                "\"v1\"",
                                body("2025-01-14", true, ", \"amendment\": {\"reason_code\": \"mistyped\"}"))
                        .status())
                .isEqualTo(200);
        assertThat(post(records.get(0) + "/withdrawal", "{\"reason_code\": \"duplicate\"}")
                        .status())
                .isEqualTo(200);
        intubate("2025-06-20", true);

        JsonNode after = chart("chart=p");
        assertThat(after.at("/points/0/x").asInt())
                .as("the points follow the records")
                .isEqualTo(3);
        assertThat(after.at("/points/0/n").asInt()).isEqualTo(4);
        assertThat(after.at("/phases/0/centre").asDouble())
                .as("the line does not")
                .isEqualTo(0.5);
        assertThat(after.at("/phases/1/centre").asDouble()).isEqualTo(0.5);
        assertThat(after.at("/points/12/ucl").asDouble()).isEqualTo(upper);
        JsonNode since = after.at("/kept_average/since");
        assertThat(since.path("changed").asInt()).isEqualTo(1);
        assertThat(since.path("added").asInt()).isEqualTo(1);
        assertThat(since.path("gone").asInt()).isEqualTo(1);
        assertThat(since.path("n").asInt()).isEqualTo(60);
        assertThat(since.path("centre").asDouble()).isCloseTo(31 / 60.0, within(1e-12));
        assertThat(page("chart=p"))
                .contains(
                        "was kept on ",
                        "from Jan 2025 to Dec 2025 (all together 30 of 60 (50%), 95% interval 38% to 62%)")
                .contains("Since then 1 of these records was changed, 1 added, and 1 withdrawn or moved elsewhere")
                .contains("taken today it would be 52% (all together 31 of 60 (52%), 95% interval 39% to 64%)");
        assertThat(chart("chart=p&average=each").at("/phases/0/centre").asDouble())
                .as("another one can be asked for")
                .isNotEqualTo(0.5);
    }

    @Test
    void drawsEveryKindByTheSameKeptPoints() {
        keep("");
        for (String kind : List.of("p", "p_prime", "run", "xmr", "ewma")) {
            JsonNode untouched = chart("chart=" + kind);
            JsonNode recomputed = chart("chart=" + kind + "&average=each&to=2025-12");
            assertThat(untouched.at("/phases/1/centre").asDouble())
                    .as(kind)
                    .isEqualTo(recomputed.at("/phases/0/centre").asDouble());
            assertThat(untouched.at("/phases/1/kept").asBoolean()).as(kind).isTrue();
            if (!kind.equals("ewma") && !kind.equals("run")) {
                assertThat(untouched.at("/points/3/ucl").asDouble())
                        .as(kind)
                        .isEqualTo(recomputed.at("/points/3/ucl").asDouble());
            }
        }
        // Five in five, six months running, above the median of 0.5: a run of six and the points before it.
        assertThat(chart("chart=run").path("points")).hasSize(18);
        // z begins at the kept average: 0.2 * 0.6 + 0.8 * 0.5 after January 2025, by hand.
        assertThat(chart("chart=ewma").at("/points/0/value").asDouble()).isCloseTo(0.52, within(1e-12));
        assertThat(chart("chart=ewma").at("/points/0/ucl").isNull()).isTrue();
        assertThat(chart("chart=ewma").at("/points/12/ucl").isNull()).isFalse();
    }

    /**
     * In 2025 the answers run yes yes yes no no, yes yes no no no, month by month: 29 stretches from one failure to the next
     * with 27 successes in them. The lines of days and of groups are those of the year by itself.
     */
    @Test
    void keepsWhatLiesBetweenEventsAndGroupsOfEncounters() {
        Answer events = keep(", \"by\": \"event\"");
        assertThat(events.status()).as(events.text()).isEqualTo(201);
        assertThat(events.json().path("x").asInt()).isEqualTo(29);
        assertThat(events.json().path("n").asInt()).isEqualTo(29 + 27);
        assertThat(events.json().at("/points/0/value").asDouble()).as("a day").isEqualTo(1);
        assertThat(keep(", \"by\": \"n:5\"").json().at("/points/11/period").asString())
                .isEqualTo("56-60");

        for (String asked : List.of("chart=g", "chart=t", "chart=p&by=n:5", "chart=xmr&by=n:5")) {
            JsonNode chart = chart(asked);
            JsonNode year = chart(asked + "&average=each&to=2025-12");
            assertThat(chart.path("average").asString()).as(asked).isEqualTo("kept");
            assertThat(chart.at("/phases/1/kept").asBoolean()).as(asked).isTrue();
            assertThat(chart.at("/phases/1/centre").asDouble())
                    .as(asked)
                    .isCloseTo(year.at("/phases/0/centre").asDouble(), within(1e-12));
            assertThat(chart.at("/points/3/ucl").asDouble())
                    .as(asked)
                    .isCloseTo(year.at("/points/3/ucl").asDouble(), within(1e-12));
            assertThat(chart.at("/kept_average/since/changed").asInt())
                    .as(asked)
                    .isZero();
        }
        JsonNode kept = chart("chart=g");
        assertThat(kept.at("/phases/0/centre").asDouble()).isCloseTo(27 / 29.0, within(1e-12));
        // R 4.2.2: (1 - p)/p of uniroot over pnbinom(26, 29, p, lower.tail = FALSE) - 0.025, and over pnbinom(27, 29,
        // p) - 0.025.
        for (String told : List.of("/phases/0", "/kept_average")) {
            assertThat(kept.at(told + "/value").asDouble()).as(told).isCloseTo(27 / 29.0, within(1e-12));
            assertThat(kept.at(told + "/lower").asDouble()).as(told).isCloseTo(0.546877032999, within(1e-9));
            assertThat(kept.at(told + "/upper").asDouble()).as(told).isCloseTo(1.62939376847, within(1e-9));
        }

        // A success is gone, and a failure comes late: 30 stretches with 26 successes, and other groups.
        double days = chart("chart=t").at("/phases/0/centre").asDouble();
        post(records.get(5) + "/withdrawal", "{\"reason_code\": \"duplicate\"}");
        intubate("2025-06-20", false);
        JsonNode gaps = chart("chart=g");
        assertThat(gaps.at("/phases/1/centre").asDouble()).isCloseTo(27 / 29.0, within(1e-12));
        JsonNode since = gaps.at("/kept_average/since");
        assertThat(since.path("changed").asInt()).isZero();
        assertThat(since.path("added").asInt()).isEqualTo(1);
        assertThat(since.path("gone").asInt()).isEqualTo(1);
        assertThat(since.path("n").asInt()).isEqualTo(56);
        assertThat(since.path("centre").asDouble()).isCloseTo(26 / 30.0, within(1e-12));
        assertThat(chart("chart=t").at("/phases/1/centre").asDouble()).isEqualTo(days);
        assertThat(chart("chart=t").at("/kept_average/since/centre").asDouble()).isNotEqualTo(days);
        JsonNode groups = chart("chart=p&by=n:5");
        assertThat(groups.at("/phases/1/centre").asDouble()).isEqualTo(0.5);
        assertThat(groups.at("/kept_average/since/centre").asDouble()).isCloseTo(29 / 60.0, within(1e-12));
        assertThat(page("chart=g"))
                .contains(
                        "The average of 0.9 intubations was kept on ",
                        "from Jan 2025 to Dec 2025 (29 stretches over 56 intubations, 95% interval 0.5 to 1.6)")
                .contains(
                        "taken today it would be 0.9 intubations (30 stretches over 56 intubations, 95% interval 0.5 to")
                .contains(
                        "0.9 intubations from one to the next, kept from before; recorded in this time 0.9 intubations"
                                + " (30 stretches over 56 intubations), 95% interval 0.5 to 1.5.");
    }

    @Test
    void keepsEveryVersionReadable() {
        String address = keep("").header("Location");
        assertThat(isProblem(keep(""), 409, "conflict").toString()).contains("Keep that one anew");
        Answer anew = put(address, "\"v1\"", """
                {"from": "2025-03", "to": "2026-02", "reason": "The practice began in March."}""");
        assertThat(anew.status()).as(anew.text()).isEqualTo(200);
        assertThat(anew.json().path("status").asString()).isEqualTo("amended");
        assertThat(put(address, "\"v1\"", "{\"from\": \"2025-03\", \"to\": \"2026-02\", \"reason\": \"a\"}")
                        .status())
                .isEqualTo(412);
        assertThat(post(address + "/withdrawal", "{\"reason\": \"Practice changed back.\"}")
                        .status())
                .isEqualTo(200);
        assertThat(chart("chart=p").path("kept_average").isNull()).isTrue();
        assertThat(post(address + "/withdrawal", "{\"reason\": \"again\"}").status())
                .isEqualTo(409);
        Answer again = keep("");
        assertThat(again.header("Location")).isEqualTo(address);

        JsonNode versions = get(address + "/versions").json();
        assertThat(versions.findValuesAsString("status"))
                .containsExactly("final", "amended", "entered-in-error", "amended");
        assertThat(versions.findValuesAsString("from")).containsExactly("2025-01", "2025-03", "2025-03", "2025-01");
        assertThat(get("/api/v1/kept-averages?site_id=" + unit.code()).json()).hasSize(1);
        assertThat(get("/api/v1/kept-averages?withdrawn=yes&site_id=" + unit.code())
                        .json())
                .isEmpty();
        assertThat(OpenRegistry.rows(
                        LOGINS,
                        "select action || ' ' || object || ' ' || version from audit.entry where object = 'kept_average'"
                                + " and site_id = " + unit.no() + " order by version"))
                .containsExactly(
                        "recorded kept_average 1",
                        "amended kept_average 2",
                        "withdrawn kept_average 3",
                        "amended kept_average 4");
        assertThat(OpenRegistry.rows(LOGINS, "select finding from audit.findings() where object = 'kept_average'"))
                .isEmpty();
    }

    @Test
    void keepsOneForEachQuestionOfAChart() {
        keep("");
        assertThat(keep(", \"filters\": {\"location\": [\"picu\"]}").status())
                .as("no record is of there")
                .isEqualTo(422);
        assertThat(chart("chart=p&location=picu").path("kept_average").isNull()).isTrue();
        assertThat(chart("chart=p&by=quarter").path("kept_average").isNull()).isTrue();
        assertThat(chart("fps_clean", "chart=p").path("kept_average").isNull()).isTrue();
        assertThat(keep(", \"filters\": {\"location\": [\"\"]}").status()).isEqualTo(409);
    }

    @Test
    void belongsToItsUnitAndToWhoMayImprove() {
        String address = keep("").header("Location");
        Tester stranger = Tester.fresh(LOGINS).with(unit().no(), Role.IMPROVEMENT_LEAD);
        Tester reader = Tester.fresh(LOGINS).with(unit.no(), Role.RECORDER);
        assertThat(send(request(address, stranger).GET()).status()).isEqualTo(404);
        assertThat(send(request(address + "/versions", stranger).GET()).status())
                .isEqualTo(404);
        assertThat(send(request("/api/v1/kept-averages", stranger).GET()).json())
                .isEmpty();
        assertThat(send(request(address + "/withdrawal", stranger)
                                .header("Content-Type", "application/json")
                                .POST(HttpRequest.BodyPublishers.ofString("{\"reason\": \"a\"}")))
                        .status())
                .isEqualTo(404);
        assertThat(send(request(address, reader).GET()).status()).isEqualTo(403);
        assertThat(send(request("/api/v1/charts/fps?chart=p", reader).GET())
                        .json()
                        .at("/kept_average/version")
                        .asInt())
                .as("charts are judged by it for everybody")
                .isEqualTo(1);
    }

    @Test
    void namesTheFieldAndTheMend() {
        Answer empty = post("/api/v1/kept-averages", "{\"site_id\": \"" + unit.code() + "\"}");
        assertThat(faults(isProblem(empty, 422, "invalid")))
                .contains("/measure code", "/from required", "/to required", "/reason required");
        assertThat(isProblem(keep(", \"by\": \"n:25\""), 422, "invalid").toString())
                .contains("The period holds 2 whole groups of 25");
        assertThat(faults(isProblem(keep(", \"by\": \"week\""), 422, "invalid")))
                .contains("/by by.form");
        assertThat(faults(isProblem(post("/api/v1/kept-averages", """
                                {"site_id": "%s", "measure": "spo2_low_median", "by": "event", "from": "2025-01",
                                 "to": "2025-12", "reason": "a"}""".formatted(unit.code())), 422, "invalid")))
                .contains("/by by.event");
        assertThat(faults(isProblem(
                        keep(", \"filters\": {\"location\": [\"moon\"], \"hat\": [\"red\"]}"), 422, "invalid")))
                .contains("/filters/location code", "/filters/hat parameter.unknown");
        String form =
                "{\"site_id\": \"%s\", \"measure\": \"fps\", \"reason\": \"a\", \"from\": \"%s\", \"to\": \"%s\"}";
        assertThat(faults(isProblem(
                        post("/api/v1/kept-averages", form.formatted(unit.code(), "2025-01", "2025-06")),
                        422,
                        "invalid")))
                .contains("/from points.few");
        assertThat(faults(isProblem(
                        post("/api/v1/kept-averages", form.formatted(unit.code(), "2025-12", "2025-01")),
                        422,
                        "invalid")))
                .contains("/to period.order");
        assertThat(faults(isProblem(
                        post("/api/v1/kept-averages", form.formatted(unit.code(), "2025-11", "2026-11")),
                        422,
                        "invalid")))
                .contains("/to period.part");
        assertThat(post("/api/v1/kept-averages", "{\"hat\": 1}").status()).isEqualTo(400);
    }
}
