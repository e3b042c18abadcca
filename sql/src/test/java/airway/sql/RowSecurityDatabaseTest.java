package airway.sql;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.util.List;
import java.util.UUID;
import java.util.stream.Stream;
import org.assertj.core.api.ThrowableAssert.ThrowingCallable;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

class RowSecurityDatabaseTest {
    private static final String NO_RIGHT = "42501";
    private static final String GUARDED = """
            select c.oid::regclass::text from pg_class c join pg_namespace n on n.oid = c.relnamespace
            where n.nspname in ('access', 'encounter', 'audit', 'analysis', 'quality', 'imports', 'changes', 'reviews', 'aims', 'reports', 'charts', 'release', 'identity', 'kit', 'research') and c.relkind = 'r'
              and c.oid not in ('analysis.code'::regclass, 'analysis.severity'::regclass)""";

    private final TestDatabase.Logins logins = TestDatabase.fresh();

    @BeforeEach
    void twoUnitsWithARecordEach() throws SQLException {
        Sql.execute(
                logins.owner(),
                "select access.add_site(c, c, 'picu', 'Europe/London', true) from unnest('{one,two}'::text[]) c");
        try (Connection connection = Sql.connect(logins.app())) {
            connection.setAutoCommit(false);
            for (int site = 1; site <= 2; site++) {
                scope(connection, site);
                insertRecord(connection, site);
                connection.commit();
            }
        }
    }

    @Test
    void guardsEveryTableWithForce() throws SQLException {
        assertThat(Sql.rows(logins.owner(), GUARDED + " and not (c.relrowsecurity and c.relforcerowsecurity)"))
                .isEmpty();
    }

    @Test
    void showsNothingWithoutAScope() throws SQLException {
        List<String> tables = Sql.rows(
                logins.owner(),
                GUARDED + " and has_table_privilege('" + logins.app().user() + "', c.oid, 'select')");
        assertThat(tables).contains("encounter.version", "analysis.fact", "audit.entry", "audit.seal", "access.site");
        for (String table : tables) {
            assertThat(Sql.rows(logins.app(), "select count(*) from " + table))
                    .as(table)
                    .containsExactly("0");
        }
    }

    @Test
    void letsNothingBeWrittenWithoutAScopeOrForAnotherUnit() throws SQLException {
        try (Connection connection = Sql.connect(logins.app())) {
            refuses(() -> insertRecord(connection, 1));
            connection.setAutoCommit(false);
            scope(connection, 1);
            refuses(() -> insertRecord(connection, 2));
        }
    }

    @Test
    void keepsTwoUnitsApartOnOneConnection() throws SQLException {
        String sites = "select site_id from encounter.version order by 1";
        try (Connection connection = Sql.connect(logins.app())) {
            connection.setAutoCommit(false);
            for (int turn = 0; turn < 1_000; turn++) {
                int site = 1 + turn % 2;
                scope(connection, site);
                assertThat(Sql.rows(connection, sites)).containsExactly(String.valueOf(site));
                connection.commit();
                assertThat(Sql.rows(connection, sites))
                        .as("nothing is left of the scope")
                        .isEmpty();
                connection.rollback();
            }
        }
    }

    /** Fact rows are guarded by a test of their own, which is fast over many units. */
    @Test
    void showsAndChangesFactRowsOfTheUnitsOfTheScopeAlone() throws SQLException {
        String sites = "select site_id from analysis.fact order by 1";
        try (Connection connection = Sql.connect(logins.app())) {
            connection.setAutoCommit(false);
            for (String scope : List.of("1", "2", "1,2", "2,1", "1,32767", "32767")) {
                Sql.execute(connection, "select set_config('airway.sites', '" + scope + "', true)");
                List<String> seen = Stream.of("1", "2")
                        .filter(List.of(scope.split(",", -1))::contains)
                        .toList();
                assertThat(Sql.rows(connection, sites)).as(scope).isEqualTo(seen);
                assertThat(Sql.rows(connection, "update analysis.fact set nominal = false returning site_id"))
                        .as(scope)
                        .hasSameElementsAs(seen);
                assertThat(Sql.rows(connection, "delete from analysis.fact returning site_id"))
                        .as(scope)
                        .hasSameElementsAs(seen);
                connection.rollback();
                assertThat(Sql.rows(connection, sites))
                        .as("nothing is left of the scope")
                        .isEmpty();
            }
            Sql.execute(connection, "select set_config('airway.sites', '1', true)");
            refuses(() -> Sql.execute(connection, "update analysis.fact set site_id = 2"));
        }
    }

