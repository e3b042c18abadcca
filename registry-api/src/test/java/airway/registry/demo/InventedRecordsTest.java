package airway.registry.demo;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Predicate;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;

/** The generator against the figures it is set to give (docs/topics/demo-data.md), in large samples of fixed seeds. */
class InventedRecordsTest {
    private static final Instant NOW = Instant.parse("2026-03-15T10:00:00Z");
    private static final String CHANGE = "2025-03";
    private static final Map<String, List<JsonNode>> SAMPLES = new HashMap<>();

    @Test
    void givesTheSameRecordsForTheSameSeedAndOthersForAnother() {
        UnitPlan unit = unit("harbour");

        assertThat(new InventedRecords(7, unit, NOW).of(3)).isEqualTo(new InventedRecords(7, unit, NOW).of(3));
        assertThat(new InventedRecords(8, unit, NOW).of(3).get(0).body())
                .isNotEqualTo(new InventedRecords(7, unit, NOW).of(3).get(0).body());
    }

    @Test
    void addsOnlyTheLatestAsTheMonthGoesOn() {
        UnitPlan unit = unit("harbour");
        List<InventedRecord> early = new InventedRecords(7, unit, NOW).of(2);
        List<InventedRecord> late = new InventedRecords(7, unit, Instant.parse("2026-03-30T10:00:00Z")).of(2);

        assertThat(late).hasSizeGreaterThan(early.size()).startsWith(early.toArray(InventedRecord[]::new));
        assertThat(early).allMatch(record -> record.start().toInstant().isBefore(NOW));
    }

    @Test
    void coversTheFullMonthsAndThePresentOne() {
        List<YearMonth> months = new InventedRecords(1, unit("harbour"), NOW)
                .of(38).stream()
                        .map(record -> YearMonth.from(record.start()))
                        .distinct()
                        .toList();

        assertThat(months).hasSize(39).startsWith(YearMonth.of(2023, 1)).endsWith(YearMonth.of(2026, 3));
    }

    @Test
    void keepsTheVolumeOfEachUnit() {
        assertThat(sample("harbour").size() / 20.0 / 38.5).isBetween(26.0, 28.0);
        assertThat(sample("lantern").size() / 20.0 / 38.5).isBetween(19.0, 21.0);
        assertThat(sample("meadow").size() / 20.0 / 38.5).isBetween(3.5, 4.3);
    }

    @Test
    void succeedsAtTheFirstPassAsPublished() {
        Predicate<JsonNode> after = body -> month(body).compareTo(CHANGE) >= 0;

        assertThat(firstPass("harbour", after.negate())).isBetween(0.60, 0.67);
        assertThat(firstPass("harbour", after)).isBetween(0.76, 0.80);
        assertThat(firstPass("lantern", body -> true)).isBetween(0.49, 0.56);
        assertThat(firstPass("meadow", body -> true)).isBetween(0.70, 0.78);
    }

    @Test
    void rewardsExperienceAsPublished() {
        Predicate<JsonNode> before = body -> month(body).compareTo(CHANGE) < 0;

        assertThat(firstPass("harbour", before.and(grade("junior")))).isBetween(0.35, 0.42);
        assertThat(firstPass("harbour", before.and(grade("senior")))).isBetween(0.67, 0.73);
        assertThat(firstPass("harbour", before.and(grade("specialist")))).isBetween(0.70, 0.77);
    }

    @Test
    void succeedsAtTheSecondAttemptAsPublished() {
        Predicate<JsonNode> two = body -> attempts(body) >= 2;
        Predicate<JsonNode> second = body -> success(body.at("/courses/0/attempts/1"));

        assertThat(share("harbour", two, second)).isBetween(0.58, 0.66);
        assertThat(share("lantern", two, second)).isBetween(0.51, 0.58);
    }

    @Test
    void hasOneMonthFarFromTheOthers() {
        for (long seed = 1; seed <= 5; seed++) {
            List<JsonNode> odd = new InventedRecords(seed, unit("harbour"), NOW)
                    .of(38).stream()
                            .map(record -> (JsonNode) record.body())
                            .filter(body -> month(body).equals("2024-07"))
                            .toList();
            assertThat(odd).hasSize(24).noneMatch(InventedRecordsTest::tubeChange);
            assertThat(odd.stream().filter(body -> success(first(body)))).hasSize(6);
        }
    }

