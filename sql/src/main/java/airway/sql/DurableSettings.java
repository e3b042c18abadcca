package airway.sql;

import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;

/**
 * What a server must promise before a record is trusted to it: that a committed row outlives the loss of power.
 *
 * <p>Source: PostgreSQL manual, chapters on write-ahead log settings and reliability.
 */
public final class DurableSettings {
    private static final int OLDEST = 150_000;
    private static final Map<String, List<String>> REQUIRED = Map.of(
            "fsync", List.of("on"),
            "full_page_writes", List.of("on"),
            "synchronous_commit", List.of("on", "local", "remote_write", "remote_apply"),
            "server_encoding", List.of("UTF8"));

    private DurableSettings() {}

    /**
     * Looks at the settings of a server.
     *
     * @param checksums whether page checksums are required: so for the server that comes along, advice for another
     * @throws CannotStart if a setting would let an acknowledged record be lost, or the server does not answer
     */
    public static void check(Login login, boolean checksums) {
        try (Connection connection = DriverManager.getConnection(login.url(), login.user(), login.password());
                Statement statement = connection.createStatement()) {
            List<String> faults = new ArrayList<>();
            int version = Integer.parseInt(show(statement, "server_version_num"));
            if (version < OLDEST) {
                faults.add("the server is version " + version / 10_000 + ", 15 or later is needed");
            }
            REQUIRED.entrySet().stream().sorted(Map.Entry.comparingByKey()).forEach(setting -> {
                String value = show(statement, setting.getKey());
                if (!setting.getValue().contains(value)) {
                    faults.add(setting.getKey() + " is " + value);
                }
            });
            if (checksums && !show(statement, "data_checksums").equals("on")) {
                faults.add("data_checksums is off");
            }
            if (!faults.isEmpty()) {
                throw new CannotStart("The database would not keep records safely: " + String.join("; ", faults) + ".");
            }
        } catch (SQLException e) {
            throw unreachable(login, e);
        }
    }

    static CannotStart unreachable(Login login, SQLException e) {
        return new CannotStart(
                "The database at " + login.url() + " cannot be reached as " + login.user() + ": " + reason(e), e);
    }

    private static String show(Statement statement, String setting) {
        try (ResultSet row = statement.executeQuery("select current_setting('" + setting + "')")) {
            row.next();
            return row.getString(1);
        } catch (SQLException e) {
            throw new CannotStart("The database setting " + setting + " cannot be read: " + reason(e), e);
        }
    }

    private static String reason(SQLException e) {
        return String.valueOf(e.getMessage()).lines().findFirst().orElse("no reason given");
    }
}
