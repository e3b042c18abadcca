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
    @ValueSource(strings = {"schema-005", "schema-006", "schema-014", "schema-019", "schema-022"})
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
        assertThat(Sql.rows(
                        logins.owner(),
                        "select encounter_id from encounter.version v full join (select site_id,"
                                + " object_id as encounter_id, version, hash from audit.entry where object = 'encounter') e using (site_id, encounter_id, version) where e.hash is distinct from"
                                + " audit.tree_hash(site_id, encounter_id, version) or v.version is null"))
                .as("the audit still fits the records")
                .isEmpty();
        assertThat(Sql.rows(
                        logins.owner(),
                        "select object, object_id, version from audit.entry where version is not null and object <> 'encounter' except select"
                                + " object, object_id, version from (select 'change' as object, change_id as object_id,"
                                + " version, hash from changes.version v join lateral (select audit.row_hash(v) as hash) h"
                                + " on true union all select 'review', encounter_id, version, hash from reviews.version v"
                                + " join lateral (select audit.row_hash(v) as hash) h on true union all select 'aim',"
                                + " aim_id, version, hash from aims.version v join lateral (select audit.row_hash(v) as"
                                + " hash) h on true union all select 'kept_average', kept_id, version, hash from"
                                + " charts.kept_average v join lateral (select audit.row_hash(v) as hash) h on true) kept where exists (select from audit.entry e where e.object ="
                                + " kept.object and e.object_id = kept.object_id and e.version = kept.version and e.hash"
                                + " = kept.hash)"))
                .as("and what else a unit wrote")
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
