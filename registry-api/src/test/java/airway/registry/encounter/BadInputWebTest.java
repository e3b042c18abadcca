package airway.registry.encounter;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.cohort.Stratum;
import airway.registry.testing.ServedRegistry;
import airway.sql.Sql;
import java.sql.SQLException;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Bad input with the exact answer to it: rows S12 and S20 to S22 of the registry's table of requirements. S7 and S8 are
 * in {@link AmendmentWebTest} and {@link EncounterApiWebTest}.
 */
class BadInputWebTest extends ServedRegistry {
    private String unit = "";

    private String body(String more) {
        unit = unit().code();
        return "{\"site_id\": \"" + unit + "\", \"encounter_kind\": \"initial\", \"encounter_start\":"
                + " \"2026-03-01T14:20:00+00:00\", \"courses\": [{\"course_approach\": \"oral\", \"attempts\":"
                + " [{\"attempt_success\": \"yes\"}]}]" + more + "}";
    }

    private void storedNothing() throws SQLException {
        assertThat(Sql.rows(
                        LOGINS.owner(),
                        "select count(*) from encounter.encounter join access.site using (site_id) where code = '"
                                + unit + "'"))
                .containsExactly("0");
    }

    /** S12 */
    @Test
    void takesNoCommandsWhereAFilterBelongs() throws SQLException {
        String drop = "x%27%3Bdrop%20table%20encounter.version%3B--";
        for (Stratum stratum : Stratum.values()) {
            assertThat(faults(
                            isProblem(get("/api/v1/charts/fps?" + stratum.variable() + "=" + drop), 400, "malformed")))
                    .containsExactly(stratum.variable() + " code");
        }
        for (String parameter : List.of("by", "from", "to", "site_id", "device_setup_id", "format", "scheme", "sort")) {
            assertThat(get("/api/v1/charts/fps?" + parameter + "=" + drop).status())
                    .as(parameter)
                    .isIn(400, 404);
        }
        assertThat(get("/api/v1/charts/" + drop).status())
                .as("the firewall turns a coded semicolon away before anybody looks for a measure")
                .isEqualTo(400);
        assertThat(get("/api/v1/charts/x%20drop%20table").status()).isEqualTo(404);
        assertThat(Sql.rows(LOGINS.owner(), "select count(*) >= 0 from encounter.version"))
                .containsExactly("t");
    }

    /** S20 */
    @ParameterizedTest
    @ValueSource(
            strings = {
                ", \"weight_kg\": NaN",
                ", \"weight_kg\": 1e400",
                ", \"weight_kg\": 1000000000000000000000000000000000000000000000000000000000000",
                ", \"urgency\": \"\\ud800\"",
                ", \"urgency\": \"\\u0000\"",
                ", \"\\udc00\": 1",
                ", \"urgency\": \"urgent\", \"urgency\": \"urgent\"",
                ", \"patient\": {\"a\":{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":{\"a\":1}}}}}}}}}}}}"
            })
    void cannotReadWhatIsOutOfAllBounds(String more) throws SQLException {
        assertThat(faults(isProblem(record(body(more)), 400, "malformed"))).containsExactly(" json");
        storedNothing();
    }

    /** S20 */
    @Test
    void takes64KibibytesAndNotAByteMore() {
        String plain = body("");
        String largest = plain + " ".repeat(65_536 - plain.length());
        assertThat(record(largest).status()).isEqualTo(201);
        isProblem(record(largest + " "), 413, "too-large");
    }

    /** S21 */
    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                ", \"siteId\": \"harbour\"|/siteId field.unknown",
                ", \"version\": 3|/version field.unknown",
                ", \"createdBy\": 1|/createdBy field.unknown",
                ", \"status\": \"final\"|/status field.unknown",
                ", \"derived\": {}|/derived field.unknown",
                ", \"recorded_by\": 1|/recorded_by field.unknown",
                ", \"encounter_id\": \"x\"|/encounter_id field.system",
                ", \"dictionary_version\": \"9\"|/dictionary_version field.system"
            })
    void takesNothingThatTheRegistrySetsItself(String more, String fault) throws SQLException {
        assertThat(faults(isProblem(record(body(more)), 400, "malformed"))).containsExactly(fault);
        storedNothing();
    }

    /** S22; a birth date is not kept yet, so it cannot lie after the event. */
    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "\"attempt_success\": \"yes\"|\"attempt_success\": \"yes\", \"spo2_lowest\": 101|422|/courses/0/attempts/0/spo2_lowest range",
                "\"attempt_success\": \"yes\"|\"attempt_success\": \"yes\", \"spo2_lowest\": -1|422|/courses/0/attempts/0/spo2_lowest range",
                "\"attempt_success\": \"yes\"|\"attempt_success\": \"yes\", \"tube_passes\": 0|422|/courses/0/attempts/0/tube_passes passes.zero",
                "\"attempt_success\": \"yes\"|\"attempt_success\": \"yes\", \"attempt_no\": 0|400|/courses/0/attempts/0/attempt_no field.system",
                "2026-03-01T14:20:00+00:00|2026-11-24T12:06:00Z|422|/encounter_start future",
                "2026-03-01T14:20:00+00:00|2026-02-30T14:20:00+00:00|422|/encounter_start datetime",
                "2026-03-01T14:20:00+00:00|2026-03-29T01:30:00|422|/encounter_start datetime",
                "2026-03-01T14:20:00+00:00|2026-03-01|422|/encounter_start datetime"
            })
    void tellsWhereAValueIsNotPlausible(String good, String bad, int status, String fault) throws SQLException {
        var problem = isProblem(record(body("").replace(good, bad)), status, status == 400 ? "malformed" : "invalid");
        assertThat(faults(problem)).containsExactly(fault);
        if (fault.endsWith("datetime")) {
            assertThat(problem.path("errors").path(0).path("detail").asString())
                    .as("a local time that does not exist, or exists twice, is told apart by its offset")
                    .contains("offset from UTC");
        }
        storedNothing();
    }

    @Test
    void numbersAttemptsThroughAndStopsAtThirty() throws SQLException {
        String sixteen = "{\"course_approach\": \"oral\", \"attempts\": ["
                + String.join(", ", java.util.Collections.nCopies(16, "{\"attempt_success\": \"no\"}")) + "]}";
        String body =
                body("").replaceFirst("\"courses\": \\[.*?]}]", "\"courses\": [" + sixteen + ", " + sixteen + "]");
        assertThat(faults(isProblem(record(body), 422, "invalid"))).contains("/courses attempts.too_many");
        storedNothing();
    }

    /** Whole numbers may be written with a point, and no digit is lost or made up. */
    @Test
    void readsANumberByItsValue() {
        var kept = record(body(", \"age_days\": 210.0, \"weight_kg\": 7.50000")).json();
        assertThat(kept.path("age_days").asInt()).isEqualTo(210);
        assertThat(kept.path("weight_kg").decimalValue()).isEqualByComparingTo("7.5");
        assertThat(faults(isProblem(record(body(", \"weight_kg\": 7.12345")), 422, "invalid")))
                .containsExactly("/weight_kg range");
    }
}
