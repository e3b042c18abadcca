package airway.registry.aims;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.net.http.HttpRequest;
import java.time.ZoneId;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The aim of a unit, over the API. */
class AimWebTest extends ServedRegistry {
    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    @BeforeEach
    void ownUnit() {
        unit = unit();
    }

    private Answer put(String header, String value, String more) {
        return send(request("/api/v1/aim")
                .header("Content-Type", "application/json")
                .header(header, value)
                .PUT(HttpRequest.BodyPublishers.ofString("{\"site_id\": \"" + unit.code() + "\"" + more + "}")));
    }

    private Answer read(String path) {
        return get("/api/v1/aim" + path + "?site_id=" + unit.code());
    }

    private static final String FEWER =
            ", \"sentence\": \"Fewer desaturations by 2028\", \"outcome\": \"desat_80\", \"process\": [\"apnoeic_o2\"]";

    @Test
    void keepsWhatIsAimedAtVersionByVersion() {
        assertThat(isProblem(read(""), 404, "missing")).isNotNull();
        Answer first = put("If-None-Match", "*", FEWER);
        assertThat(first.status()).as(first.text()).isEqualTo(201);
        assertThat(first.header("ETag")).isEqualTo("\"v1\"");
        assertThat(read("").json()).isEqualTo(first.json());
        assertThat(first.json().path("process").toString()).isEqualTo("[\"apnoeic_o2\"]");
        assertThat(first.json().path("balancing").toString()).isEqualTo("[]");

        assertThat(put("If-None-Match", "*", FEWER).status()).isEqualTo(412);
        assertThat(put("If-Match", "\"v1\"", ", \"sentence\": \"Better\", \"outcome\": \"fps\"")
                        .header("ETag"))
                .isEqualTo("\"v2\"");
        assertThat(read("/versions").json().findValuesAsString("sentence"))
                .containsExactly("Better", "Fewer desaturations by 2028");
    }

    @Test
    void namesTheFieldAndTheMend() {
        assertThat(faults(isProblem(
                        put("If-None-Match", "*", ", \"outcome\": \"shoe\", \"process\": [\"hat\"]"), 422, "invalid")))
                .containsExactlyInAnyOrder("/sentence missing", "/outcome missing", "/process code");
        assertThat(isProblem(put("If-None-Match", "*", ", \"hat\": 1"), 400, "malformed"))
                .isNotNull();
        assertThat(isProblem(put("If-None-Match", "*", ", \"process\": \"fps\""), 400, "malformed"))
                .isNotNull();
        assertThat(isProblem(put("Accept", "*/*", FEWER), 428, "unconditional")).isNotNull();
    }

    @Test
    void belongsToTheUnitAndToWhoMayImprove() {
        put("If-None-Match", "*", FEWER);
        Tester stranger = Tester.fresh(LOGINS).with(unit().no(), Role.IMPROVEMENT_LEAD);
        Tester recorder = Tester.fresh(LOGINS).with(unit.no(), Role.RECORDER);
        assertThat(send(request("/api/v1/aim?site_id=" + unit.code(), stranger).GET())
                        .status())
                .isEqualTo(404);
        assertThat(send(request("/api/v1/aim", stranger).GET()).status()).isEqualTo(404);
        assertThat(send(request("/api/v1/aim", recorder).GET()).status()).isEqualTo(403);
    }
}