    @Test
    void desaturatesByTheNumberOfAttempts() {
        double[] published = {0.16, 0.36, 0.56};
        for (int n = 1; n <= 3; n++) {
            int attempts = n;
            Predicate<JsonNode> some = body -> attempts(body) == attempts
                    && body.at("/courses/0/spo2_best_before").asInt(0) >= 90
                    && allRead(body);
            assertThat(share("harbour", some, body -> lowest(body) < 80))
                    .as("under 80 after %s attempts", n)
                    .isBetween(published[n - 1] - 0.04, published[n - 1] + 0.04);
        }
        assertThat(share(
                        "lantern",
                        body -> body.at("/courses/0/spo2_best_before").isNumber() && allRead(body),
                        body -> body.at("/courses/0/spo2_best_before").intValue() - lowest(body) >= 20))
                .isBetween(0.45, 0.52);
    }

    @Test
    void readsSaturationInRoundNumbers() {
        List<Integer> readings = new ArrayList<>();
        for (JsonNode body : sample("harbour")) {
            if (first(body).has("spo2_lowest")) {
                readings.add(first(body).path("spo2_lowest").intValue());
            }
        }

        assertThat(readings).allMatch(reading -> reading <= 100);
        assertThat(readings.stream().filter(reading -> reading % 5 == 0).count() / (double) readings.size())
                .isBetween(0.30, 0.55);
    }

    @Test
    void tiesTheOesophagusToTheFailureOfThatAttempt() {
        for (JsonNode body : sample("harbour")) {
            for (JsonNode event : body.path("events")) {
                boolean oesophagus = event.path("event_type").asString("").startsWith("oesophageal");
                if (oesophagus && event.has("event_attempt_no")) {
                    int attempt = event.path("event_attempt_no").intValue();
                    JsonNode there = body.at("/courses/0/attempts/" + (attempt - 1));
                    assertThat(there.path("attempt_success").asString()).isEqualTo("no");
                    assertThat(there.path("tube_position").asString()).isEqualTo("oesophagus");
                }
            }
        }
        Predicate<JsonNode> oesophagus = body -> body.path("events")
                .valueStream()
                .anyMatch(event -> event.path("event_type").asString("").startsWith("oesophageal"));
        assertThat(share("harbour", body -> attempts(body) == 1, oesophagus)).isLessThan(0.002);
        assertThat(share("harbour", body -> attempts(body) == 2, oesophagus)).isBetween(0.12, 0.18);
        assertThat(share("harbour", body -> attempts(body) >= 3, oesophagus)).isBetween(0.25, 0.34);
    }

    @Test
    void harmsAboutAsOftenAsPublished() {
        Predicate<JsonNode> answered =
                body -> body.path("adverse_event_any").asString("").matches("yes|no");
        Predicate<JsonNode> harmed =
                body -> body.path("adverse_event_any").asString("").equals("yes");

        assertThat(share("harbour", answered, harmed)).isBetween(0.147, 0.20);
        assertThat(share("lantern", answered, harmed)).isBetween(0.17, 0.23);
    }

    /** The screen on a cable looks worse, because it is taken for the harder cases and by novices; it is not worse. */
    @Test
    void comparesScreenPositionsWithABiasThatGoesAwayLikeForLike() {
        Map<String, int[][]> strata = new HashMap<>();
        int[][] all = new int[2][2];
        for (JsonNode body : sample("harbour")) {
            String mounting = mounting(body);
            String difficulty = body.path("difficulty_predicted").asString("unk");
            String experience = first(body).path("operator_experience").asString("unk");
            boolean known = !difficulty.equals("unk") && !experience.equals("unk");
            if (tubeChange(body) || !known || !Set.of("handle", "cable").contains(mounting)) {
                continue;
            }
            int[][] stratum = strata.computeIfAbsent(difficulty + " " + experience, key -> new int[2][2]);
            int group = mounting.equals("cable") ? 1 : 0;
            int outcome = success(first(body)) ? 1 : 0;
            stratum[group][outcome]++;
            all[group][outcome]++;
        }
        double weighted = 0;
        double weights = 0;
        for (int[][] stratum : strata.values()) {
            double handle = stratum[0][0] + stratum[0][1];
            double cable = stratum[1][0] + stratum[1][1];
            double weight = handle * cable / (handle + cable);
            weighted += weight * difference(stratum);
            weights += weight;
        }

        assertThat(strata).hasSize(8);
        assertThat(difference(all)).isLessThan(-0.05);
        assertThat(weighted / weights).isBetween(-0.025, 0.025);
    }

