package airway.sql;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.sql.SQLException;
import org.junit.jupiter.api.Test;

class MigrationsDatabaseTest {
    private final TestDatabase.Logins logins = TestDatabase.fresh();

    @Test
    void runTwiceAndChangeNothing() throws SQLException {
        String history = "select count(*) from migration.flyway_schema_history";
        var before = Sql.rows(logins.owner(), history);

        Migrations.migrate(logins.owner(), logins.app().user());

        assertThat(Sql.rows(logins.owner(), history)).isEqualTo(before);
    }

    @Test
    void commentEveryTableAndColumn() throws SQLException {
        assertThat(Sql.rows(logins.owner(), """
                        select c.oid::regclass || coalesce('.' || a.attname, '')
                        from pg_class c
                        join pg_namespace n on n.oid = c.relnamespace
                        left join pg_attribute a on a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped
                        where n.nspname in ('access', 'encounter', 'audit', 'analysis', 'quality', 'imports', 'changes', 'reviews', 'aims', 'reports', 'charts', 'release', 'session', 'identity', 'kit', 'research') and c.relkind = 'r'
                          and (obj_description(c.oid) is null or col_description(c.oid, a.attnum) is null)
                        """)).isEmpty();
    }

    @Test
    void letTheApplicationOwnNothing() throws SQLException {
        assertThat(Sql.rows(
                        logins.owner(),
                        "select relname from pg_class where pg_get_userbyid(relowner) = '"
                                + logins.app().user() + "'"))
                .isEmpty();
        assertThatThrownBy(() -> Sql.execute(logins.app(), "create table encounter.mine (a int)"))
                .hasMessageContaining("permission denied");
    }

    @Test
    void refuseADatabaseThatANewerProgramHasMade() throws SQLException {
        Sql.execute(
                logins.owner(),
                "insert into migration.flyway_schema_history"
                        + " (installed_rank, version, description, type, script, installed_by, execution_time, success)"
                        + " values (900, '900', 'later', 'SQL', 'V900__later.sql', 'x', 1, true)");

        assertThatThrownBy(() -> Migrations.migrate(logins.owner(), logins.app().user()))
                .isInstanceOf(CannotStart.class)
                .hasMessageContaining("newer");
    }

    @Test
    void refuseAMigrationThatWasChangedAfterwards() throws SQLException {
        Sql.execute(logins.owner(), "update migration.flyway_schema_history set checksum = 1 where version = '003'");

        assertThatThrownBy(() -> Migrations.migrate(logins.owner(), logins.app().user()))
                .isInstanceOf(CannotStart.class);
    }
}
