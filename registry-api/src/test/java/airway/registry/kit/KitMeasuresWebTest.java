package airway.registry.kit;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Setups;
import airway.registry.testing.Tester;
import airway.sql.Sql;
import java.net.http.HttpRequest;
import java.sql.SQLException;
import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import java.util.UUID;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;

/** The measures of the kit, against days and uses counted by hand. The clock stands at noon of 24 November 2026. */
class KitMeasuresWebTest extends ServedRegistry {
    private static final String ASKED = "\"battery\": 90, \"seal_found\": ";

    private static Tester keeper = Tester.fresh(LOGINS);
    private static Tester second = Tester.fresh(LOGINS);
    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    @BeforeEach
    void aUnitWithTwoKeepers() {
        unit = unit();
        keeper = Tester.fresh(LOGINS).with(unit.no(), Role.KIT_KEEPER);
        second = Tester.fresh(LOGINS).with(unit.no(), Role.KIT_KEEPER);
    }

    private void checked(String trolley, int seen, String at, String more) {
        Answer answer = send(request(trolley + "/checks", keeper)
                .header("Content-Type", "application/json")
                .POST(HttpRequest.BodyPublishers.ofString(
                        "{\"seen\": " + seen + ", \"at\": \"2026-11-" + at + "\", " + more + "}")));
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
    }

    private void writtenAt(String moment) throws SQLException {
        Sql.execute(
                LOGINS.owner(), "update kit.trolley set written_at = '" + moment + "' where site_id = " + unit.no());
    }

    private JsonNode measure(String id) {
        return asked("/api/v1/kit/measures/" + id).json();
    }

    private Answer asked(String path) {
        return send(request(path + (path.contains("?") ? "&" : "?") + "site_id=" + unit.code(), keeper)
                .GET());
    }

    private static String counted(JsonNode measure) {
        return measure.path("x").asInt() + " of " + measure.path("n").asInt();
    }

    @Test
    void countsADayAsReadyOnlyWhenItWasCheckedInTimeAndFoundWhole() throws SQLException {
        assertThat(counted(measure("trolley_ready"))).isEqualTo("0 of 0");
        assertThat(measure("trolley_ready").path("value").isNull()).isTrue();
        Answer made = send(request("/api/v1/kit/trolleys", keeper)
                .header("Content-Type", "application/json")
                .POST(HttpRequest.BodyPublishers.ofString("""
                        {"title": "Trolley 1", "due_at": "07:30", "check_days": 1, "full_days": 3, "battery_least": 40,
                         "slots": [{"drawer": "1", "title": "Tube", "wanted": 2, "least": 1, "dated": "yes"}]}""")));
        String trolley = made.header("Location");
        // The database writes by its own clock, and the days of this test lie before that; set back below, so that the
        // audit of the shared database finds the row as it was.
        String written = Sql.rows(LOGINS.owner(), "select written_at from kit.trolley where site_id = " + unit.no())
                .get(0);
        writtenAt("2026-11-12 07:31Z");
        String lines = ", \"lines\": [{\"found\": %d, \"use_by\": \"2026-11-18\"}]";
        // 13: checked late. 14: in time, as is 15. 16: the full check is too old. 17: full again, with a gap.
        checked(
                trolley,
                0,
                "13T07:31",
                "\"kind\": \"full\", \"seal_applied\": \"1\", " + ASKED + "\"none\"" + lines.formatted(2));
        checked(trolley, 1, "14T07:30", "\"kind\": \"short\", \"seal_read\": \"1\", " + ASKED + "\"whole\"");
        checked(trolley, 2, "15T07:00", "\"kind\": \"short\", \"seal_read\": \"1\", " + ASKED + "\"whole\"");
        checked(trolley, 3, "16T07:00", "\"kind\": \"short\", \"seal_read\": \"1\", " + ASKED + "\"whole\"");
        checked(
                trolley,
                4,
                "17T07:00",
                "\"kind\": \"full\", \"seal_applied\": \"2\", " + ASKED + "\"none\"" + lines.formatted(1));
        // 18: the use-by day itself. 19: it is over. 20: full, one short of the least. 21: full, then opened. 22: the
        // seal broken.
        checked(trolley, 5, "18T07:00", "\"kind\": \"short\", \"seal_read\": \"2\", " + ASKED + "\"whole\"");
        checked(trolley, 6, "19T07:00", "\"kind\": \"short\", \"seal_read\": \"2\", " + ASKED + "\"whole\"");
        String far = lines.replace("2026-11-18", "2027-11-18");
        checked(
                trolley,
                7,
                "20T07:00",
                "\"kind\": \"full\", \"seal_applied\": \"3\", " + ASKED + "\"none\"" + far.formatted(0));
        checked(
                trolley,
                8,
                "21T07:00",
                "\"kind\": \"full\", \"seal_applied\": \"4\", " + ASKED + "\"none\"" + far.formatted(2));
        checked(trolley, 9, "21T07:29", "\"kind\": \"opened\"");
        checked(
                trolley,
                10,
                "22T06:00",
                "\"kind\": \"full\", \"seal_applied\": \"5\", " + ASKED + "\"none\"" + far.formatted(2));
        checked(trolley, 11, "22T07:00", "\"kind\": \"short\", \"seal_read\": \"5\", " + ASKED + "\"broken\"");

        assertThat(Sql.rows(
                        LOGINS.owner(),
                        "select concat_ws(' ', to_char(day, 'DD'), on_time, ready) from kit.trolley_days(" + unit.no()
                                + "::smallint, '2026-11-11', '2026-11-23') order by day"))
                .containsExactly(
                        "13 f f", "14 t t", "15 t t", "16 f f", "17 t t", "18 t t", "19 t f", "20 t f", "21 t f",
                        "22 t f", "23 f f");
        assertThat(counted(measure("trolley_ready"))).isEqualTo("4 of 11");
        assertThat(counted(measure("check_on_time"))).isEqualTo("8 of 11");
        // Wilson's score interval of 4 of 11, worked out by hand from its formula (Wilson 1927, J Am Stat Assoc
        // 22:209-212).
        assertThat(measure("trolley_ready").path("lower").asDouble()).isCloseTo(0.1517, within(5e-4));
        assertThat(measure("trolley_ready").path("upper").asDouble()).isCloseTo(0.6462, within(5e-4));
        assertThat(asked("/kit/measures").text())
                .contains("trolleys ready in 4 of 11 (36%); 95% interval 15% to 65%", "No attempt counts here");
        drawnAsTheOtherCharts();
        writtenAt(written);
    }

