package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Level;
import airway.registry.testing.ServedRegistry;
import java.util.Map;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** Whatever a record answers can be grouped and filtered by. */
class StrataWebTest extends ServedRegistry {
    /** Codes that fit each other: by default the first code of each variable is answered. */
    private static final Map<String, String> FITTING = Map.of(
            "device_mode", "video_standard",
            "display_mounting", "cable",
            "course_approach", "nasal",
            "location", "ed",
            "difficulty_predicted", "yes");

    @Test
    void groupsByEveryVariableThatIsOffered() {
        String unit = unit().code();
        ObjectNode encounter = new JsonMapper().createObjectNode();
        encounter.put("site_id", unit).put("encounter_start", "2026-03-01T14:20:00+00:00");
        ObjectNode course = encounter.putArray("courses").addObject();
        ObjectNode attempt = course.putArray("attempts").addObject();
        attempt.put("attempt_success", "yes").put("device_setup_id", "a-set-up");
        ObjectNode setup = new JsonMapper().createObjectNode();
        setup.put("site_id", unit).put("device_setup_id", "a-set-up").put("title", "A set-up");
        Map<Level, ObjectNode> levels = Map.of(
                Level.ENCOUNTER, encounter, Level.COURSE, course, Level.ATTEMPT, attempt, Level.DEVICE_SETUP, setup);
        for (Stratum stratum : Stratum.values()) {
            if (stratum != Stratum.AGE_BAND) {
                levels.entrySet().stream()
                        .filter(level -> Dictionary.current().find(level.getKey(), stratum.variable()) != null)
                        .findFirst()
                        .orElseThrow()
                        .getValue()
                        .put(stratum.variable(), code(stratum));
            }
        }
        assertThat(post("/api/v1/device-setups", setup.toString()).status()).isEqualTo(201);
        Answer made = record(encounter.toString());
        assertThat(made.status()).as(made.text()).isEqualTo(201);

        for (Stratum stratum : Stratum.values()) {
            String code = stratum == Stratum.AGE_BAND ? "unknown" : code(stratum);
            var groups = get("/api/v1/comparisons/fps?by=" + stratum.variable() + "&site_id=" + unit)
                    .json()
                    .path("groups");
            assertThat(groups).as(stratum.variable()).hasSize(1);
            assertThat(groups.path(0).path("code").asString()).isEqualTo(code);
            assertThat(get("/api/v1/charts/fps?site_id=" + unit + "&" + stratum.variable() + "=" + code)
                            .json()
                            .path("n")
                            .asInt())
                    .as(stratum.variable())
                    .isEqualTo(1);
        }
    }

    private static String code(Stratum stratum) {
        return FITTING.getOrDefault(stratum.variable(), stratum.codes().get(0).value());
    }
}
