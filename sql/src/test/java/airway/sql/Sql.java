package airway.sql;

import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;

/** Plain SQL for tests. */
public final class Sql {
    private Sql() {}

    public static Connection connect(Login login) throws SQLException {
        return DriverManager.getConnection(login.url(), login.user(), login.password());
    }

    /** The first column of every row, as text. */
    public static List<String> rows(Login login, String sql) throws SQLException {
        try (Connection connection = connect(login)) {
            return rows(connection, sql);
        }
    }

    public static List<String> rows(Connection connection, String sql) throws SQLException {
        try (Statement statement = connection.createStatement();
                ResultSet rows = statement.executeQuery(sql)) {
            List<String> found = new ArrayList<>();
            while (rows.next()) {
                found.add(rows.getString(1));
            }
            return found;
        }
    }

    public static void execute(Login login, String sql) throws SQLException {
        try (Connection connection = connect(login)) {
            execute(connection, sql);
        }
    }

    public static void execute(Connection connection, String sql) throws SQLException {
        try (Statement statement = connection.createStatement()) {
            statement.execute(sql);
        }
    }
}
