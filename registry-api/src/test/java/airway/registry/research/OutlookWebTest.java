package airway.registry.research;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.time.ZoneId;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;

/** What a researcher sees before any data are made: rounded counts, risks in words, and no row. */
class OutlookWebTest extends ServedRegistry {
    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);
    private Tester researcher = Tester.fresh(LOGINS);

    @BeforeEach
    void ownUnitAndResearcher() {
        unit = unit();
        researcher = Tester.fresh(LOGINS).with(unit.no(), Role.RESEARCHER);
    }

    /** Records children of an age, each second one with a severe event. */
    private String intubate(int number, int days, String optOut) {
        String last = "";
        for (int i = 0; i < number; i++) {
            Answer answer = recordConfirmed("""
                    {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2025-03-01T10:00:00Z",
                     "age_days": %d, "age_precision": "days", "patient": {%s}, "adverse_event_any": "%s",
                     "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}]%s}""".formatted(
                            unit.code(),
                            days,
                            optOut.isEmpty() ? "" : "\"research_opt_out\": \"" + optOut + "\"",
                            i % 2 == 0 ? "yes" : "no",
                            i % 2 == 0
                                    ? ", \"events\": [{\"event_type\": \"oesophageal_late\", \"event_attempt_no\": 1}]"
                                    : ""));
            assertThat(answer.status()).as(answer.text()).isEqualTo(201);
            last = answer.json().path("encounter_id").asString();
        }
        return last;
    }

    private Answer outlook(String parameters) {
        return send(request("/api/v1/research/outlook?site_id=" + unit.code() + parameters, researcher)
                .GET());
    }

    private JsonNode looked(String parameters) {
        Answer answer = outlook(parameters);
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    @Test
    void countsOnlyChildrenWhoseFamilyWasAskedAndDidNotObject() {
        intubate(10, 3, "no");
        intubate(5, 3, "yes");
        intubate(5, 3, "unk");
        intubate(5, 3, "");
        String gone = intubate(1, 3, "no");
        assertThat(post("/api/v1/encounters/" + gone + "/withdrawal", "{\"reason_code\": \"duplicate\"}")
                        .status())
                .isEqualTo(200);

        JsonNode looked = looked("&variables=age_days,encounter_start");

        assertThat(looked.path("matching").asInt()).isEqualTo(25);
        assertThat(looked.path("not_allowed").asInt()).isEqualTo(15);
        assertThat(looked.path("rows").asInt()).isEqualTo(10);
        assertThat(looked.path("patients").asInt()).isEqualTo(10);
        JsonNode plan = looked.path("plan");
        assertThat(plan.path("smallest_group").asInt()).isEqualTo(10);
        assertThat(plan.path("prosecutor_highest").asDouble()).isEqualTo(0.1);
        assertThat(plan.at("/levels/0/told_as").asString()).isEqualTo("fine bands");
        assertThat(plan.at("/lost_by_severe_event/0/removed").asInt()).isZero();
    }

    @Test
    void refusesWhereAChildStandsOut() {
        intubate(4, 3, "no");

        assertThat(looked("&variables=age_days").path("plan").isNull()).isTrue();
        assertThat(looked("&variables=age_days&from=2026&to=2026").path("plan").isNull())
                .isTrue();
    }

    @Test
    void saysWhatNeverLeaves() {
        for (String name : new String[] {"birth_date", "hospital_number", "operator_id", "reason_text"}) {
            assertThat(isProblem(outlook("&variables=age_days," + name), 422, "never-leaves"))
                    .isNotNull();
        }
        assertThat(faults(isProblem(outlook("&variables=moon&profile=all"), 400, "malformed")))
                .containsExactlyInAnyOrder("variables variable.not_offered", "profile code");
        assertThat(faults(isProblem(outlook(""), 400, "malformed"))).containsExactly("variables required");
    }

    @Test
    void showsTheSameOnThePage() {
        intubate(10, 3, "no");
        intubate(8, 700, "no");

        String page = send(request(
                                "/research?site_id=" + unit.code() + "&profile=controlled&variables=age_days",
                                researcher)
                        .header("Accept", "text/html")
                        .GET())
                .text();

        assertThat(page)
                .contains("About 20 intubations match.", "1 in 8 at most", "No row would be left out.", "Research data")
                .doesNotContain("/records");
        assertThat(send(request("/research?site_id=" + unit.code() + "&profile=public&variables=age_days", researcher)
                                .header("Accept", "text/html")
                                .GET())
                        .text())
                .contains("under and over 2 years");
        assertThat(send(request("/research?site_id=" + unit.code() + "&profile=public", researcher)
                                .header("Accept", "text/html")
                                .GET())
                        .text())
                .contains("Name one variable at least.");
    }

    @Test
    void isForResearchersOfTheUnitAlone() {
        assertThat(get("/api/v1/research/outlook?site_id=" + unit.code() + "&variables=age_days")
                        .status())
                .isEqualTo(403);
        Tester other = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.RESEARCHER);
        assertThat(send(request("/api/v1/research/outlook?site_id=" + unit.code() + "&variables=age_days", other)
                                .GET())
                        .status())
                .isEqualTo(400);
        assertThat(send(request("/api/v1/encounters/" + intubate(1, 3, "no"), researcher)
                                .GET())
                        .status())
                .isEqualTo(403);
    }
}