    /** The points are those of the days counted above, and every form of the answer says the same. */
    private void drawnAsTheOtherCharts() {
        JsonNode chart = measure("trolley_ready");
        assertThat(chart.path("chart").asString()).isEqualTo("run");
        assertThat(chart.path("points").path(0).path("period").asString()).isEqualTo("2026-11");
        assertThat(counted(chart.path("points").path(0))).isEqualTo("4 of 11");
        assertThat(chart.path("points").path(0).path("complete").asBoolean()).isFalse();
        assertThat(asked("/api/v1/kit/measures/trolley_ready?format=csv").text())
                .contains("\r\n2026-11,4,11,0,0,0.36363636363636365,");
        assertThat(asked("/api/v1/kit/measures/trolley_ready?format=svg").text())
                .contains("<svg", "Nov 2026: 4 of 11 (36%), not complete yet");
        assertThat(asked("/kit/measures/trolley_ready").text())
                .contains("A day is much like the day before", "Median", "/api/v1/kit/measures/trolley_ready?");
        Tester reader = Tester.fresh(LOGINS).with(unit.no(), Role.IMPROVEMENT_LEAD);
        assertThat(send(request("/api/v1/charts/trolley_ready?site_id=" + unit.code(), reader)
                                .GET())
                        .json())
                .isEqualTo(chart);
        assertThat(send(request("/charts?measure=trolley_ready&site_id=" + unit.code(), reader)
                                .GET())
                        .text())
                .contains("4 of 11 (36%)");
    }

    @Test
    void showsAKeeperTheKitAloneAndAsAWhole() {
        assertThat(asked("/api/v1/kit/measures/fps").status()).isEqualTo(404);
        assertThat(asked("/kit/measures/fps").status()).isEqualTo(404);
        assertThat(asked("/api/v1/charts/trolley_ready").status()).isEqualTo(403);
        assertThat(asked("/api/v1/kit/measures/kit_failure_use")
                        .json()
                        .path("n")
                        .asInt(-1))
                .isZero();
        for (String filter :
                List.of("operator_grade=consultant", "device_setup_id=x", "split=urgency", "by=n:25", "chart=g")) {
            assertThat(asked("/api/v1/kit/measures/label_traced?" + filter).status())
                    .as(filter)
                    .isEqualTo(400);
        }
        assertThat(asked("/api/v1/kit/measures/kit_failure_use?age_band=infant").status())
                .isEqualTo(400);
        // The catalogue has them beside those of encounters, with what they count; no figure is compared by groups.
        JsonNode catalogue = asked("/api/v1/measures").json();
        for (String id : List.of("trolley_ready", "check_on_time", "blade_turnaround", "label_traced")) {
            assertThat(catalogue
                            .valueStream()
                            .filter(one -> one.path("measure").asString().equals(id)))
                    .singleElement()
                    .satisfies(one -> assertThat(one.path("cases").asString()).isIn("days", "sendings", "attempts"));
            assertThat(get("/api/v1/comparisons/" + id).status()).as(id).isEqualTo(400);
        }
    }

