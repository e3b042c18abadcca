package airway.registry.database;

import airway.sql.CannotStart;
import airway.sql.DurableSettings;
import airway.sql.LocalPostgres;
import airway.sql.Login;
import airway.sql.Migrations;
import airway.sql.OtherServer;
import com.zaxxer.hikari.HikariConfig;
import com.zaxxer.hikari.HikariDataSource;
import java.nio.file.Path;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.boot.autoconfigure.condition.ConditionalOnProperty;
import org.springframework.boot.context.properties.EnableConfigurationProperties;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.core.env.Environment;

/**
 * The order in which the database comes up: server, promises checked, schema brought up to date, pool. Nothing is
 * trusted with a record before all four hold.
 */
@Configuration(proxyBeanMethods = false)
@EnableConfigurationProperties(DatabaseSettings.class)
class DatabaseConfiguration {
    /** Both ways into the database: as owner of the schema, and as the application. */
    record Logins(Login owner, Login app, boolean ours) {}

    @Bean
    @ConditionalOnProperty(name = "airway.database.mode", havingValue = "embedded", matchIfMissing = true)
    LocalPostgres localPostgres(
            DatabaseSettings settings,
            @Value("${airway.data-dir}") Path dataDirectory,
            @Value("${airway.command:serve}") String command) {
        Path home = DatabaseSettings.home(dataDirectory);
        return command.equals("serve")
                ? LocalPostgres.start(home, settings.osUser())
                : LocalPostgres.startOrAttach(home, settings.osUser());
    }

    @Bean
    @ConditionalOnProperty(name = "airway.database.mode", havingValue = "embedded", matchIfMissing = true)
    Logins embedded(LocalPostgres server) {
        return new Logins(server.owner(), server.app(), true);
    }

    @Bean
    @ConditionalOnProperty(name = "airway.database.mode", havingValue = "external")
    Logins external(Environment settings) {
        String url = required(settings, "spring.datasource.url");
        Login app = new Login(
                url,
                required(settings, "spring.datasource.username"),
                required(settings, "spring.datasource.password"));
        Login owner = new Login(
                settings.getProperty("spring.flyway.url", url),
                required(settings, "spring.flyway.user"),
                required(settings, "spring.flyway.password"));
        OtherServer.check(owner, app, "own".equals(settings.getProperty("airway.database.network")));
        return new Logins(owner, app, false);
    }

    @Bean(destroyMethod = "close")
    HikariDataSource dataSource(Logins logins) {
        DurableSettings.check(logins.owner(), logins.ours());
        Migrations.migrate(logins.owner(), logins.app().user());
        HikariConfig pool = new HikariConfig();
        pool.setPoolName("registry");
        pool.setJdbcUrl(logins.app().url());
        pool.setUsername(logins.app().user());
        pool.setPassword(logins.app().password());
        pool.setMaximumPoolSize(12);
        pool.setConnectionTimeout(5_000);
        pool.setAutoCommit(false);
        // What the server says of a failing row would carry its values into the log.
        pool.addDataSourceProperty("logServerErrorDetail", "false");
        // No question is so long that compiling it first would pay.
        pool.setConnectionInitSql("set statement_timeout = '10s'; set lock_timeout = '5s'; set jit = off;"
                + " set idle_in_transaction_session_timeout = '60s'; set timezone = 'UTC'");
        return new HikariDataSource(pool);
    }

    private static String required(Environment settings, String name) {
        String value = settings.getProperty(name);
        if (value == null || value.isBlank()) {
            throw new CannotStart("airway.database.mode is external, so " + name + " must be set.");
        }
        return value;
    }
}
