package airway.registry.web;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import io.swagger.v3.parser.OpenAPIV3Parser;
import io.swagger.v3.parser.core.models.SwaggerParseResult;
import java.io.IOException;
import java.net.http.HttpRequest;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.UUID;
import org.junit.jupiter.api.Test;
import org.springframework.beans.factory.annotation.Autowired;
import org.springframework.web.servlet.mvc.method.annotation.RequestMappingHandlerMapping;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ObjectNode;

/** The description of the API is in order, says what the API does, and is the one in the reference. */
class DocumentWebTest extends ServedRegistry {
    private static final Path COPY = Path.of("../docs/reference/openapi.json");

    @Autowired
    private RequestMappingHandlerMapping requestMappingHandlerMapping;

    private JsonNode document() {
        return get("/api/v1/openapi.json").json();
    }

    @Test
    void isTheOneInTheReference() throws IOException {
        String made = get("/api/v1/openapi.json").text();
        if (!made.equals(Files.exists(COPY) ? Files.readString(COPY) : "")) {
            Files.createDirectories(Path.of("target/pages"));
            Files.writeString(Path.of("target/pages/openapi.json"), made);
        }
        assertThat(made.equals(Files.exists(COPY) ? Files.readString(COPY) : ""))
                .as("made anew: target/pages/openapi.json")
                .isTrue();
    }

    @Test
    void isOpenApiAsAReaderOfTheStandardUnderstandsIt() {
        SwaggerParseResult read =
                new OpenAPIV3Parser().readContents(get("/api/v1/openapi.json").text());

        assertThat(read.getMessages()).isEmpty();
        assertThat(read.getOpenAPI().getOpenapi()).isEqualTo("3.1.0");
        assertThat(read.getOpenAPI().getPaths()).hasSizeGreaterThan(7);
    }

    @Test
    void hasEveryRouteOfTheApiAndNoOther() {
        Set<String> routes = new TreeSet<>();
        requestMappingHandlerMapping
                .getHandlerMethods()
                .keySet()
                .forEach(mapping -> mapping.getPatternValues().stream()
                        .filter(path -> path.startsWith("/api/v1/") && !path.endsWith("openapi.json"))
                        .forEach(path -> mapping.getMethodsCondition()
                                .getMethods()
                                .forEach(method ->
                                        routes.add(method.name().toLowerCase(java.util.Locale.ROOT) + " " + path))));
        Set<String> described = new TreeSet<>();
        document()
                .path("paths")
                .properties()
                .forEach(path ->
                        path.getValue().propertyNames().forEach(method -> described.add(method + " " + path.getKey())));

        assertThat(described).isEqualTo(routes);
    }

