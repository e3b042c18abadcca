package airway.registry.audit;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import airway.sql.Sql;
import java.net.http.HttpRequest;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import tools.jackson.databind.JsonNode;

/** The audit as a page, as CSV and over the API. */
class AuditWebTest extends ServedRegistry {
    private static final Tester AUDITOR = Tester.fresh(LOGINS).with(null, Role.AUDITOR);

    private static final String NOTE =
            "select audit.note('set', 'setting', (select site_id from access.site where code ="
                    + " '%s'), null, %s, %s, %s)";

    private String unit = "";
    private String id = "";

    @Override
    protected Tester tester() {
        return AUDITOR;
    }

    @BeforeEach
    void aRecordThatWasPutRight() {
        unit = unit().code();
        Answer made = recordConfirmed("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-01T14:20:00Z", "courses":
                 [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}]}""".formatted(unit));
        assertThat(made.status()).as(made.text()).isEqualTo(201);
        id = made.json().path("encounter_id").asString();
        Answer withdrawn = post("/api/v1/encounters/" + id + "/withdrawal", "{\"reason_code\": \"test_entry\"}");
        assertThat(withdrawn.status()).as(withdrawn.text()).isEqualTo(200);
    }

    private Answer page(String path) {
        return send(request(path).header("Accept", "text/html"));
    }

    private void note(String about, String reason, String detail) throws SQLException {
        try (Connection connection = Sql.connect(LOGINS.app())) {
            connection.setAutoCommit(false);
            Sql.execute(connection, "select access.enter(1)");
            Sql.execute(connection, NOTE.formatted(unit, about, reason, detail));
            connection.commit();
        }
    }

    private JsonNode sealed() throws InterruptedException {
        Instant end = Instant.now().plus(Duration.ofSeconds(20));
        JsonNode chain = get("/api/v1/audit").json().path("chain");
        while (chain.path("unsealed").asInt() > 0 && Instant.now().isBefore(end)) {
            Thread.sleep(100);
            chain = get("/api/v1/audit").json().path("chain");
        }
        return chain;
    }

    @Test
    void tellsWhoDidWhatToWhatWhenInWhichUnitAndWhy() {
        String page = page("/audit?site_id=" + unit).text();

        assertThat(page)
                .contains("Recorded: record, version 1", "Withdrawn: record, version 2", "test entry")
                .contains("Tester", "Unit " + unit, id, "All times here are UTC.")
                .doesNotContain("2026-03-01", "1 Mar 2026");
        assertThat(page.indexOf("Withdrawn: record")).as("newest first").isLessThan(page.indexOf("Recorded: record"));
    }

    @Test
    void sealsWhileItServesAndTellsTheStateOfTheChain() throws InterruptedException {
        JsonNode chain = sealed();

        assertThat(chain.path("unsealed").asInt()).isZero();
        assertThat(chain.path("sealed").asInt()).isPositive();
        assertThat(chain.at("/head/hash").asString()).hasSize(64);
        assertThat(page("/audit").text()).contains("Sealed up to", "Not sealed yet", "Last head kept outside");
    }

    @Test
    void verifiesAtThePressOfAButtonAndKeepsThatItDid() throws InterruptedException {
        sealed();
        Answer pressed = send(request("/audit/verification")
                .header("Accept", "text/html")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString("")));

        assertThat(pressed.status()).as(pressed.text()).isEqualTo(303);
        assertThat(pressed.header("Location")).endsWith("/audit#chain");
        assertThat(page("/audit").text()).containsPattern("UTC: all \\d+ seals held");
        assertThat(get("/api/v1/audit?object=chain")
                        .json()
                        .at("/entries/0/detail/faults")
                        .asInt(-1))
                .isZero();
        assertThat(send(request("/audit/verification")
                                .header("Origin", "https://elsewhere.example")
                                .POST(HttpRequest.BodyPublishers.ofString("")))
                        .status())
                .isEqualTo(403);
    }

    @Test
    void findsByEveryFilterAndByAllTogether() throws SQLException {
        note("1", "'why'", "'{\"was\": 1, \"is\": 2}'");
        String today = Instant.now().toString().substring(0, 10);
        for (String filter : List.of(
                "action=set", "object=setting", "action=set&object=setting&actor=1&from=" + today + "&to=" + today)) {
            JsonNode entries =
                    get("/api/v1/audit?site_id=" + unit + "&" + filter).json().path("entries");
            assertThat(entries.size()).as(filter).isEqualTo(1);
            assertThat(entries.at("/0/reason").asString()).isEqualTo("why");
            assertThat(entries.at("/0/about/title").asString()).isEqualTo("This computer");
            assertThat(entries.at("/0/detail/is").asInt()).isEqualTo(2);
        }
        assertThat(get("/api/v1/audit?object_id=" + id).json().path("entries").size())
                .isEqualTo(2);
        for (String nothing : List.of("actor=9", "to=2020-01-01", "from=2999-01-01", "action=rotated")) {
            assertThat(get("/api/v1/audit?site_id=" + unit + "&" + nothing)
                            .json()
                            .path("entries")
                            .size())
                    .as(nothing)
                    .isZero();
        }
    }

    @ParameterizedTest
    @CsvSource({
        "from, May",
        "to, 2026-13-01",
        "site_id, nowhere",
        "action, seen_by",
        "object, patient",
        "actor, me",
        "object_id, 7",
        "after, last",
        "sort, name"
    })
    void namesTheFilterThatCannotBeTaken(String name, String value) {
        Answer refused = get("/api/v1/audit?" + name + "=" + value);

        assertThat(refused.status()).isEqualTo(400);
        assertThat(refused.json().at("/errors/0/parameter").asString()).isEqualTo(name);
        assertThat(page("/audit?" + name + "=" + value).status()).isEqualTo(400);
    }

    @Test
    void goesThroughTheListPageByPageWithoutLosingOrRepeatingAnything() throws SQLException {
        for (int i = 0; i < 110; i++) {
            note("null", "null", "'{\"n\": " + i + "}'");
        }
        List<Integer> seen = new ArrayList<>();
        String place = "";
        do {
            JsonNode list =
                    get("/api/v1/audit?site_id=" + unit + "&action=set" + place).json();
            list.path("entries").forEach(entry -> seen.add(entry.at("/detail/n").asInt()));
            note("null", "null", "'{\"n\": 1000}'");
            place = list.path("next").isNull()
                    ? ""
                    : "&after=" + list.path("next").asString();
        } while (!place.isEmpty());

        assertThat(seen).hasSize(110).doesNotHaveDuplicates().first().isEqualTo(109);
        assertThat(page("/audit?action=set&site_id=" + unit).text()).contains("Older entries", "action=set");
    }

    @Test
    void savesTheWholeListAsCsvWithoutTypedReasonsAndSafeForSpreadsheets() throws SQLException {
        note("1", "'typed <words>'", "'{\"is\": \"=1+1\"}'");
        Sql.execute(
                LOGINS.owner(),
                "insert into access.actor (actor_id, title) values (-77, '=cmd') on conflict do nothing");
        note("-77", "null", "null");

        Answer csv = get("/audit.csv?site_id=" + unit);

        assertThat(csv.header("Content-Type")).startsWith("text/csv");
        assertThat(csv.text().split("\r\n", -1)).hasSize(6);
        assertThat(csv.text())
                .startsWith("entry_id,seq,at,actor_id,actor,action,object,object_id,version,site_id,about_id,about,")
                .contains("\"Tester\",withdrawn,encounter," + id + ",2," + unit + ",,,test_entry,")
                .contains("\"'=cmd\"", "\"{\"\"is\"\": \"\"=1+1\"\"}\"")
                .doesNotContain("typed");
        assertThat(page("/audit?site_id=" + unit).text()).contains("typed &lt;words&gt;");
    }
}
