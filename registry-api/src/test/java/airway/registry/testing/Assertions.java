package airway.registry.testing;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import tools.jackson.databind.JsonNode;

/** What tests of this registry say in its own words. */
public final class Assertions {
    private Assertions() {}

    /** Checks status, media type and the members that RFC 9457 names; gives the problem back. */
    public static JsonNode isProblem(ServedProgram.Answer answer, int status, String slug) {
        assertThat(answer.status()).as(answer.text()).isEqualTo(status);
        assertThat(answer.header("Content-Type")).isEqualTo("application/problem+json");
        JsonNode problem = answer.json();
        assertThat(problem.path("type").asString()).isEqualTo("/problems/" + slug);
        assertThat(problem.path("status").asInt()).isEqualTo(status);
        assertThat(problem.path("title").asString()).isNotBlank();
        assertThat(problem.path("detail").asString()).isNotBlank();
        assertThat(problem.path("instance").asString()).matches("urn:uuid:[0-9a-f-]{36}");
        return problem;
    }

    /** The faults of a problem, each as "path code". */
    public static List<String> faults(JsonNode problem) {
        List<String> faults = new ArrayList<>();
        for (JsonNode error : problem.path("errors")) {
            assertThat(error.path("detail").asString()).as("the mend").isNotBlank();
            faults.add(error.path("pointer").asString(error.path("parameter").asString("")) + " "
                    + error.path("code").asString());
        }
        return faults;
    }
}
