package airway.registry.release;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import airway.sql.Login;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import tools.jackson.databind.JsonNode;

/** Counts for those who may not read the records: small numbers hidden, and nothing given away by subtraction. */
class TableWebTest extends ServedRegistry {
    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    @BeforeEach
    void ownUnit() {
        unit = unit();
    }

    /** Records first attempts in a month, some of them successes. */
    private void intubate(String month, String urgency, int successes, int failures) {
        for (int i = 0; i < successes + failures; i++) {
            Answer answer = record("""
                    {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "%s-11T10:00:00Z", "urgency": "%s",
                     "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "%s"}]}]}""".formatted(unit.code(), month, urgency, i < successes ? "yes" : "no"));
            assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        }
    }

    private String body(String by, String from, String to, String audience, String more) {
        return """
                {"site_id": "%s", "measure": "fps", "by": "%s", "from": "%s", "to": "%s", "audience": "%s",
                 "recipient": "Quality board", "purpose": "Yearly report"%s}""".formatted(unit.code(), by, from, to, audience, more);
    }

    private Answer tell(String by, String from, String to, String audience) {
        return post("/api/v1/tables", body(by, from, to, audience, ""));
    }

    private JsonNode told(String by, String from, String to, String audience) {
        Answer answer = tell(by, from, to, audience);
        assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        return answer.json();
    }

    private static List<String> lines(JsonNode table) {
        List<String> lines = new ArrayList<>();
        table.path("lines").forEach(line -> {
            List<String> codes = new ArrayList<>();
            line.path("codes").forEach(code -> codes.add(code.asString()));
            lines.add(String.join("+", codes) + " " + line.path("x").asString("hidden") + "/"
                    + line.path("n").asString("hidden") + (line.path("value").isNull() ? " no share" : ""));
        });
        return lines;
    }

    /** Table P10 of the registry's rules of privacy: beside one small number three others are hidden. */
    @Test
    void hidesASmallNumberAndWhatWouldGiveItAway() {
        intubate("2025-01", "emergency", 20, 3);
        intubate("2025-02", "urgent", 18, 12);

        Answer answer = tell("urgency", "2025", "2025", "inside");

        assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        assertThat(lines(answer.json()))
                .containsExactlyInAnyOrder("emergency hidden/23 no share", "urgent hidden/30 no share");
        assertThat(answer.json().path("n").asInt()).isEqualTo(53);
        assertThat(answer.json().path("x").asInt()).isEqualTo(38);
        Answer csv = get(answer.header("Location") + "?format=csv");
        assertThat(csv.text().lines()).hasSize(3).first().isEqualTo("codes,label,x,n,value,lower,upper");
        assertThat(csv.text()).contains("\"Immediate\",S,23,S,S,S\r\n").doesNotContain("20");
        assertThat(get(answer.header("Location")).json()).isEqualTo(answer.json());
    }

    @Test
    void tellsWhatIsLargeEnoughWithItsInterval() {
        intubate("2025-01", "emergency", 20, 13);
        intubate("2025-02", "urgent", 18, 12);

        JsonNode table = told("urgency", "2025", "2025", "outside");

        assertThat(lines(table)).containsExactlyInAnyOrder("emergency 20/33", "urgent 18/30");
        assertThat(table.path("threshold").asInt()).isEqualTo(10);
        // Wilson's interval of 18 of 30, by his formula worked out in Python.
        JsonNode line = table.path("lines").get(0).path("n").asInt() == 30
                ? table.path("lines").get(0)
                : table.path("lines").get(1);
        assertThat(line.path("lower").asDouble()).isBetween(0.42319, 0.42321);
        assertThat(line.path("upper").asDouble()).isBetween(0.75409, 0.75410);
    }

    @Test
    void putsLinesOfFewCasesTogether() {
        intubate("2025-01", "emergency", 20, 13);
        intubate("2025-02", "urgent", 2, 1);
        intubate("2025-03", "elective", 12, 8);

        assertThat(lines(told("urgency", "2025", "2025", "inside")))
                .hasSize(2)
                .anyMatch(line -> line.contains("+") && line.endsWith(" 14/23"));
    }

