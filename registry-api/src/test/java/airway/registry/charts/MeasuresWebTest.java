package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import airway.sql.Sql;
import java.net.http.HttpRequest;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** What charts say of every measure is what a reader without the database counts from the records. */
class MeasuresWebTest extends ServedRegistry {
    private static final JsonMapper JSON = new JsonMapper();
    private static final int STEPS = 420;

    /** Measures that are no proportions, by column of the fact row. */
    private static final Map<String, String> VALUES = Map.of(
            "event_count", "ae_per_encounter",
            "spo2_low", "spo2_low_median",
            "duration_co2", "duration_success",
            "duration_tube_placed", "duration_success_tube_placed",
            "duration_confirmed", "duration_success_confirmed",
            "duration_blade_out", "duration_success_blade_out");

    /** Measures that tell what lies between the severe events that are counted under ae_severe. */
    private static final Set<String> BETWEEN = Set.of("days_severe", "encounters_severe");

    private final Map<String, String> modes = new LinkedHashMap<>();
    private String unit = "";

    @BeforeEach
    void ownUnitWithItsSetups() {
        unit = unit().code();
        for (String mode : GeneratedRecords.MODES) {
            ObjectNode setup = JSON.createObjectNode();
            setup.put("site_id", unit)
                    .put("device_setup_id", GeneratedRecords.setup(mode))
                    .put("title", "Set-up " + GeneratedRecords.setup(mode));
            if (!mode.isEmpty()) {
                setup.put("device_mode", mode);
            }
            assertThat(post("/api/v1/device-setups", setup.toString()).status()).isEqualTo(201);
            modes.put(GeneratedRecords.setup(mode), mode);
        }
    }

    @Test
    void equalsANaiveCountAfterRandomCreatingAmendingAndWithdrawing() throws SQLException {
        Random random = new Random(20_261_124);
        GeneratedRecords records = new GeneratedRecords(5, unit);
        List<String> ids = new ArrayList<>();
        for (int step = 0; step < STEPS; step++) {
            if (step == STEPS / 2 || step == 3 * STEPS / 4) {
                tally();
            }
            ObjectNode body = records.next();
            int dice = random.nextInt(10);
            String id = ids.isEmpty() ? "" : ids.get(random.nextInt(ids.size()));
            if (ids.size() < 10 || dice < 6) {
                ids.add(kept(recordConfirmed(body.toString()), 201));
            } else if (dice < 9) {
                amend(id, body);
            } else {
                post("/api/v1/encounters/" + id + "/withdrawal", "{\"reason_code\": \"other\"}");
            }
        }
        List<JsonNode> counting = ids.stream()
                .map(id -> get("/api/v1/encounters/" + id).json())
                .filter(record -> !record.path("status").asString().equals("entered-in-error"))
                .toList();
        assertThat(counting).hasSizeBetween(150, ids.size() - 10);
        assertThat(counting).anyMatch(record -> record.path("status").asString().equals("amended"));

        agrees(counting);
        tally();
        assertThat(Sql.rows(LOGINS.owner(), TALLIED.formatted(unit)))
                .as("tallied")
                .isNotEmpty();
        List<JsonNode> asTallied = charts();
        agrees(counting);
        // The program may tally them again at any moment, and must answer the same then.
        Sql.execute(LOGINS.owner(), "insert into analysis.tally_due (site_id, year) " + TALLIED.formatted(unit));
        assertThat(charts()).isEqualTo(asTallied);

        assertThat(Sql.rows(LOGINS.owner(), NOT_WITHIN.formatted(unit)))
                .as("what one outcome counts the wider one counts too: tables for others rely on it")
                .isEmpty();

        for (String column : new NaiveReader(counting.get(0), modes).answers().keySet()) {
            Set<@Nullable Integer> met = new HashSet<>();
            counting.forEach(
                    record -> met.add(new NaiveReader(record, modes).answers().get(column)));
            if (VALUES.containsKey(column)) {
                assertThat(met).as("several values of " + column).hasSizeGreaterThan(3);
            } else {
                assertThat(met).as("every answer of " + column + " is met").contains(1, 0);
            }
            assertThat(met).as("not known, too, of " + column).contains(-1);
        }
        assertThat(Sql.rows(
                        LOGINS.owner(),
                        "select finding || coalesce(detail, '') from audit.findings() where site = '" + unit + "'"))
                .isEmpty();
    }

    private static final String NOT_WITHIN = """
            select f.encounter_id from analysis.fact f join access.site using (site_id) where code = '%s' and (
              (f.fps_strict = 1 and f.fps is distinct from 1) or (f.fps_clean = 1 and f.fps is distinct from 1)
              or (f.fps = 1 and f.success_2 is distinct from 1)
              or (1 in (f.ae_severe_a, f.ae_severe_b, f.ae_severe_c) and f.ae_any is distinct from 1)
              or (f.desat_70 = 1 and f.desat_80 is distinct from 1)
              or (f.oesophageal_late = 1 and f.oesophageal_any is distinct from 1))""";

