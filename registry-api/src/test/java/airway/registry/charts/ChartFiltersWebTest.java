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
        assertThat(answer.text()).contains("This cannot be shown as asked", "Urgency: Allowed are elective, urgent");
        assertThat(answer.text().indexOf("This cannot be shown as asked"))
                .as("before the form, which is long")
                .isLessThan(answer.text().indexOf("name=\"measure\""));
    }

    @Test
    void saysWhatToChangeWhereThereIsNothingToShow() {
        Answer unknown = get("/charts?site_id=" + unit + "&measure=luck");
        assertThat(unknown.status()).isEqualTo(404);
        assertThat(unknown.text())
                .contains("Measure: There is none of this name; choose one of the list.")
                .contains("<option value=\"fps\"");
        assertThat(page("/charts", "&from=2026-05&to=2026-01"))
                .contains("To: The end lies before the beginning; choose");

        post("/api/v1/changes", """
                {"site_id": "%s", "changed_on": "2026-02-01", "name": "Second set-up", "reason": "Room", "cuts_chart": "yes"}""".formatted(unit));
        assertThat(page("/charts", "")).contains("1 Feb 2026: Second set-up");
        assertThat(page("/charts", "&by=quarter&from=2025&to=2025"))
                .contains("No intubations that count.", "Choose another period, or fewer filters.")
                .as("a change of another time")
                .doesNotContain("Second set-up", "Keep this average");
    }

    @Test
    void foldsWhatIsSeldomAskedAndKeepsItOpenWhereItIsSet() {
        assertThat(page("/charts", ""))
                .contains("<summary>Period and average</summary>")
                .doesNotContain("<details open");
        assertThat(page("/charts", "&from=2026")).contains("<details open=\"open\">");
        assertThat(page("/charts", "&average=one")).contains("<details open=\"open\">");
        assertThat(page("/charts", "&by=n:40"))
                .as("a group that the form does not offer by itself")
                .contains("<option value=\"n:40\" selected=\"selected\">40 intubations</option>");
    }

    @Test
    void sendsToTheCasesFirstWhereHarmIsRare() {
        assertThat(page("/charts", "&measure=ae_severe"))
                .contains("look at the cases first", "/reviews?site_id=" + unit + "&amp;why=ae_severe");
        assertThat(get("/charts?measure=ae_severe&chart=strip&site_id=" + unit).text())
                .contains("look at the cases first");
        assertThat(page("/charts", "&measure=fps")).doesNotContain("look at the cases first");
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
