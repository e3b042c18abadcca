package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.problem.Fault;
import airway.registry.testing.ServedRegistry;
import airway.sql.Sql;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.sql.SQLException;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import tools.jackson.core.JacksonException;
import tools.jackson.databind.DeserializationFeature;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/**
 * Server and document agree on what a record may be. Forms need no test of their own here: a page sends what was typed
 * through the same reading and the same checks.
 */
class AgreementWebTest extends ServedRegistry {
    private static final int BODIES = 1_000;

    /**
     * What only a look at several answers, at the unit, at the calendar or at the characters of a text can tell; the
     * document leaves it out.
     */
    private static final Set<String> BETWEEN_ANSWERS = Stream.concat(
                    Arrays.stream(Check.values()).map(Check::code),
                    Stream.of("unknown.answered", "confirmed.name", "site.unknown", "datetime", "json"))
            .collect(Collectors.toSet());

    private static final JsonMapper EXACT = JsonMapper.builder()
            .enable(DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS)
            .build();

    @Test
    void serverAndDocumentAgreeOnAThousandBodiesAndNothingIsHalfStored() throws SQLException {
        String unit = unit().code();
        Schema schema = schema();
        int accepted = 0;
        int refused = 0;
        for (String body :
                new GeneratedBodies(20_260_301, unit, NOW).some(BODIES).toList()) {
            Answer answer = record(body);
            String told = answer.status() + " " + answer.text() + " to " + shortened(body);
            assertThat(answer.status()).as(told).isIn(201, 400, 413, 422);
            boolean fits = fits(schema, body);
            if (answer.status() == 201) {
                assertThat(fits).as("taken, so it fits: " + told).isTrue();
                accepted++;
            } else {
                refused++;
                if (fits) {
                    for (JsonNode error : answer.json().path("errors")) {
                        assertThat(error.path("severity").asString().equals("confirm")
                                        || BETWEEN_ANSWERS.contains(
                                                error.path("code").asString()))
                                .as("fits, so only checks between answers refuse it: " + told)
                                .isTrue();
                    }
                }
            }
        }
        assertThat(accepted).isGreaterThan(BODIES / 3);
        assertThat(refused).isGreaterThan(BODIES / 3);
        String mine = " join access.site s using (site_id) where s.code = '" + unit + "'";
        for (String table : List.of("encounter.encounter", "encounter.version", "encounter.patient", "analysis.fact")) {
            assertThat(Sql.rows(LOGINS.owner(), "select count(*) from " + table + mine))
                    .as(table)
                    .containsExactly(String.valueOf(accepted));
        }
    }

    @Test
    void asksNothingOfASecondSendingThatWasConfirmed() {
        String unit = unit().code();
        GeneratedBodies bodies = new GeneratedBodies(7, unit, NOW);
        for (int i = 0; i < 20; i++) {
            ObjectNode body = bodies.valid();
            assertThat(SoftChecks.of(
                            EncounterForm.sketch(body), java.util.Map.of(), Circumstances.sent(NOW, Doses.NONE)))
                    .extracting(Fault::path)
                    .isEmpty();
        }
    }

    private Schema schema() {
        ObjectNode whole = (ObjectNode) EXACT.readTree("{\"$ref\": \"#/components/schemas/Record\"}");
        whole.set("components", get("/api/v1/openapi.json").json().path("components"));
        return SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(whole);
    }

    private static boolean fits(Schema schema, String body) {
        try {
            return schema.validate(EXACT.readTree(body)).isEmpty();
        } catch (JacksonException | NumberFormatException e) {
            return false;
        }
    }

    private static String shortened(String body) {
        return body.length() > 3_000 ? body.substring(0, 3_000) : body;
    }
}
