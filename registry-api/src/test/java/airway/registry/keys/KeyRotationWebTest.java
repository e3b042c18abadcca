package airway.registry.keys;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import airway.registry.testing.OpenRegistry;
import airway.registry.testing.ServedProgram;
import airway.registry.testing.Tester;
import airway.sql.TestDatabase;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.UUID;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;
import org.springframework.test.annotation.DirtiesContext;
import org.springframework.test.context.DynamicPropertyRegistry;
import org.springframework.test.context.DynamicPropertySource;

/** A new key while people work: everything can be read at every moment, and in the end nothing needs the earlier key. */
@DirtiesContext
class KeyRotationWebTest extends ServedProgram {
    private static final int RECORDS = 130;
    private static final int WORKERS = 3;

    /** A database and keys of its own: keys that are added here are nobody else's business. */
    private static final TestDatabase.Logins OWN = TestDatabase.fresh();

    private final Map<String, String> numbers = new LinkedHashMap<>();
    private final ConcurrentLinkedQueue<String> wrong = new ConcurrentLinkedQueue<>();
    private final AtomicInteger done = new AtomicInteger();
    private final AtomicBoolean stop = new AtomicBoolean();
    private String unit = "";

    @Override
    protected TestDatabase.Logins logins() {
        return OWN;
    }

    @DynamicPropertySource
    static void database(DynamicPropertyRegistry settings) {
        database(settings, OWN, "target/rotation-keys/" + UUID.randomUUID());
    }

    private void fill() {
        Site site = unit();
        unit = site.code();
        for (int i = 0; i < RECORDS; i++) {
            String id = record("""
                    {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-11-23T09:20:00Z",
                     "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}]}""".formatted(unit)).json().path("encounter_id").asString();
            numbers.put(id, "N" + (100_000 + i));
            assertThat(put(id).status()).isEqualTo(200);
        }
    }

    private Answer put(String id) {
        return send(request("/api/v1/encounters/" + id + "/hospital-number")
                .header("Content-Type", "application/json")
                .PUT(HttpRequest.BodyPublishers.ofString("{\"hospital_number\": \"" + numbers.get(id) + "\"}")));
    }

    private String seen(String id) {
        return post("/api/v1/encounters/" + id + "/hospital-number/look", "{\"reason_code\": \"look_back\"}")
                .json()
                .path("hospital_number")
                .asString("nothing");
    }

    private Answer form(String path, String body) {
        return form(path, tester(), body);
    }

    private Answer form(String path, Tester who, String body) {
        return send(request(path, who)
                .header("Content-Type", "application/x-www-form-urlencoded")
                .header("Accept", "text/html")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    /** Looks, finds, writes anew and keeps drafts, until it is told to stop. */
    private void work(int seed) {
        Random random = new Random(seed);
        List<String> ids = List.copyOf(numbers.keySet());
        String draft = UUID.randomUUID().toString();
        int kept = 0;
        while (!stop.get()) {
            String id = ids.get(random.nextInt(ids.size()));
            String number = String.valueOf(numbers.get(id));
            if (!seen(id).equals(number)) {
                wrong.add("look " + id);
            }
            if (!form("/child", "site_id=" + unit + "&hospital_number=" + number)
                    .text()
                    .contains(id)) {
                wrong.add("find " + id);
            }
            if (put(id).status() != 200) {
                wrong.add("put " + id);
            }
            Answer draftKept = form(
                    "/record/draft",
                    "site_id=" + unit + "&key=" + draft + "&writer=" + draft + "&revision=" + kept + "&weight="
                            + URLEncoder.encode(String.valueOf(kept), StandardCharsets.UTF_8));
            if (draftKept.status() != 200) {
                wrong.add("draft " + draftKept.status());
            }
            kept++;
            done.incrementAndGet();
        }
    }

    private static int under(int key) {
        return Integer.parseInt(OpenRegistry.rows(
                        OWN,
                        "select (select count(*) from identity.hospital_number where"
                                + " get_byte(sealed, 0) = " + key + ") + (select count(*) from encounter.draft where"
                                + " get_byte(sealed, 0) = " + key + ")")
                .get(0));
    }

    @Test
    void isMadeUnderLoadTwiceAndNothingIsEverUnreadable() throws InterruptedException {
        fill();
        List<Thread> workers = new ArrayList<>();
        for (int worker = 0; worker < WORKERS; worker++) {
            int seed = worker;
            Thread thread = new Thread(() -> work(seed));
            thread.start();
            workers.add(thread);
        }
        try {
            for (int key = 2; key <= 3; key++) {
                int before = done.get();
                assertThat(form("/keys", administrator(), "").status()).isEqualTo(303);
                while (under(key - 1) > 0 || done.get() < before + 10) {
                    TimeUnit.MILLISECONDS.sleep(20);
                }
            }
        } finally {
            stop.set(true);
            for (Thread worker : workers) {
                worker.join();
            }
        }

        assertThat(wrong).isEmpty();
        assertThat(under(1)).isZero();
        assertThat(under(2)).isZero();
        assertThat(under(3)).isGreaterThanOrEqualTo(RECORDS);
        numbers.forEach((id, number) -> assertThat(seen(id)).isEqualTo(number));
        assertThat(send(request("/keys", administrator())
                                .header("Accept", "text/html")
                                .GET())
                        .text())
                .contains("3, seals now", "Hospital numbers: " + RECORDS, "Unfinished records: " + WORKERS, "Nothing")
                .doesNotContain("still under an earlier key");
        assertThat(OpenRegistry.rows(OWN, "select detail ->> 'key' from audit.entry where action = 'rotated'"))
                .containsExactly("2", "3");
        assertThat(OpenRegistry.rows(OWN, "select finding from audit.findings()"))
                .isEmpty();
    }
}
