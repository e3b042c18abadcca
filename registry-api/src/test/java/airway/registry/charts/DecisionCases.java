package airway.registry.charts;

import java.io.IOException;
import java.io.InputStreamReader;
import java.io.Reader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVRecord;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The cases of the decision table of the registry's definitions, as records. */
final class DecisionCases {
    private static final JsonMapper JSON = new JsonMapper();
    private static final String TABLE = "/airway/registry/encounter/first_pass_cases.csv";

    private DecisionCases() {}

    static List<ObjectNode> bodies(String unit) {
        try (Reader csv = new InputStreamReader(
                Objects.requireNonNull(DecisionCases.class.getResourceAsStream(TABLE)), StandardCharsets.UTF_8)) {
            List<ObjectNode> bodies = new ArrayList<>();
            CSVFormat.RFC4180
                    .builder()
                    .setHeader()
                    .setSkipHeaderRecord(true)
                    .get()
                    .parse(csv)
                    .forEach(row -> bodies.add(body(unit, row)));
            return bodies;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static ObjectNode body(String unit, CSVRecord row) {
        ObjectNode body = JSON.createObjectNode();
        body.put("site_id", unit)
                .put("encounter_kind", row.get("encounter_kind"))
                .put("encounter_start", "2026-03-01T14:20:00+00:00")
                .put("cyanotic_heart_disease", row.get("cyanotic_heart_disease"))
                .put("adverse_event_any", row.get("adverse_event_any"));
        ArrayNode courses = body.putArray("courses");
        int current = 0;
        for (JsonNode told : JSON.readTree(row.get("attempts_json"))) {
            if (told.path("course").asInt() != current) {
                current = told.path("course").asInt();
                ObjectNode course = courses.addObject();
                course.put("course_approach", told.path("approach").asString());
                course.put("spo2_best_before", Integer.parseInt(row.get("spo2_best_before")));
                course.putArray("attempts");
            }
            ObjectNode attempt = ((ArrayNode) courses.get(courses.size() - 1).path("attempts")).addObject();
            attempt.put("attempt_success", told.path("success").asString());
            attempt.set("tube_passes", told.path("tube_passes"));
            attempt.set("spo2_lowest", told.path("spo2_lowest"));
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