    @Test
    void hidesThatAllOfAGroupHadTheOutcomeFromThoseOutside() {
        intubate("2025-01", "emergency", 30, 20);
        intubate("2025-02", "urgent", 12, 0);
        intubate("2025-03", "elective", 25, 15);

        assertThat(lines(told("urgency", "2025", "2025", "outside")))
                .filteredOn(line -> line.contains("hidden"))
                .hasSize(2)
                .anyMatch(line -> line.startsWith("urgent"));
        assertThat(lines(told("urgency", "2025", "2025", "inside"))).contains("urgent 12/12");
    }

    @Test
    void refusesTheTableThatDiffersFromAnEarlierOneByAFewChildren() {
        intubate("2025-01", "emergency", 20, 13);
        intubate("2025-04", "emergency", 1, 1);
        intubate("2025-05", "emergency", 12, 9);
        told("urgency", "2025-01", "2025-03", "inside");

        Answer refused = tell("urgency", "2025-01", "2025-04", "inside");

        JsonNode problem = isProblem(refused, 422, "gives-away");
        assertThat(problem.path("detail").asString()).contains("First-pass success");
        assertThat(get("/api/v1/tables?site_id=" + unit.code()).json()).hasSize(1);
        told("urgency", "2025-01", "2025-05", "inside");
    }

    /** Table P14: the year gives away the fourth quarter, though no two of the tables do. */
    @Test
    void refusesTheYearThatGivesTheFourthQuarterAway() {
        intubate("2025-01", "emergency", 14, 12);
        intubate("2025-04", "emergency", 12, 11);
        intubate("2025-07", "emergency", 11, 14);
        intubate("2025-10", "emergency", 2, 1);
        for (int quarter = 1; quarter <= 3; quarter++) {
            told("quarter", "2025-Q" + quarter, "2025-Q" + quarter, "inside");
        }

        assertThat(isProblem(tell("year", "2025", "2025", "inside"), 422, "gives-away"))
                .isNotNull();
        assertThat(isProblem(tell("quarter", "2025", "2025", "inside"), 422, "gives-away"))
                .isNotNull();
    }

    @Test
    void refusesAFilterThatLeavesAFewOut() {
        intubate("2025-01", "emergency", 20, 13);
        intubate("2025-02", "urgent", 3, 1);
        told("year", "2025", "2025", "inside");

        assertThat(isProblem(
                        post(
                                "/api/v1/tables",
                                body(
                                        "year",
                                        "2025",
                                        "2025",
                                        "inside",
                                        ", \"filters\": {\"urgency\": [\"emergency\"]}")),
                        422,
                        "gives-away"))
                .isNotNull();
    }

    @Test
    void refusesTheSameTableAgainWhenAFewRecordsCameSince() {
        intubate("2025-01", "emergency", 20, 13);
        intubate("2025-02", "urgent", 18, 12);
        JsonNode first = told("urgency", "2025", "2025", "inside");
        assertThat(lines(told("urgency", "2025", "2025", "inside"))).isEqualTo(lines(first));

        intubate("2025-02", "urgent", 2, 0);
        assertThat(isProblem(tell("urgency", "2025", "2025", "inside"), 422, "gives-away"))
                .isNotNull();

        intubate("2025-02", "urgent", 8, 9);
        assertThat(lines(told("urgency", "2025", "2025", "inside"))).contains("urgent 28/49");
    }

    @Test
    void holdsWhatStaysInsideNotAgainstThoseOutside() {
        intubate("2025-01", "emergency", 30, 20);
        intubate("2025-04", "emergency", 7, 6);
        told("year", "2025-01", "2025-03", "inside");

        told("year", "2025-01", "2025-04", "outside");
        assertThat(isProblem(tell("year", "2025-01", "2025-03", "outside"), 422, "gives-away"))
                .as("to those outside, 7 and 6 are small")
                .isNotNull();
    }

