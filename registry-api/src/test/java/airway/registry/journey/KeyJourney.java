package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.testing.OpenRegistry;
import airway.registry.testing.Program;
import airway.registry.testing.Tester;
import airway.sql.TestDatabase;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import tools.jackson.databind.json.JsonMapper;

/** The program is killed while it seals everything anew; the next start goes on, and nothing was lost meanwhile. */
class KeyJourney {
    private static final int RECORDS = 150;
    private static final JsonMapper JSON = new JsonMapper();

    @TempDir
    Path directory = Path.of("");

    private final TestDatabase.Logins database = TestDatabase.fresh();
    private final Tester recorder = Tester.fresh(database);
    private final Tester administrator = Tester.fresh(database).with(null, Role.ADMINISTRATOR);

    private Program start() {
        List<String> settings = new ArrayList<>(OpenRegistry.settings(database));
        settings.add("--airway.unit.code=harbour");
        return Program.serve(List.of(), directory, settings.toArray(String[]::new))
                .as(recorder.token());
    }

    private int under(int key) {
        return Integer.parseInt(OpenRegistry.rows(
                        database, "select count(*) from identity.hospital_number where get_byte(sealed, 0) = " + key)
                .get(0));
    }

    @Test
    void sealsAnewToTheEndAlthoughItIsKilledMidway() throws IOException, InterruptedException {
        Map<String, String> numbers = new LinkedHashMap<>();
        try (Program program = start()) {
            recorder.with(
                    Short.valueOf(OpenRegistry.rows(database, "select site_id from access.site")
                            .get(0)),
                    Role.RECORDER);
            for (int i = 0; i < RECORDS; i++) {
                String id = JSON.readTree(program.record("""
                                        {"encounter_kind": "initial", "encounter_start": "2026-03-01T14:20:00Z", "courses":
                                         [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}]}""", UUID.randomUUID().toString())
                                .body())
                        .path("encounter_id")
                        .asString();
                numbers.put(id, "N" + (100_000 + i));
                assertThat(program.send(
                                        "PUT",
                                        "/api/v1/encounters/" + id + "/hospital-number",
                                        "{\"hospital_number\": \"" + numbers.get(id) + "\"}")
                                .statusCode())
                        .isEqualTo(200);
            }
        }
        Program killed = start();
        assertThat(killed.press("/keys", administrator).statusCode()).isEqualTo(303);
        while (under(2) == 0) {
            TimeUnit.MILLISECONDS.sleep(1);
        }
        killed.kill();
        System.out.println(
                "Killed with " + under(1) + " rows under the earlier key and " + under(2) + " under the new");

        try (Program program = start()) {
            for (Map.Entry<String, String> one : numbers.entrySet()) {
                assertThat(JSON.readTree(program.send(
                                                "POST",
                                                "/api/v1/encounters/" + one.getKey() + "/hospital-number/look",
                                                "{\"reason_code\": \"care\"}")
                                        .body())
                                .path("hospital_number")
                                .asString(""))
                        .isEqualTo(one.getValue());
            }
            while (under(1) > 0) {
                TimeUnit.MILLISECONDS.sleep(20);
            }
            assertThat(under(2)).isEqualTo(RECORDS);
        }
        assertThat(OpenRegistry.rows(database, "select finding from audit.findings()"))
                .isEmpty();
    }
}