    @Test
    void hasExamplesThatTheApiTakesAndSchemasThatTheyFit() {
        Site own = unit();
        tester().with(own.no(), Role.KIT_KEEPER, Role.RESEARCHER);
        String unit = own.code();
        int run = 0;
        Map<String, String> kept = new HashMap<>();
        String opened =
                recordConfirmed("""
                        {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-01T14:20:00Z",
                         "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "no",
                           "kit_labels": ["in no list"]}, {"attempt_success": "no"}, {"attempt_success": "yes"}]}]}""".formatted(unit)).json().path("encounter_id").asString();
        kept.put(
                "/api/v1/kit/discrepancies",
                get("/api/v1/kit/discrepancies?site_id=" + unit)
                        .json()
                        .at("/0/discrepancy_id")
                        .asString());
        for (int month = 1; month <= 12; month++) {
            assertThat(record("""
                            {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2025-%02d-01T14:20:00Z",
                             "patient": {"research_opt_out": "no"}, "adverse_event_any": "%s"%s,
                             "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "%s"}]}]}""".formatted(
                                            unit,
                                            month,
                                            month % 2 == 0 ? "yes" : "no",
                                            month % 2 == 0
                                                    ? ", \"events\": [{\"event_type\": \"oesophageal_late\", \"event_attempt_no\": 1}]"
                                                    : "",
                                            month % 2 == 0 ? "yes" : "no"))
                            .status())
                    .isEqualTo(201);
        }
        for (var path : document().path("paths").properties()) {
            for (var operation : path.getValue().properties()) {
                JsonNode content = operation.getValue().at("/requestBody/content/application~1json");
                for (var example : content.path("examples").properties()) {
                    String name = operation.getKey() + " " + path.getKey() + " " + example.getKey();
                    JsonNode value = example.getValue().path("value");
                    assertThat(fits(content.path("schema"), value)).as(name).isTrue();
                    boolean report = path.getKey().contains("{quarter}");
                    boolean review = report || path.getKey().contains("{encounter_id}");
                    boolean first = review || path.getKey().equals("/api/v1/aim");
                    boolean anew = path.getKey().equals("/api/v1/kept-averages/{id}");
                    boolean ofNoUnit =
                            path.getKey().matches(".*/(withdrawal|hospital-number|look|scans|moves|closing|checks)");
                    JsonNode body = review || ofNoUnit || anew ? value : of(unit, value);
                    String address = path.getKey()
                            .replace("{encounter_id}", opened)
                            .replace("{quarter}", "2026-Q3?site_id=" + unit)
                            .replace("{id}", kept.getOrDefault(path.getKey().split("/\\{", 2)[0], ""));
                    Answer answer = send(request(address)
                            .header("Content-Type", "application/json")
                            .header("Idempotency-Key", '"' + UUID.randomUUID().toString() + '"')
                            .header(first ? "If-None-Match" : "If-Match", first ? "*" : "\"v1\"")
                            .method(
                                    operation.getKey().toUpperCase(java.util.Locale.ROOT),
                                    HttpRequest.BodyPublishers.ofString(body.toString())));
                    assertThat(answer.status())
                            .as(name + " " + answer.text())
                            .isIn(200, 201)
                            .isEqualTo(success(operation.getValue()));
                    JsonNode schema = operation
                            .getValue()
                            .at("/responses/" + answer.status() + "/content/application~1json/schema");
                    assertThat(fits(schema, answer.json())).as(name).isTrue();
                    if (answer.status() == 201 && !first) {
                        String location = answer.header("Location");
                        kept.putIfAbsent(path.getKey(), location.substring(location.lastIndexOf('/') + 1));
                    }
                    run++;
                }
            }
        }
        assertThat(run).isEqualTo(31);
        assertThat(fits(
                        ApiDocument.ref("Report"),
                        get("/api/v1/reports/2026-Q3?site_id=" + unit).json()))
                .isTrue();
        assertThat(fits(
                        ApiDocument.ref("CasePage"),
                        get("/api/v1/reviews?site_id=" + unit).json()))
                .isTrue();
    }

    @Test
    void describesTheAnswersToQuestionsToo() {
        String unit = unit().code();
        made(
                unit,
                document()
                        .at("/paths/~1api~1v1~1encounters/post/requestBody/content/application~1json/examples"
                                + "/plain/value"));
        for (String asked : Set.of("/charts/fps_clean", "/charts/ae_severe", "/comparisons/ae_any")) {
            JsonNode answer = get("/api/v1" + asked + "?site_id=" + unit).json();
            JsonNode schema = document()
                    .at("/paths/~1api~1v1~1" + (asked.startsWith("/charts") ? "charts" : "comparisons")
                            + "~1{measure}/get/responses/200/content/application~1json/schema");
            assertThat(fits(schema, answer)).as(asked).isTrue();
        }
        assertThat(fits(ApiDocument.ref("Problem"), get("/api/v1/nowhere").json()))
                .isTrue();
        assertThat(fits(
                        ApiDocument.ref("Problem"),
                        get("/api/v1/charts/fps?by=week").json()))
                .isTrue();
    }

    private String made(String unit, JsonNode body) {
        return record(of(unit, body).toString()).json().path("encounter_id").asString();
    }

    private static JsonNode of(String unit, JsonNode body) {
        return ((ObjectNode) body.deepCopy()).put("site_id", unit);
    }

    private static int success(JsonNode operation) {
        return operation.path("responses").propertyNames().stream()
                .filter(status -> status.startsWith("2"))
                .map(Integer::valueOf)
                .findFirst()
                .orElseThrow();
    }

    /** Whether JSON fits a schema of the document, by a reader of JSON Schema 2020-12. */
    private boolean fits(JsonNode schema, JsonNode json) {
        ObjectNode whole = (ObjectNode) schema.deepCopy();
        whole.set("components", document().path("components"));
        return SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(whole)
                .validate(json)
                .isEmpty();
    }
}