    @Test
    void leavesGapsAsPeopleDo() {
        Predicate<JsonNode> all = body -> true;

        assertThat(share("harbour", all, body -> !first(body).has("spo2_lowest")))
                .isBetween(0.05, 0.10);
        assertThat(share("harbour", all, body -> !first(body).has("attempt_duration_s")))
                .isBetween(0.35, 0.55);
        assertThat(share("harbour", all, body -> !answered(body, "difficulty_predicted")))
                .isBetween(0.04, 0.09);
        assertThat(share("harbour", all, body -> !answered(body, "adverse_event_any")))
                .isBetween(0.03, 0.07);
        assertThat(share(
                        "harbour",
                        all,
                        body -> success(first(body)) && !first(body).has("tube_passes")))
                .isBetween(0.03, 0.07);
        Predicate<JsonNode> arrest = body -> body.path("events")
                .valueStream()
                .anyMatch(event -> event.path("event_type").asString("").startsWith("arrest"));
        assertThat(share("harbour", arrest, body -> !first(body).has("spo2_lowest")))
                .isGreaterThan(0.15);
    }

    @Test
    void usesEverySetUpAndGivesEachUnitItsOwn() {
        Set<String> ids = new HashSet<>();
        for (UnitPlan unit : Scenario.UNITS) {
            Set<String> used = new HashSet<>();
            sample(unit.code())
                    .forEach(
                            body -> used.add(first(body).path("device_setup_id").asString("")));
            for (SetupPlan setup : unit.setups()) {
                assertThat(used).contains(setup.id());
                assertThat(ids.add(setup.id())).isTrue();
            }
            assertThat(unit.setups()).hasSizeBetween(3, 6);
        }
    }

    private static UnitPlan unit(String code) {
        return Scenario.UNITS.stream()
                .filter(unit -> unit.code().equals(code))
                .findFirst()
                .orElseThrow();
    }

    /** Twenty times what {@code serve} shows. */
    private static List<JsonNode> sample(String code) {
        return SAMPLES.computeIfAbsent(code, key -> {
            List<JsonNode> bodies = new ArrayList<>();
            for (long seed = 1; seed <= 20; seed++) {
                new InventedRecords(seed, unit(key), NOW).of(38).forEach(record -> bodies.add(record.body()));
            }
            return bodies;
        });
    }

    private static double firstPass(String unit, Predicate<JsonNode> some) {
        return share(unit, some, body -> success(first(body)));
    }

    private static double share(String unit, Predicate<JsonNode> some, Predicate<JsonNode> yes) {
        List<JsonNode> bodies = sample(unit).stream()
                .filter(body -> !tubeChange(body))
                .filter(some)
                .toList();
        return bodies.stream().filter(yes).count() / (double) bodies.size();
    }

    private static double difference(int[][] groups) {
        return groups[1][1] / (double) (groups[1][0] + groups[1][1])
                - groups[0][1] / (double) (groups[0][0] + groups[0][1]);
    }

    private static Predicate<JsonNode> grade(String grade) {
        return body -> first(body).path("operator_grade").asString("").equals(grade);
    }

    private static JsonNode first(JsonNode body) {
        return body.at("/courses/0/attempts/0");
    }

    private static boolean success(JsonNode attempt) {
        return attempt.path("attempt_success").asString("").equals("yes");
    }

    private static boolean tubeChange(JsonNode body) {
        return body.path("encounter_kind").asString("").equals("tube_change");
    }

    private static int attempts(JsonNode body) {
        return body.at("/courses/0/attempts").size();
    }

    private static boolean answered(JsonNode body, String variable) {
        return body.path(variable).asString("").matches("yes|no");
    }

    private static String month(JsonNode body) {
        return YearMonth.from(OffsetDateTime.parse(body.path("encounter_start").asString("")))
                .toString();
    }

    private static String mounting(JsonNode body) {
        String id = first(body).path("device_setup_id").asString("");
        return Scenario.UNITS.stream()
                .flatMap(unit -> unit.setups().stream())
                .filter(setup -> setup.id().equals(id))
                .map(SetupPlan::mounting)
                .findFirst()
                .orElseThrow();
    }

    private static boolean allRead(JsonNode body) {
        return body.at("/courses/0/attempts").valueStream().allMatch(attempt -> attempt.has("spo2_lowest"));
    }

    private static int lowest(JsonNode body) {
        return body.at("/courses/0/attempts")
                .valueStream()
                .mapToInt(attempt -> attempt.path("spo2_lowest").intValue())
                .min()
                .orElseThrow();
    }
}