    @Test
    void letsNoVersionOrAuditRowBeChangedOrRemoved() throws SQLException {
        try (Connection connection = Sql.connect(logins.app())) {
            connection.setAutoCommit(false);
            for (String table : List.of(
                    "encounter.version",
                    "encounter.patient",
                    "encounter.course",
                    "encounter.drug",
                    "encounter.attempt",
                    "encounter.event",
                    "encounter.device_setup",
                    "encounter.request",
                    "changes.version",
                    "reviews.version",
                    "aims.version",
                    "reports.version",
                    "reports.counted",
                    "kit.kind",
                    "kit.item",
                    "kit.move",
                    "research.request",
                    "research.step",
                    "research.chosen",
                    "research.package",
                    "research.link",
                    "research.fetched",
                    "kit.discrepancy",
                    "kit.trolley",
                    "kit.trolley_check",
                    "kit.lot",
                    "kit.stock",
                    "audit.entry")) {
                for (String change :
                        List.of("delete from " + table, "update " + table + " set site_id = 1", "truncate " + table)) {
                    scope(connection, 1);
                    refuses(() -> Sql.execute(connection, change));
                    connection.rollback();
                }
            }
            scope(connection, 1);
            refuses(() -> Sql.execute(
                    connection,
                    "insert into audit.entry (actor_id, site_id, action, object_id, version, hash)"
                            + " values (1, 1, 'recorded', gen_random_uuid(), 1, sha256('x'))"));
        }
    }

    @Test
    void writesOneAuditRowForEachVersionWithTheHashOfItsTree() throws SQLException {
        assertThat(Sql.rows(
                        logins.owner(),
                        "select count(*) from audit.entry e join encounter.version v"
                                + " on (v.site_id, v.encounter_id, v.version) = (e.site_id, e.object_id, e.version)"
                                + " where e.actor_id = 1 and e.action = 'recorded'"
                                + " and e.hash = audit.tree_hash(v.site_id, v.encounter_id, v.version)"))
                .containsExactly("2");
    }

    @Test
    void changesTheHashWhenAnyBranchOfTheTreeIsTouched() throws SQLException {
        for (String touch : List.of(
                "update encounter.version set weight_kg = 9",
                "update encounter.patient set sex = 'm'",
                "update encounter.course set spo2_best_before = 97",
                "update encounter.attempt set tube_passes = 2",
                "insert into encounter.drug (site_id, encounter_id, version, course_no, drug_no, drug_agent)"
                        + " select site_id, encounter_id, version, 1, 1, 'none' from encounter.version",
                "insert into encounter.event (site_id, encounter_id, version, event_no, event_type)"
                        + " select site_id, encounter_id, version, 1, 'bradycardia' from encounter.version")) {
            try (Connection connection = Sql.connect(logins.owner())) {
                connection.setAutoCommit(false);
                Sql.execute(connection, touch);
                assertThat(Sql.rows(
                                connection,
                                "select count(*) from audit.entry"
                                        + " where hash = audit.tree_hash(site_id, object_id, version)"))
                        .as(touch)
                        .containsExactly("0");
                connection.rollback();
            }
        }
    }

    @Test
    void takesNoRecordWithoutAnActor() throws SQLException {
        try (Connection connection = Sql.connect(logins.app())) {
            connection.setAutoCommit(false);
            Sql.execute(connection, "select set_config('airway.sites', '1', true)");
            assertThatThrownBy(() -> insertRecord(connection, 1)).hasMessageContaining("recorded_by");
        }
    }

    private static void refuses(ThrowingCallable work) {
        assertThatThrownBy(work)
                .isInstanceOfSatisfying(
                        SQLException.class, e -> assertThat(e.getSQLState()).isEqualTo(NO_RIGHT));
    }

    private static void scope(Connection connection, int site) throws SQLException {
        Sql.execute(
                connection,
                "select set_config('airway.actor', '1', true), set_config('airway.sites', '" + site + "', true)");
    }

    private static void insertRecord(Connection connection, int site) throws SQLException {
        UUID id = UUID.randomUUID();
        for (String sql : List.of(
                "insert into encounter.encounter (site_id, encounter_id, current_version) values (?, ?, 1)",
                "insert into encounter.version (site_id, encounter_id, version, status, recorded_at,"
                        + " dictionary_version, encounter_kind, encounter_start)"
                        + " values (?, ?, 1, 'final', now(), '1.0.0', 'initial', now())",
                "insert into encounter.patient (site_id, encounter_id, version) values (?, ?, 1)",
                "insert into encounter.course (site_id, encounter_id, version, course_no, course_approach)"
                        + " values (?, ?, 1, 1, 'oral')",
                "insert into encounter.attempt (site_id, encounter_id, version, attempt_no, course_no, attempt_success)"
                        + " values (?, ?, 1, 1, 1, 'yes')",
                "select analysis.write_fact(?::smallint, ?)")) {
            try (PreparedStatement statement = connection.prepareStatement(sql)) {
                statement.setInt(1, site);
                statement.setObject(2, id);
                statement.execute();
            }
        }
    }
}