    /** Who succeeded at first also succeeded within two attempts: the difference is a number of children too. */
    @ParameterizedTest
    @CsvSource({"2, 422", "4, 422", "7, 201"})
    void holdsAnOutcomeAgainstANarrowerOne(int secondAttempts, int status) {
        intubate("2025-01", "emergency", 20, 13);
        for (int i = 0; i < secondAttempts; i++) {
            Answer answer = record("""
                    {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2025-02-11T10:00:00Z",
                     "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "no"},
                       {"attempt_success": "yes"}]}]}""".formatted(unit.code()));
            assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        }
        told("year", "2025", "2025", "inside");

        Answer wider = post(
                "/api/v1/tables", body("year", "2025", "2025", "inside", "").replace("\"fps\"", "\"success_2\""));

        assertThat(wider.status()).as(wider.text()).isEqualTo(status);
        if (status == 422) {
            assertThat(isProblem(wider, 422, "gives-away").path("detail").asString())
                    .contains("First-pass success");
        }
    }

    @Test
    void tellsTablesOfOtherVariablesBesideEachOther() {
        intubate("2025-01", "emergency", 30, 20);
        intubate("2025-04", "urgent", 27, 16);
        told("urgency", "2025", "2025", "outside");
        told("quarter", "2025", "2025", "outside");
        told("encounter_kind", "2025", "2025", "outside");
        assertThat(get("/api/v1/tables?site_id=" + unit.code()).json()).hasSize(3);
    }

    @Test
    void refusesTooFewCases() {
        intubate("2025-01", "emergency", 2, 1);
        assertThat(isProblem(tell("year", "2025", "2025", "inside"), 422, "too-small"))
                .isNotNull();
        assertThat(isProblem(tell("year", "2024", "2024", "inside"), 422, "too-small"))
                .isNotNull();
    }

    @Test
    void saysAllThatCannotBeTaken() {
        JsonNode problem = isProblem(
                post(
                        "/api/v1/tables",
                        "{\"measure\": \"spo2_low_median\", \"by\": \"moon\", \"audience\": \"all\", \"from\": \"2025\","
                                + " \"filters\": {\"urgency\": [\"never\"]}}"),
                400,
                "malformed");
        assertThat(faults(problem))
                .containsExactlyInAnyOrder(
                        "/measure measure.not_told",
                        "/by by.form",
                        "/audience code",
                        "/to required",
                        "/filters/urgency code");
        assertThat(faults(isProblem(tell("year", "2025", "2026-11", "inside"), 400, "malformed")))
                .containsExactly("/to period.open");
        assertThat(faults(isProblem(
                        post("/api/v1/tables", "{\"patients\": 1, \"filters\": {\"name\": \"x\"}}"), 400, "malformed")))
                .containsExactlyInAnyOrder("/patients field.unknown", "/filters/name field.unknown");
        intubate("2025-01", "emergency", 20, 13);
        assertThat(faults(isProblem(
                        post(
                                "/api/v1/tables",
                                body("year", "2025", "2025", "inside", "").replace("Quality board", " ")),
                        422,
                        "invalid")))
                .containsExactly("/recipient required");
    }

    @Test
    void isForTheImprovementLeadOfTheUnitAlone() {
        intubate("2025-01", "emergency", 20, 13);
        String address = "/api/v1/tables/"
                + told("year", "2025", "2025", "inside").path("table_id").asString();
        Tester recorder = Tester.fresh(LOGINS).with(unit.no(), Role.RECORDER);
        Tester other = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.IMPROVEMENT_LEAD);

