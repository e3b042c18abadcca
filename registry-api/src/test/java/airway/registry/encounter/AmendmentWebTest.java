package airway.registry.encounter;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import airway.sql.Sql;
import java.net.http.HttpRequest;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.UUID;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import tools.jackson.databind.JsonNode;

/** A record is amended and withdrawn, never overwritten. */
class AmendmentWebTest extends ServedRegistry {
    private static final String ONE = "{\"attempt_success\": \"yes\", \"tube_passes\": 1}";
    private static final String TWO = "{\"attempt_success\": \"no\", \"tube_passes\": 0}, " + ONE;

    private String unit = "";

    @BeforeEach
    void ownUnit() {
        unit = unit().code();
    }

    private String body(String attempts, String more) {
        return """
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-01T14:20:00+00:00",
                 "courses": [{"course_approach": "oral", "attempts": [%s]}]%s}""".formatted(unit, attempts, more);
    }

    private static String because(String code) {
        return ", \"amendment\": {\"reason_code\": \"" + code + "\"}";
    }

    private Answer put(String id, String version, String body) {
        return send(request("/api/v1/encounters/" + id)
                .header("Content-Type", "application/json")
                .header("If-Match", '"' + version + '"')
                .PUT(HttpRequest.BodyPublishers.ofString(body)));
    }

    private String made(String attempts) {
        return record(body(attempts, "")).json().path("encounter_id").asString();
    }

    private JsonNode chart() {
        return get("/api/v1/charts/fps?site_id=" + unit).json();
    }

    /** Case FP36 of the decision table: footage shows two insertions where one was recorded. */
    @Test
    void letsTheAmendedRecordDecideAndKeepsBothVersionsReadable() {
        Answer first = record(body(ONE, ""));
        String id = first.json().path("encounter_id").asString();
        assertThat(chart().path("x").asInt()).isEqualTo(1);

        Answer amended = put(id, "v1", body(TWO, because("footage_review")));

        assertThat(amended.status()).as(amended.text()).isEqualTo(200);
        assertThat(amended.header("ETag")).isEqualTo("\"v2\"");
        assertThat(amended.json().path("status").asString()).isEqualTo("amended");
        assertThat(amended.json().path("recorded_at")).isEqualTo(first.json().path("recorded_at"));
        assertThat(amended.json().path("derived").path("fps").asString()).isEqualTo("no");
        assertThat(amended.json().path("derived").path("tracheal_attempts").asInt())
                .isEqualTo(2);
        assertThat(get("/api/v1/encounters/" + id).json()).isEqualTo(amended.json());
        assertThat(get("/api/v1/encounters/" + id + "/versions/1").json()).isEqualTo(first.json());
        assertThat(get("/api/v1/encounters/" + id + "/versions/2").json()).isEqualTo(amended.json());
        assertThat(chart().path("x").asInt()).isZero();
        assertThat(chart().path("n").asInt()).isEqualTo(1);
    }

    @Test
    void asksWhetherTheExpectedDifficultyWasReallyThoughtBefore() {
        String id = made(ONE);
        String changed = because("added_later") + ", \"difficulty_predicted\": \"yes\"";

        assertThat(faults(isProblem(put(id, "v1", body(ONE, changed)), 422, "invalid")))
                .containsExactly("/difficulty_predicted difficulty.changed");
        String confirmed = ", \"confirmed\": [\"/difficulty_predicted\"]";
        assertThat(put(id, "v1", body(ONE, changed + confirmed)).status()).isEqualTo(200);
        assertThat(put(id, "v2", body(ONE, changed)).status())
                .as("the answer of the version before is not a change")
                .isEqualTo(200);
    }

    @Test
    void tellsTheHistoryWithItsReasons() {
        String id = made(ONE);
        put(id, "v1", body(TWO, ", \"amendment\": {\"reason_code\": \"other\", \"reason_text\": \"seen twice\"}"));
        post("/api/v1/encounters/" + id + "/withdrawal", "{\"reason_code\": \"duplicate\"}");

        JsonNode versions = get("/api/v1/encounters/" + id + "/versions").json();

        assertThat(versions.valueStream().map(line -> line.path("status").asString()))
                .containsExactly("final", "amended", "entered-in-error");
        assertThat(versions.path(0).has("amendment")).isFalse();
        assertThat(versions.path(1).path("amendment").toString())
                .isEqualTo("{\"reason_code\":\"other\",\"reason_text\":\"seen twice\"}");
        assertThat(versions.path(2).path("amendment").path("reason_code").asString())
                .isEqualTo("duplicate");
    }

    @Test
    void countsAWithdrawnRecordNowhereAndKeepsItReadable() {
        String id = made(ONE);

        Answer withdrawn = post("/api/v1/encounters/" + id + "/withdrawal", "{\"reason_code\": \"wrong_patient\"}");

        assertThat(withdrawn.status()).as(withdrawn.text()).isEqualTo(200);
        assertThat(withdrawn.json().path("status").asString()).isEqualTo("entered-in-error");
        assertThat(chart().path("n").asInt()).isZero();
        assertThat(chart().path("left_out").asInt()).isZero();
        assertThat(get("/api/v1/encounters/" + id).json().path("courses")).hasSize(1);
        isProblem(put(id, "v2", body(ONE, because("mistyped"))), 409, "conflict");
        isProblem(post("/api/v1/encounters/" + id + "/withdrawal", "{\"reason_code\": \"other\"}"), 409, "conflict");
    }

