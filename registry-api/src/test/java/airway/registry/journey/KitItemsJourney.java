package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.net.URI;
import java.net.http.HttpRequest;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.openqa.selenium.By;
import org.openqa.selenium.Keys;

/** The kit keeper stands at the shelf with a phone. */
class KitItemsJourney extends ServedRegistry {
    private Tester keeper = Tester.fresh(LOGINS);
    private String item = "";

    @BeforeEach
    void aTrolleyWithABladeAndOneOnTheShelf() {
        Site unit = unit();
        keeper = Tester.fresh(LOGINS).with(unit.no(), Role.KIT_KEEPER);
        Tester second = Tester.fresh(LOGINS).with(unit.no(), Role.KIT_KEEPER);
        made(keeper, "/api/v1/kit/kinds", "{\"title\": \"Straight, size 1\", \"instructions\": \"Leaflet 7\"}");
        for (String name : new String[] {"0416", "0417"}) {
            item = made(
                            keeper,
                            "/api/v1/kit/items",
                            "{\"kind\": \"Straight, size 1\", \"name\": \"" + name + "\", \"cycles_before\": 0}")
                    .header("Location");
            made(keeper, item + "/moves", """
                    {"move": "ready", "seen": 1, "cycle": "24-1", "cycle_ended_at": "2026-11-23T18:00",
                     "cycle_passed": "yes", "use_by": "2027-05-18"}""");
            made(second, item + "/moves", "{\"move\": \"confirmed\", \"seen\": 2}");
            if (name.equals("0416")) {
                made(keeper, item + "/moves", """
                        {"move": "placed", "seen": 3, "place": "Trolley 1, drawer 2", "pack_whole": "yes"}""");
            }
        }
    }

    private Answer made(Tester who, String path, String body) {
        Answer answer = send(request(path, who)
                .header("Content-Type", "application/json")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
        assertThat(answer.status()).as(answer.text()).isBetween(200, 201);
        return answer;
    }

    private URI at(String path) {
        return request(path).build().uri();
    }

    /** The budget of the design: scan, place, save. A scanner ends with Enter. */
    @Test
    void placesABladeInThreeSteps() {
        try (Browser browser = Browser.open(390, 844).as(at("/"), session(keeper))) {
            browser.visit(at("/kit/items"));
            browser.key("0417" + Keys.ENTER);
            browser.waitForTitle("0417");
            browser.tap("place", "Trolley 1, drawer 2");
            browser.press(By.cssSelector("details[open] > form > .btns button"));
            browser.waitFor(By.xpath("//strong[.='On the trolley: Trolley 1, drawer 2']"));
            assertThat(browser.interactions()).isEqualTo(3);
        }
    }

    @ParameterizedTest(name = "{0} by {1}")
    @CsvSource({"390, 844", "1280, 900"})
    void readsItsPagesInBothTones(int width, int height) {
        String page = item.replace("/api/v1", "");
        try (Browser browser = Browser.open(width, height).as(at("/"), session(keeper))) {
            for (String path : new String[] {"/kit/items", page, "/kit/kinds", "/kit/sending", "/kit/discrepancies"}) {
                browser.visit(at(path));
                browser.script("document.querySelectorAll('details').forEach(d => d.open = true)");
                browser.fitsSideways();
                browser.isLargeEnough();
                browser.isAccessible();
                browser.dim();
                browser.isAccessible();
            }
        }
    }
}
