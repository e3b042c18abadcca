package airway.registry.testing;

import airway.registry.access.Role;
import airway.sql.Login;
import airway.sql.TestDatabase;
import java.io.IOException;
import java.math.BigInteger;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import java.util.concurrent.ConcurrentHashMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.springframework.security.crypto.argon2.Argon2PasswordEncoder;

/** An invented person with the roles a test needs, who signs in as people do; with a token of the same rights. */
public final class Tester {
    public static final String PASSWORD = "copper lantern wide meadow";

    private static final Pattern SECRET = Pattern.compile("name=\"_csrf\" value=\"([^\"]+)\"");
    private static final HttpClient HTTP = HttpClient.newHttpClient();

    /** Hashing takes its time, and the password is always the same. */
    private static final String HASH = String.valueOf(new Argon2PasswordEncoder(16, 32, 1, 19_456, 2).encode(PASSWORD));

    private final TestDatabase.Logins logins;
    private final int actor;
    private final String login;
    private final String token;
    private final Map<Integer, Session> sessions = new ConcurrentHashMap<>();

    /** A browser's cookie, and the secret of its forms. */
    public record Session(String cookie, String secret) {}

    private Tester(TestDatabase.Logins logins, int actor, String login, String token) {
        this.logins = logins;
        this.actor = actor;
        this.login = login;
        this.token = token;
    }

    /** A new person without any role. */
    public static Tester fresh(TestDatabase.Logins logins) {
        String name = "tester-" + UUID.randomUUID();
        String token = UUID.randomUUID() + "-" + UUID.randomUUID();
        int actor = number(
                logins,
                "insert into access.actor (title, operator_grade, operator_experience)"
                        + " values ('Tester', 'senior', '25_100') returning actor_id");
        number(
                logins,
                "insert into access.account (actor_id, login, state, password_hash) values (?, ?, 'active', ?)"
                        + " returning actor_id",
                actor,
                name,
                HASH);
        number(
                logins,
                "insert into access.token (actor_id, token_hash, made_by, expires_at) values (?, ?, 1, '2030-01-01')"
                        + " returning actor_id",
                actor,
                sha256(token));
        return new Tester(logins, actor, name, token);
    }

    /** Gives roles in a unit, or beside the units. */
    public Tester with(@Nullable Short unit, Role... roles) {
        for (Role role : roles) {
            number(
                    logins,
                    "insert into access.role_grant (actor_id, role, site_id, granted_by) values (?, ?, ?, 1)"
                            + " returning grant_id",
                    actor,
                    role.code(),
                    unit);
        }
        return this;
    }

    public int actor() {
        return actor;
    }

    public String login() {
        return login;
    }

    public String token() {
        return token;
    }

    /** The session with the program at this port: signed in at the first use. */
    public Session session(int port) {
        return sessions.computeIfAbsent(port, this::signIn);
    }

    private Session signIn(int port) {
        String base = "http://127.0.0.1:" + port;
        HttpResponse<String> form =
                send(HttpRequest.newBuilder(URI.create(base + "/sign-in")).GET());
        HttpResponse<String> in = send(HttpRequest.newBuilder(URI.create(base + "/sign-in"))
                .header("Content-Type", "application/x-www-form-urlencoded")
                .header("Cookie", cookie(form))
                .header("X-CSRF-TOKEN", found(form.body()))
                .POST(HttpRequest.BodyPublishers.ofString(
                        "login=" + login + "&password=" + PASSWORD.replace(' ', '+'))));
        if (in.statusCode() != 303) {
            throw new IllegalStateException("not signed in: " + in.statusCode() + " " + in.body());
        }
        String cookie = cookie(in);
        HttpResponse<String> secret = send(HttpRequest.newBuilder(URI.create(base + "/sign-in/again"))
                .header("Cookie", cookie)
                .GET());
        return new Session(cookie, secret.body());
    }

    private static String found(String page) {
        Matcher found = SECRET.matcher(page);
        if (!found.find()) {
            throw new IllegalStateException("no secret in the form: " + page);
        }
        return found.group(1);
    }

    private static String cookie(HttpResponse<?> answer) {
        List<String> set = answer.headers().allValues("Set-Cookie");
        return set.get(set.size() - 1).split(";", 2)[0];
    }

    private static HttpResponse<String> send(HttpRequest.Builder request) {
        try {
            return HTTP.send(request.build(), HttpResponse.BodyHandlers.ofString());
        } catch (IOException e) {
            throw new IllegalStateException(e);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException(e);
        }
    }

    private static int number(TestDatabase.Logins logins, String sql, @Nullable Object... values) {
        Login owner = logins.owner();
        try (Connection connection = DriverManager.getConnection(owner.url(), owner.user(), owner.password());
                PreparedStatement statement = connection.prepareStatement(sql)) {
            for (int i = 0; i < values.length; i++) {
                statement.setObject(i + 1, values[i]);
            }
            try (ResultSet result = statement.executeQuery()) {
                result.next();
                return result.getInt(1);
            }
        } catch (SQLException e) {
            throw new IllegalStateException(sql, e);
        }
    }

    private static byte[] sha256(String text) {
        try {
            return MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8));
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException(e);
        }
    }

    /** Reads base 32 (RFC 4648) as a phone does, independently of the program. */
    public static byte[] base32(String text) {
        BigInteger all = BigInteger.ZERO;
        for (int i = 0; i < text.length(); i++) {
            all = all.shiftLeft(5).or(BigInteger.valueOf("ABCDEFGHIJKLMNOPQRSTUVWXYZ234567".indexOf(text.charAt(i))));
        }
        byte[] out = new byte[text.length() * 5 / 8];
        byte[] raw = all.toByteArray();
        for (int i = 0; i < Math.min(out.length, raw.length); i++) {
            out[out.length - 1 - i] = raw[raw.length - 1 - i];
        }
        return out;
    }
}