    private static final String MARKED =
            "select year from analysis.tally_due join access.site using (site_id) where code = '%s'";

    private static final String TALLIED =
            "select distinct site_id, year from analysis.tally join access.site using (site_id) where code = '%s'";

    /** Counts what changed into the tallies, and waits where the program is doing so. */
    private void tally() throws SQLException {
        while (!Sql.rows(LOGINS.owner(), MARKED.formatted(unit)).isEmpty()) {
            Sql.rows(LOGINS.owner(), "select analysis.tally(1000)");
        }
    }

    /** Charts with no, one and several questions asked for, side by side, of values, and in the order of encounters. */
    private List<JsonNode> charts() {
        List<JsonNode> charts = new ArrayList<>();
        for (String asked : List.of(
                "fps?by=month",
                "fps?by=month&from=2026-03&to=2026-05",
                "fps?by=quarter&device_mode=direct&device_mode=video_standard",
                "ae_severe?by=year&scheme=A&cyanotic_heart_disease=blank",
                "kit_failure_use?by=month&urgency=urgent",
                "fps?by=quarter&device_mode=direct&device_mode=video_standard&urgency=emergency&urgency=blank",
                "ae_per_encounter?by=year&device_mode=video_standard&urgency=urgent&cyanotic_heart_disease=no",
                "spo2_low_median?by=year&device_mode=direct&cyanotic_heart_disease=no",
                "spo2_low_median?by=month&from=2026-02&to=2026-04",
                "duration_success?by=quarter",
                "fps?by=n:7",
                "fps?by=n:4&from=2026-03&to=2026-09&device_mode=direct&device_mode=video_standard",
                "spo2_low_median?by=n:5&urgency=urgent",
                "encounters_severe?chart=g",
                "days_severe?chart=t&device_mode=direct&device_mode=video_standard",
                "fps?by=quarter&split=site_id&device_mode=direct&course_approach=oral",
                "fps?by=month&device_setup_id=" + modes.keySet().iterator().next(),
                "fps?by=quarter&split=device_mode&urgency=elective&cyanotic_heart_disease=no",
                "fps?by=quarter&split=device_mode",
                "desat_80?by=year&split=age_band")) {
            Answer answer = get("/api/v1/charts/" + asked + "&site_id=" + unit);
            assertThat(answer.status()).as(asked + answer.text()).isEqualTo(200);
            assertThat(answer.json().findValues("n"))
                    .as("some encounters: " + asked)
                    .anyMatch(n -> n.asInt() > 0);
            charts.add(answer.json());
        }
        return charts;
    }

    /** Source of the cases: the decision table of the registry's definitions. */
    @Test
    void equalsANaiveCountOverTheDecisionCases() throws SQLException {
        List<JsonNode> counting = new ArrayList<>();
        for (ObjectNode body : DecisionCases.bodies(unit)) {
            counting.add(recordConfirmed(body.toString()).json());
        }
        assertThat(counting).hasSizeGreaterThan(30);

        agrees(counting);
    }

    /** Record by record in the fact rows, then counted by charts, left-out counts included. */
    private void agrees(List<JsonNode> records) throws SQLException {
        Map<String, JsonNode> facts = new LinkedHashMap<>();
        for (String row : Sql.rows(
                LOGINS.owner(),
                "select to_jsonb(f) from analysis.fact f join access.site s using (site_id) where s.code = '" + unit
                        + "'")) {
            JsonNode fact = JSON.readTree(row);
            facts.put(fact.path("encounter_id").asString(), fact);
        }
        assertThat(facts).hasSameSizeAs(records);
        Map<String, long[]> totals = new LinkedHashMap<>();
        Map<String, long[]> months = new LinkedHashMap<>();
        Map<String, List<Integer>> values = new LinkedHashMap<>();
        for (JsonNode record : records) {
            Map<String, @Nullable Integer> answers = new NaiveReader(record, modes).answers();
            List<String> read = new ArrayList<>();
            List<String> kept = new ArrayList<>();
            JsonNode fact = facts.getOrDefault(record.path("encounter_id").asString(), JSON.createObjectNode());
            answers.forEach((column, answer) -> {
                read.add(column + " " + answer);
                kept.add(column + " " + fact.path(column));
            });
            assertThat(kept).as(record.toString()).isEqualTo(read);
            String month = record.path("encounter_start").asString().substring(0, 7);
            answers.forEach((column, answer) -> {
                if (VALUES.containsKey(column) && answer != null && answer >= 0) {
                    values.computeIfAbsent(column, name -> new ArrayList<>()).add(answer);
                    values.computeIfAbsent(column + " " + month, name -> new ArrayList<>())
                            .add(answer);
                }
                add(totals.computeIfAbsent(column, name -> new long[4]), answer);
                add(months.computeIfAbsent(column + " " + month, name -> new long[4]), answer);
            });
        }
        VALUES.forEach((column, measure) -> {
            JsonNode chart =
                    get("/api/v1/charts/" + measure + "?site_id=" + unit).json();
            agrees(chart, column, totals.getOrDefault(column, new long[4]), values);
            for (JsonNode point : chart.path("points")) {
                String place = column + " " + point.path("period").asString();
                agrees(point, place, months.getOrDefault(place, new long[4]), values);
            }
            assertThat(get("/api/v1/charts/" + measure + "?by=n:7&site_id=" + unit)
                            .json()
                            .path("points")
                            .valueStream()
                            .mapToLong(point -> point.path("n").asLong()))
                    .as("groups of seven of " + measure)
                    .allMatch(n -> n <= 7)
                    .satisfies(groups -> assertThat(
                                    groups.stream().mapToLong(n -> n).sum())
                            .isEqualTo(totals.getOrDefault(column, new long[4])[1]));
        });
        VALUES.keySet().forEach(totals::remove);
        totals.forEach((column, total) -> {
            boolean severe = column.startsWith("ae_severe_");
            String measure = severe ? "ae_severe" : column;
            String scheme = severe ? "&scheme=" + column.substring(10).toUpperCase(Locale.ROOT) : "";
            JsonNode chart = get("/api/v1/charts/" + measure + "?site_id=" + unit + scheme)
                    .json();
            assertThat(counts(chart)).as(column).containsExactly(total);
            for (JsonNode point : chart.path("points")) {
                String place = column + " " + point.path("period").asString();
                assertThat(counts(point)).as(place).containsExactly(months.getOrDefault(place, new long[4]));
            }
        });
        assertThat(get("/api/v1/measures")
                        .json()
                        .valueStream()
                        .filter(measure -> measure.path("cases").asString().equals("intubations"))
                        .map(measure -> measure.path("measure").asString()))
                .as("all measures of encounters are read")
                .allMatch(measure -> totals.containsKey(measure)
                        || totals.containsKey(measure + "_a")
                        || VALUES.containsValue(measure)
                        || BETWEEN.contains(measure));
    }

