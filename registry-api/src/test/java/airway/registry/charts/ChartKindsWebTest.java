package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.registry.cohort.Measure;
import airway.registry.testing.ServedRegistry;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;

/** The kinds of charts over HTTP, counted from stored records. */
class ChartKindsWebTest extends ServedRegistry {
    private String unit = "";

    @BeforeEach
    void ownUnit() {
        unit = unit().code();
    }

    private void intubate(String day, boolean success) {
        intubate(day, success, "");
    }

    private void intubate(String day, boolean success, String more) {
        assertThat(record("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "%sT10:00:00Z"%s,
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "%s"}]}]}""".formatted(unit, day, more, success ? "yes" : "no"))
                        .status())
                .isEqualTo(201);
    }

    private JsonNode chart(String parameters) {
        return chart("fps", parameters);
    }

    private JsonNode chart(String measure, String parameters) {
        Answer answer = get("/api/v1/charts/" + measure + "?site_id=" + unit + "&" + parameters);
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    @Test
    void countsWhatLiesBetweenFailures() {
        // Failures on the 3rd, 6th and 8th; two successes since.
        for (int day = 1; day <= 10; day++) {
            intubate("2026-03-%02d".formatted(day), !List.of(3, 6, 8).contains(day));
        }

        JsonNode g = chart("chart=g");
        JsonNode t = chart("chart=t");

        assertThat(g.path("points").findValuesAsString("value")).containsExactly("2.0", "1.0", "2.0");
        assertThat(g.path("points").findValuesAsString("complete")).containsExactly("true", "true", "false");
        assertThat(t.path("points").path(0).path("value").asDouble()).isEqualTo(3);
        assertThat(t.path("points").path(1).path("value").asDouble()).isEqualTo(2);
        assertThat(g.path("n").asInt()).isEqualTo(10);
        assertThat(g.path("limits").path("reason").asString()).isEqualTo("TOO_FEW_POINTS");
        assertThat(g.path("from").isNull()).isTrue();
    }

    @Test
    void drawsTheSameCountsInEveryGroupedKind() {
        for (int month = 1; month <= 12; month++) {
            for (int i = 0; i < 5; i++) {
                intubate("2025-%02d-1%d".formatted(month, i), i < 2 + month % 3);
            }
        }
        for (String kind : List.of("p", "p_prime", "run", "xmr")) {
            JsonNode chart = chart("chart=" + kind);
            assertThat(chart.path("chart").asString()).isEqualTo(kind);
            assertThat(chart.path("points").findValuesAsString("x"))
                    .as(kind)
                    .startsWith("3", "4", "2", "3", "4", "2", "3", "4", "2", "3", "4", "2");
            assertThat(chart.path("phases")).hasSize(1);
            assertThat(chart.path("centre").asDouble()).as(kind).isEqualTo(0.6);
            assertThat(chart.path("points").path(0).path("ucl").isNull()).isEqualTo(kind.equals("run"));
            Answer svg = get("/api/v1/charts/fps?format=svg&site_id=" + unit + "&chart=" + kind);
            assertThat(svg.text()).startsWith("<svg").contains("Jan 2025: 3 of 5 (60%)");
        }
    }

    private void change(String day, String name, boolean cuts) {
        assertThat(post("/api/v1/changes", """
                        {"site_id": "%s", "changed_on": "%s", "name": "%s", "reason": "Asked for.", "cuts_chart": "%s"}""".formatted(unit, day, name, cuts ? "yes" : "no"))
                        .status())
                .isEqualTo(201);
    }

    @Test
    void cutsTheChartWhereTheUnitChangedSomething() {
        for (int month = 1; month <= 24; month++) {
            for (int i = 0; i < 5; i++) {
                intubate(
                        "%d-%02d-1%d".formatted(2024 + (month - 1) / 12, (month - 1) % 12 + 1, i),
                        i < (month <= 12 ? 2 + month % 2 : 4 + month % 2));
            }
        }
        change("2024-06-15", "Checklist in the drawer", false);
        change("2025-01-01", "Second set-up", true);

        JsonNode each = chart("chart=p");
        assertThat(each.path("phases")).hasSize(2);
        assertThat(each.at("/phases/0/to").asString()).isEqualTo("2024-12");
        assertThat(each.at("/phases/0/centre").asDouble()).isEqualTo(0.5);
        assertThat(each.at("/phases/1/from").asString()).isEqualTo("2025-01");
        assertThat(each.at("/phases/1/centre").asDouble()).isEqualTo(0.9);
        assertThat(each.path("notes").findValuesAsString("letter")).containsExactly("A", "B");
        assertThat(each.path("centre").asDouble()).as("the phase that runs").isEqualTo(0.9);

        assertThat(each.path("cautions").toString()).doesNotContain("CASE_MIX_CHANGED");

        JsonNode kept = chart("chart=p&average=kept");
        assertThat(kept.at("/phases/1/centre").asDouble()).isEqualTo(0.5);
        assertThat(kept.at("/phases/1/kept").asBoolean()).isTrue();
        assertThat(kept.path("signals").findValuesAsString("rule")).contains("long_run");

        JsonNode one = chart("chart=p&average=one");
        assertThat(one.path("phases")).hasSize(1);
        assertThat(one.path("centre").asDouble()).isEqualTo(0.7);
        assertThat(one.path("notes")).hasSize(2);

        // p0 = 0.5 from before; z after the first month of five in five: 0.2 * 1.0 + 0.8 * z of December.
        JsonNode ewma = chart("chart=ewma&average=kept");
        double december = ewma.at("/points/11/value").asDouble();
        assertThat(ewma.at("/points/11/ucl").isNull())
                .as("what set the average is not judged by it")
                .isTrue();
        assertThat(ewma.at("/points/12/value").asDouble()).isCloseTo(0.2 * 1.0 + 0.8 * december, within(1e-12));
        assertThat(ewma.path("signals").findValuesAsString("rule")).contains("beyond_limits");
        assertThat(chart("chart=ewma").at("/limits/reason").asString()).isEqualTo("SINGLE_GROUP");

        assertThat(page("/charts?chart=p&site_id=" + unit))
                .contains(
                        "What was changed and when",
                        "1 Jan 2025: Second set-up",
                        "a new phase begins",
                        "From Jan 2025 on, after B: the average is 54 of 60 (90%)",
                        "The last phase lies 40 points above the first",
                        "the chart cannot tell which one it was");
    }

    /** 10 of 40 before and 30 of 40 after: a standardised difference of 0.5 / sqrt(0.1875) = 1.15, by hand. */
    @Test
    void saysWhenTheKindOfCasesChangedWithThePractice() {
        for (int i = 0; i < 80; i++) {
            int month = i / 4;
            boolean expected = month < 10 ? i % 4 == 0 : i % 4 > 0;
            intubate(
                    "%d-%02d-1%d".formatted(2025 + month / 12, month % 12 + 1, i % 4),
                    true,
                    ", \"difficulty_predicted\": \"%s\"".formatted(expected ? "yes" : "no"));
        }
        change("2025-11-01", "Second set-up", true);
        assertThat(chart("chart=p").path("cautions").toString()).contains("CASE_MIX_CHANGED");
        assertThat(page("/charts?chart=p&site_id=" + unit))
                .contains(
                        "difficulty expected beforehand “Yes” in 10 of 40 (25%) before and 30 of 40 (75%) now",
                        "can be one of the cases");
    }

    @Test
    void drawsOneChartForEachAnswerSideBySide() {
        for (int i = 0; i < 21; i++) {
            intubate("2026-0%d-10".formatted(1 + i % 7), i % 3 > 0, ", \"location\": \"picu\"");
        }
        intubate("2025-12-10", true, ", \"location\": \"ed\"");
        intubate("2025-12-11", true, "");

        JsonNode split = chart("split=location");
        assertThat(split.path("panels")
                        .valueStream()
                        .map(panel -> panel.path("code").asString()))
                .containsExactly("picu", "ed", "blank");
        JsonNode picu = split.at("/panels/0/chart");
        assertThat(picu.path("n").asInt()).isEqualTo(21);
        assertThat(picu.path("x").asInt()).isEqualTo(14);
        assertThat(picu.path("points")).as("the same stretch in every chart").hasSize(8);
        assertThat(picu.at("/points/0/n").asInt()).isZero();
        assertThat(picu.at("/points/0/value").isNull()).isTrue();
        assertThat(page("/charts?split=location&site_id=" + unit))
                .contains("First-pass success, side by side", "Too few to draw", "in 14 of 21 (67%)", "in 1 of 1");
        assertThat(split.path("notes")).isEmpty();
        String alone = "split=location&location=ed&site_id=" + unit;
        assertThat(get("/api/v1/charts/fps?" + alone).json().at("/notes/0/code").asString())
                .isEqualTo("one_group");
        assertThat(page("/charts?" + alone)).contains("There is one group only", "Take a filter away");
        for (String none : List.of("split=shoe_size", "split=location&by=n:25", "split=location&chart=g")) {
            Answer answer = get("/api/v1/charts/fps?site_id=" + unit + "&" + none);
            assertThat(answer.status()).as(none).isEqualTo(400);
            assertThat(page("/charts?site_id=" + unit + "&" + none)).contains("This cannot be shown as asked");
        }
        assertThat(get("/api/v1/charts/spo2_low_median?split=location&site_id=" + unit)
                        .status())
                .isEqualTo(400);
        assertThat(get("/api/v1/charts/fps?split=location&format=csv&site_id=" + unit)
                        .status())
                .isEqualTo(400);
    }

    @Test
    void drawsOneChartForEachUnitByNameAndNeverByFigure() {
        String first = unit;
        for (int i = 0; i < 20; i++) {
            intubate("2026-0%d-10".formatted(1 + i % 7), i % 4 == 0, ", \"location\": \"picu\"");
        }
        unit = unit().code();
        for (int i = 0; i < 3; i++) {
            intubate("2026-02-1" + i, true, ", \"location\": \"picu\"");
        }
        String units = "?split=site_id&site_id=" + first + "&site_id=" + unit;
        for (String filters : List.of("", "&location=picu", "&location=picu&urgency=blank")) {
            JsonNode split = get("/api/v1/charts/fps" + units + filters).json();
            assertThat(split.path("split").asString()).isEqualTo("site_id");
            Map<String, String> counts = new HashMap<>();
            List<String> names = new ArrayList<>();
            for (JsonNode panel : split.path("panels")) {
                counts.put(
                        panel.path("code").asString(),
                        panel.at("/chart/x").asInt() + " of "
                                + panel.at("/chart/n").asInt());
                names.add(panel.path("label").asString());
            }
            assertThat(counts).as(filters).isEqualTo(Map.of(first, "5 of 20", unit, "3 of 3"));
            assertThat(names).isSorted();
        }
        assertThat(page("/charts?split=site_id&site_id=" + unit))
                .contains("one chart for each of your units", "in 5 of 20", "never of their figures");
    }

    @Test
    void offersNothingBetweenEventsWhereNoOutcomeIsUnwanted() {
        Answer answer = get("/api/v1/charts/video_used?chart=g&site_id=" + unit);
        assertThat(answer.status()).isEqualTo(400);
        assertThat(answer.json().at("/errors/0/detail").asString())
                .isEqualTo("This measure is drawn as p, p_prime, run, xmr, ewma, strip or cusum.");
        assertThat(get("/api/v1/charts/fps?average=mine&site_id=" + unit).status())
                .isEqualTo(400);
    }

    private void measure(String day, String events, String attempt) {
        assertThat(record("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "%sT10:00:00Z",
                 "adverse_event_any": "%s", "events": [%s],
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"%s}]}]}""".formatted(unit, day, events.isEmpty() ? "no" : "yes", events, attempt))
                        .status())
                .isEqualTo(201);
    }

    private static String event(String type) {
        return "{\"event_type\": \"" + type + "\"}";
    }

    @Test
    void addsUpEventsAndNeverPoolsTimesByDifferentClockStops() {
        String co2 = ", \"spo2_lowest\": %d, \"attempt_duration_s\": %d, \"attempt_duration_end\": \"co2\"";
        measure("2026-03-01", event("bradycardia") + ", " + event("bradycardia"), co2.formatted(71, 30));
        measure("2026-03-02", event("kit_failure"), co2.formatted(90, 40));
        measure("2026-03-03", "", co2.formatted(95, 200));
        measure("2026-03-04", "", ", \"attempt_duration_s\": 9, \"attempt_duration_end\": \"tube_placed\"");

        JsonNode rate = chart("ae_per_encounter", "");
        assertThat(rate.path("chart").asString()).isEqualTo("u");
        assertThat(rate.path("x").asInt())
                .as("two rows of one type, the kit apart")
                .isEqualTo(2);
        assertThat(rate.path("n").asInt()).isEqualTo(4);
        assertThat(rate.path("value").asDouble()).isEqualTo(0.5);
        // Exact Poisson limits of 2 events are 0.2422 and 7.2247 (Garwood 1936, as printed in tables of the Poisson
        // law).
        assertThat(rate.path("lower").asDouble()).isCloseTo(0.2422 / 4, within(2e-5));
        assertThat(rate.path("upper").asDouble()).isCloseTo(7.2247 / 4, within(2e-5));

        JsonNode seconds = chart("duration_success", "");
        assertThat(seconds.path("chart").asString()).isEqualTo("run");
        assertThat(seconds.path("value").asDouble())
                .as("a median, never a mean")
                .isEqualTo(40);
        assertThat(seconds.path("n").asInt()).isEqualTo(3);
        assertThat(seconds.path("left_out").asInt()).isEqualTo(1);
        assertThat(seconds.path("left_out_unknown").asInt()).isZero();
        assertThat(chart("duration_success_tube_placed", "").path("value").asDouble())
                .isEqualTo(9);

        JsonNode saturation = chart("spo2_low_median", "chart=xmr");
        assertThat(saturation.path("value").asDouble()).isEqualTo(90);
        assertThat(saturation.path("x").isNull()).isTrue();
        assertThat(saturation.path("left_out_unknown").asInt()).isEqualTo(1);
        assertThat(get("/api/v1/charts/spo2_low_median?format=csv&site_id=" + unit)
                        .text())
                .endsWith("\r\n2026-03,,3,1,1,90.0,,,,,true,\r\n");
        assertThat(page("/charts?measure=spo2_low_median&site_id=" + unit))
                .contains(
                        "Lowest saturation, by month",
                        "SpO2 90% (median of 3), 1 left out",
                        "<th scope=\"col\">Median</th>")
                .doesNotContain("One by one, two years");
    }

    @Test
    void answersWhatLiesBetweenSevereEventsAsTheChartsOfThem() {
        for (int day = 1; day <= 9; day++) {
            measure("2026-03-0" + day, List.of(2, 3, 7).contains(day) ? event("hypotension_treated") : "", "");
        }
        for (String kind : List.of("t", "g")) {
            String alias = kind.equals("t") ? "days_severe" : "encounters_severe";
            JsonNode answer = chart(alias, "");
            JsonNode severe = chart("ae_severe", "chart=" + kind);
            for (String same :
                    List.of("chart", "x", "n", "points", "limits", "centre", "phases", "signals", "scheme")) {
                assertThat(answer.path(same)).as(alias + " " + same).isEqualTo(severe.path(same));
            }
            assertThat(answer.path("measure").asString()).isEqualTo(alias);
            assertThat(answer.path("definition")).isNotEqualTo(severe.path("definition"));
        }
        assertThat(chart("days_severe", "").path("points").findValuesAsString("value"))
                .startsWith("1.0", "4.0");
        assertThat(chart("encounters_severe", "scheme=A").path("points").findValuesAsString("value"))
                .containsExactly("0.0", "3.0", "2.0");
        assertThat(page("/charts?measure=days_severe&site_id=" + unit))
                .contains("<h1>Days between severe adverse events (", "severe adverse event (");
    }

    @Test
    void countsEventsInGroupsOfOneSize() {
        for (int day = 1; day <= 12; day++) {
            assertThat(record("""
                    {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-%02dT10:00:00Z",
                     "adverse_event_any": "%s"%s,
                     "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}]}""".formatted(
                                            unit,
                                            day,
                                            day % 4 == 0 ? "yes" : "no",
                                            day % 4 == 0 ? ", \"events\": [{\"event_type\": \"vomiting\"}]" : ""))
                            .status())
                    .isEqualTo(201);
        }
        JsonNode c = chart("ae_per_encounter", "chart=c&by=n:5");
        assertThat(c.path("points").findValuesAsString("value")).containsExactly("1.0", "1.0", "1.0");
        assertThat(c.path("points").findValuesAsString("complete")).containsExactly("true", "true", "false");
        assertThat(c.path("points").path(0).path("lower").asDouble())
                .as("exact interval of one event: 0.0253 to 5.572 (Ulm 1990, by the chi-squared law)")
                .isCloseTo(0.0253, within(0.0001));
        assertThat(c.path("points").path(0).path("upper").asDouble()).isCloseTo(5.5716, within(0.0001));
        assertThat(c.path("value").asDouble())
                .as("per encounter, as in every chart of it")
                .isEqualTo(0.25);
        refused(
                "/api/v1/charts/ae_per_encounter?chart=c",
                "A c chart needs as many intubations at every point: choose 25 intubations (n:25, or another number), or the u chart.");
        assertThat(page("/charts?measure=ae_per_encounter&chart=c&by=month&site_id=" + unit))
                .contains("A c chart needs as many intubations at every point", "25 intubations")
                .doesNotContain(">quarter<");
        assertThat(page("/charts?measure=ae_per_encounter&chart=c&by=n:5&site_id=" + unit))
                .doesNotContain("wider where there were fewer")
                .contains(
                        "In intubations 1 to 12: ", "3 events in 12 (0.25 per intubation); 95% interval 0.05 to 0.73");
    }

    @Test
    void namesWhatFitsAMeasureThatIsNoProportion() {
        refused("/api/v1/charts/ae_per_encounter?chart=p", "This measure is drawn as u, u_prime, c, run or xmr.");
        refused("/api/v1/charts/ae_per_encounter?chart=strip", "This measure is drawn as u, u_prime, c, run or xmr.");
        refused("/api/v1/charts/spo2_low_median?chart=u", "This measure is drawn as run or xmr.");
        refused("/api/v1/charts/days_severe?chart=g", "This measure is drawn as t.");
        refused(
                "/api/v1/charts/fps?chart=u",
                "This measure is drawn as p, p_prime, run, xmr, ewma, g, t, strip or cusum.");
        Answer compared = get("/api/v1/comparisons/duration_success?site_id=" + unit);
        assertThat(compared.status()).isEqualTo(400);
        assertThat(compared.json().at("/errors/0/detail").asString())
                .startsWith("Groups are compared by a share of encounters: fps, fps_strict, ")
                .doesNotContain("duration", "days_severe");
        measure("2026-03-01", "", "");
        assertThat(page("/charts?measure=ae_per_encounter&chart=p&site_id=" + unit))
                .as("the form still holds the chart of the measure before")
                .contains("Adverse events per intubation, by month", "0 events in 1")
                .doesNotContain("This cannot be shown as asked");
        assertThat(page("/compare?site_id=" + unit)).doesNotContain("value=\"ae_per_encounter\"");
    }

    private void refused(String path, String mend) {
        Answer answer = get(path + "&site_id=" + unit);
        assertThat(answer.status()).as(path).isEqualTo(400);
        assertThat(answer.json().at("/errors/0/detail").asString()).isEqualTo(mend);
    }

    @Test
    void answersSingleIntubationsOfTwoYears() {
        intubate("2024-11-20", true);
        intubate("2025-11-20", false);
        intubate("2025-12-20", true);
        intubate("2026-11-20", true);

        JsonNode strip = chart("chart=strip");

        assertThat(strip.path("points").findValuesAsString("period"))
                .as("two years up to the month that runs")
                .containsExactly("2025-11", "2025-12", "2026-11");
        assertThat(strip.path("points").findValuesAsString("value")).containsExactly("0", "1", "1");
        assertThat(strip.at("/years/before/n").asInt()).isEqualTo(1);
        assertThat(strip.at("/years/last/x").asInt()).isEqualTo(2);
        assertThat(strip.at("/years/difference/value").asDouble()).isEqualTo(1);
        assertThat(strip.at("/cusum/reason").asString()).isEqualTo("TOO_FEW_OBSERVATIONS");
        assertThat(get("/api/v1/charts/fps?chart=strip&format=csv&site_id=" + unit)
                        .text())
                .isEqualTo("number,period,answer\r\n1,2025-11,no\r\n2,2025-12,yes\r\n3,2026-11,yes\r\n");
        assertThat(get("/api/v1/charts/fps?chart=strip&format=svg&site_id=" + unit)
                        .text())
                .contains("Nov 2025: 0 of 1 in the upper row");
        assertThat(chart("chart=strip&to=2025-11").path("points")).hasSize(2);
        Answer from = get("/api/v1/charts/fps?chart=strip&from=2025-01&site_id=" + unit);
        assertThat(from.status()).isEqualTo(400);
        assertThat(from.json().at("/errors/0/detail").asString()).startsWith("Leave this out");
    }

    @Test
    void opensOneByOneWhereThereAreFewAndAsPointsWhenAsked() {
        intubate("2026-11-20", true);
        assertThat(page("/charts?site_id=" + unit))
                .contains("First-pass success, one by one", "A year against the year before", "What this can see");
        assertThat(page("/charts?chart=p&site_id=" + unit))
                .contains("First-pass success, by month", "Show them one by one");
        assertThat(page("/charts?by=quarter&site_id=" + unit)).contains("First-pass success, by quarter");
        assertThat(page("/charts?chart=strip&from=2025-01&site_id=" + unit))
                .contains("This cannot be shown as asked", "value=\"2025-01\"");
    }

    private String page(String path) {
        return send(request(path).header("Accept", "text/html").GET()).text();
    }

    @Test
    void isEmptyInEveryKindWithoutRecords() {
        for (ChartKind kind : ChartKind.values()) {
            String measure = kind.fits(Measure.FPS) ? "fps" : "ae_per_encounter";
            String asked = kind.id() + (kind.equalGroups() ? "&by=n:25" : "");
            JsonNode chart = chart(measure, "chart=" + asked);
            assertThat(chart.path("points")).isEmpty();
            assertThat(chart.path("centre").isNull()).isTrue();
            assertThat(chart.path("limits").path("reason").asString()).isEqualTo("NO_DATA");
            assertThat(get("/api/v1/charts/" + measure + "?format=svg&site_id=" + unit + "&chart=" + asked)
                            .text())
                    .contains("No intubations here.");
            assertThat(send(request("/charts?site_id=" + unit + "&measure=" + measure + "&chart=" + asked)
                                    .header("Accept", "text/html")
                                    .GET())
                            .text())
                    .contains("No intubation counts here")
                    .doesNotContain("0%)");
        }
    }
}