    private Move move(int version, State to, String at, String place) {
        Instant moment = Instant.parse("2026-11-" + at + ":00Z");
        Told told = new Told(
                moment,
                place.isEmpty() ? null : place,
                to == State.SENT ? "L-" + version : null,
                null,
                null,
                null,
                null,
                null,
                null,
                null,
                null,
                null,
                null);
        return new Move(version, to.code(), to, null, told, keeper.actor(), moment);
    }

    @Test
    void countsAnItemAsAwayUntilItIsReadyAgainAndUntilNowWhileItIsNot() throws SQLException {
        Kind kind = new Kind(unit, UUID.randomUUID(), 1, "Straight blade, size 1", "Leaflet 7", null, null);
        Instant begin = Instant.parse("2026-11-01T08:00:00Z");
        List<Move> log = List.of(
                new Move(1, "new", State.NEW, null, Told.nothing(begin), keeper.actor(), begin),
                new Move(2, "proposed", State.NEW, State.READY, Told.nothing(begin), keeper.actor(), begin),
                new Move(3, "confirmed", State.READY, null, Told.nothing(begin), second.actor(), begin),
                move(4, State.OPENED, "02T08:00", ""),
                move(5, State.USED, "02T08:00", "Box"),
                move(6, State.SENT, "02T12:00", ""),
                move(7, State.RETURNED, "03T12:00", ""),
                move(8, State.READY, "04T12:00", ""),
                move(9, State.OPENED, "05T08:00", ""),
                move(10, State.USED, "05T08:00", "Box"),
                move(11, State.SENT, "23T12:00", ""));
        Item item = new Item(UUID.randomUUID(), kind, "0417", null, null, null, 0);
        Walks.keep(LOGINS.app(), kind, List.of(item), List.of(log), keeper.actor());

        // Two days and done; one day and still away: the curve comes down to 0 at two days (Kaplan and Meier 1958).
        JsonNode away = measure("blade_turnaround");
        assertThat(counted(away)).isEqualTo("1 of 2");
        assertThat(away.path("value").asDouble()).isCloseTo(2, within(1e-9));
        assertThat(asked("/kit/measures").text()).contains("1 of 2 ready again");
        // The curve never comes down to one half once more are away than have come back, and no number stands in for
        // it.
        Kind other = new Kind(unit, UUID.randomUUID(), 1, "Straight blade, size 2", "Leaflet 7", null, null);
        Walks.keep(
                LOGINS.app(),
                other,
                List.of(
                        new Item(UUID.randomUUID(), other, "0418", null, null, null, 0),
                        new Item(UUID.randomUUID(), other, "0419", null, null, null, 0)),
                List.of(log.subList(0, 6), log.subList(0, 6)),
                keeper.actor());
        away = measure("blade_turnaround");
        assertThat(counted(away)).isEqualTo("1 of 4");
        assertThat(away.path("value").isNull()).isTrue();
    }

    @Test
    void countsAnAttemptWithAReusableBladeAsTracedWhenAUseNamesIt() throws SQLException {
        Setups.of(unit.code())
                .forEach(
                        setup -> assertThat(post("/api/v1/device-setups", setup).status())
                                .isEqualTo(201));
        String body = """
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-11-20T08:00:00Z",
                 "courses": [{"course_approach": "oral", "attempts": [
                   {"attempt_success": "no", "device_setup_id": "metal-direct"},
                   {"attempt_success": "no", "device_setup_id": "plastic-cable"},
                   {"attempt_success": "yes", "device_setup_id": "metal-direct"}]}]}""".formatted(unit.code());
        Answer kept = recordConfirmed(body);
        assertThat(kept.status()).as(kept.text()).isEqualTo(201);
        UUID record = UUID.fromString(kept.json().path("encounter_id").asString());
        assertThat(counted(measure("label_traced"))).isEqualTo("0 of 2");

        Kind kind = new Kind(unit, UUID.randomUUID(), 1, "Straight blade, size 1", "Leaflet 7", null, null);
        Instant begin = Instant.parse("2026-11-20T08:00:00Z");
        Told use = new Told(begin, null, null, null, null, null, null, null, null, null, record, 3, null);
        List<Move> log = List.of(
                new Move(1, "new", State.NEW, null, Told.nothing(begin), keeper.actor(), begin),
                new Move(2, "proposed", State.NEW, State.READY, Told.nothing(begin), keeper.actor(), begin),
                new Move(3, "confirmed", State.READY, null, Told.nothing(begin), second.actor(), begin),
                new Move(4, "in_use", State.IN_USE, null, use, keeper.actor(), begin));
        Item item = new Item(UUID.randomUUID(), kind, "0417", null, null, null, 0);
        Walks.keep(LOGINS.app(), kind, List.of(item), List.of(log), keeper.actor());
        assertThat(counted(measure("label_traced"))).isEqualTo("1 of 2");
    }
}
