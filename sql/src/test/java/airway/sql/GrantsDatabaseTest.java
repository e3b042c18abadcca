package airway.sql;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.SQLException;
import java.util.List;
import org.junit.jupiter.api.Test;

class GrantsDatabaseTest {
    private static final Path KNOWN = Path.of("src", "test", "resources", "grants.txt");

    /** All that is granted to the application or to everybody: on schemas, tables, columns, sequences and functions. */
    private static final String GRANTED = """
            with thing (name, schema, acl) as (
              select 'schema ' || nspname, oid, nspacl from pg_namespace
              union all
              select case relkind when 'S' then 'sequence ' when 'v' then 'view ' else 'table ' end || oid::regclass,
                     relnamespace, relacl from pg_class
              union all
              select 'column ' || c.oid::regclass || '.' || attname, relnamespace, attacl
              from pg_attribute join pg_class c on c.oid = attrelid
              union all
              select 'function ' || oid::regprocedure, pronamespace, coalesce(proacl, acldefault('f', proowner)) from pg_proc)
            select t.name || ': ' || string_agg(g.privilege_type, ', ' order by g.privilege_type)
                   || case when g.grantee = 0 then ' (everybody)' else '' end
            from thing t join pg_namespace n on n.oid = t.schema, aclexplode(t.acl) g
            where n.nspname !~ '^pg_|^information_schema$' and (g.grantee = 0 or g.grantee = '%s'::regrole)
            group by t.name, g.grantee order by t.name collate "C", g.grantee""";

    /** S30: what is granted stands in a file, so that a new grant is seen by whoever reads the change. */
    @Test
    void areThoseOfTheFile() throws IOException, SQLException {
        TestDatabase.Logins logins = TestDatabase.fresh();
        List<String> granted =
                Sql.rows(logins.owner(), GRANTED.formatted(logins.app().user()));
        Files.write(Path.of("target", "grants.txt"), granted);
        assertThat(granted)
                .as("if this is meant, copy sql/target/grants.txt to sql/" + KNOWN)
                .isEqualTo(Files.readAllLines(KNOWN));
    }

    @Test
    void ofTheApplicationComeFromNoOtherRole() throws SQLException {
        TestDatabase.Logins logins = TestDatabase.fresh();
        assertThat(Sql.rows(
                        logins.owner(),
                        "select roleid::regrole from pg_auth_members where member = '"
                                + logins.app().user() + "'::regrole"))
                .isEmpty();
    }
}
