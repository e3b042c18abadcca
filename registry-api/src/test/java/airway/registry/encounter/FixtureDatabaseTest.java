package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.OpenRegistry;
import airway.sql.Sql;
import airway.sql.TestDatabase;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.sql.SQLException;
import java.util.List;
import java.util.Objects;
import java.util.UUID;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** Databases of earlier versions, restored, migrated and read: every record answers as it did then. */
class FixtureDatabaseTest {
    private static final JsonMapper JSON = new JsonMapper();

    @ParameterizedTest
    @ValueSource(
            strings = {"schema-005", "schema-006", "schema-014", "schema-019", "schema-022", "schema-032", "schema-036"
            })
    void keepsEveryRecordOfAnEarlierVersion(String fixture) throws IOException, SQLException {
        TestDatabase.Logins logins = TestDatabase.empty();
        Sql.execute(logins.owner(), resource("/fixtures/" + fixture + ".sql"));
        List<String> records = resource("/airway/registry/fixtures/" + fixture + ".jsonl")
                .lines()
                .toList();
        assertThat(records).hasSizeGreaterThan(10);

        try (OpenRegistry registry = OpenRegistry.on(logins)) {
            Encounters encounters = registry.bean(Encounters.class);
            for (String line : records) {
                JsonNode then = JSON.readTree(line);
                JsonNode now = JSON.readTree(EncounterJson.of(encounters.read(
                                UUID.fromString(then.path("encounter_id").asString())))
                        .toString());
                assertThat(now).isEqualTo(then);
            }
        }
        assertThat(Sql.rows(logins.owner(), "select object || ' ' || finding from audit.findings()"))
                .as("the audit still fits everything that was written")
                .isEmpty();
        long counting = records.stream()
                .filter(line -> !JSON.readTree(line).path("status").asString().equals("entered-in-error"))
                .count();
        assertThat(Sql.rows(logins.owner(), "select count(*) from analysis.fact"))
                .containsExactly(String.valueOf(counting));
    }

    private static String resource(String name) throws IOException {
        try (InputStream stream = Objects.requireNonNull(FixtureDatabaseTest.class.getResourceAsStream(name), name)) {
            return new String(stream.readAllBytes(), StandardCharsets.UTF_8);
        }
    }
}
