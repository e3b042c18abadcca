package airway.registry.testing;

import airway.registry.RegistryApplication;
import airway.sql.Login;
import airway.sql.TestDatabase;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.springframework.boot.Banner;
import org.springframework.boot.WebApplicationType;
import org.springframework.boot.builder.SpringApplicationBuilder;
import org.springframework.context.ConfigurableApplicationContext;

/** The program without its web, on a fresh database of its own. */
public final class OpenRegistry implements AutoCloseable {
    private final TestDatabase.Logins logins;
    private final ConfigurableApplicationContext context;

    private OpenRegistry(TestDatabase.Logins logins, ConfigurableApplicationContext context) {
        this.logins = logins;
        this.context = context;
    }

    /** With settings of its own, if any. */
    public static OpenRegistry fresh(String... more) {
        return on(TestDatabase.fresh(), more);
    }

    /** The program on a database that is there; its schema is brought up to date as at any start. */
    public static OpenRegistry on(TestDatabase.Logins logins, String... more) {
        return new OpenRegistry(
                logins,
                new SpringApplicationBuilder(RegistryApplication.class)
                        .web(WebApplicationType.NONE)
                        .bannerMode(Banner.Mode.OFF)
                        .logStartupInfo(false)
                        .run(Stream.concat(settings(logins).stream(), Stream.of(more))
                                .toArray(String[]::new)));
    }

    /** The settings that lead the program to a database. */
    public static List<String> settings(TestDatabase.Logins logins) {
        Login app = logins.app();
        Login owner = logins.owner();
        return List.of(
                "--airway.database.mode=external",
                "--airway.database.network=own",
                "--spring.datasource.url=" + app.url(),
                "--spring.datasource.username=" + app.user(),
                "--spring.datasource.password=" + app.password(),
                "--spring.flyway.user=" + owner.user(),
                "--spring.flyway.password=" + owner.password());
    }

    public <T> T bean(Class<T> type) {
        return context.getBean(type);
    }

    /** The rows of a query as the owner of the schema sees them: the values of each, with commas between. */
    public List<String> rows(String sql) {
        return rows(logins, sql);
    }

    /** The same for a database that is not open. */
    public static List<String> rows(TestDatabase.Logins logins, String sql) {
        Login owner = logins.owner();
        try (Connection connection = DriverManager.getConnection(owner.url(), owner.user(), owner.password());
                ResultSet result = connection.createStatement().executeQuery(sql)) {
            List<String> rows = new ArrayList<>();
            while (result.next()) {
                List<String> values = new ArrayList<>();
                for (int i = 1; i <= result.getMetaData().getColumnCount(); i++) {
                    values.add(String.valueOf(result.getString(i)));
                }
                rows.add(String.join(",", values));
            }
            return rows;
        } catch (SQLException e) {
            throw new IllegalStateException(sql, e);
        }
    }

    @Override
    public void close() {
        context.close();
    }
}
