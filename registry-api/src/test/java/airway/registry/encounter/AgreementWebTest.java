package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import airway.registry.problem.Fault;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Setups;
import airway.sql.Sql;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.sql.SQLException;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.UUID;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.springframework.beans.factory.annotation.Autowired;
import org.springframework.web.util.HtmlUtils;
import tools.jackson.core.JacksonException;
import tools.jackson.databind.DeserializationFeature;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** Page, server and document agree on what a record may be. */
class AgreementWebTest extends ServedRegistry {
    private static final int BODIES = 1_000;
    private static final int FORMS = 1_000;
    private static final Pattern CONFIRM = Pattern.compile("name=\"(confirm\\.[^\"]+)\" value=\"([^\"]+)\"");

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

    @Autowired
    private DeviceSetups setups;

    @Test
    void serverAndDocumentAgreeOnAThousandBodiesAndNothingIsHalfStored() throws SQLException {
        String unit = unit().code();
        Schema schema = schema();
        int accepted = 0;
        int kept = 0;
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
                if (answer.json().path("site_id").asString().equals(unit)) {
                    kept++;
                } else {
                    assertThat(body)
                            .as("only what names no unit is kept in the home unit")
                            .doesNotContain(unit);
                }
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
                    .containsExactly(String.valueOf(kept));
        }
    }

    /** A form is what a browser would send of a filled-in page, some answers of it spoilt. */
    @Test
    void pageServerAndDocumentAgreeOnAThousandForms() {
        Site unit = unit();
        Setups.of(unit.code()).forEach(setup -> post("/api/v1/device-setups", setup));
        Offered offered = new Offered(unit, sites.actor(), setups.all(unit), Map.of(), false);
        Schema schema = schema();
        int saved = 0;
        int asked = 0;
        for (long seed = 1; seed <= FORMS; seed++) {
            ObjectNode drawn = AnyRecord.of(seed, offered.setupsById(), NOW);
            Encounter encounter = EncounterForm.read(drawn, offered.setupsById(), NOW);
            if (!FilledIn.fits(encounter)) {
                continue;
            }
            Typed typed = spoilt(FilledIn.of(encounter, offered), new Random(seed));
            Answer page = form(typed, unit, "form-" + seed);
            // Most are asked about at once; a dose that is odd beside the unit's own records only when the rest is
            // right.
            for (int round = 0; round < 3 && page.status() == 422; round++) {
                Typed confirmed = typed;
                for (MatchResult tile : CONFIRM.matcher(page.text()).results().toList()) {
                    confirmed = confirmed.with(tile.group(1), HtmlUtils.htmlUnescape(tile.group(2)));
                }
                if (confirmed.equals(typed)) {
                    break;
                }
                asked++;
                typed = confirmed;
                page = form(typed, unit, "form-" + seed);
            }
            RecordForm read = new RecordForm(typed, offered, NOW);
            boolean right = read.faults(Circumstances.typed(NOW)).isEmpty();
            Answer sent = record(read.body().toString());
            String told = "seed " + seed + ": page " + page.status() + ", sent " + sent.status() + " " + sent.text();
            assertThat(page.status()).as(told).isIn(303, 422);
            assertThat(page.status() == 303).as(told).isEqualTo(right);
            if (right) {
                // The record that the page has just kept may be the twentieth that makes a usual dose.
                boolean dose = sent.status() == 422
                        && sent.json()
                                .path("errors")
                                .valueStream()
                                .allMatch(error -> error.path("code").asString().equals("dose.unusual"));
                assertThat(sent.status() == 201 || dose).as(told).isTrue();
                assertThat(fits(schema, read.body().toString())).as(told).isTrue();
                saved++;
            }
        }
        assertThat(saved).isGreaterThan(FORMS / 3);
        assertThat(asked).as("odd answers that the page let confirm").isGreaterThan(FORMS / 3);
    }

    private static Typed spoilt(Typed typed, Random random) {
        String[][] spoils = {
            {"weight", "740"},
            {"weight", "7,4 kg"},
            {"age", "-1"},
            {"a1.passes", "0"},
            {"event", "no"},
            {"a1.lowest", "100"},
            {"start_date", "31 2 2026"},
            {"start_time", "25:61"},
            {"kind", "nonsense"},
            {"a1.tube_size_mm", "three"},
            {"a1.end", ""},
            {"gestation_weeks", "46"},
            {"sex", "x"},
        };
        Typed so = typed.with("a1.who", "me");
        for (String[] spoil : spoils) {
            if (random.nextInt(30) == 0) {
                so = so.with(spoil[0], spoil[1]);
            }
        }
        return so;
    }

    private Answer form(Typed typed, Site unit, String key) {
        String idempotency =
                UUID.nameUUIDFromBytes(key.getBytes(StandardCharsets.UTF_8)).toString();
        String body = typed.with("site_id", unit.code()).with("key", idempotency).fields().entrySet().stream()
                .flatMap(field -> field.getValue().stream()
                        .map(value -> field.getKey() + "=" + URLEncoder.encode(value, StandardCharsets.UTF_8)))
                .collect(Collectors.joining("&"));
        return send(request("/record")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .header("Accept", "text/html")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    @Test
    void asksNothingOfASecondSendingThatWasConfirmed() {
        String unit = unit().code();
        GeneratedBodies bodies = new GeneratedBodies(7, unit, NOW);
        for (int i = 0; i < 20; i++) {
            ObjectNode body = bodies.valid();
            assertThat(SoftChecks.of(EncounterForm.sketch(body), Map.of(), Circumstances.sent(NOW, Doses.NONE)))
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