        assertThat(send(request(address, recorder).GET()).status()).isEqualTo(403);
        assertThat(send(request(address, other).GET()).status()).isEqualTo(404);
        assertThat(get("/api/v1/tables/no-key").status()).isEqualTo(404);
    }

    @Test
    void leavesALineInTheAuditAndCannotBeTakenBack() throws SQLException {
        intubate("2025-01", "emergency", 20, 13);
        String id = told("year", "2025", "2025", "outside").path("table_id").asString();

        Login owner = LOGINS.owner();
        try (Connection connection = DriverManager.getConnection(owner.url(), owner.user(), owner.password());
                ResultSet row = connection
                        .createStatement()
                        .executeQuery("select action, object, reason, detail ->> 'audience' from audit.entry"
                                + " where object_id = '" + id + "'")) {
            assertThat(row.next()).isTrue();
            assertThat(List.of(row.getString(1), row.getString(2), row.getString(3), row.getString(4)))
                    .containsExactly("told", "table", "Yearly report", "outside");
        }
        Login app = LOGINS.app();
        try (Connection connection = DriverManager.getConnection(app.url(), app.user(), app.password());
                ResultSet row = connection
                        .createStatement()
                        .executeQuery("select has_table_privilege('release.told_table', 'update'),"
                                + " has_table_privilege('release.told_table', 'delete')")) {
            row.next();
            assertThat(row.getBoolean(1) || row.getBoolean(2)).isFalse();
        }
    }

    private Answer page(String parameters) {
        return send(request("/tables?site_id=" + unit.code() + parameters)
                .header("Accept", "text/html")
                .GET());
    }

    @Test
    void showsOnThePageWhatMayBeToldBeforeItIsTold() {
        intubate("2025-01", "emergency", 20, 3);
        intubate("2025-02", "urgent", 18, 12);
        String choice = "&measure=fps&by=urgency&from=2025&to=2025&audience=inside";

        assertThat(page("").text()).contains("Nothing was told yet");
        Answer shown = page(choice);
        assertThat(shown.text())
                .as("what is told is what is shown")
                .contains("name=\"measure\" value=\"fps\"", "name=\"audience\" value=\"inside\"");
        assertThat(shown.status()).as(shown.text()).isEqualTo(200);
        assertThat(shown.text()).contains("hidden", "of 23", "38 of 53 in all", "Tell this table");
        assertThat(page("&measure=fps&by=year&from=2024&to=2024&audience=inside")
                        .text())
                .contains("Too few to be told");
        assertThat(page("&measure=fps&by=year&audience=inside").text()).contains("Send the month");
    }

    @Test
    void tellsFromThePageAndKeepsWhatWasTyped() {
        intubate("2025-01", "emergency", 20, 13);
        Map<String, String> typed = new java.util.HashMap<>(Map.of(
                "site_id",
                unit.code(),
                "measure",
                "fps",
                "by",
                "year",
                "from",
                "2025",
                "to",
                "2025",
                "audience",
                "inside",
                "recipient",
                "Quality board",
                "purpose",
                ""));

        Answer again = send(form(typed));
        assertThat(again.status()).isEqualTo(422);
        assertThat(again.text()).contains("Write what it is for", "Quality board");

        typed.put("purpose", "Yearly report");
        Answer done = send(form(typed));
        assertThat(done.status()).as(done.text()).isEqualTo(303);
        Answer table = send(
                request(done.header("Location")).header("Accept", "text/html").GET());
        assertThat(table.text()).contains("20 of 33", "Yearly report", " to Quality board. Stays in our organisation.");
        Answer csv = send(request(done.header("Location") + "/csv").GET());
        assertThat(csv.header("Content-Disposition")).contains("table.csv");
        assertThat(csv.text()).contains("2025,\"2025\",20,33,");
        assertThat(page("").text()).contains("What was told", " to Quality board");
    }

    private HttpRequest.Builder form(Map<String, String> typed) {
        return request("/tables")
                .header("Accept", "text/html")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(typed.entrySet().stream()
                        .map(one -> one.getKey() + "=" + URLEncoder.encode(one.getValue(), StandardCharsets.UTF_8))
                        .collect(Collectors.joining("&"))));
    }
}
