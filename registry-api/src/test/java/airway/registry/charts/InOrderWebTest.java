package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import airway.sql.Sql;
import java.sql.SQLException;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;

/** Encounters in order, of several units and years, whether they are tallied or not. The expected figures are counted by hand. */
class InOrderWebTest extends ServedRegistry {
    private String one = "";
    private String other = "";

    @BeforeEach
    void twoUnits() {
        one = unit().code();
        other = unit().code();
    }

    private void intubate(String unit, String start, String success, String event) {
        Answer answer = record("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "%sZ",
                 "adverse_event_any": "%s", "events": [%s],
                 "courses": [{"course_approach": "oral", "attempts": [
                   {"attempt_success": "%s", "spo2_lowest": %d}]}]}""".formatted(
                        unit,
                        start,
                        event.isEmpty() ? "no" : "yes",
                        event.isEmpty() ? "" : "{\"event_type\": \"" + event + "\"}",
                        success,
                        success.equals("yes") ? 95 : 70));
        assertThat(answer.status()).as(answer.text()).isEqualTo(201);
    }

    @Test
    void takesEncountersOfSeveralUnitsAndYearsInTheOrderOfTheirStarts() throws SQLException {
        // The last one first: keys follow the order of writing.
        intubate(other, "2026-02-01T00:00:00", "yes", "");
        intubate(one, "2026-01-01T00:00:00", "no", "arrest_rosc");
        intubate(other, "2025-06-01T10:00:00", "yes", "");
        intubate(one, "2025-06-01T09:00:00", "unk", "");
        intubate(other, "2025-06-01T08:00:00", "yes", "");
        intubate(one, "2024-12-31T23:59:00", "no", "");
        intubate(other, "2024-12-31T23:58:00", "no", "arrest_rosc");
        intubate(one, "2024-12-31T23:57:00", "yes", "");

        looksRight("none is tallied");
        tally(one);
        looksRight("one unit is tallied");
        tally(other);
        looksRight("both are tallied");
        intubate(one, "2026-10-01T00:00:00", "yes", "");
        assertThat(points("fps?by=n:3", "n"))
                .as("one year is not tallied any more")
                .containsExactly("3", "3", "2");
    }

    @Test
    void takesEncountersOfOneMomentInTheOrderOfTheirUnits() throws SQLException {
        intubate(other, "2025-06-01T10:00:00", "no", "");
        intubate(one, "2025-06-01T10:00:00.9", "yes", "");
        intubate(other, "2025-06-01T09:59:59", "yes", "");
        intubate(one, "2025-06-01T10:00:01", "no", "");

        assertThat(points("fps?by=n:1", "x")).as("none is tallied").containsExactly("1", "1", "0", "0");
        tally(other);
        assertThat(points("fps?by=n:1", "x")).as("one is tallied").containsExactly("1", "1", "0", "0");
        tally(one);
        assertThat(points("fps?by=n:1", "x")).as("both are tallied").containsExactly("1", "1", "0", "0");
    }

    private void looksRight(String how) {
        assertThat(points("fps?by=n:1", "x")).as(how).containsExactly("1", "0", "0", "1", "1", "0", "1");
        assertThat(points("fps?by=n:3", "x")).as(how).containsExactly("1", "2", "1");
        assertThat(points("fps?by=n:3", "n")).as(how).containsExactly("3", "3", "1");
        assertThat(points("fps?by=n:3", "left_out")).as(how).containsExactly("0", "1", "0");
        assertThat(points("fps?by=n:2&from=2025-01&to=2025-12", "x")).as(how).containsExactly("2");
        assertThat(points("spo2_low_median?by=year", "value")).as(how).containsExactly("70.0", "95.0", "82.5");
        assertThat(points("encounters_severe?chart=g", "value"))
                .as("four between the two arrests and one since: " + how)
                .containsExactly("4.0", "1.0");
    }

    private List<String> points(String chart, String what) {
        JsonNode drawn = get("/api/v1/charts/" + chart + "&site_id=" + one + "&site_id=" + other)
                .json();
        return drawn.path("points")
                .valueStream()
                .map(point -> point.path(what).asString())
                .toList();
    }

    private static void tally(String unit) throws SQLException {
        String year =
                "select d.mark from analysis.tally_due d join access.site s using (site_id) where s.code = '" + unit;
        while (!Sql.rows(LOGINS.owner(), year + "'").isEmpty()) {
            Sql.rows(LOGINS.owner(), "select analysis.tally(1000)");
        }
    }
}
