package airway.sql;

import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.DriverPropertyInfo;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.HashMap;
import java.util.Map;
import java.util.Properties;
import java.util.Set;
import java.util.stream.Stream;

/** A server that others run: what must hold before records are sent to it. */
public final class OtherServer {
    private static final Set<String> HERE = Set.of("localhost", "127.0.0.1", "::1", "[::1]");

    private OtherServer() {}

    /**
     * Looks at the two roles and at the way to the server.
     *
     * @param ownNetwork whether nobody else is on the network between, as on that of two containers
     * @throws CannotStart if the application could do what only the owner may, or records would cross a network without
     *     a proof that this is the server; also if the server does not answer
     */
    public static void check(Login owner, Login app, boolean ownNetwork) {
        if (owner.user().equals(app.user())) {
            throw new CannotStart("spring.flyway.user and spring.datasource.username are the same role:"
                    + " the application must not own the tables it may only add to.");
        }
        if (!ownNetwork) {
            Stream.of(owner, app).forEach(login -> proved(login.url()));
        }
        bounded(owner, app.user());
    }

    private static void proved(String url) {
        Map<String, String> read = new HashMap<>();
        try {
            for (DriverPropertyInfo property : DriverManager.getDriver(url).getPropertyInfo(url, new Properties())) {
                read.put(property.name, String.valueOf(property.value));
            }
        } catch (SQLException e) {
            throw new CannotStart(
                    "This is no address of a database: jdbc:postgresql://db.example:5432/airway is one.", e);
        }
        boolean here = Stream.of(read.getOrDefault("PGHOST", "").split(",")).allMatch(HERE::contains);
        if (!here && !"verify-full".equals(read.get("sslmode"))) {
            throw new CannotStart("The database is on another machine: add sslmode=verify-full to its address, so that"
                    + " nobody on the way can read records or stand in for the server. If the network between is yours"
                    + " alone, say so by airway.database.network=own.");
        }
    }

    private static void bounded(Login owner, String app) {
        String question = "select rolsuper, rolbypassrls, pg_has_role(oid, current_user::regrole, 'member')"
                + " from pg_roles where rolname = ?";
        try (Connection connection = DriverManager.getConnection(owner.url(), owner.user(), owner.password());
                PreparedStatement asked = connection.prepareStatement(question)) {
            asked.setString(1, app);
            try (ResultSet row = asked.executeQuery()) {
                if (!row.next()) {
                    return;
                }
                String power = row.getBoolean(1)
                        ? "is a superuser"
                        : row.getBoolean(2)
                                ? "passes by row security"
                                : row.getBoolean(3) ? "is a member of " + owner.user() : "";
                if (!power.isEmpty()) {
                    throw new CannotStart("The role of the application " + power
                            + ": it could change what was recorded and see every unit. Give it a role without that.");
                }
            }
        } catch (SQLException e) {
            throw DurableSettings.unreachable(owner, e);
        }
    }
}
