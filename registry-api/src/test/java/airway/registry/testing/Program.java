package airway.registry.testing;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;

/** The packaged program as a process of its own, as a user starts it. */
public final class Program implements AutoCloseable {
    /** What is delivered. */
    public static final Path JAR = Path.of("target/registry.jar").toAbsolutePath();

    private static final HttpClient HTTP = HttpClient.newBuilder()
            .version(HttpClient.Version.HTTP_1_1)
            .connectTimeout(Duration.ofSeconds(5))
            .build();

    private final Process process;
    private final String address;
    private final List<String> said;
    private String token = "";

    private Program(Process process, String address, List<String> said) {
        this.process = process;
        this.address = address;
        this.said = List.copyOf(said);
    }

    /** What a command said and how it ended. */
    public record Ended(int exit, String out, String err) {}

    /** Starts {@code serve} and waits until it says that it is ready. */
    public static Program serve(List<String> before, Path data, String... more) {
        List<String> words = new ArrayList<>(List.of("serve", "--server.port=0", "--airway.data-dir=" + data));
        words.addAll(List.of(more));
        try {
            Path err = Files.createTempFile("program", ".err");
            Process process = new ProcessBuilder(command(before, words))
                    .redirectError(err.toFile())
                    .start();
            BufferedReader out =
                    new BufferedReader(new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8));
            List<String> said = new ArrayList<>();
            for (String line = out.readLine(); line != null; line = out.readLine()) {
                if (line.startsWith("Ready at ")) {
                    return new Program(process, line.substring("Ready at ".length(), line.length() - 1), said);
                }
                said.add(line);
            }
            process.waitFor();
            throw new IllegalStateException("ended with " + process.exitValue() + ": " + Files.readString(err));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        } catch (InterruptedException e) {
            throw interrupted(e);
        }
    }

    /** Runs a command to its end. */
    public static Ended run(String... words) {
        try {
            Process process = new ProcessBuilder(command(List.of(), List.of(words))).start();
            Path err = Files.createTempFile("program", ".err");
            Thread drain = new Thread(() -> copy(process.getErrorStream(), err));
            drain.start();
            String out = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
            if (!process.waitFor(120, TimeUnit.SECONDS)) {
                process.destroyForcibly();
                throw new IllegalStateException("did not end: " + List.of(words));
            }
            drain.join();
            return new Ended(process.exitValue(), out, Files.readString(err));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        } catch (InterruptedException e) {
            throw interrupted(e);
        }
    }

    private static List<String> command(List<String> before, List<String> words) {
        List<String> command = new ArrayList<>(before);
        command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
        command.addAll(List.of("-XX:TieredStopAtLevel=1", "-jar", JAR.toString()));
        command.addAll(words);
        return command;
    }

    private static void copy(InputStream from, Path to) {
        try (from) {
            Files.write(to, from.readAllBytes());
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** The lines it printed before it was ready. */
    public List<String> said() {
        return said;
    }

    public String address() {
        return address;
    }

    /** From here on asks with this token. */
    public Program as(String secret) {
        this.token = secret;
        return this;
    }

    /** Makes a token on the command line. */
    public static String token(Path data, String role, String unit) {
        Ended made =
                run("token", "create", "--role", role, "--site", unit, "--expires", "1d", "--airway.data-dir=" + data);
        if (made.exit() != 0) {
            throw new IllegalStateException(made.err());
        }
        return made.out().strip();
    }

    /** Sends a record; gives status and body. */
    public HttpResponse<String> record(String body, String key) throws IOException {
        return send(HttpRequest.newBuilder(URI.create(address + "/api/v1/encounters"))
                .header("Content-Type", "application/json")
                .header("Idempotency-Key", '"' + key + '"')
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    /** Sends JSON by a method. */
    public HttpResponse<String> send(String method, String path, String body) throws IOException {
        return send(HttpRequest.newBuilder(URI.create(address + path))
                .header("Content-Type", "application/json")
                .method(method, HttpRequest.BodyPublishers.ofString(body)));
    }

    /** Sends an empty form, as a page with a single button does, as somebody signed in. */
    public HttpResponse<String> press(String path, Tester who) throws IOException {
        Tester.Session session = who.session(URI.create(address).getPort());
        return send(HttpRequest.newBuilder(URI.create(address + path))
                .header("Content-Type", "application/x-www-form-urlencoded")
                .header("Cookie", session.cookie())
                .header("X-CSRF-TOKEN", session.secret())
                .POST(HttpRequest.BodyPublishers.noBody()));
    }

    public HttpResponse<String> get(String path) throws IOException {
        return send(HttpRequest.newBuilder(URI.create(address + path)).GET());
    }

    private HttpResponse<String> send(HttpRequest.Builder request) throws IOException {
        try {
            if (!token.isEmpty()
                    && request.copy().build().headers().firstValue("Cookie").isEmpty()) {
                request.header("Authorization", "Bearer " + token);
            }
            return HTTP.send(request.timeout(Duration.ofSeconds(20)).build(), HttpResponse.BodyHandlers.ofString());
        } catch (InterruptedException e) {
            throw interrupted(e);
        }
    }

    private static IllegalStateException interrupted(InterruptedException e) {
        Thread.currentThread().interrupt();
        return new IllegalStateException(e);
    }

    /** Kills the program without a chance to tidy up. */
    public void kill() {
        process.destroyForcibly();
        try {
            process.waitFor();
        } catch (InterruptedException e) {
            throw interrupted(e);
        }
    }

    /** Stops the program as an operator does. */
    @Override
    public void close() {
        process.destroy();
        try {
            if (!process.waitFor(60, TimeUnit.SECONDS)) {
                process.destroyForcibly();
                throw new IllegalStateException("did not stop");
            }
        } catch (InterruptedException e) {
            throw interrupted(e);
        }
    }
}
