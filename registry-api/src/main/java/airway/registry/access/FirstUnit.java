package airway.registry.access;

import airway.registry.database.Acting;
import airway.sql.CannotStart;
import java.time.DateTimeException;
import java.time.ZoneId;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.InitializingBean;
import org.springframework.boot.context.properties.ConfigurationProperties;
import org.springframework.boot.context.properties.EnableConfigurationProperties;
import org.springframework.boot.context.properties.bind.DefaultValue;
import org.springframework.stereotype.Component;

/** The unit named by the settings {@code airway.unit.*}, made at the first start. */
@Component
@EnableConfigurationProperties(FirstUnit.Settings.class)
class FirstUnit implements InitializingBean {
    /** Code, title, kind and time zone of a unit; without a code none is made. */
    @ConfigurationProperties("airway.unit")
    record Settings(
            @Nullable String code,
            @Nullable String title,
            @DefaultValue("picu") String kind,
            @DefaultValue("Europe/London") String zone) {}

    private final Sites sites;
    private final Settings settings;

    FirstUnit(Sites sites, Settings settings) {
        this.sites = sites;
        this.settings = settings;
    }

    /** Adds the unit of the settings unless it is there, before anybody is served. */
    @Override
    public void afterPropertiesSet() {
        String code = settings.code();
        if (code == null) {
            return;
        }
        try {
            String title = settings.title();
            Acting.asProgram(() ->
                    sites.add(code, title == null ? code : title, settings.kind(), ZoneId.of(settings.zone()), false));
        } catch (DateTimeException e) {
            throw new CannotStart("airway.unit.zone is not a time zone, for example Europe/London.", e);
        }
    }
}
