package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import airway.registry.encounter.Encounters;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Setups;
import java.net.URI;
import java.time.ZoneId;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.openqa.selenium.By;
import org.openqa.selenium.Keys;
import org.springframework.beans.factory.annotation.Autowired;

/** A clinician records an intubation just after it, by phone and at the desk, by touch and by keyboard. */
class RecordJourney extends ServedRegistry {
    private static final By SAVE = By.id("save");
    private static final int BUDGET = 25;
    private static final int SCREENS = 5;

    @Autowired
    private Encounters encounters;

    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    @BeforeEach
    void ownUnit() {
        unit = unit();
        Setups.of(unit.code())
                .forEach(
                        setup -> assertThat(post("/api/v1/device-setups", setup).status())
                                .isEqualTo(201));
    }

    private URI at(String path) {
        return request(path + "?site_id=" + unit.code()).build().uri();
    }

    /** The path of a record of this unit. */
    private String aRecord() {
        Answer made = record("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-11-24T09:20:00+00:00",
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "no"},
                   {"attempt_success": "yes", "device_setup_id": "metal-handle"}]}]}""".formatted(unit.code()));
        return "/records/" + made.json().path("encounter_id").asString();
    }

    private int records() {
        return encounters.count(unit);
    }

    private static void untilTheAttempt(Browser browser) {
        browser.tap("start", "now");
        browser.tap("kind", "initial");
        browser.type("age", "7");
        browser.tap("age_unit", "months");
        browser.type("weight", "7.4");
        browser.tap("cyanotic", "no");
        browser.tap("reason", "oxygenation");
        browser.tap("urgency", "urgent");
        browser.tap("difficulty", "no");
    }

    private static void firstPass(Browser browser) {
        untilTheAttempt(browser);
        attempt(browser);
    }

    private static void attempt(Browser browser) {
        browser.tap("a1.who", "me");
        browser.tap("a1.setup", "metal-handle");
        browser.tap("a1.uses", "6_20");
        browser.tap("a1.look", "screen");
        browser.tap("a1.passes", "1");
        browser.tap("a1.end", "stay");
        browser.tap("a1.co2", "yes");
        browser.tap("a1.best", "98");
        browser.tap("a1.lowest", "94");
        browser.tap("a1.kit", "none");
        browser.tap("event", "no");
    }

    @ParameterizedTest(name = "{0} by {1}")
    @CsvSource({"390, 844", "1280, 900"})
    void recordsAnUncomplicatedFirstPass(int width, int height) {
        int before = records();
        try (Browser browser =
                Browser.open(width, height).as(request("/").build().uri(), session())) {
            browser.visit(at("/record"));
            browser.picture("record-" + width);
            firstPass(browser);
            assertThat(browser.driver()
                            .findElement(By.cssSelector(".who [data-total]"))
                            .getText())
                    .isEqualTo("21 of 21 answered");
            if (width < 500) {
                int high = Integer.parseInt(
                        String.valueOf(browser.script("return document.documentElement.scrollHeight")));
                System.out.println("The form with all its questions of a plain first pass: " + high + " px high, "
                        + height + " px a screen");
                assertThat(high).isLessThanOrEqualTo(SCREENS * height);
            }
            browser.press(SAVE);
            browser.waitForTitle("Saved at ");
            browser.picture("saved-" + width);
            System.out.println(
                    "An uncomplicated first pass, " + width + " px wide: " + browser.interactions() + " interactions");
            assertThat(browser.interactions()).isLessThanOrEqualTo(BUDGET);
            assertThat(browser.driver().findElement(By.cssSelector(".facts")).getText())
                    .contains("Attempt 1 aimed at a tracheal tube and succeeded: one blade insertion.");
            browser.fitsSideways();
        }
        assertThat(records()).isEqualTo(before + 1);
    }

    @Test
    void goesOnInAnotherBrowserAfterTheFirstOneDied() {
        int before = records();
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.visit(at("/record"));
            untilTheAttempt(browser);
            browser.waitFor(By.cssSelector("[name=revision]:not([value='0'])"));
            browser.type("weight", "7.6");
            // The promise is three seconds; nothing else tells the page that its browser is about to die.
            browser.waitUntil("return !document.querySelector('[data-unkept]')");
            assertThat(browser.script("return Object.keys(localStorage).filter(k => k !== 'tone').length"
                            + " + sessionStorage.length + document.cookie.length"))
                    .as("nothing is kept on the device")
                    .isEqualTo("0");
        }
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.visit(at("/"));
            browser.isAccessible();
            browser.press(By.partialLinkText("Go on: 7 months, 7.6 kg"));
            browser.waitForTitle("Record an intubation");
            assertThat(browser.script("return document.getElementById('weight').value"))
                    .isEqualTo("7.6");
            assertThat(browser.script("return document.querySelector('input[name=reason]:checked').value"))
                    .isEqualTo("oxygenation");
            attempt(browser);
            browser.press(SAVE);
            browser.waitForTitle("Saved at ");
            browser.visit(at("/"));
            assertThat(browser.driver().findElements(By.id("waits"))).isEmpty();
        }
        assertThat(records()).isEqualTo(before + 1);
    }

    @Test
    void keepsTheHospitalNumberToItselfUntilSomebodySaysWhyTheyLook() {
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.visit(at("/record"));
            // As a scanner does: fast keys, and Enter behind them, which must not save.
            browser.type("hospital_number", "KX4711-22");
            browser.key(Keys.ENTER);
            assertThat(browser.driver()
                            .findElement(By.cssSelector("[data-who=number]"))
                            .getText())
                    .isEqualTo("… -22");
            untilTheAttempt(browser);
            browser.waitFor(By.cssSelector("[name=revision]:not([value='0'])"));
            browser.waitUntil("return !document.querySelector('[data-unkept]')");
            browser.visit(at("/"));
            browser.press(By.partialLinkText("Go on: 7 months, 7.4 kg"));
            browser.waitForTitle("Record an intubation");
            assertThat(browser.driver().getPageSource())
                    .contains("ending in -22")
                    .doesNotContain("4711");
            attempt(browser);
            browser.picture("number-390");
            browser.press(SAVE);
            browser.waitForTitle("Saved at ");
            assertThat(browser.driver().getPageSource()).doesNotContain("4711");
            browser.press(By.cssSelector("section[aria-labelledby=number-h] summary"));
            browser.tap("reason_code", "case_review");
            browser.isAccessible();
            browser.isLargeEnough();
            browser.fitsSideways();
            browser.script(
                    "arguments[0].scrollIntoView({block: 'center'})",
                    browser.driver().findElement(By.cssSelector("section[aria-labelledby=number-h] button")));
            browser.press(By.cssSelector("section[aria-labelledby=number-h] button"));
            browser.waitForTitle("Hospital number");
            assertThat(browser.driver().findElement(By.cssSelector(".shown")).getText())
                    .isEqualTo("KX4711-22");
            browser.picture("number-shown-390");
            browser.isAccessible();
            browser.fitsSideways();
            browser.visit(at("/child"));
            browser.type("hospital_number", "kx 4711-22");
            browser.key(Keys.ENTER);
            browser.waitFor(By.id("found"));
            assertThat(browser.driver().findElement(By.id("found")).getText()).isEqualTo("One record has this number");
            assertThat(browser.driver().getCurrentUrl()).doesNotContain("4711");
            browser.picture("child-390");
        }
    }

    @Test
    void keepsTypingThroughALostConnection() {
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.visit(at("/record"));
            browser.script("window.away = window.fetch; window.fetch = () => Promise.reject(new TypeError('away'))");
            browser.type("weight", "9.1");
            browser.waitFor(By.cssSelector("[data-kept].lost"));
            browser.script("window.fetch = window.away");
            browser.waitUntil("return document.querySelector('[name=revision]').value === '1'");
            browser.waitUntil("return !document.querySelector('[data-kept].lost')");
        }
    }

    @Test
    void printsThePaperFormOnOneSheet() {
        try (Browser browser = Browser.open(1280, 900).as(request("/").build().uri(), session())) {
            browser.visit(at("/record/paper"));
            assertThat(browser.printedPages()).isEqualTo(1);
        }
    }

    @Test
    void makesOneRecordWhenTheBackButtonIsUsed() {
        int before = records();
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.visit(at("/record"));
            firstPass(browser);
            browser.press(SAVE);
            browser.waitForTitle("Saved at ");
            browser.driver().navigate().back();
            browser.waitForTitle("Record an intubation");
            browser.press(SAVE);
            // Either the same form is there and gives the same record, or an empty one that cannot be saved.
            browser.waitFor(By.cssSelector(".err, .facts"));
        }
        assertThat(records()).isEqualTo(before + 1);
    }

    @Test
    void needsNoPointer() {
        int before = records();
        try (Browser browser = Browser.open(1280, 900).as(request("/").build().uri(), session())) {
            browser.visit(at("/record"));
            browser.script("document.querySelector('input[name=start]').focus()");
            String[] answers = {
                "start=half",
                "kind=initial",
                "age=3",
                "age_unit=years",
                "weight=14",
                "cyanotic=no",
                "reason=procedure",
                "urgency=elective",
                "difficulty=no",
                "a1.who=me",
                "a1.setup=metal-direct",
                "a1.uses=gt20",
                "a1.passes=1",
                "a1.end=stay",
                "a1.co2=yes",
                "a1.best=100",
                "a1.lowest=97",
                "a1.kit=none",
                "event=no"
            };
            for (String answer : answers) {
                byKeyboard(
                        browser, answer.substring(0, answer.indexOf('=')), answer.substring(answer.indexOf('=') + 1));
            }
            tabTo(browser, "document.activeElement.id === 'save'");
            assertThat(browser.script("const r = document.activeElement.getBoundingClientRect();"
                            + " return r.top >= 0 && r.bottom <= innerHeight"))
                    .isEqualTo("true");
            browser.key(Keys.ENTER);
            browser.waitForTitle("Saved at ");
        }
        assertThat(records()).isEqualTo(before + 1);
    }

    /** Tabs to a question and answers it: arrows among tiles of which one counts, space for ticks, keys for boxes. */
    private static void byKeyboard(Browser browser, String name, String value) {
        tabTo(browser, "document.activeElement.name === '" + name + "'");
        String type = String.valueOf(browser.script("return document.activeElement.type"));
        switch (type) {
            case "radio" -> {
                browser.key(Keys.SPACE);
                for (int i = 0; i < 20 && !at(browser, value); i++) {
                    browser.key(Keys.ARROW_DOWN);
                }
            }
            case "checkbox" -> {
                tabTo(
                        browser,
                        "document.activeElement.name === '" + name + "' && document.activeElement.value === '" + value
                                + "'");
                browser.key(Keys.SPACE);
            }
            default -> browser.key(value);
        }
        assertThat(browser.script("return document.activeElement.value"))
                .as(name)
                .isEqualTo(value);
    }

    private static boolean at(Browser browser, String value) {
        return browser.script("return document.activeElement.value").equals(value);
    }

    private static void tabTo(Browser browser, String condition) {
        for (int i = 0; i < 60; i++) {
            if (browser.script("return " + condition).equals("true")) {
                return;
            }
            browser.key(Keys.TAB);
        }
        assertThat(browser.script("return document.activeElement.outerHTML"))
                .as("reached by Tab: " + condition)
                .isNull();
    }

    @Test
    void keepsWhatWasTypedInAFaultySave() {
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.visit(at("/record"));
            firstPass(browser);
            browser.type("weight", "740");
            browser.tap("a1.lowest", "99");
            browser.press(SAVE);
            browser.waitForTitle("Error: Record an intubation");
            browser.picture("faulty-390");
            assertThat(browser.script("return document.activeElement.className"))
                    .isEqualTo("err");
            assertThat(browser.driver().findElements(By.cssSelector(".err li"))).hasSize(2);
            assertThat(browser.script("return document.getElementById('weight').value"))
                    .isEqualTo("740");
            assertThat(browser.script("return document.querySelector('input[name=\"a1.end\"]:checked').value"))
                    .isEqualTo("stay");
            browser.isAccessible();
            browser.fitsSideways();
            browser.type("weight", "7.4");
            browser.tap("a1.lowest", "94");
            browser.press(SAVE);
            browser.waitForTitle("Saved at ");
        }
    }

    @Test
    void tellsASecondAttemptAndAnEvent() {
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.visit(at("/record"));
            untilTheAttempt(browser);
            browser.tap("a1.who", "me");
            browser.tap("a1.setup", "metal-handle");
            browser.tap("a1.uses", "first");
            browser.tap("a1.look", "screen");
            browser.tap("a1.passes", "1");
            browser.tap("a1.end", "fail");
            browser.tap("a1.position", "oesophagus");
            browser.tap("a1.why", "wrong_place");
            browser.tap("a1.co2", "no");
            browser.tap("a1.confirmed", "none");
            browser.tap("a1.best", "97");
            browser.tap("a1.lowest", "typed");
            browser.type("a1.lowest_typed", "71");
            browser.tap("a1.kit", "none");
            browser.tap("a1.next", "another");
            browser.waitFor(By.id("a2"));
            assertThat(browser.driver()
                            .findElement(By.cssSelector(".folded summary"))
                            .getText())
                    .contains("first into the oesophagus")
                    .contains("SpO₂ 97% before, lowest 71%.");
            browser.tap("a2.who", "other");
            browser.tap("a2.grade", "specialist");
            browser.tap("a2.experience", "gt100");
            browser.tap("a2.setup", "metal-handle");
            browser.tap("a2.uses", "gt20");
            browser.tap("a2.look", "both");
            browser.tap("a2.passes", "1");
            browser.tap("a2.end", "stay");
            browser.tap("a2.co2", "yes");
            browser.tap("a2.lowest", "90");
            browser.tap("a2.kit", "none");
            browser.tap("event", "oesophageal_now");
            browser.tap("when.oesophageal_now", "1");
            browser.picture("second-390");
            browser.isAccessible();
            browser.fitsSideways();
            browser.press(SAVE);
            browser.waitForTitle("Saved at ");
            assertThat(browser.driver().findElement(By.tagName("main")).getText())
                    .contains("Every question is answered.")
                    .contains("First pass belongs to the child, not to an operator");
        }
    }

    @Test
    void losesNothingWhenTheConnectionIsGone() {
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.visit(at("/record"));
            firstPass(browser);
            browser.script("window.fetch = () => Promise.reject(new TypeError('away'))");
            browser.press(SAVE);
            browser.waitFor(By.cssSelector("[data-said].lost"));
            assertThat(browser.driver()
                            .findElement(By.cssSelector("[data-said].lost"))
                            .getText())
                    .startsWith("No connection. Nothing was saved yet;");
            assertThat(browser.script("return document.getElementById('weight').value"))
                    .isEqualTo("7.4");
            browser.fitsSideways();
        }
    }

    @ParameterizedTest(name = "{0} px, dim: {1}")
    @CsvSource({"320, false", "390, false", "390, true", "640, false", "1280, false", "1280, true"})
    void isFitForEyesAndFingers(int width, boolean dim) {
        try (Browser browser = Browser.open(width, 900).as(request("/").build().uri(), session())) {
            String record = aRecord();
            for (String path : new String[] {
                "/",
                "/nowhere",
                "/record/paper",
                "/child",
                "/child/erase",
                record,
                record + "/history",
                record + "/amend"
            }) {
                browser.visit(at(path));
                if (dim) {
                    browser.dim();
                }
                browser.isAccessible();
                browser.fitsSideways();
                browser.isLargeEnough();
            }
            browser.visit(at("/record"));
            // Open all that can be opened at once: a failed attempt by somebody else, with an event.
            browser.tap("a1.who", "other");
            browser.tap("a1.setup", "route");
            browser.tap("a1.passes", "2");
            browser.tap("a1.end", "fail");
            browser.tap("a1.next", "stop");
            browser.tap("a1.lowest", "typed");
            browser.tap("a1.co2", "part");
            browser.tap("event", "other");
            browser.tap("start", "typed");
            browser.tap("location", "more");
            browser.script("document.querySelectorAll('#record details').forEach(part => part.open = true)");
            browser.picture("open-" + width + (dim ? "-dim" : ""));
            browser.isAccessible();
            browser.fitsSideways();
            browser.isLargeEnough();
        }
    }
}