    /** Events are added up; of values the median is told, worked out here by sorting. */
    private static void agrees(JsonNode counted, String place, long[] counts, Map<String, List<Integer>> values) {
        List<Integer> met = new ArrayList<>(values.getOrDefault(place, List.of()));
        met.sort(null);
        int n = met.size();
        assertThat(counted.path("n").asInt()).as(place).isEqualTo(n);
        assertThat(counted.path("left_out").asLong()).as(place).isEqualTo(counts[2]);
        assertThat(counted.path("left_out_unknown").asLong()).as(place).isEqualTo(counts[3]);
        if (place.startsWith("event_count")) {
            int sum = met.stream().mapToInt(value -> value).sum();
            assertThat(counted.path("x").asInt()).as(place).isEqualTo(sum);
            if (n > 0) {
                assertThat(counted.path("value").asDouble()).as(place).isEqualTo((double) sum / n);
            }
            return;
        }
        assertThat(counted.path("x").isNull()).as(place).isTrue();
        if (n > 0) {
            double median = (met.get((n - 1) / 2) + met.get(n / 2)) / 2.0;
            assertThat(counted.path("value").asDouble()).as(place).isEqualTo(median);
        } else {
            assertThat(counted.path("value").isNull()).as(place).isTrue();
        }
        assertThat(counted.path("lower").isNull())
                .as(place + " has an interval from 6 on")
                .isEqualTo(n < 6);
    }

    private static void add(long[] counts, @Nullable Integer answer) {
        counts[0] += answer != null && answer == 1 ? 1 : 0;
        counts[1] += answer != null && answer >= 0 ? 1 : 0;
        counts[2] += answer == null || answer < 0 ? 1 : 0;
        counts[3] += answer != null && answer < 0 ? 1 : 0;
    }

    private static long[] counts(JsonNode counted) {
        return new long[] {
            counted.path("x").asLong(),
            counted.path("n").asLong(),
            counted.path("left_out").asLong(),
            counted.path("left_out_unknown").asLong()
        };
    }

    private void amend(String id, ObjectNode body) {
        JsonNode now = get("/api/v1/encounters/" + id).json();
        if (now.path("status").asString().equals("entered-in-error")) {
            return;
        }
        body.putObject("amendment").put("reason_code", "mistyped");
        String version = "v" + now.path("version").asInt();
        Answer answer = put(id, version, body);
        if (answer.status() == 422) {
            ArrayNode pointers = body.putArray("confirmed");
            answer.json()
                    .path("errors")
                    .forEach(error -> pointers.add(error.path("pointer").asString()));
            answer = put(id, version, body);
        }
        kept(answer, 200);
    }

    private Answer put(String id, String version, ObjectNode body) {
        return send(request("/api/v1/encounters/" + id)
                .header("Content-Type", "application/json")
                .header("If-Match", '"' + version + '"')
                .PUT(HttpRequest.BodyPublishers.ofString(body.toString())));
    }

    private static String kept(Answer answer, int status) {
        assertThat(answer.status()).as(answer.text()).isEqualTo(status);
        return answer.json().path("encounter_id").asString();
    }
}
