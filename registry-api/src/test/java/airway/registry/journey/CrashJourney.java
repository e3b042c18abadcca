package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.Program;
import java.io.IOException;
import java.net.http.HttpResponse;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.UUID;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** The program is killed in the midst of saving, again and again; whatever it acknowledged is there, once. */
class CrashJourney {
    private static final int CYCLES = 4;
    private static final int WRITERS = 4;
    private static final JsonMapper JSON = new JsonMapper();

    @TempDir
    Path directory = Path.of("");

    private String token = "";

    @Test
    void losesNothingAcknowledgedAndStartsAgainWhenKilled() throws IOException, InterruptedException {
        SplittableRandom random = new SplittableRandom(20261124);
        Map<String, String> acknowledged = new ConcurrentHashMap<>();
        Map<String, String> sent = new ConcurrentHashMap<>();
        for (int cycle = 0; cycle < CYCLES; cycle++) {
            Program program = start();
            List<Thread> writers = new ArrayList<>();
            for (int writer = 0; writer < WRITERS; writer++) {
                Thread thread = new Thread(() -> write(program, sent, acknowledged));
                thread.start();
                writers.add(thread);
            }
            int enough = acknowledged.size() + 3 + random.nextInt(40);
            while (acknowledged.size() < enough) {
                TimeUnit.MILLISECONDS.sleep(1 + random.nextInt(20));
            }
            program.kill();
            for (Thread writer : writers) {
                writer.join();
            }
        }

        assertThat(acknowledged).as("the test has done something").hasSizeGreaterThan(CYCLES);
        try (Program program = start()) {
            for (Map.Entry<String, String> one : acknowledged.entrySet()) {
                assertThat(program.get("/api/v1/encounters/" + one.getValue()).statusCode())
                        .as("acknowledged record")
                        .isEqualTo(200);
            }
            Map<String, String> replayed = new TreeMap<>();
            for (Map.Entry<String, String> one : sent.entrySet()) {
                HttpResponse<String> answer = program.record(one.getValue(), one.getKey());
                assertThat(answer.statusCode()).as(answer.body()).isEqualTo(201);
                replayed.put(one.getKey(), id(answer));
            }
            acknowledged.forEach((key, id) -> assertThat(replayed).containsEntry(key, id));
            JsonNode chart = JSON.readTree(program.get("/api/v1/charts/fps").body());
            assertThat(chart.path("n").asInt()).as("each record once").isEqualTo(sent.size());
        }
    }

    private Program start() {
        Program program = Program.serve(List.of(), directory, "--airway.unit.code=harbour");
        if (token.isEmpty()) {
            token = Program.token(directory, "recorder", "harbour");
        }
        return program.as(token);
    }

    private static void write(Program program, Map<String, String> sent, Map<String, String> acknowledged) {
        try {
            while (true) {
                String key = UUID.randomUUID().toString();
                String body = """
                        {"encounter_kind": "initial", "encounter_start": "2026-03-01T14:20:00Z", "courses":
                         [{"course_approach": "oral", "attempts": [{"attempt_success": "yes", "tube_passes": 1}]}]}""";
                sent.put(key, body);
                HttpResponse<String> answer = program.record(body, key);
                if (answer.statusCode() == 201) {
                    acknowledged.put(key, id(answer));
                }
            }
        } catch (IOException killed) {
            // The answer to the last one never came: it may or may not be kept, and is sent again at the end.
        }
    }

    private static String id(HttpResponse<String> answer) {
        return JSON.readTree(answer.body()).path("encounter_id").asString();
    }
}