    @Test
    void refusesAChangeToAVersionThatNoLongerCounts() {
        String id = made(ONE);
        put(id, "v1", body(TWO, because("mistyped")));

        Answer stale = put(id, "v1", body(ONE, because("mistyped")));

        isProblem(stale, 412, "stale");
        assertThat(stale.header("ETag")).isEqualTo("\"v2\"");
        assertThat(get("/api/v1/encounters/" + id + "/versions").json()).hasSize(2);
    }

    @Test
    void asksForTheVersionThatWasRead() {
        String id = made(ONE);

        isProblem(
                send(request("/api/v1/encounters/" + id)
                        .header("Content-Type", "application/json")
                        .PUT(HttpRequest.BodyPublishers.ofString(body(TWO, because("mistyped"))))),
                428,
                "unconditional");
        isProblem(put(id, "one", body(TWO, because("mistyped"))), 400, "malformed");
        isProblem(put(UUID.randomUUID().toString(), "v1", body(TWO, because("mistyped"))), 404, "missing");
        isProblem(get("/api/v1/encounters/" + id + "/versions/2"), 404, "missing");
        isProblem(get("/api/v1/encounters/" + id + "/versions/x"), 404, "missing");
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "''|422|/amendment/reason_code required",
                "', \"amendment\": {}'|422|/amendment/reason_code required",
                "', \"amendment\": {\"reason_code\": \"duplicate\"}'|422|/amendment/reason_code code",
                "', \"amendment\": {\"reason_code\": \"other\", \"reason_text\": \"\"}'|422|/amendment/reason_text text",
                "', \"amendment\": {\"reason_code\": \"other\", \"who\": \"me\"}'|400|/amendment/who field.unknown",
                "', \"amendment\": {\"reason_code\": \"other\"}, \"age_days\": -1'|422|/age_days range",
            })
    void refusesAnAmendmentThatIsNotInOrderAndStoresNothing(String more, int status, String fault) {
        String id = made(ONE);

        assertThat(faults(isProblem(put(id, "v1", body(TWO, more)), status, status == 422 ? "invalid" : "malformed")))
                .containsExactly(fault);
        assertThat(get("/api/v1/encounters/" + id + "/versions").json()).hasSize(1);
    }

    @Test
    void refusesToMoveARecordToAnotherUnit() {
        String id = made(ONE);
        String other = unit().code();

        assertThat(faults(isProblem(
                        put(id, "v1", body(ONE, because("mistyped")).replace(unit, other)), 422, "invalid")))
                .containsExactly("/site_id site.other");
    }

    @Test
    void letsOneOfManyEditorsWin() throws Exception {
        String id = made(ONE);
        ExecutorService pool = Executors.newFixedThreadPool(8);
        List<Future<Integer>> answers = new ArrayList<>();
        try {
            for (int i = 0; i < 16; i++) {
                answers.add(pool.submit(
                        () -> put(id, "v1", body(TWO, because("mistyped"))).status()));
            }
            List<Integer> statuses = new ArrayList<>();
            for (Future<Integer> answer : answers) {
                statuses.add(answer.get());
            }
            assertThat(statuses).containsOnlyOnce(200).containsOnly(200, 412);
        } finally {
            pool.shutdown();
        }
        assertThat(get("/api/v1/encounters/" + id + "/versions").json()).hasSize(2);
    }

    /** Random creating, amending and withdrawing; the fact rows then equal those made anew, and the audit fits. */
    @Test
    void keepsFactsAndAuditTrueThroughARandomLife() throws SQLException {
        SplittableRandom random = new SplittableRandom(36);
        List<String> ids = new ArrayList<>();
        for (int step = 0; step < 60; step++) {
            String attempts = random.nextBoolean() ? ONE : TWO;
            String id = ids.isEmpty() ? "" : ids.get(random.nextInt(ids.size()));
            int dice = random.nextInt(10);
            if (ids.isEmpty() || dice < 5) {
                ids.add(made(attempts));
            } else if (dice < 9) {
                int version =
                        get("/api/v1/encounters/" + id).json().path("version").asInt();
                put(id, "v" + version, body(attempts, because("mistyped")));
            } else {
                post("/api/v1/encounters/" + id + "/withdrawal", "{\"reason_code\": \"other\"}");
            }
        }
        int yes = 0;
        int all = 0;
        for (String id : ids) {
            JsonNode record = get("/api/v1/encounters/" + id).json();
            if (!record.path("status").asString().equals("entered-in-error")) {
                all++;
                yes += record.path("courses").path(0).path("attempts").size() == 1 ? 1 : 0;
            }
        }
        assertThat(chart().path("x").asInt()).isEqualTo(yes);
        assertThat(chart().path("n").asInt()).isEqualTo(all);
        String mine = " join access.site s using (site_id) where s.code = '" + unit + "'";
        assertThat(Sql.rows(
                        LOGINS.owner(),
                        "select count(*) from encounter.version v full join (select site_id,"
                                + " object_id as encounter_id, version, action, hash from audit.entry) e"
                                + " using (site_id, encounter_id, version)" + mine
                                + " and (v.version is null or e.version is null"
                                + " or e.hash <> audit.tree_hash(site_id, encounter_id, version)"
                                + " or e.action <> case v.status when 'final' then 'recorded'"
                                + " when 'amended' then 'amended' else 'withdrawn' end)"))
                .containsExactly("0");
    }
}
