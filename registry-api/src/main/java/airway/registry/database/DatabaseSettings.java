package airway.registry.database;

import java.nio.file.Path;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.context.properties.ConfigurationProperties;
import org.springframework.boot.context.properties.bind.DefaultValue;

/**
 * Which database holds the records.
 *
 * @param mode the server that comes along, or another one named by {@code spring.datasource.*}
 * @param osUser user of the machine to run the server as when this program runs as root
 */
@ConfigurationProperties("airway.database")
record DatabaseSettings(
        @DefaultValue("embedded") Mode mode, @Nullable String osUser) {
    enum Mode {
        EMBEDDED,
        EXTERNAL
    }

    /** Where the server that comes along lives. */
    static Path home(Path dataDirectory) {
        return dataDirectory.resolve("database").toAbsolutePath().normalize();
    }
}
