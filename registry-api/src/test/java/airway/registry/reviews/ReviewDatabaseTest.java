package airway.registry.reviews;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import airway.registry.cohort.Measure;
import airway.sql.Sql;
import airway.sql.TestDatabase;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What the database itself holds about reviews, whatever the program does. */
class ReviewDatabaseTest {
    private static final String ID = "00000000-0000-4000-8000-000000000001";
    private static final String INSERT =
            "insert into reviews.version (site_id, encounter_id, version, status, contributed,"
                    + " done, reason_code) values (%d, '" + ID + "', %d, '%s', '{team}', false, %s)";

    private final TestDatabase.Logins logins = TestDatabase.fresh();

    @BeforeEach
    void twoUnits() throws SQLException {
        Sql.execute(
                logins.owner(),
                "select access.add_site(c, c, 'picu', 'Europe/London', true) from unnest('{one,two}'::text[]) c");
        as(
                1,
                "insert into encounter.encounter (site_id, encounter_id, current_version) values (1, '" + ID + "', 1);"
                        + " insert into encounter.version (site_id, encounter_id, version, status, recorded_at,"
                        + " dictionary_version, encounter_kind, encounter_start)"
                        + " values (1, '" + ID + "', 1, 'final', now(), '1.0.0', 'initial', now())");
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
                "update reviews.version set done = true",
                "delete from reviews.version",
                "truncate reviews.version",
                INSERT.formatted(2, 1, "final", "null"),
                INSERT.formatted(1, 1, "final", "null")
                        .replace("done,", "done, recorded_by,")
                        .replace("false,", "false, 1,"))) {
            assertThatThrownBy(() -> as(1, sql))
                    .as(sql)
                    .isInstanceOfSatisfying(
                            SQLException.class, e -> assertThat(e.getSQLState()).isEqualTo("42501"));
        }
    }

    @Test
    void writesOneAuditRowForEachVersionAndNothingOfItsText() throws SQLException {
        as(1, INSERT.formatted(1, 2, "amended", "'other'"));

        assertThat(Sql.rows(
                        logins.owner(),
                        "select version || ' ' || action || ' ' || actor_id from audit.entry where object = 'review'"
                                + " order by entry_id"))
                .containsExactly("1 recorded 1", "2 amended 1");
        assertThat(Sql.rows(
                        logins.owner(),
                        "select count(*) from audit.entry e join reviews.version v on (v.encounter_id, v.version) ="
                                + " (e.object_id, e.version) where e.hash = audit.row_hash(v)"))
                .containsExactly("2");
        assertThat(Sql.rows(logins.owner(), "select finding from audit.findings() where object = 'review'"))
                .isEmpty();
    }

    @Test
    void holdsWhatAReviewMustSay() {
        for (String values : List.of("'{team,nothing_found}', false", "'{}', true", "'{luck}', false")) {
            assertThatThrownBy(() ->
                            as(1, INSERT.formatted(1, 2, "amended", "'other'").replace("'{team}', false", values)))
                    .as(values)
                    .isInstanceOfSatisfying(
                            SQLException.class, e -> assertThat(e.getSQLState()).isEqualTo("23514"));
        }
    }

    @Test
    void hasAnIndexOfTheRowsThatOpenAReviewByTheUsualScheme() throws SQLException {
        String index = Sql.rows(logins.owner(), "select pg_get_indexdef('analysis.fact_reviewed'::regclass)")
                .get(0);
        for (Measure measure : Case.OPENING) {
            assertThat(index).contains("(" + measure.column(null).getName() + " = 1)");
        }
    }

    @Test
    void findsAGapAndATextThatTheOwnerChanged() throws SQLException {
        as(1, INSERT.formatted(1, 2, "amended", "'other'"));
        Sql.execute(logins.owner(), "alter table reviews.version drop constraint version_no_gap");
        Sql.execute(logins.owner(), "delete from reviews.version where version = 1");
        Sql.execute(logins.owner(), "update reviews.version set learning_point = 'other words'");

        assertThat(Sql.rows(
                        logins.owner(),
                        "select finding || ' ' || version from audit.findings() where object = 'review' order by 1"))
                .containsExactly("audit_alone 1", "audit_hash 2", "versions_gap 2");
    }
}
