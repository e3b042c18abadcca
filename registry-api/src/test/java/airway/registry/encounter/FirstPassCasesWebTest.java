package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.Reader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Objects;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/**
 * Every decision case of first-pass success through the real API.
 *
 * <p>Source: the decision table of the registry's definitions; expected answers made by hand there.
 */
class FirstPassCasesWebTest extends ServedRegistry {
    private static final JsonMapper JSON = new JsonMapper();

    @Test
    void answersEveryCaseAsTheDefinitionsSay() {
        String unit = unit().code();
        List<CSVRecord> cases = cases();
        assertThat(cases).hasSizeGreaterThan(30);
        long yes = 0;
        long no = 0;
        for (CSVRecord row : cases) {
            Answer answer = record(body(unit, row).toString());
            assertThat(answer.status()).as(row.get("id") + " " + answer.text()).isEqualTo(201);
            JsonNode derived = answer.json().path("derived");
            for (String measure : List.of("fps", "fps_strict", "fps_clean")) {
                assertThat(derived.path(measure).asString())
                        .as(row.get("id") + " " + measure)
                        .isEqualTo(row.get(measure));
            }
            assertThat(derived.path("tracheal_attempts").asInt())
                    .as(row.get("id"))
                    .isEqualTo(Integer.parseInt(row.get("tracheal_attempts")));
            yes += row.get("fps").equals("yes") ? 1 : 0;
            no += row.get("fps").equals("no") ? 1 : 0;
        }

        JsonNode chart = get("/api/v1/charts/fps?by=year&site_id=" + unit).json();
        assertThat(chart.path("x").asLong()).isEqualTo(yes);
        assertThat(chart.path("n").asLong()).isEqualTo(yes + no);
        assertThat(chart.path("left_out").asLong()).isEqualTo(cases.size() - yes - no);
    }

    private static List<CSVRecord> cases() {
        try (Reader csv = new InputStreamReader(
                Objects.requireNonNull(FirstPassCasesWebTest.class.getResourceAsStream("first_pass_cases.csv")),
                StandardCharsets.UTF_8)) {
            return CSVFormat.RFC4180
                    .builder()
                    .setHeader()
                    .setSkipHeaderRecord(true)
                    .get()
                    .parse(csv)
                    .getRecords();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static ObjectNode body(String unit, CSVRecord row) {
        ObjectNode body = JSON.createObjectNode();
        body.put("site_id", unit);
        body.put("encounter_kind", row.get("encounter_kind"));
        body.put("encounter_start", "2026-03-01T14:20:00+00:00");
        body.put("cyanotic_heart_disease", row.get("cyanotic_heart_disease"));
        body.put("adverse_event_any", row.get("adverse_event_any"));
        ArrayNode courses = body.putArray("courses");
        ArrayNode attempts = null;
        int course = 0;
        for (JsonNode attempt : JSON.readTree(row.get("attempts_json"))) {
            if (attempts == null || attempt.path("course").asInt() != course) {
                course = attempt.path("course").asInt();
                ObjectNode next = courses.addObject();
                next.put("course_approach", attempt.path("approach").asString());
                next.put("spo2_best_before", Integer.parseInt(row.get("spo2_best_before")));
                attempts = next.putArray("attempts");
            }
            ObjectNode made = attempts.addObject();
            made.put("attempt_success", attempt.path("success").asString());
            made.set("tube_passes", attempt.path("tube_passes"));
            made.set("spo2_lowest", attempt.path("spo2_lowest"));
        }
        if (!row.get("events").isEmpty()) {
            body.putArray("events")
                    .addObject()
                    .put("event_type", row.get("events"))
                    .put("event_attempt_no", 1);
        }
        return body;
    }
}
