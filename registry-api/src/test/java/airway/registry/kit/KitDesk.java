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
import org.junit.jupiter.api.BeforeEach;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

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
}
