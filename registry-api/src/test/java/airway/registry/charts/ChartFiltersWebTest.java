package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.testing.ServedRegistry;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The form of charts and comparisons: every filter can be chosen, and the address holds all of it. */
class ChartFiltersWebTest extends ServedRegistry {
    private String unit = "";

    @BeforeEach
    void threeRecords() {
        unit = unit().code();
        post(
                "/api/v1/device-setups",
                "{\"site_id\": \"" + unit + "\", \"device_setup_id\": \"metal\", \"title\": \"Metal, handle\"}");
        keep("ed", "yes");
        keep("ward", "no");
        keep("picu", "yes");
    }

    private void keep(String location, String success) {
        Answer made = record("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-01T14:20:00+00:00",
                 "location": "%s", "indication_main": "shock", "final_airway": "oral",
                 "courses": [{"course_approach": "oral",
                   "attempts": [{"attempt_success": "%s", "device_setup_id": "metal"}]}]}""".formatted(unit, location, success));
        assertThat(made.status()).as(made.text()).isEqualTo(201);
    }

    private String page(String path, String filters) {
        return get(path + "?site_id=" + unit + (path.equals("/charts") ? "&chart=p" : "") + filters)
                .text();
    }

    @ParameterizedTest
    @ValueSource(strings = {"/charts", "/compare"})
    void offersEveryFilterByTheNameOfTheApi(String path) {
        String page = page(path, "");

        for (Stratum stratum : Stratum.values()) {
            assertThat(page).contains("name=\"" + stratum.variable() + "\"");
        }
        assertThat(page)
                .contains("name=\"device_setup_id\"", "<option value=\"metal\">Metal, handle</option>")
                .contains("<summary>More filters</summary>");
    }

    @ParameterizedTest
    @ValueSource(strings = {"/charts", "/compare"})
    void opensTheFoldedFiltersThatAreInForceAndKeepsThemChosen(String path) {
        String page = page(path, "&indication_main=shock&device_setup_id=metal");

        assertThat(page)
                .contains("<summary>More filters (2 in force)</summary>", "<details open=\"open\">")
                .contains("<option value=\"shock\" selected=\"selected\">")
                .contains("<option value=\"metal\" selected=\"selected\">");
    }

    @Test
    void countsWhatTheFiltersLeave() {
        assertThat(page("/charts", "")).contains("in 2 of 3");
        assertThat(page("/charts", "&location=ward")).contains("in 0 of 1");
        assertThat(page("/charts", "&indication_main=arrest")).contains("No intubation counts here");
    }

    /** A repeated name means any of its values; the form must not forget one of them. */
    @Test
    void keepsSeveralValuesOfOneNameAsTicks() {
        String page = page("/charts", "&location=ed&location=ward");

        assertThat(page)
                .contains("in 1 of 2")
                .contains("checked name=\"location\" value=\"ed\"")
                .contains("checked name=\"location\" value=\"ward\"");
    }

    @Test
    void saysWhichCodesAFilterTakes() {
        Answer answer = get("/charts?site_id=" + unit + "&urgency=soon");

        assertThat(answer.status()).isEqualTo(400);
        assertThat(answer.text()).contains("This cannot be shown as asked", "Allowed are elective, urgent, emergency");
    }

    @ParameterizedTest
    @ValueSource(strings = {"/charts", "/compare"})
    void offersEveryMeasureAndPrintsItsWindowBesideTheFigure(String path) {
        for (Measure measure : path.equals("/compare") ? Measure.proportions() : List.of(Measure.values())) {
            String page = page(path, "&measure=" + measure.id());

            assertThat(page)
                    .as(measure.id())
                    .contains("<option value=\"" + measure.id() + "\" selected=\"selected\">")
                    .contains(measure.definition().replace("'", "&#39;"));
            if (measure.window() != null) {
                assertThat(page).as(measure.id()).contains(measure.window());
            }
        }
        assertThat(page(path, "&measure=desat_80")).contains("two minutes after the attempt ended");
    }
}
