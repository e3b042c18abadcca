package airway.registry.charts;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.dictionary.Code;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Scheme;
import airway.registry.testing.ServedRegistry;
import airway.sql.Sql;
import java.sql.SQLException;
import java.util.List;
import java.util.stream.Collectors;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import tools.jackson.databind.JsonNode;

/** Severity is looked up by a scheme that is named beside the figure. */
class SeverityWebTest extends ServedRegistry {
    private String unit = "";

    @BeforeEach
    void ownUnit() {
        unit = unit().code();
    }

    private void keep(String kind, String any, String... types) {
        String events = List.of(types).stream()
                .map(type -> "{\"event_type\": \"" + type + "\"}")
                .collect(Collectors.joining(", "));
        Answer made = record(
                """
                {"site_id": "%s", "encounter_kind": "%s", "encounter_start": "2026-03-01T14:20:00+00:00"%s,
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}],
                 "events": [%s]}""".formatted(unit, kind, any.isEmpty() ? "" : ", \"adverse_event_any\": \"" + any + "\"", events));
        assertThat(made.status()).as(made.text()).isEqualTo(201);
    }

    /** "1 of 2, 1 left out" as x, n and left_out. */
    private String counted(String measure) {
        JsonNode chart = get("/api/v1/charts/" + measure + (measure.contains("?") ? "&" : "?") + "site_id=" + unit)
                .json();
        return chart.path("x").asInt() + " " + chart.path("n").asInt() + " "
                + chart.path("left_out").asInt();
    }

    /**
     * Severe by scheme A: the list of Lee 2016, table 4, as the registry's definitions carry it; B as they recall the
     * later list. A tooth injury is what they differ in.
     */
    @ParameterizedTest
    @CsvSource({
        "hypotension_treated, 1, 1, 1",
        "arrest_rosc, 1, 1, 1",
        "oesophageal_late, 1, 1, 1",
        "laryngospasm, 1, 1, 1",
        "dental_trauma, 1, 0, 1",
        "bronchial, 0, 0, 0",
        "oesophageal_now, 0, 0, 0",
        "bradycardia, 0, 0, 0",
        "lip_trauma, 0, 0, 0"
    })
    void readsTheTypeOfTheEventByTheScheme(String type, int a, int b, int c) {
        keep("initial", "yes", type);

        assertThat(counted("ae_any")).isEqualTo("1 1 0");
        assertThat(counted("ae_severe?scheme=A")).isEqualTo(a + " 1 0");
        assertThat(counted("ae_severe?scheme=B")).isEqualTo(b + " 1 0");
        assertThat(counted("ae_severe?scheme=C")).isEqualTo(c + " 1 0");
        assertThat(counted("ae_severe")).isEqualTo(c + " 1 0");
    }

    @ParameterizedTest
    @CsvSource({
        "initial, no, , 0 1 0, 0 1 0",
        "initial, unk, , 0 0 1, 0 0 1",
        "initial, '', , 0 0 1, 0 0 1",
        "initial, yes, , 1 1 0, 0 0 1",
        "initial, '', bradycardia, 1 1 0, 0 1 0",
        "initial, yes, other, 1 1 0, 0 0 1",
        "initial, yes, other aspiration, 1 1 0, 1 1 0",
        "initial, yes, bradycardia bradycardia, 1 1 0, 0 1 0",
        "initial, yes, kit_failure, 0 1 0, 0 1 0",
        "initial, '', kit_failure, 0 0 1, 0 0 1",
        "tube_change, yes, aspiration, 0 0 1, 0 0 1"
    })
    void countsWhatIsKnownAndLeavesOutWhatIsNot(String kind, String any, String types, String all, String severe) {
        keep(kind, any, types == null ? new String[0] : types.trim().split(" ", -1));

        assertThat(counted("ae_any")).as("any").isEqualTo(all);
        assertThat(counted("ae_severe")).as("severe").isEqualTo(severe);
    }

    @Test
    void namesSchemeVersionAndWindowBesideTheFigure() {
        keep("initial", "yes", "dental_trauma");

        JsonNode chart =
                get("/api/v1/charts/ae_severe?scheme=B&site_id=" + unit).json();
        assertThat(chart.path("scheme").path("name").asString()).isEqualTo("B");
        assertThat(chart.path("scheme").path("version").asInt()).isEqualTo(1);
        assertThat(chart.path("window").asString()).contains("30 minutes after the last attempt");
        assertThat(get("/api/v1/comparisons/ae_severe?site_id=" + unit)
                        .json()
                        .path("scheme")
                        .path("name")
                        .asString())
                .isEqualTo("C");
        String page = get("/charts?measure=ae_severe&site_id=" + unit).text();
        assertThat(page)
                .contains("Severe adverse event (scheme C, version 1)", "until 30 minutes after the last attempt")
                .contains("name=\"scheme\"");
        assertThat(get("/charts?measure=fps_clean&site_id=" + unit).text())
                .contains("until two minutes after the attempt ended", "until 30 minutes after the last attempt")
                .doesNotContain("name=\"scheme\"");
        assertThat(get("/charts?measure=fps&scheme=B&site_id=" + unit).status()).isEqualTo(200);
        assertThat(get("/compare?measure=ae_severe&scheme=A&site_id=" + unit).text())
                .contains("Severe adverse event (scheme A, version 1)", "until 30 minutes after the last attempt");
    }

    @Test
    void refusesASchemeThatThereIsNot() {
        assertThat(faults(isProblem(get("/api/v1/charts/ae_severe?scheme=D"), 400, "malformed")))
                .containsExactly("scheme code");
        assertThat(faults(isProblem(get("/api/v1/charts/fps?scheme=C"), 400, "malformed")))
                .containsExactly("scheme scheme.not_used");
    }

    @Test
    void everySchemeHasAClassForEveryTypeInTheVersionInForce() throws SQLException {
        List<String> types = Dictionary.current().variable("event_type").codes().stream()
                .map(Code::value)
                .sorted()
                .toList();
        for (Scheme scheme : Scheme.values()) {
            assertThat(Sql.rows(
                            LOGINS.owner(),
                            "select event_type from analysis.severity_in_force where scheme = '" + scheme
                                    + "' and version = " + scheme.version() + " order by event_type collate \"C\""))
                    .isEqualTo(types);
        }
    }

    /** C is severe where A or B says severe. */
    @Test
    void ourSchemeIsTheSternerOfTheTwo() throws SQLException {
        assertThat(Sql.rows(
                        LOGINS.owner(),
                        "select c.event_type from analysis.severity c"
                                + " join analysis.severity a on a.event_type = c.event_type and a.scheme = 'A'"
                                + " join analysis.severity b on b.event_type = c.event_type and b.scheme = 'B'"
                                + " where c.scheme = 'C'"
                                + " and (c.class = 'severe') <> (a.class = 'severe' or b.class = 'severe')"))
                .isEmpty();
    }
}
