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
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** Putting a record right on its page, alone and while somebody else does. */
class PutRightWebTest extends ServedRegistry {
    @Autowired
    private Encounters encounters;

    @Autowired
    private DeviceSetups setups;

    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);
    private UUID id = new UUID(0, 0);
    private String key = "";

    @BeforeEach
    void oneRecord() {
        unit = unit();
        key = UUID.randomUUID().toString();
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
        fields.put("site_id", List.of(unit.code()));
        fields.put("key", List.of(key));
        fields.put("amends", List.of(id.toString()));
        fields.put("seen", List.of(String.valueOf(now.version())));
        fields.put("over", List.of(String.valueOf(now.version())));
        for (String change : changes) {
            fields.put(change.substring(0, change.indexOf('=')), List.of(change.substring(change.indexOf('=') + 1)));
        }
        return fields;
    }

    private Answer send(Map<String, List<String>> fields) {
        return send("/records/" + id + "/amend", fields);
    }

    private Answer keep(int revision, String... changes) {
        Map<String, List<String>> fields = fields(changes);
        fields.put("writer", List.of(new UUID(7, 7).toString()));
        fields.put("revision", List.of(String.valueOf(revision)));
        return send("/record/draft", fields);
    }

    private Answer page(String path) {
        return send(request(path).header("Accept", "text/html").GET());
    }

    private Answer send(String path, Map<String, List<String>> fields) {
        String body = fields.entrySet().stream()
                .flatMap(field -> field.getValue().stream()
                        .map(value -> field.getKey() + "=" + URLEncoder.encode(value, StandardCharsets.UTF_8)))
                .collect(Collectors.joining("&"));
        return send(request(path)
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
    void keepsWhatIsChangedUntilItIsSaved() {
        assertThat(keep(0, "weight=7.6", "reason_text=scales").text()).isEqualTo("1");
        String home = page("/?site_id=" + unit.code()).text();
        assertThat(home)
                .contains("Go on putting right: 7 months, 7.6 kg.")
                .contains("The record stands as it was until then.")
                .contains("/records/" + id + "/amend?draft=" + key);
        assertThat(encounters.read(id).version()).isEqualTo(1);
        String draft = "/records/" + id + "/amend?draft=" + key;
        assertThat(page(draft).text())
                .contains("Put a record right")
                .contains("value=\"7.6\"")
                .contains("value=\"scales\"")
                .contains("name=\"revision\" value=\"1\"");
        assertThat(send(fields("weight=7.6", "reason_code=mistyped")).status()).isEqualTo(303);
        assertThat(page("/?site_id=" + unit.code()).text()).doesNotContain("unfinished");
        assertThat(keep(1, "weight=7.9").status()).as("a late one").isEqualTo(409);
        assertThat(page(draft).header("Location")).endsWith("/records/" + id + "/history");
    }

    @Test
    void keepsWhatIsChangedForLaterWhenAsked() {
        assertThat(send(fields("weight=7.6", "later=yes")).header("Location")).endsWith("/?site_id=" + unit.code());
        assertThat(page("/?site_id=" + unit.code()).text()).contains("Go on putting right");
        assertThat(encounters.read(id).version()).isEqualTo(1);
    }

    @Test
    void keepsNothingOfWhatIsLeftAsItWas() {
        keep(0, "weight=7.6");
        assertThat(send(fields("weight=7.6", "leave=yes")).header("Location")).endsWith("/records/" + id);
        assertThat(page("/?site_id=" + unit.code()).text()).doesNotContain("unfinished");
        assertThat(encounters.read(id).version()).isEqualTo(1);
    }

    @Test
    void goesOnWithADraftAlthoughSomebodyElseWasFaster() {
        keep(0, "weight=7.6");
        Map<String, List<String>> mine = fields("weight=7.6", "reason_code=mistyped");
        String draft = "/records/" + id + "/amend?draft=" + key;
        key = UUID.randomUUID().toString();
        assertThat(send(fields("a1.lowest=91", "reason_code=footage_review")).status())
                .isEqualTo(303);
        Answer goOn = page(draft);
        assertThat(goOn.status()).isEqualTo(200);
        assertThat(goOn.text()).contains("value=\"7.6\"").contains("Version 1.");
        assertThat(send(mine).text()).contains("What they changed").contains("What you change");
    }

    @Test
    void makesOneVersionOfASecondTap() {
        Map<String, List<String>> fields = fields("weight=7.6", "reason_code=mistyped");
        assertThat(send(fields).status()).isEqualTo(303);
        Answer again = send(fields);
        assertThat(again.status()).isEqualTo(303);
        assertThat(again.header("Location")).endsWith("/records/" + id + "/history");
        assertThat(encounters.read(id).version()).isEqualTo(2);
    }

    @Test
    void saysThatWhatWasChangedAfterSavingIsNotSaved() {
        Map<String, List<String>> fields = fields("weight=7.6", "reason_code=mistyped");
        assertThat(send(fields).status()).isEqualTo(303);
        fields.put("weight", List.of("7.8"));
        Answer back = send(fields);
        assertThat(back.status()).isEqualTo(422);
        assertThat(back.text()).contains("This form was saved before.").contains("value=\"7.8\"");
        assertThat(encounters.read(id).version()).isEqualTo(2);
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
        key = UUID.randomUUID().toString();
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
    void keepsEventsThatSomebodyElseAdded() {
        String body = get("/api/v1/encounters/" + id).text();
        ObjectNode theirs = (ObjectNode) new JsonMapper().readTree(body);
        List.of("encounter_id", "version", "status", "recorded_at", "dictionary_version", "incomplete", "derived")
                .forEach(theirs::remove);
        theirs.put("adverse_event_any", "yes");
        theirs.putArray("events").addObject().put("event_type", "arrest_rosc");
        theirs.putObject("amendment").put("reason_code", "added_later");
        Map<String, List<String>> mine = fields("weight=7.6", "reason_code=mistyped", "event=no");
        Map<String, List<String>> untouched = fields("weight=7.7", "reason_code=mistyped");
        assertThat(send(request("/api/v1/encounters/" + id)
                                .header("Content-Type", "application/json")
                                .header("If-Match", "\"v1\"")
                                .PUT(HttpRequest.BodyPublishers.ofString(theirs.toString())))
                        .status())
                .isEqualTo(200);
        untouched.put("over", List.of("2"));
        assertThat(send(untouched).status()).isEqualTo(303);
        Recorded both = encounters.read(id);
        assertThat(both.encounter().events()).hasSize(1);
        assertThat(both.encounter().answers().is("adverse_event_any", "yes")).isTrue();
        mine.put("over", List.of("3"));
        assertThat(send(mine).status()).as("no event beside one that stays").isEqualTo(422);
    }

    @Test
    void makesNoVersionWhenNothingWasChanged() {
        Answer page = send(fields("reason_code=mistyped"));
        assertThat(page.status()).isEqualTo(422);
        assertThat(page.text()).contains("Nothing was changed: no answer differs from the record.");
        assertThat(encounters.read(id).version()).isEqualTo(1);
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
