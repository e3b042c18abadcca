package airway.registry.charts;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.registry.access.Role;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.io.IOException;
import java.net.http.HttpRequest;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.UUID;
import org.assertj.core.data.Offset;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;

/** Groups as recorded and like for like, through records, API and page. */
class ComparisonWebTest extends ServedRegistry {
    private static final Offset<Double> CLOSE = within(1e-9);

    private String unit = "";

    @BeforeEach
    void ownUnit() {
        unit = unit().code();
    }

    private void setup(String code, String title) {
        assertThat(post(
                                "/api/v1/device-setups",
                                "{\"site_id\": \"%s\", \"device_setup_id\": \"%s\", \"title\": \"%s\"}"
                                        .formatted(unit, code, title))
                        .status())
                .isEqualTo(201);
    }

    /** Records first attempts with a set-up, some of them successes. */
    private void intubate(String setup, int successes, int n, String encounter, String attempt) {
        for (int i = 0; i < n; i++) {
            Answer answer = record("""
                    {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-01T10:00:00Z"%s,
                     "courses": [{"course_approach": "oral", "attempts": [
                       {"attempt_success": "%s", "device_setup_id": "%s"%s}]}]}""".formatted(unit, encounter, i < successes ? "yes" : "no", setup, attempt));
            assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        }
    }

    private static String expected(String answer) {
        return ", \"difficulty_predicted\": \"" + answer + "\"";
    }

