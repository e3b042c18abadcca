package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.Program;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIf;
import org.junit.jupiter.api.io.TempDir;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** What somebody who runs the program sees: one sentence and the exit code of the contract. */
class CommandLineJourney {
    @TempDir
    Path directory = Path.of("");

    private String data() {
        return "--airway.data-dir=" + directory.resolve("data");
    }

    private static void fails(Program.Ended ended, int exit, String sentence) {
        assertThat(ended.exit()).as(ended.err()).isEqualTo(exit);
        assertThat(ended.err().strip().lines()).as("one sentence").hasSize(1);
        assertThat(ended.err()).contains(sentence);
        assertThat(ended.out()).isEmpty();
    }

    @Test
    void saysThatAPortIsInUse() throws IOException {
        try (ServerSocket taken = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            fails(
                    Program.run("serve", data(), "--server.port=" + taken.getLocalPort()),
                    3,
                    "Port " + taken.getLocalPort() + " is in use");
        }
    }

    @Test
    void saysThatADirectoryCannotBeWritten() throws IOException {
        Files.writeString(directory.resolve("data"), "a file");

        fails(Program.run("serve", data(), "--server.port=0"), 3, "cannot be written");
    }

    @Test
    void saysThatADatabaseCannotBeReached() {
        fails(
                Program.run(
                        "serve",
                        data(),
                        "--server.port=0",
                        "--airway.database.mode=external",
                        "--spring.datasource.url=jdbc:postgresql://127.0.0.1:9/registry",
                        "--spring.datasource.username=app",
                        "--spring.datasource.password=x",
                        "--spring.flyway.user=owner",
                        "--spring.flyway.password=x"),
                3,
                "cannot be reached as owner");
    }

    @Test
    void saysThatASettingIsMissing() {
        fails(
                Program.run("serve", data(), "--server.port=0", "--airway.database.mode=external"),
                3,
                "spring.datasource.url must be set");
    }

    @Test
    void refusesToServeOtherMachinesWithoutHttpsOrAsADemonstration() {
        fails(Program.run("serve", data(), "--server.port=0", "--server.address=0.0.0.0"), 4, "this machine only");
        fails(
                Program.run("serve", data(), "--server.port=0", "--server.address=0.0.0.0", "--airway.demo=true"),
                4,
                "this machine only");
    }

    @Test
    void refusesASecondStartAndLetsOtherCommandsJoin() throws IOException {
        try (Program first = Program.serve(List.of(), directory.resolve("data"), "--airway.unit.code=harbour")) {
            fails(Program.run("serve", data(), "--server.port=0"), 3, "in use by another running copy");

            Path trial = Path.of("../docs/tutorial/data");
            Program.Ended imported = Program.run(
                    "import",
                    trial.resolve("video_vs_direct_trial.csv").toString(),
                    "--mapping",
                    trial.resolve("trial-mapping.json").toString(),
                    data());
            assertThat(imported.exit()).as(imported.err()).isZero();

            first.as(Program.token(directory.resolve("data"), "improvement_lead", "trial"));
            JsonNode groups = new JsonMapper()
                    .readTree(first.get("/api/v1/comparisons/fps?by=device_setup_id&site_id=trial")
                            .body())
                    .path("groups");
            assertThat(groups.valueStream()
                            .map(group -> group.path("x").asInt() + " of "
                                    + group.path("n").asInt()))
                    .containsExactlyInAnyOrder("45 of 49", "43 of 50");
        }
    }

    @Test
    void endsWithTwoWhenTheWordsAreOff() {
        assertThat(Program.run().exit()).isEqualTo(2);
        assertThat(Program.run("fly").exit()).isEqualTo(2);
        assertThat(Program.run("import").exit()).isEqualTo(2);
        assertThat(Program.run("--help").exit()).isZero();
    }

    @Test
    void writesDemoTokensForItsUserAlone() throws IOException {
        Path data = directory.resolve("data");
        try (Program demo = Program.serve(List.of(), data, "--airway.demo=true")) {
            JsonNode tokens = new JsonMapper().readTree(Files.readString(data.resolve("demo-tokens.json")));
            assertThat(tokens.propertyNames())
                    .containsExactly(
                            "recorder",
                            "improvement_lead",
                            "researcher",
                            "data_guardian",
                            "kit_keeper",
                            "administrator",
                            "auditor");
            assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(data.resolve("demo-tokens.json"))))
                    .isEqualTo("rw-------");
            assertThat(demo.get("/api/v1/charts/fps").statusCode()).isEqualTo(401);
            assertThat(demo.as(tokens.path("recorder").asString())
                            .get("/api/v1/charts/fps")
                            .statusCode())
                    .isEqualTo(200);
        }
    }

    /** As an ordinary user; where the tests run as root, by giving root up. */
    @Test
    @EnabledIf("isRoot")
    void runsAsAnOrdinaryUserToo() throws IOException {
        Path home = Files.createTempDirectory("plain");
        Files.setPosixFilePermissions(home, PosixFilePermissions.fromString("rwxrwxrwx"));
        List<String> asNobody = List.of("setpriv", "--reuid=nobody", "--regid=nogroup", "--clear-groups");
        try (Program program = Program.serve(asNobody, home.resolve("data"), "--airway.unit.code=harbour")) {
            assertThat(program.get("/api/v1/charts/fps").statusCode()).isEqualTo(401);
        }
    }

    /** Where the kernel allows no user namespace, root names another user for the server. */
    @Test
    @EnabledIf("isRoot")
    void runsTheServerAsAnotherUserWhenRootNamesOne() throws IOException {
        Path home = Files.createTempDirectory("named");
        Files.setPosixFilePermissions(home, PosixFilePermissions.fromString("rwxr-xr-x"));
        try (Program program = Program.serve(
                List.of(), home.resolve("data"), "--airway.unit.code=harbour", "--airway.database.os-user=nobody")) {
            assertThat(program.get("/api/v1/charts/fps").statusCode()).isEqualTo(401);
            assertThat(Files.getOwner(home.resolve("data/database/data")).getName())
                    .isEqualTo("nobody");
        }
        fails(
                Program.run("serve", data(), "--server.port=0", "--airway.database.os-user=nobody-known"),
                3,
                "whom this machine does not know");
    }

    static boolean isRoot() {
        return "root".equals(System.getProperty("user.name"));
    }

    /** S35: every library in the jar stands in its bill of materials (CycloneDX), with the licence it comes under. */
    @Test
    void tellsWhatItIsMadeOf() throws IOException {
        try (ZipFile jar = new ZipFile(Program.JAR.toFile())) {
            JsonNode bill = JsonMapper.shared()
                    .readTree(jar.getInputStream(jar.getEntry("META-INF/sbom/application.cdx.json")));
            Set<String> told = new HashSet<>();
            for (JsonNode part : bill.path("components")) {
                String name = part.path("name").asString() + "-"
                        + part.path("version").asString() + ".jar";
                assertThat(part.path("licenses")).as(name).isNotEmpty();
                told.add(name);
            }
            List<String> libraries = jar.stream()
                    .map(ZipEntry::getName)
                    .filter(name -> name.startsWith("BOOT-INF/lib/") && name.endsWith(".jar"))
                    .map(name -> name.substring(name.lastIndexOf('/') + 1))
                    .filter(name -> !name.startsWith("stats-") && !name.startsWith("sql-"))
                    .toList();
            assertThat(libraries).hasSizeGreaterThan(50).isSubsetOf(told);
        }
    }
}
