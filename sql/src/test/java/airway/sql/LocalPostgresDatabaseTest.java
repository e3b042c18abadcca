package airway.sql;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class LocalPostgresDatabaseTest {
    private final Path home;

    LocalPostgresDatabaseTest(@TempDir Path directory) {
        home = directory.resolve("database");
    }

    @Test
    void keepsWhatWasCommittedAcrossAStop() throws SQLException {
        try (LocalPostgres server = LocalPostgres.start(home, null)) {
            Sql.execute(server.owner(), "create table kept as select 42 as answer");
        }
        try (LocalPostgres server = LocalPostgres.start(home, null)) {
            assertThat(Sql.rows(server.owner(), "select answer from kept")).containsExactly("42");
        }
    }

    @Test
    void startsDurableOnLoopbackWithPasswordsAndChecksums() throws SQLException, IOException {
        try (LocalPostgres server = LocalPostgres.start(home, null)) {
            DurableSettings.check(server.owner(), true);
            assertThat(Sql.rows(server.superuser(), "select auth_method from pg_hba_file_rules"))
                    .isNotEmpty()
                    .containsOnly("scram-sha-256");
            assertThat(Sql.rows(server.owner(), "show listen_addresses")).containsExactly("127.0.0.1");
            assertThat(Sql.rows(server.owner(), "show server_version").get(0)).startsWith(LocalPostgres.MAJOR + ".");
            assertThatThrownBy(() -> DriverManager.getConnection(server.app().url(), "airway_app", "wrong"))
                    .hasMessageContaining("password");
        }
        assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(home.resolve("secrets"))))
                .isEqualTo("rw-------");
    }

    @Test
    void refusesSettingsThatCouldLoseARecord() throws SQLException {
        try (LocalPostgres server = LocalPostgres.start(home, null)) {
            for (String setting : List.of("fsync", "full_page_writes", "synchronous_commit")) {
                Sql.execute(server.superuser(), "alter system set " + setting + " = off");
                Sql.execute(server.superuser(), "select pg_reload_conf(), pg_sleep(0.5)");
                assertThatThrownBy(() -> DurableSettings.check(server.owner(), true))
                        .isInstanceOf(CannotStart.class)
                        .hasMessageContaining(setting + " is off");
                Sql.execute(server.superuser(), "alter system reset " + setting);
            }
        }
    }

    @Test
    void refusesASecondStartWithASentence() {
        try (LocalPostgres first = LocalPostgres.start(home, null)) {
            assertThat(first.app().user()).isEqualTo("airway_app");
            assertThatThrownBy(() -> LocalPostgres.start(home, null))
                    .isInstanceOf(CannotStart.class)
                    .hasMessageContaining("in use by another running copy");
        }
    }

    @Test
    void letsAnotherCommandJoinTheRunningServerAndLeaveIt() throws SQLException {
        try (LocalPostgres first = LocalPostgres.start(home, null)) {
            try (LocalPostgres second = LocalPostgres.startOrAttach(home, null)) {
                assertThat(second.app()).isEqualTo(first.app());
            }
            assertThat(Sql.rows(first.app(), "select 1")).containsExactly("1");
        }
    }

    @Test
    void refusesADirectoryOfAnotherMajorVersion() throws IOException {
        LocalPostgres.start(home, null).close();
        Files.writeString(home.resolve("data/PG_VERSION"), "17\n");

        assertThatThrownBy(() -> LocalPostgres.start(home, null))
                .isInstanceOf(CannotStart.class)
                .hasMessageContaining("PostgreSQL 17");
    }

    @Test
    void refusesADirectoryThatCannotBeWritten() throws IOException {
        Files.writeString(home, "a file stands where the directory should be");

        assertThatThrownBy(() -> LocalPostgres.start(home, null))
                .isInstanceOf(CannotStart.class)
                .hasMessageContaining("cannot be written");
    }

    @Test
    void finishesAFirstStartThatWasCutShort() throws IOException, SQLException {
        Files.createDirectories(home.resolve("data.new/base"));

        try (LocalPostgres server = LocalPostgres.start(home, null)) {
            assertThat(Sql.rows(server.owner(), "select 1")).containsExactly("1");
        }
    }
}