    private JsonNode compare(String parameters) {
        Answer answer = get("/api/v1/comparisons/fps?site_id=" + unit + parameters);
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    private String page(String parameters) {
        Answer answer = send(request("/compare?site_id=" + unit + parameters)
                .header("Accept", "text/html")
                .GET());
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.text().replace("&#39;", "'");
    }

    private static void estimate(JsonNode node, double difference, double lower, double upper) {
        assertThat(node.path("difference").asDouble()).isCloseTo(difference, CLOSE);
        assertThat(node.path("lower").asDouble()).isCloseTo(lower, CLOSE);
        assertThat(node.path("upper").asDouble()).isCloseTo(upper, CLOSE);
    }

    /**
     * Counts: Charig CR and others 1986, BMJ 292:879-882, small and large kidney stones (as in Julious SA, Mullee MA 1994, BMJ
     * 309:1480), here as two set-ups with and without expected difficulty. Like for like by R 4.2: limits of {@code
     * prop.test(correct = FALSE)} of each stratum, weighted and combined by squares.
     */
    @Test
    void turnsThePublishedOrderOfTheKidneyStonesRound() {
        setup("a", "A set-up");
        setup("b", "B set-up");
        intubate("a", 81, 87, expected("no"), "");
        intubate("b", 234, 270, expected("no"), "");
        intubate("a", 192, 263, expected("yes"), "");
        intubate("b", 55, 80, expected("yes"), "");
        intubate("a", 1, 3, "", "");

        JsonNode comparison = compare("&adjust=difficulty_predicted");

        JsonNode like = comparison.path("like_for_like");
        assertThat(like.path("method").asString()).isEqualTo("standardised.direct_mover");
        assertThat(like.path("allowed_for").toString()).isEqualTo("[\"difficulty_predicted\"]");
        estimate(like.path("pairs").path(0), 0.0536712173856, -0.0133267631360, 0.1193293160559);
        assertThat(like.path("groups").path(0).path("value").asDouble()).isCloseTo(0.832546217386, CLOSE);
        assertThat(like.path("groups").path(1).path("upper").asDouble()).isCloseTo(0.826988163527, CLOSE);
        assertThat(like.path("reversal").asBoolean()).isTrue();
        assertThat(comparison.path("cautions").toString()).isEqualTo("[\"REVERSAL\"]");
        assertThat(like.path("n").asInt()).isEqualTo(700);
        assertThat(like.at("/left_out/unanswered").asInt())
                .as("told, not dropped")
                .isEqualTo(3);
        assertThat(like.at("/strata/0/codes/difficulty_predicted").asString()).isEqualTo("yes");
        assertThat(like.at("/strata/0/groups/0/n").asInt()).isEqualTo(263);

        assertThat(page("&adjust=difficulty_predicted"))
                .contains(
                        "The order turns round: as recorded “B set-up” had more first passes, like for like “A set-up” did,"
                                + " also in 2 of 2 strata.")
                .contains("had more first passes than “B set-up”: 5 points more (95% interval 1 fewer to 12 more)")
                .contains("The data do not separate these two")
                .contains("3 first attempts are left out of it because an answer is missing")
                .contains("“A set-up” 263 of 350 (75.1%), “B set-up” 80 of 350 (22.9%)")
                .contains("right in only 84 to 90% of comparisons")
                .doesNotContain("better", "winner", "best ");
        assertThat(compare("&adjust=none").path("like_for_like").isNull()).isTrue();
        assertThat(compare("&adjust=none").path("cautions").toString()).isEqualTo("[\"CRUDE_ONLY\"]");
    }

    /**
     * The open trial, row by row. R 4.2: Newcombe from the limits of {@code prop.test(correct = FALSE)}, Miettinen and Nurminen by a root
     * of the score at constrained maximum likelihood (base R), {@code fisher.test}, Fleiss' size of groups for 96.4 and 81.4 %, the confidence
     * sequence by a root of its definition. The trial's own figure is 5.84 points, p 0.5246.
     */
    @Test
    void comparesTheOpenTrialAsElsewhere() throws IOException {
        setup("direct", "Direct");
        setup("video", "Video");
        List<String> rows = Files.readAllLines(Path.of("../docs/tutorial/data/video_vs_direct_trial.csv"));
        for (String row : rows.subList(1, rows.size())) {
            String[] fields = row.split(",", -1);
            intubate(fields[5].equals("0") ? "direct" : "video", fields[7].equals("1") ? 1 : 0, 1, "", "");
        }

        JsonNode pair = compare("&adjust=none").at("/pairs/0");
        assertThat(pair.path("a").asString()).isEqualTo("direct");
        estimate(pair, 0.058367346939, -0.072499145572, 0.189872633305);
        assertThat(pair.at("/score/method").asString()).isEqualTo("rd.miettinen_nurminen");
        assertThat(pair.at("/score/lower").asDouble()).isCloseTo(-0.07317219, within(1e-7));
        assertThat(pair.at("/score/upper").asDouble()).isCloseTo(0.19383962, within(1e-7));
        assertThat(pair.path("p").asDouble()).isCloseTo(0.524555165253, CLOSE);

        assertThat(page("&adjust=none"))
                .contains("5.84 (-7.25 to 18.99)", "5.84 (-7.32 to 19.38)", "0.52, 0.52")
                .contains("About 19 more first attempts on each side would show a gap of 15 points in 80 of 100 cases")
                .contains("73% to 99%", "66% to 97%");
    }

    /** R 4.2, base: Koopman's limits by a root of the score, 1.6634 to 5.6187 about a ratio of 3; E-values by their formula. */
    @Test
    void tellsHowStrongSomethingUnrecordedWouldHaveToBe() {
        setup("a", "A set-up");
        setup("b", "B set-up");
        intubate("a", 50, 60, "", "");
        intubate("b", 30, 60, "", "");
        assertThat(page("&adjust=none&groups=b,a")).containsPattern("5\\.45 \\(limit 2\\.71\\)");
        assertThat(page("&adjust=none"))
                .containsPattern("5\\.45 \\(limit 2\\.71\\)")
                .doesNotContain("would show a gap of 15");
    }

    @Test
    void tellsHowFarMissingOutcomesCouldMoveTheShares() {
        setup("a", "A set-up");
        setup("b", "B set-up");
        intubate("a", 30, 40, "", "");
        intubate("b", 20, 40, "", "");
        assertThat(compare("&adjust=none").at("/groups/0/missing").isNull()).isTrue();
        for (int i = 0; i < 10; i++) {
            Answer answer = record("""
                    {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-01T10:00:00Z",
                     "courses": [{"course_approach": "oral", "attempts": [
                       {"attempt_success": "unk", "device_setup_id": "a"}]}]}""".formatted(unit));
            assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        }
        JsonNode comparison = compare("&adjust=none");
        assertThat(comparison.at("/groups/0/missing/least").asDouble()).isCloseTo(0.6, CLOSE);
        assertThat(comparison.at("/groups/0/missing/most").asDouble()).isCloseTo(0.8, CLOSE);
        assertThat(comparison.path("cautions").toString()).isEqualTo("[\"CRUDE_ONLY\",\"MISSING_HIGH\"]");
        assertThat(page("&adjust=none"))
                .contains(
                        "“A set-up”: the outcome is not known in 10 of 50. If all unknown had been first passes, 40 of 50"
                                + " (80%); if none, 30 of 50 (60%).")
                .contains("as recorded could so lie anywhere from 10 more to 30 more in 100, before any chance.");
    }

    @Test
    void givesLikeForLikeAsCsvToo() {
        setup("a", "A set-up");
        setup("b", "B set-up");
        intubate("a", 15, 20, expected("yes"), "");
        intubate("b", 10, 20, expected("yes"), "");
        intubate("a", 18, 20, expected("no"), "");
        intubate("b", 16, 20, expected("no"), "");
        JsonNode like = compare("&adjust=difficulty_predicted").path("like_for_like");

        List<String> lines = get("/api/v1/comparisons/fps?format=csv&adjust=difficulty_predicted&site_id=" + unit)
                .text()
                .lines()
                .toList();

        assertThat(lines.get(0))
                .isEqualTo(
                        "code,label,x,n,left_out,left_out_unknown,value,lower,upper,figure,against,method,p,p_adjusted");
        assertThat(lines).hasSize(1 + 2 + 1 + 2 + 1);
        assertThat(lines.get(1)).startsWith("a,\"A set-up\",33,40,0,0,0.825,").endsWith(",as_recorded,,prop.wilson,,");
        assertThat(lines.get(3)).startsWith("a,\"A set-up\",,,,,0.17").contains(",as_recorded,b,rd.newcombe,");
        assertThat(lines.get(4))
                .isEqualTo("a,\"A set-up\",,,,," + numbers(like.at("/groups/0"), "value")
                        + ",like_for_like,,standardised.direct_mover,,");
        assertThat(lines.get(6))
                .startsWith("a,\"A set-up\",,,,," + numbers(like.at("/pairs/0"), "difference")
                        + ",like_for_like,b,standardised.direct_mover,");
    }

    private static String numbers(JsonNode node, String value) {
        return node.path(value).asDouble() + "," + node.path("lower").asDouble() + ","
                + node.path("upper").asDouble();
    }

    /** Twelve people, each with every kind of case; what the figures are is tested against a plain reader elsewhere. */
    @Test
    void comparesByAModelOverPeopleOnThePageAndByTheApi() {
        setup("a", "A set-up");
        setup("b", "B set-up");
        assertThat(compare("&adjust=difficulty_predicted")
                        .path("modelled_refused")
                        .isNull())
                .as("nothing compared, nothing to model")
                .isTrue();
        for (int person = 0; person < 12; person++) {
            Tester who = Tester.fresh(LOGINS).with(sites.named(unit).no(), Role.RECORDER);
            for (int i = 0; i < 8; i++) {
                String body = """
                        {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-01T10:00:00Z",
                         "difficulty_predicted": "%s", "courses": [{"course_approach": "oral", "attempts": [
                           {"attempt_success": "%s", "device_setup_id": "%s", "operator_is_recorder": "yes"}]}]}""".formatted(
                        unit, i < 4 ? "yes" : "no", (person + i) % 3 == 0 ? "no" : "yes", i % 2 == 0 ? "a" : "b");
                Answer answer = send(request("/api/v1/encounters", who)
                        .header("Content-Type", "application/json")
                        .header("Idempotency-Key", "\"" + UUID.randomUUID() + "\"")
                        .POST(HttpRequest.BodyPublishers.ofString(body)));
                assertThat(answer.status()).as(answer.text()).isEqualTo(201);
            }
        }
        JsonNode comparison = compare("&adjust=difficulty_predicted");
        JsonNode modelled = comparison.path("modelled");
        assertThat(modelled.path("method").asString()).isEqualTo("logit.standardised_groups");
        assertThat(modelled.path("operators").asInt()).isEqualTo(12);
        assertThat(modelled.path("n").asInt()).isEqualTo(96);
        assertThat(modelled.path("parameters").asInt()).isEqualTo(2);
        assertThat(modelled.path("cautions").toString()).isEqualTo("[\"FEW_CLUSTERS\"]");
        assertThat(modelled.at("/pairs/0/lower").asDouble())
                .isLessThan(modelled.at("/pairs/0/difference").asDouble());
        assertThat(page("&adjust=difficulty_predicted"))
                .contains("Like for like, by a model", "first attempts of one of the 12 people resemble each other")
                .contains("By the model, ");
        assertThat(compare("&adjust=none").path("modelled").isNull()).isTrue();
        assertThat(get("/api/v1/comparisons/fps?format=csv&adjust=difficulty_predicted&site_id=" + unit)
                        .text())
                .contains(",modelled,b,logit.standardised_groups,");
    }

    @Test
    void comparesNothingWithOneGroupOrNothingKnown() {
        setup("a", "A set-up");
        assertThat(compare("").at("/refused/reason").asString())
                .as("nothing at all")
                .isEqualTo("TOO_FEW_OBSERVATIONS");
        assertThat(page("")).contains("No intubations recorded here yet.");
        intubate("a", 20, 30, "", "");
        assertThat(compare("").at("/refused/reason").asString()).as("one group").isEqualTo("TOO_FEW_OBSERVATIONS");
        assertThat(compare("").path("pairs")).isEmpty();
        setup("b", "B set-up");
        for (int i = 0; i < 20; i++) {
            assertThat(record("""
                    {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-01T10:00:00Z",
                     "courses": [{"course_approach": "oral", "attempts": [
                       {"attempt_success": "unk", "device_setup_id": "b"}]}]}""".formatted(unit)).status()).isEqualTo(201);
        }
        JsonNode unknown = compare("");
        assertThat(unknown.at("/groups/1/n").asInt()).isZero();
        assertThat(unknown.at("/groups/1/value").isNull()).as("not 0").isTrue();
        assertThat(unknown.at("/groups/1/missing/most").asDouble()).isEqualTo(1);
        assertThat(unknown.path("pairs")).isEmpty();
    }

    @Test
    void refusesWithTheReasonAndWhatIsNeeded() {
        setup("a", "A set-up");
        setup("b", "B set-up");
        intubate("a", 15, 20, expected("yes"), "");
        assertThat(compare("").at("/refused/reason").asString()).isEqualTo("TOO_FEW_OBSERVATIONS");
        assertThat(compare("").at("/refused/needed").asInt()).isEqualTo(20);
        assertThat(page("")).contains("Two groups with at least 20 first attempts each are needed.");

        intubate("b", 20, 20, expected("no"), "");
        JsonNode apart = compare("");
        assertThat(apart.at("/refused/reason").asString()).as("no overlap").isEqualTo("NO_INFORMATIVE_STRATA");
        assertThat(apart.path("like_for_like").isNull()).isTrue();
        assertThat(apart.path("pairs")).as("as recorded all the same").hasSize(1);
        assertThat(page("")).contains("Not compared like for like.", "What follows is as recorded.");

        JsonNode missing = compare("&adjust=operator_experience");
        assertThat(missing.at("/refused/reason").asString())
                .as("everything missing")
                .isEqualTo("NO_DATA");
        assertThat(page("&adjust=operator_experience")).contains("None of what is to be allowed for is known");
    }

    @Test
    void refusesAnOutcomeThatHardlyVaries() {
        setup("a", "A set-up");
        setup("b", "B set-up");
        intubate("a", 20, 20, "", "");
        intubate("b", 20, 20, "", "");
        JsonNode all = compare("");
        assertThat(all.at("/refused/reason").asString()).isEqualTo("NO_VARIATION");
        assertThat(all.at("/refused/needed").asInt()).isEqualTo(5);
        assertThat(all.path("pairs")).isEmpty();
        assertThat(page("")).contains("there are 40 and 0.");
    }

    @Test
    void refusesMorePairsThanCanBeRead() {
        for (int i = 0; i < 60; i++) {
            String code = "s" + (i < 10 ? "0" : "") + i;
            setup(code, "Set-up " + code);
            intubate(code, i < 13 ? 10 : 1, i < 13 ? 20 : 1, expected("yes"), "");
        }
        JsonNode many = compare("");
        assertThat(many.path("groups")).hasSize(60);
        assertThat(many.at("/refused/reason").asString()).isEqualTo("TOO_MANY_GROUPS");
        assertThat(page("")).contains("name at most 12 of them");

        JsonNode three = compare("&groups=s00,s01,s02");
        assertThat(three.path("pairs")).hasSize(3);
        assertThat(three.at("/like_for_like/pairs")).hasSize(3);
        assertThat(page("")).contains("too few to compare (1)");
    }

    @Test
    void tellsEveryParameterThatCannotBeTaken() {
        String path = "/api/v1/comparisons/fps?site_id=" + unit;
        assertThat(faults(isProblem(get(path + "&adjust=weight_kg"), 400, "malformed")))
                .containsExactly("adjust adjust.form");
        assertThat(faults(isProblem(get(path + "&by=age_band&adjust=age_band"), 400, "malformed")))
                .containsExactly("adjust adjust.is_by");
        assertThat(faults(isProblem(get(path + "&by=blade_material&groups=wood"), 400, "malformed")))
                .containsExactly("groups code");
        assertThat(faults(isProblem(get(path + "&across=location&by=nonsense"), 400, "malformed")))
                .containsExactlyInAnyOrder("by by.form", "across code");
    }

    @Test
    void tellsWhetherADifferenceIsTheSameForNovices() {
        for (String mounting : List.of("handle", "cable")) {
            assertThat(post("/api/v1/device-setups", """
                            {"site_id": "%s", "device_setup_id": "%s", "title": "On %s", "device_mode": "video_standard",
                             "display_mounting": "%s"}""".formatted(unit, mounting, mounting, mounting))
                            .status())
                    .isEqualTo(201);
        }
        String novice = ", \"operator_experience\": \"lt10\"";
        String other = ", \"operator_experience\": \"gt100\"";
        intubate("handle", 12, 16, expected("no"), novice);
        intubate("cable", 10, 16, expected("no"), novice);
        intubate("handle", 14, 16, expected("no"), other);
        intubate("cable", 15, 16, expected("no"), other);

        String asked = "&by=display_mounting&groups=handle,cable&across=operator_experience&adjust=operator_experience";
        JsonNode comparison = compare(asked);

        JsonNode across = comparison.path("across");
        assertThat(across.path("a").asString()).isEqualTo("handle");
        assertThat(across.path("difference").asDouble()).isCloseTo(2 / 16.0 + 1 / 16.0, CLOSE);
        assertThat(across.path("lower").asDouble()).isNegative();
        assertThat(page(asked))
                .contains(
                        "for novices (fewer than 25 intubations before) 13 more in 100 (12 of 16 (75%) against 10 of 16")
                .contains("These two differ by 19 points")
                .contains("The data do not tell whether it matters more");
    }

    @Test
    void tellsOfExpectationsWrittenDownAfterwards() {
        setup("a", "A set-up");
        setup("b", "B set-up");
        intubate("a", 12, 15, expected("yes"), "");
        intubate("b", 10, 15, expected("yes"), "");
        intubate("a", 1, 6, expected("yes") + ", \"difficulty_written_before\": \"no\"", "");
        intubate("b", 6, 6, expected("yes") + ", \"difficulty_written_before\": \"no\"", "");

        assertThat(page(""))
                .contains("In 12 first attempts the expectation of difficulty was written down afterwards")
                .contains("With them, “B set-up” had more first passes than “A set-up”: 14 points more")
                .contains("without them, “A set-up” had more first passes than “B set-up”: 13 points more");
    }

    @Test
    void opensEveryQuestionOfTheTradeWithOneClick() {
        for (TradeQuestion.Link question : TradeQuestion.links(sites.named(unit))) {
            assertThat(page("")).contains(question.title());
            Answer answer = send(
                    request(question.address()).header("Accept", "text/html").GET());
            assertThat(answer.status()).as(question.title()).isEqualTo(200);
            assertThat(answer.text()).as(question.title()).doesNotContain("This cannot be shown as asked");
        }
    }
}
