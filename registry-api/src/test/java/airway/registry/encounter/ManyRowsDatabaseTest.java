package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import airway.registry.access.Sites;
import airway.registry.problem.Problem;
import airway.registry.testing.OpenRegistry;
import java.time.ZoneId;
import java.util.LinkedHashMap;
import java.util.Map;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

class ManyRowsDatabaseTest {
    private OpenRegistry registry;

    @BeforeEach
    void open() {
        registry = OpenRegistry.fresh();
        registry.bean(Sites.class).add("unit", "A unit", "picu", ZoneId.of("UTC"), false);
        registry.bean(Sites.class).add("other", "Another", "picu", ZoneId.of("UTC"), false);
    }

    @AfterEach
    void close() {
        registry.close();
    }

    @Test
    void keepsAllInTheOrderOfTheirTrees() {
        Map<String, JsonNode> rows = new LinkedHashMap<>();
        rows.put("old:1", body("unit", "[]"));
        rows.put("old:2", body("unit", course("{\"attempt_success\": \"no\"}, {\"attempt_success\": \"yes\"}")));
        rows.put("old:3", body("unit", course("{\"attempt_success\": \"yes\", \"unknown\": [\"spo2_lowest\"]}")));

        assertThat(encounters().takeAll(rows)).isEqualTo(3);

        assertThat(registry.rows("""
                select v.source_row, f.outside, f.fps, f.tracheal_attempts from encounter.version v
                join analysis.fact f using (site_id, encounter_id) order by 1""")).containsExactly("old:1,2,null,0", "old:2,null,0,2", "old:3,null,1,1");
        assertThat(registry.rows("select attempt_no, unknown from encounter.attempt order by 1, 2"))
                .containsExactly("1,{}", "1,{spo2_lowest}", "2,{}");
        assertThat(registry.rows("select count(*) from audit.entry")).containsExactly("3");
    }

    @Test
    void takesEachRowOnce() {
        encounters().takeAll(Map.of("old:1", body("unit", "[]")));

        assertThat(encounters().takeAll(Map.of("old:1", body("unit", "[]"), "old:2", body("unit", "[]"))))
                .isEqualTo(1);
        assertThat(encounters().takeAll(Map.of())).isZero();
        assertThat(registry.rows("select count(*) from encounter.encounter")).containsExactly("2");
    }

    @Test
    void keepsNothingWhenOneIsNotAccepted() {
        Map<String, JsonNode> rows = new LinkedHashMap<>();
        rows.put("old:1", body("unit", "[]"));
        rows.put("old:2", body("unit", course("{}")));

        assertThatThrownBy(() -> encounters().takeAll(rows)).isInstanceOf(Problem.Invalid.class);
        assertThat(registry.rows("select count(*) from encounter.encounter")).containsExactly("0");
    }

    @Test
    void refusesRowsOfTwoUnits() {
        Map<String, JsonNode> rows = new LinkedHashMap<>();
        rows.put("old:1", body("unit", "[]"));
        rows.put("old:2", body("other", "[]"));

        assertThatThrownBy(() -> encounters().takeAll(rows)).isInstanceOf(IllegalArgumentException.class);
        assertThat(registry.rows("select count(*) from encounter.encounter")).containsExactly("0");
    }

    private Encounters encounters() {
        return registry.bean(Encounters.class);
    }

    private static String course(String attempts) {
        return "[{\"course_approach\": \"oral\", \"attempts\": [" + attempts + "]}]";
    }

    private static JsonNode body(String unit, String courses) {
        return new JsonMapper().readTree("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-01-01T12:00:00Z", "courses": %s}
                """.formatted(unit, courses));
    }
}
