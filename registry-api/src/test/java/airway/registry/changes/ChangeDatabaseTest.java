package airway.registry.changes;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import airway.sql.Sql;
import airway.sql.TestDatabase;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What the database itself holds about changes, whatever the program does. */
class ChangeDatabaseTest {
    private static final String ID = "00000000-0000-4000-8000-000000000001";
    private static final String INSERT =
            "insert into changes.version (site_id, change_id, version, status, changed_on, name,"
                    + " reason, cuts_chart, reason_code) values (%d, '" + ID
                    + "', %d, '%s', '2026-03-14', 'a', 'b', true, %s)";

    private final TestDatabase.Logins logins = TestDatabase.fresh();

    @BeforeEach
    void twoUnits() throws SQLException {
        Sql.execute(
                logins.owner(),
                "select access.add_site(c, c, 'picu', 'Europe/London', true) from unnest('{one,two}'::text[]) c");
        as(1, INSERT.formatted(1, 1, "final", "null"));
    }

    /** As the application, in the scope of a unit. */
    private void as(int site, String sql) throws SQLException {
        try (Connection connection = Sql.connect(logins.app())) {
            connection.setAutoCommit(false);
            Sql.execute(
                    connection,
                    "select set_config('airway.actor', '1', true), set_config('airway.sites', '" + site + "', true)");
            Sql.execute(connection, sql);
            connection.commit();
        }
    }

    @Test
    void takesNoVersionThatSkipsOne() {
        assertThatThrownBy(() -> as(1, INSERT.formatted(1, 3, "amended", "'other'")))
                .hasMessageContaining("version_no_gap");
    }

    @Test
    void takesAFurtherVersionOnlyWithAReasonAndOnlyOnce() throws SQLException {
        assertThatThrownBy(() -> as(1, INSERT.formatted(1, 2, "amended", "null")))
                .hasMessageContaining("version_reason_given");
        as(1, INSERT.formatted(1, 2, "amended", "'other'"));
        assertThatThrownBy(() -> as(1, INSERT.formatted(1, 2, "amended", "'other'")))
                .hasMessageContaining("version_pkey");
    }

    @Test
    void letsNothingBeChangedOrRemovedOrWrittenForAnotherUnitOrPerson() {
        for (String sql : List.of(
                "update changes.version set name = 'c'",
                "delete from changes.version",
                "truncate changes.version",
                INSERT.formatted(2, 1, "final", "null"),
                INSERT.formatted(1, 1, "final", "null")
                        .replace("cuts_chart,", "cuts_chart, recorded_by,")
                        .replace("true,", "true, 1,"))) {
            assertThatThrownBy(() -> as(1, sql))
                    .as(sql)
                    .isInstanceOfSatisfying(
                            SQLException.class, e -> assertThat(e.getSQLState()).isEqualTo("42501"));
        }
    }

    @Test
    void writesOneAuditRowForEachVersionAndNothingOfItsText() throws SQLException {
        as(1, INSERT.formatted(1, 2, "amended", "'other'"));
        as(1, INSERT.formatted(1, 3, "entered-in-error", "'other'"));

        assertThat(
                        Sql.rows(
                                logins.owner(),
                                "select object || ' ' || version || ' ' || action || ' ' || actor_id from audit.entry order by entry_id"))
                .containsExactly("change 1 recorded 1", "change 2 amended 1", "change 3 withdrawn 1");
        assertThat(Sql.rows(
                        logins.owner(),
                        "select count(*) from audit.entry e join changes.version v on (v.change_id, v.version) ="
                                + " (e.object_id, e.version) where e.hash = audit.row_hash(v)"))
                .containsExactly("3");
        assertThat(Sql.rows(logins.owner(), "select finding from audit.findings()"))
                .isEmpty();
    }
}
