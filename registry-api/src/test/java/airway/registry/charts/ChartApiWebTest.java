package airway.registry.charts;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.registry.testing.ServedRegistry;
import java.io.StringReader;
import java.util.List;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.w3c.dom.Document;
import org.xml.sax.InputSource;
import tools.jackson.databind.JsonNode;

class ChartApiWebTest extends ServedRegistry {
    private String unit = "";

    @BeforeEach
    void ownUnit() {
        unit = unit().code();
    }

    private void intubate(String start, String success, String more, String attempt) {
        Answer answer = record("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "%s"%s,
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "%s"%s}]}]}""".formatted(unit, start, more, success, attempt));
        assertThat(answer.status()).as(answer.text()).isEqualTo(201);
    }

    private void intubate(String day, int yes, int no) {
        for (int i = 0; i < yes + no; i++) {
            intubate(day + "T10:00:00Z", i < yes ? "yes" : "no", "", "");
        }
    }

    private JsonNode chart(String parameters) {
        Answer answer = get("/api/v1/charts/fps?site_id=" + unit + "&" + parameters);
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    private static List<String> values(JsonNode points, String name) {
        return points.valueStream().map(point -> point.path(name).asString()).toList();
    }

    @Test
    void keepsAMonthWithoutCasesAsAGap() {
        intubate("2026-01-10", 2, 1);
        intubate("2026-03-10", 1, 0);

        JsonNode points = chart("by=month").path("points");

        assertThat(values(points, "period")).containsExactly("2026-01", "2026-02", "2026-03");
        assertThat(points.path(1).path("n").asInt()).isZero();
        for (String none : List.of("value", "lower", "upper", "lcl", "ucl")) {
            assertThat(points.path(1).path(none).isNull()).as(none).isTrue();
        }
    }

    @Test
    void countsAMonthInTheZoneOfTheUnit() {
        // London is an hour ahead of UTC from 29 March 2026 on.
        intubate("2026-03-31T22:59:00Z", "yes", "", "");
        intubate("2026-03-31T23:30:00Z", "no", "", "");

        JsonNode points = chart("by=month").path("points");

        assertThat(values(points, "period")).containsExactly("2026-03", "2026-04");
        assertThat(values(points, "x")).containsExactly("1", "0");
    }

    @Test
    void putsTheWilsonIntervalOnEachPoint() {
        intubate("2026-01-10", 7, 3);

        JsonNode point = chart("by=month").path("points").path(0);

        // Computed from the formula of Wilson (1927) in a program of its own: 7 of 10 is 0.3967781 to 0.8922087.
        assertThat(point.path("value").asDouble()).isEqualTo(0.7);
        assertThat(point.path("lower").asDouble()).isCloseTo(0.3967781, within(1e-6));
        assertThat(point.path("upper").asDouble()).isCloseTo(0.8922087, within(1e-6));
    }

    @Test
    void takesPeriodsAsMonthQuarterOrYearInclusive() {
        intubate("2025-01-10", 1, 0);
        intubate("2025-09-10", 1, 0);
        intubate("2026-02-10", 1, 0);

        assertThat(values(chart("by=quarter&from=2025-Q2&to=2025-12").path("points"), "period"))
                .containsExactly("2025-Q2", "2025-Q3", "2025-Q4");
        assertThat(values(chart("by=year&from=2025&to=2026").path("points"), "n"))
                .containsExactly("2", "1");
        assertThat(values(chart("by=month&from=2025-09&to=2025-09").path("points"), "n"))
                .containsExactly("1");
    }

    @Test
    void drawsTheLatestPointsWhenOneRecordIsOfAMistypedYear() {
        intubate("1955-01-10", 1, 0);
        intubate("2026-01-10", 2, 0);

        JsonNode chart = chart("by=month");

        assertThat(chart.path("points")).hasSize(600);
        assertThat(chart.path("to").asString()).isEqualTo("2026-01");
        assertThat(chart.path("n").asInt()).isEqualTo(2);
    }

    @Test
    void doesNotJudgeASpanThatThePeriodCutsOff() {
        intubate("2025-01-10", 1, 0);
        intubate("2025-05-10", 1, 0);
        intubate("2025-08-10", 1, 0);

        JsonNode points = chart("by=quarter&from=2025-02&to=2025-08").path("points");

        assertThat(values(points, "complete")).containsExactly("false", "true", "false");
        assertThat(get("/charts?by=quarter&from=2025-02&to=2025-08&site_id=" + unit)
                        .text())
                .contains("part of quarter 1 of 2025");
    }

    @Test
    void groupsEncountersInOrderAndLeavesTheLastGroupOpen() {
        intubate("2026-01-10", 3, 0);
        intubate("2026-02-10T10:00:00Z", "unk", "", "");
        intubate("2026-03-10", 0, 2);

        JsonNode points = chart("by=n:2").path("points");

        assertThat(values(points, "period")).containsExactly("1-2", "3-4", "5-5");
        assertThat(values(points, "x")).containsExactly("2", "1", "0");
        assertThat(values(points, "left_out")).containsExactly("0", "1", "0");
        assertThat(values(points, "complete")).containsExactly("true", "true", "false");
    }

    @Test
    void filtersByAnyOfSeveralCodesAndByNotAnswered() {
        intubate("2026-01-10T10:00:00Z", "yes", ", \"urgency\": \"urgent\"", ", \"operator_grade\": \"junior\"");
        intubate("2026-01-10T10:00:00Z", "no", ", \"urgency\": \"emergency\"", ", \"operator_grade\": \"senior\"");
        intubate("2026-01-10T10:00:00Z", "no", "", "");

        assertThat(chart("urgency=urgent&urgency=emergency").path("n").asInt()).isEqualTo(2);
        assertThat(chart("urgency=urgent&operator_grade=senior").path("n").asInt())
                .isZero();
        assertThat(chart("urgency=blank").path("n").asInt()).isEqualTo(1);
        assertThat(chart("operator_grade=junior").path("x").asInt()).isEqualTo(1);
        assertThat(chart("urgency=urgent").path("filters").path("urgency").toString())
                .isEqualTo("[\"urgent\"]");
    }

    @Test
    void readsStrataFromTheFirstAttempt() {
        Answer answer = record("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-01-10T10:00:00Z",
                 "courses": [{"course_approach": "oral", "attempts": [
                   {"attempt_success": "no", "operator_grade": "junior"},
                   {"attempt_success": "yes", "operator_grade": "specialist"}]}]}""".formatted(unit));
        assertThat(answer.status()).isEqualTo(201);

        assertThat(chart("operator_grade=junior").path("n").asInt()).isEqualTo(1);
        assertThat(chart("operator_grade=specialist").path("n").asInt()).isZero();
    }

    @Test
    void drawsNoLimitsFromFewPointsAndSaysWhy() {
        for (int month = 1; month <= 9; month++) {
            intubate("2026-0" + month + "-10", 3, 1);
        }

        JsonNode chart = chart("by=month");

        assertThat(chart.path("limits").toString())
                .isEqualTo("{\"status\":\"refused\",\"reason\":\"TOO_FEW_POINTS\",\"provisional\":false}");
        assertThat(chart.path("points").path(0).path("lcl").isNull()).isTrue();
        assertThat(chart.path("points").path(0).path("value").asDouble()).isEqualTo(0.75);
    }

    @Test
    void drawsProvisionalLimitsSignalsAndWhatCannotBeReached() {
        for (int month = 1; month <= 12; month++) {
            intubate("2025-%02d-10".formatted(month), month == 6 ? 0 : 8, month == 6 ? 9 : 1);
        }

        JsonNode chart = chart("by=month");

        // p = 88/108, limits p ± 3 sqrt(p (1 - p) / 9), computed in another program; the upper one lies above 1 and is
        // cut.
        assertThat(chart.path("centre").asDouble()).isCloseTo(88.0 / 108, within(1e-12));
        JsonNode june = chart.path("points").path(5);
        assertThat(june.path("lcl").asDouble()).isCloseTo(0.4263670932703142, within(1e-12));
        assertThat(june.path("ucl").asDouble()).isEqualTo(1.0);
        assertThat(june.path("signals").toString()).isEqualTo("[\"beyond_limits\"]");
        assertThat(chart.path("signals").toString()).isEqualTo("[{\"rule\":\"beyond_limits\",\"period\":\"2025-06\"}]");
        assertThat(chart.path("limits").path("provisional").asBoolean()).isTrue();
        assertThat(chart.path("cautions").valueStream().map(JsonNode::asString).toList())
                .contains("PROVISIONAL_LIMITS", "SMALL_DENOMINATORS", "LIMIT_UNREACHABLE");
    }

    @Test
    void leavesTheRunningMonthUnjudged() {
        intubate("2026-10-10", 1, 0);
        intubate("2026-11-10", 1, 0);

        assertThat(values(chart("by=month").path("points"), "complete")).containsExactly("true", "false");
    }

    @Test
    void saysHowManyAreLeftOutAndWarnsWhenMany() {
        intubate("2026-01-10", 4, 1);
        intubate("2026-01-10T10:00:00Z", "unk", "", "");
        record(
                "{\"site_id\": \"" + unit
                        + "\", \"encounter_kind\": \"initial\", \"encounter_start\": \"2026-01-10T10:00:00Z\", \"courses\": []}");

        JsonNode chart = chart("by=month");

        assertThat(chart.path("n").asInt()).isEqualTo(5);
        assertThat(chart.path("left_out").asInt()).isEqualTo(2);
        assertThat(chart.path("left_out_unknown").asInt()).isEqualTo(1);
        assertThat(chart.path("cautions").toString()).contains("MISSING_HIGH");
    }

    @Test
    void saysThatDatesAreMadeUp() {
        intubate("2026-01-10T10:00:00Z", "yes", ", \"encounter_start_precision\": \"nominal\"", "");

        assertThat(chart("").path("notes").path(0).path("code").asString()).isEqualTo("nominal_dates");
        assertThat(get("/api/v1/charts/fps?format=svg&site_id=" + unit).text()).contains(ChartWords.NOMINAL);
    }

    @Test
    void saysThatUnitsOfSeveralKindsAreCountedTogether() {
        String other = "kind-" + unit;
        unit(other, "nicu", "Europe/London", true);

        assertThat(chart("site_id=" + other).path("notes").path(0).path("code").asString())
                .isEqualTo("mixed_units");
        assertThat(chart("").path("notes")).isEmpty();
    }

    @Test
    void isEmptyWithoutRecords() {
        JsonNode chart = chart("");

        assertThat(chart.path("n").asInt()).isZero();
        assertThat(chart.path("points")).isEmpty();
        assertThat(chart.path("value").isNull()).isTrue();
        assertThat(chart.path("limits").path("reason").asString()).isEqualTo("NO_DATA");
    }

    @Test
    void refusesParametersThatCannotBeTaken() {
        assertThat(faults(isProblem(
                        get(
                                "/api/v1/charts/fps?by=week&from=2025-13&to=Q1&colour=red&urgency=soon&site_id=none&chart=pie"),
                        400,
                        "malformed")))
                .containsExactlyInAnyOrder(
                        "chart chart.not_offered",
                        "by by.form",
                        "from period.form",
                        "to period.form",
                        "colour parameter.unknown",
                        "urgency code",
                        "site_id site.unknown");
        isProblem(get("/api/v1/charts/fps?from=2025-06&to=2025-05"), 400, "malformed");
        isProblem(get("/api/v1/charts/fps?by=month&from=1900&to=2099"), 400, "malformed");
        isProblem(get("/api/v1/charts/fps?by=month&by=year"), 400, "malformed");
        isProblem(get("/api/v1/charts/fps?device_setup_id=%00"), 400, "malformed");
        isProblem(get("/api/v1/charts/wins"), 404, "missing");
    }

    @Test
    void answersAsPictureAndAsTable() throws Exception {
        intubate("2026-01-10", 2, 1);

        Answer svg = send(request("/api/v1/charts/fps?site_id=" + unit).header("Accept", "image/svg+xml"));
        assertThat(svg.header("Content-Type")).startsWith("image/svg+xml");
        Document document = DocumentBuilderFactory.newInstance()
                .newDocumentBuilder()
                .parse(new InputSource(new StringReader(svg.text())));
        assertThat(document.getElementsByTagName("title").item(0).getTextContent())
                .isEqualTo("First-pass success, by month");
        assertThat(document.getElementsByTagName("desc").item(0).getTextContent())
                .contains("2 of 3");

        for (String kind : List.of("p", "strip", "cusum")) {
            Answer png = get("/api/v1/charts/fps?format=png&site_id=" + unit + "&chart=" + kind);
            assertThat(png.status()).isEqualTo(200);
            assertThat(png.header("Content-Type")).isEqualTo("image/png");
            assertThat(png.text()).as("PNG (ISO/IEC 15948), 5.2: the signature").contains("PNG\r\n");
        }

        Answer csv = send(request("/api/v1/charts/fps?site_id=" + unit).header("Accept", "text/csv"));
        assertThat(csv.header("Content-Type")).startsWith("text/csv");
        assertThat(csv.text()).startsWith("period,x,n,left_out,").contains("\r\n2026-01,2,3,0,0,0.6666666666666666,");
    }

    @Test
    void answersNotModifiedWhileNothingChanged() {
        intubate("2026-01-10", 1, 0);
        String path = "/api/v1/charts/fps?site_id=" + unit;
        String tag = get(path).header("ETag");

        assertThat(send(request(path).header("If-None-Match", tag)).status()).isEqualTo(304);
        intubate("2026-01-10", 1, 0);
        assertThat(send(request(path).header("If-None-Match", tag)).status()).isEqualTo(200);
    }

    @Test
    void comparesGroupsAsRecordedAndRefusesFewer() {
        for (String setup : List.of("a", "b")) {
            post(
                    "/api/v1/device-setups",
                    "{\"site_id\": \"" + unit + "\", \"device_setup_id\": \"" + setup + "\", \"title\": \"Set-up "
                            + setup + "\"}");
        }
        for (int i = 0; i < 20; i++) {
            intubate("2026-01-10T10:00:00Z", i < 15 ? "yes" : "no", "", ", \"device_setup_id\": \"a\"");
        }
        intubate("2026-01-10T10:00:00Z", "yes", "", ", \"device_setup_id\": \"b\"");
        intubate("2026-01-10T10:00:00Z", "unk", "", "");

        JsonNode comparison = get("/api/v1/comparisons/fps?by=device_setup_id&site_id=" + unit)
                .json();

        assertThat(values(comparison.path("groups"), "code")).containsExactly("a", "b", "blank");
        assertThat(values(comparison.path("groups"), "label")).containsExactly("Set-up a", "Set-up b", "Not answered");
        assertThat(values(comparison.path("groups"), "x")).containsExactly("15", "1", "0");
        assertThat(values(comparison.path("groups"), "left_out")).containsExactly("0", "0", "1");
        assertThat(comparison.at("/refused/reason").asString()).isEqualTo("TOO_FEW_OBSERVATIONS");
        assertThat(comparison.at("/refused/needed").asInt()).isEqualTo(20);
        assertThat(comparison.path("like_for_like").isNull()).isTrue();
        assertThat(comparison.path("cautions").toString())
                .as("the one record without a set-up has no known outcome either")
                .isEqualTo("[\"CRUDE_ONLY\",\"MISSING_HIGH\"]");

        for (int i = 0; i < 19; i++) {
            intubate("2026-01-10T10:00:00Z", "no", "", ", \"device_setup_id\": \"b\"");
        }
        JsonNode enough = get("/api/v1/comparisons/fps?by=device_setup_id&groups=a,b&adjust=none&site_id=" + unit)
                .json();
        assertThat(enough.path("refused").isNull()).isTrue();
        assertThat(values(enough.path("groups"), "n")).containsExactly("20", "20");
    }

    @Test
    void comparesByAnyCodedVariable() {
        intubate("2026-01-10T10:00:00Z", "yes", ", \"difficulty_predicted\": \"yes\", \"age_days\": 10", "");
        intubate("2026-01-10T10:00:00Z", "no", ", \"difficulty_predicted\": \"unk\"", "");

        assertThat(values(
                        get("/api/v1/comparisons/fps?by=difficulty_predicted&site_id=" + unit)
                                .json()
                                .path("groups"),
                        "label"))
                .containsExactly("Yes", "Not known");
        assertThat(values(
                        get("/api/v1/comparisons/fps?by=age_band&site_id=" + unit)
                                .json()
                                .path("groups"),
                        "code"))
                .containsExactly("newborn_unknown_gestation", "unknown");
        isProblem(get("/api/v1/comparisons/fps?by=weight_kg"), 400, "malformed");
    }

    @Test
    void listsMeasuresWithTheirDefinitions() {
        JsonNode measures = get("/api/v1/measures").json();

        assertThat(values(measures, "measure"))
                .startsWith("fps", "fps_strict", "fps_clean")
                .contains("ae_any", "ae_severe", "room_for_tube")
                .doesNotHaveDuplicates();
        measures.forEach(measure -> {
            String id = measure.path("measure").asString();
            for (String told :
                    List.of("title", "definition", "numerator", "denominator", "exclusions", "published", "source")) {
                assertThat(measure.path(told).asString()).as(id + " " + told).isNotBlank();
            }
            assertThat(measure.path("direction").asString()).as(id).isIn("higher", "lower", "none");
            measure.path("charts")
                    .forEach(chart -> assertThat(chart.asString())
                            .as(id)
                            .isIn(
                                    "p", "p_prime", "run", "u", "u_prime", "c", "xmr", "g", "t", "ewma", "cusum",
                                    "funnel", "strip"));
            JsonNode drawn = get("/api/v1/charts/" + id + "?site_id=" + unit).json();
            assertThat(drawn.path("definition")).as(id).isEqualTo(measure.path("definition"));
            assertThat(drawn.path("window")).as(id).isEqualTo(measure.path("window"));
            assertThat(drawn.path("value").isNull()).as(id + " of nothing").isTrue();
        });
    }
}
