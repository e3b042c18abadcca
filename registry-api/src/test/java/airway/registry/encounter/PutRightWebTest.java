package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Setups;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.time.ZoneId;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import java.util.stream.Collectors;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.springframework.beans.factory.annotation.Autowired;

/** Putting a record right on its page, alone and while somebody else does. */
class PutRightWebTest extends ServedRegistry {
    @Autowired
    private Encounters encounters;

    @Autowired
    private DeviceSetups setups;

    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);
    private UUID id = new UUID(0, 0);

    @BeforeEach
    void oneRecord() {
        unit = unit();
        Setups.of(unit.code())
                .forEach(
                        setup -> assertThat(post("/api/v1/device-setups", setup).status())
                                .isEqualTo(201));
        Answer made = record("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-11-24T09:20:00+00:00",
                 "age_days": 213, "age_precision": "months", "weight_kg": 7.4,
                 "courses": [{"course_approach": "oral", "drugs": [{"drug_agent": "ketamine", "drug_dose": 15,
                   "drug_dose_unit": "mg"}],
                   "attempts": [{"device_setup_id": "metal-handle", "operator_grade": "senior", "tube_passes": 1,
                     "attempt_success": "yes", "spo2_lowest": 94, "tube_size_mm": 3.5}]}]}""".formatted(unit.code()));
        assertThat(made.status()).isEqualTo(201);
        id = UUID.fromString(made.json().path("encounter_id").asString());
    }

    private Map<String, List<String>> fields(String... changes) {
        Recorded now = encounters.read(id);
        Offered offered = new Offered(unit, sites.actor(), setups.all(unit), Map.of(), false);
        Map<String, List<String>> fields =
                new LinkedHashMap<>(FilledIn.of(now.encounter(), offered).fields());
        fields.put("seen", List.of(String.valueOf(now.version())));
        fields.put("over", List.of(String.valueOf(now.version())));
        for (String change : changes) {
            fields.put(change.substring(0, change.indexOf('=')), List.of(change.substring(change.indexOf('=') + 1)));
        }
        return fields;
    }

    private Answer send(Map<String, List<String>> fields) {
        String body = fields.entrySet().stream()
                .flatMap(field -> field.getValue().stream()
                        .map(value -> field.getKey() + "=" + URLEncoder.encode(value, StandardCharsets.UTF_8)))
                .collect(Collectors.joining("&"));
        return send(request("/records/" + id + "/amend")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .header("Accept", "text/html")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    @Test
    void showsTheRecordFilledIn() {
        Answer page = send(request("/records/" + id + "/amend")
                .header("Accept", "text/html")
                .GET());
        assertThat(page.status()).isEqualTo(200);
        assertThat(page.text())
                .contains("Put a record right")
                .contains("name=\"weight\"")
                .contains("value=\"7.4\"")
                .contains("value=\"213\"".replace("213", "7"))
                .contains("name=\"a1.who\" value=\"kept\" checked=\"checked\"")
                .contains("name=\"a1.tube_size_mm\"");
    }

    @Test
    void makesANewVersionThatKeepsWhatWasNotChanged() {
        Answer done = send(fields("weight=7.6", "reason_code=mistyped"));
        assertThat(done.status()).isEqualTo(303);
        var now = get("/api/v1/encounters/" + id).json();
        assertThat(now.path("version").asInt()).isEqualTo(2);
        assertThat(now.path("status").asString()).isEqualTo("amended");
        assertThat(now.path("weight_kg").decimalValue()).isEqualByComparingTo("7.6");
        assertThat(now.at("/courses/0/drugs/0/drug_dose").asInt()).isEqualTo(15);
        assertThat(now.at("/courses/0/attempts/0/operator_grade").asString()).isEqualTo("senior");
        assertThat(send(request("/records/" + id + "/history")
                                .header("Accept", "text/html")
                                .GET())
                        .text())
                .contains("Mistyped")
                .contains("7.4")
                .contains("7.6");
    }

    @Test
    void asksForTheReason() {
        Answer page = send(fields("weight=7.6"));
        assertThat(page.status()).isEqualTo(422);
        assertThat(page.text()).contains("Choose why the record is put right.").contains("value=\"7.6\"");
        assertThat(encounters.read(id).version()).isEqualTo(1);
    }

    @Test
    void tellsTwoEditorsOfEachOther() {
        Map<String, List<String>> mine = fields("weight=7.6", "reason_code=mistyped");
        assertThat(send(fields("a1.lowest=91", "reason_code=footage_review")).status())
                .isEqualTo(303);
        Answer told = send(mine);
        assertThat(told.status()).isEqualTo(412);
        assertThat(told.text())
                .contains("Somebody else has put this record right since you opened it.")
                .contains("What they changed")
                .contains("Lowest saturation")
                .contains("What you change")
                .contains("name=\"over\" value=\"2\"")
                .contains("value=\"7.6\"");
        mine.put("over", List.of("2"));
        assertThat(send(mine).status()).isEqualTo(303);
        Recorded both = encounters.read(id);
        assertThat(both.version()).isEqualTo(3);
        assertThat(both.encounter().answers().words("weight_kg")).isEqualTo("7.6");
        assertThat(both.encounter().attempts().get(0).number("spo2_lowest")).isEqualTo(91);
    }

    @Test
    void addsAnAttempt() {
        Map<String, List<String>> fields = fields("a1.end=fail", "a1.next=another", "reason_code=footage_review");
        Answer second = send(fields);
        assertThat(second.status()).isEqualTo(200);
        assertThat(second.text()).contains("name=\"a2.end\"");
        fields.put("attempts", List.of("2"));
        fields.put("a2.who", List.of("me"));
        fields.put("a2.setup", List.of("metal-handle"));
        fields.put("a2.passes", List.of("1"));
        fields.put("a2.end", List.of("stay"));
        assertThat(send(fields).status()).isEqualTo(303);
        Recorded now = encounters.read(id);
        assertThat(now.derived().fps()).isEqualTo(Derived.Verdict.NO);
        assertThat(now.encounter().attempts()).hasSize(2);
    }

    @Test
    void isNotOfferedForAWithdrawnRecord() {
        assertThat(post("/api/v1/encounters/" + id + "/withdrawal", "{\"reason_code\": \"duplicate\"}")
                        .status())
                .isEqualTo(200);
        assertThat(send(request("/records/" + id + "/amend")
                                .header("Accept", "text/html")
                                .GET())
                        .status())
                .isEqualTo(409);
    }

    @Test
    void refusesAVersionThatIsNone() {
        Map<String, List<String>> fields = fields("weight=7.6", "reason_code=mistyped");
        fields.put("seen", List.of("nine"));
        assertThat(send(fields).status()).isEqualTo(400);
        fields.put("seen", List.of("9"));
        assertThat(send(fields).status()).isEqualTo(404);
    }
}
