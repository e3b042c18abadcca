package airway.registry;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.demo.Demo;
import airway.registry.testing.OpenRegistry;
import airway.sql.Sql;
import airway.sql.TestDatabase;
import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The verb as a script sees it; what the owner of the database changes behind the program's back is found and named. */
class VerifyCommandDatabaseTest {
    private static final String FIRST = "(select encounter_id from encounter.encounter order by encounter_id limit 1)";

    private final TestDatabase.Logins logins = TestDatabase.fresh();
    private final ByteArrayOutputStream out = new ByteArrayOutputStream();
    private final ByteArrayOutputStream err = new ByteArrayOutputStream();
    private final PrintStream stdout = System.out;
    private final PrintStream stderr = System.err;

    @BeforeEach
    void fill() {
        try (OpenRegistry registry = OpenRegistry.on(logins)) {
            registry.bean(Demo.class).fill(5, 1);
        }
        System.setOut(new PrintStream(out, true, StandardCharsets.UTF_8));
        System.setErr(new PrintStream(err, true, StandardCharsets.UTF_8));
    }

    @AfterEach
    void giveBack() {
        System.setOut(stdout);
        System.setErr(stderr);
    }

    private int verify() {
        out.reset();
        err.reset();
        List<String> args = new ArrayList<>(List.of("verify"));
        args.addAll(OpenRegistry.settings(logins));
        return CommandLine.run(args.toArray(String[]::new));
    }

    @Test
    void findsNothingInARegistryThatWasLeftAlone() {
        assertThat(verify()).isZero();
        assertThat(out.toString(StandardCharsets.UTF_8)).isEqualTo("0" + System.lineSeparator());
        assertThat(err.toString(StandardCharsets.UTF_8)).contains("Everything is as it should be.");
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "update encounter.version set urgency = 'elective', location = 'ward' where encounter_id = %s"
                        + "|it was changed after it was written: the audit's hash does not fit."
                        + "|figures are made from other answers than it has: location",
                "delete from audit.entry where object_id = %s|the audit has no row about it.|",
                "update analysis.fact set fps = case fps when 1 then 0 else 1 end where encounter_id = %s"
                        + "|figures are made from other answers than it has: fps.|",
                "delete from analysis.fact where encounter_id = %s|its fact row is missing.|",
                "update audit.entry set action = 'withdrawn' where object_id = %s|differs between record and audit.|",
                "delete from encounter.patient where encounter_id = %s|the part about the patient is missing.|",
                "update encounter.attempt set attempt_no = attempt_no + 7 where encounter_id = %s"
                        + "|its attempts are not numbered from 1 without a gap.|"
            })
    void namesTheRecordThatSomebodyChanged(String change, String words, String more) throws SQLException {
        String id = OpenRegistry.rows(logins, "select" + FIRST).get(0);
        tamper(change.formatted(FIRST));

        assertThat(verify()).isEqualTo(1);

        assertThat(Integer.parseInt(out.toString(StandardCharsets.UTF_8).strip()))
                .isPositive();
        assertThat(err.toString(StandardCharsets.UTF_8))
                .contains("record " + id, words)
                .contains(more == null ? "" : more);
    }

    @Test
    void namesTheYearWhoseTalliesSomebodyChanged() throws SQLException {
        tamper("select analysis.tally(100000)");
        assertThat(verify()).as("as tallied").isZero();
        String year = OpenRegistry.rows(logins, "select max(year) from analysis.tally")
                .get(0);
        tamper("update analysis.tally set records = ~records where question in ('fps', 'age_band')"
                + " and year = (select max(year) from analysis.tally)");

        assertThat(verify()).isEqualTo(1);

        assertThat(err.toString(StandardCharsets.UTF_8))
                .contains("tallies for charts: ", " tallies of " + year + " are not what its records give.");
    }

    @Test
    void findsAVersionThatIsMissingAndOneThatDoesNotCount() throws SQLException {
        tamper("insert into encounter.version (site_id, encounter_id, version, status, recorded_by, recorded_at,"
                + " dictionary_version, encounter_kind, encounter_start, reason_code)"
                + " select site_id, encounter_id, 3, 'amended', 1, recorded_at, dictionary_version, encounter_kind,"
                + " encounter_start, 'other' from encounter.version where encounter_id = " + FIRST);

        assertThat(verify()).isEqualTo(1);

        assertThat(err.toString(StandardCharsets.UTF_8))
                .contains("its versions are not numbered from 1 without a gap.")
                .contains("version 1: this one counts, but version 3 is the newest.");
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "alter table changes.version drop constraint version_no_gap;"
                        + " update changes.version set version = 2, status = 'amended', reason_code = 'other'"
                        + "|its versions are not numbered from 1 without a gap.|the audit has a row about it, but it is not there.",
                "update changes.version set changed_on = changed_on + 1|the audit's hash does not fit.|",
                "delete from audit.entry where object = 'change'|the audit has no row about it.|",
                "insert into audit.entry (actor_id, site_id, action, object, object_id, version, hash) select actor_id,"
                        + " site_id, action, object, object_id, version, hash from audit.entry where object = 'change'"
                        + "|the audit has more than one row about it.|",
                "update audit.entry set action = 'withdrawn' where object = 'change'|differs between record and audit.|"
            })
    void namesTheChangeOfPracticeThatSomebodyChanged(String change, String words, String more) throws SQLException {
        String id = OpenRegistry.rows(logins, "select change_id from changes.version")
                .get(0);
        tamper(change);

        assertThat(verify()).isEqualTo(1);

        assertThat(err.toString(StandardCharsets.UTF_8))
                .contains("Unit harbour, change " + id + ", version ", words)
                .contains(more == null ? "" : more);
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "'\\x01'|alter table identity.hospital_number drop constraint"
                        + " hospital_number_site_id_encounter_id_fkey; update identity.hospital_number set"
                        + " encounter_id = '00000000-0000-4000-8000-000000000000'|it is kept, but there is no such record.",
                "'\\x09'|select 1|it is sealed with key 9, which this database does not know."
            })
    void namesTheHospitalNumberThatCannotBeRight(String key, String change, String words) throws SQLException {
        tamper("insert into access.key (key_no, check_value) values (1, sha256('x'))");
        tamper("insert into identity.hospital_number (site_id, encounter_id, sealed, lookup) select site_id,"
                + " encounter_id, '" + key + "'::bytea || sha256('y'), sha256('z') from encounter.encounter"
                + " where encounter_id = " + FIRST);
        tamper(change);

        assertThat(verify()).isEqualTo(1);

        assertThat(err.toString(StandardCharsets.UTF_8))
                .contains(", hospital number of record ")
                .contains(": " + words);
    }

    /** As the owner, whom no policy and no trigger of the application stops. */
    private void tamper(String change) throws SQLException {
        try (Connection connection = Sql.connect(logins.owner())) {
            connection.setAutoCommit(false);
            Sql.execute(connection, "select set_config('airway.actor', '1', true)");
            Sql.execute(connection, change);
            connection.commit();
        }
    }
}
