package airway.sql;

import java.util.Map;
import org.flywaydb.core.Flyway;
import org.flywaydb.core.api.FlywayException;
import org.flywaydb.core.api.exception.FlywayValidateException;

/** The migrations of the schema, run as its owner. Role names are placeholders: they belong to the whole cluster. */
public final class Migrations {
    private Migrations() {}

    /**
     * Brings the schema up to date.
     *
     * @param owner the role that will own every table
     * @param app the role of the application; made without a login if it is not there
     * @throws CannotStart if the database is newer than this program, was changed by hand, or a step fails
     */
    public static void migrate(Login owner, String app) {
        migrate(owner, app, "classpath:db/migration");
    }

    /** The same from another place: the build reads the migrations before they are on a class path. */
    public static void migrate(Login owner, String app, String location) {
        try {
            Flyway.configure()
                    .dataSource(owner.url(), owner.user(), owner.password())
                    .locations(location)
                    .defaultSchema("migration")
                    .ignoreMigrationPatterns(new String[0])
                    .placeholders(Map.of("owner", owner.user(), "app", app))
                    .load()
                    .migrate();
        } catch (FlywayValidateException e) {
            throw new CannotStart(
                    "The database schema is not one that this program knows: a newer version has made it,"
                            + " or it was changed by hand.",
                    e);
        } catch (FlywayException e) {
            throw new CannotStart("The database schema could not be brought up to date: " + firstLine(e), e);
        }
    }

    private static String firstLine(Exception e) {
        return String.valueOf(e.getMessage()).strip().lines().findFirst().orElse("unknown");
    }
}
