package airway.registry.kit;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import airway.sql.Sql;
import airway.sql.TestDatabase;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What the database itself holds about the kit, whatever the program does. */
class KitDatabaseTest {
    private static final String ID = "00000000-0000-4000-8000-000000000001";

    private final TestDatabase.Logins logins = TestDatabase.fresh();

    @BeforeEach
    void anItemOfTwoUnitsPeople() throws SQLException {
        Sql.execute(
                logins.owner(),
                "select access.add_site(c, c, 'picu', 'Europe/London', true) from unnest('{one,two}'::text[]) c;"
                        + "insert into access.actor (title) values ('a'), ('b')");
        as(
                2,
                "insert into kit.kind (site_id, kind_id, version, status, title) values (1, '" + ID
                        + "', 1, 'final', 'a')",
                "insert into kit.item (site_id, item_id, kind_id, name, cycles_before) values (1, '" + ID + "', '" + ID
                        + "', '0417', 0)",
                move(1, "new", "null", "new", ""));
    }

    /** As the application for somebody, in the scope of the first unit. */
    private void as(int actor, String... all) throws SQLException {
        try (Connection connection = Sql.connect(logins.app())) {
            connection.setAutoCommit(false);
            Sql.execute(
                    connection,
                    "select set_config('airway.actor', '" + actor + "', true), set_config('airway.sites', '1', true)");
            for (String sql : all) {
                Sql.execute(connection, sql);
            }
            connection.commit();
        }
    }

    private static String move(int version, String move, String from, String to, String proposedBy) {
        return "insert into kit.move (site_id, item_id, version, move, from_state, to_state, moved_at, proposes,"
                + " proposed_by) values (1, '" + ID + "', " + version + ", '" + move + "', "
                + (from.equals("null") ? from : "'" + from + "'") + ", '" + to + "', now(), "
                + (move.equals("proposed") ? "'ready', " : "null, ") + (proposedBy.isEmpty() ? "null" : proposedBy)
                + ")";
    }

    @Test
    void takesNoMoveThatDoesNotBeginWhereTheLastOneEnded() {
        assertThatThrownBy(() -> as(2, move(2, "used", "opened", "used", ""))).hasMessageContaining("move_goes_on");
        assertThatThrownBy(() -> as(2, move(3, "held", "new", "held", ""))).hasMessageContaining("move_goes_on");
        assertThatThrownBy(() -> as(2, move(1, "new", "null", "new", ""))).hasMessageContaining("move_pkey");
    }

    @Test
    void takesNoAuditByHandOfWhatWritesItsOwn() {
        for (String object :
                List.of("kit_item", "kit_kind", "kit_discrepancy", "table", "kept_average", "report", "encounter")) {
            assertThatThrownBy(() -> as(
                            2,
                            "select audit.note('moved', '" + object + "', 1::smallint, '" + ID + "', 2, 'why', '{}')"))
                    .as(object)
                    .hasMessageContaining("versions write their own audit");
        }
    }

    @Test
    void takesNoReleaseByOnePersonNorByThePersonWhoProposedIt() throws SQLException {
        assertThatThrownBy(() -> as(2, move(2, "ready", "new", "ready", "")))
                .hasMessageContaining("move_released_by_two");
        as(2, move(2, "proposed", "new", "new", ""));
        assertThatThrownBy(() -> as(2, move(3, "confirmed", "new", "ready", "2")))
                .hasMessageContaining("move_two_are_two");
        assertThatThrownBy(() -> as(3, move(3, "confirmed", "new", "ready", "1")))
                .hasMessageContaining("move_of_two");
        as(3, move(3, "confirmed", "new", "ready", "2"));
    }

    @Test
    void takesNoWayFromAnOpenedPackBackToReady() throws SQLException {
        as(2, move(2, "proposed", "new", "new", ""));
        as(3, move(3, "confirmed", "new", "ready", "2"), move(4, "opened", "ready", "opened", ""));
        for (String to : List.of("ready", "placed", "returned", "in_processing")) {
            assertThatThrownBy(() -> as(3, move(5, to, "opened", to, "")))
                    .as(to)
                    .isInstanceOfSatisfying(
                            SQLException.class, e -> assertThat(e.getSQLState()).isEqualTo("23514"));
        }
    }

    @Test
    void writesOneAuditRowForEachMoveAndFindsNothingAmiss() throws SQLException {
        as(2, move(2, "held", "new", "held", ""));

        assertThat(Sql.rows(
                        logins.owner(), "select action from audit.entry where object = 'kit_item' order by version"))
                .containsExactly("recorded", "moved");
        assertThat(Sql.rows(logins.owner(), "select * from audit.findings()")).isEmpty();

        Sql.execute(logins.owner(), "update kit.move set reason = 'another' where version = 2");
        assertThat(Sql.rows(logins.owner(), "select finding from audit.findings()"))
                .containsExactly("audit_hash");
    }
}
