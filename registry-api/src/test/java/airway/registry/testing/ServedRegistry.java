package airway.registry.testing;

import airway.registry.RegistryApplication;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.encounter.DeviceSetups;
import airway.sql.TestDatabase;
import com.zaxxer.hikari.HikariDataSource;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.sql.SQLException;
import java.time.ZoneId;
import java.util.List;
import java.util.stream.Collectors;
import org.springframework.boot.Banner;
import org.springframework.boot.WebApplicationType;
import org.springframework.boot.builder.SpringApplicationBuilder;
import org.springframework.context.ConfigurableApplicationContext;
import tools.jackson.databind.json.JsonMapper;

/** The program with its web on a port of its own and a fresh database: one unit, three set-ups, no records. */
public final class ServedRegistry implements AutoCloseable {
    private static final List<String> SETUPS = List.of("""
            {"device_setup_id": "metal-handle", "title": "Metal blade, straight, size 1",
             "device_mode": "video_standard", "blade_geometry": "straight", "blade_size": "1",
             "blade_material": "metal", "blade_use": "reusable", "display_mounting": "handle"}""", """
            {"device_setup_id": "plastic-cable", "title": "Plastic blade, curved, size 1",
             "device_mode": "video_standard", "blade_geometry": "curved", "blade_size": "1",
             "blade_material": "plastic", "blade_use": "single_use", "display_mounting": "cable"}""", """
            {"device_setup_id": "metal-direct", "title": "Metal blade, straight, size 1, no screen",
             "device_mode": "direct", "blade_geometry": "straight", "blade_size": "1",
             "blade_material": "metal", "blade_use": "reusable", "display_mounting": "none"}""");

    private final ConfigurableApplicationContext context;
    private final HttpClient http =
            HttpClient.newBuilder().followRedirects(HttpClient.Redirect.NEVER).build();

    private ServedRegistry(ConfigurableApplicationContext context) {
        this.context = context;
    }

    public static ServedRegistry fresh() {
        TestDatabase.Logins logins = TestDatabase.fresh();
        ServedRegistry served = new ServedRegistry(new SpringApplicationBuilder(RegistryApplication.class)
                .web(WebApplicationType.SERVLET)
                .bannerMode(Banner.Mode.OFF)
                .logStartupInfo(false)
                .run(
                        "--server.port=0",
                        "--airway.database.mode=external",
                        "--spring.datasource.url=" + logins.app().url(),
                        "--spring.datasource.username=" + logins.app().user(),
                        "--spring.datasource.password=" + logins.app().password(),
                        "--spring.flyway.user=" + logins.owner().user(),
                        "--spring.flyway.password=" + logins.owner().password()));
        served.unit("harbour", "Harbour Children's Unit", false);
        JsonMapper json = new JsonMapper();
        SETUPS.forEach(setup -> served.bean(DeviceSetups.class).add(json.readTree(setup)));
        return served;
    }

    /** Adds a unit. */
    public Site unit(String code, String title, boolean invented) {
        return bean(Sites.class).add(code, title, "picu", ZoneId.of("Europe/London"), invented);
    }

    public <T> T bean(Class<T> type) {
        return context.getBean(type);
    }

    public URI at(String path) {
        return URI.create(
                "http://127.0.0.1:" + context.getEnvironment().getRequiredProperty("local.server.port") + path);
    }

    /** A page as a browser asks for it. */
    public HttpResponse<String> get(String path) {
        return send(HttpRequest.newBuilder(at(path)));
    }

    /** A form sent: names and values in turn, joined by "=". */
    public HttpResponse<String> post(String path, List<String> fields) {
        String body = fields.stream()
                .map(field -> encode(field.substring(0, field.indexOf('='))) + "="
                        + encode(field.substring(field.indexOf('=') + 1)))
                .collect(Collectors.joining("&"));
        return send(HttpRequest.newBuilder(at(path))
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    private HttpResponse<String> send(HttpRequest.Builder request) {
        try {
            return http.send(
                    request.header("Accept", "text/html").build(),
                    HttpResponse.BodyHandlers.ofString(StandardCharsets.UTF_8));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException(e);
        }
    }

    private static String encode(String text) {
        return URLEncoder.encode(text, StandardCharsets.UTF_8);
    }

    /** From now on nobody else gets to the database: every connection of the pool is taken and kept. */
    public void loseDatabase() {
        HikariDataSource pool = bean(HikariDataSource.class);
        pool.setConnectionTimeout(300);
        try {
            for (int taken = 0; taken < pool.getMaximumPoolSize(); taken++) {
                pool.getConnection();
            }
        } catch (SQLException e) {
            throw new IllegalStateException(e);
        }
    }

    @Override
    public void close() {
        context.close();
    }
}
