package airway.registry.kit;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** A unit with two kit keepers and a recorder of their own. The clock of the tests stands at noon of 24 November 2026. */
abstract class KitDesk extends ServedRegistry {
    static final JsonMapper JSON = new JsonMapper();

    static final String KIND = "Straight blade, size 1";

    Tester keeper = Tester.fresh(LOGINS);
    Tester second = Tester.fresh(LOGINS);
    Tester recorder = Tester.fresh(LOGINS);
    Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    @BeforeEach
    void peopleOfAUnit() {
        unit = unit();
        keeper = Tester.fresh(LOGINS).with(unit.no(), Role.KIT_KEEPER);
        second = Tester.fresh(LOGINS).with(unit.no(), Role.KIT_KEEPER);
        recorder = Tester.fresh(LOGINS).with(unit.no(), Role.RECORDER);
    }

    Answer sent(Tester who, String path, String body) {
        return send(request(path, who)
                .header("Content-Type", "application/json")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    void kind() {
        Answer made = sent(
                keeper,
                "/api/v1/kit/kinds",
                "{\"title\": \"" + KIND + "\", \"instructions\": \"Leaflet 7, March 2024\"}");
        assertThat(made.status()).as(made.text()).isEqualTo(201);
    }

    /** Enters an item over the API; where it is. */
    String item(String name, String more) {
        Answer made = sent(
                keeper,
                "/api/v1/kit/items",
                "{\"kind\": \"" + KIND + "\", \"name\": \"" + name + "\", \"cycles_before\": 0" + more + "}");
        assertThat(made.status()).as(made.text()).isEqualTo(201);
        return made.header("Location");
    }

    JsonNode moved(Tester who, String item, String move, int seen, String more) {
        Answer answer = sent(
                who,
                item + "/moves",
                "{\"move\": \"" + move + "\", \"seen\": " + seen + (more.isEmpty() ? "" : ", " + more) + "}");
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    static String cycle(String ended) {
        return "\"cycle\": \"24-1\", \"cycle_ended_at\": \"" + ended
                + "\", \"cycle_passed\": \"yes\", \"use_by\": \"2027-05-18\"";
    }

    /** A blade that two keepers have released: its log has three lines. */
    String ready(String name) {
        String item = item(name, "");
        moved(keeper, item, "ready", 1, cycle("2026-11-23T18:00"));
        moved(second, item, "confirmed", 2, "");
        return item;
    }

    JsonNode read(String item) {
        return send(request(item, keeper).GET()).json();
    }

    Answer page(Tester who, String path) {
        return send(request(path, who).header("Accept", "text/html").GET());
    }

    Answer form(Tester who, String path, String... fields) {
        StringBuilder body = new StringBuilder("site_id=" + unit.code());
        for (int i = 0; i < fields.length; i += 2) {
            body.append('&')
                    .append(fields[i])
                    .append('=')
                    .append(URLEncoder.encode(fields[i + 1], StandardCharsets.UTF_8));
        }
        return send(request(path, who)
                .header("Accept", "text/html")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(body.toString())));
    }

    /** The page of an item that the API names. */
    static String pageOf(String item) {
        return item.replace("/api/v1", "");
    }

    static final String RECORD = """
            {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "%s",
             "patient": {"sex": "f"}, "age_days": 41,
             "courses": [{"course_approach": "oral", "attempts": [%s]}]}""";

    String attempts(String... labels) {
        List<String> all = new ArrayList<>();
        for (String label : labels) {
            all.add("{\"attempt_success\": \"no\", \"kit_labels\": " + label + "}");
        }
        return String.join(",", all);
    }

    /** Records an intubation at some time of the day of the tests. */
    String recorded(String clock, String attempts) {
        Answer answer = recordConfirmed(RECORD.formatted(unit.code(), "2026-11-24T" + clock + ":00Z", attempts));
        assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        return answer.json().path("encounter_id").asString();
    }

    void amended(String record, int seen, String clock, String attempts) {
        ObjectNode body =
                (ObjectNode) JSON.readTree(RECORD.formatted(unit.code(), "2026-11-24T" + clock + ":00Z", attempts));
        body.putObject("amendment").put("reason_code", "mistyped");
        Answer answer = amend(record, seen, body);
        if (answer.status() == 422) {
            answer.json()
                    .path("errors")
                    .forEach(error -> body.withArrayProperty("confirmed")
                            .add(error.path("pointer").asString()));
            answer = amend(record, seen, body);
        }
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
    }

    Answer amend(String record, int seen, ObjectNode body) {
        return send(request("/api/v1/encounters/" + record)
                .header("Content-Type", "application/json")
                .header("If-Match", "\"v" + seen + "\"")
                .PUT(HttpRequest.BodyPublishers.ofString(body.toString())));
    }

    JsonNode open() {
        return send(request("/api/v1/kit/discrepancies", keeper).GET()).json();
    }

    List<String> told() {
        List<String> told = new ArrayList<>();
        open().forEach(one ->
                told.add(one.path("kind").asString() + " " + one.path("told").asString() + " of attempt "
                        + one.path("attempt_no").asInt()));
        return told;
    }
}
