package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import airway.registry.testing.OpenRegistry;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Setups;
import airway.sql.Sql;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.sql.SQLException;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import java.util.stream.Collectors;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.springframework.beans.factory.annotation.Autowired;

/** The hospital number on the record page: typed, kept in the draft, saved with the record, and never shown again. */
class NumberBoxWebTest extends ServedRegistry {
    private static final String NUMBER = "KX 4711-22";

    @Autowired
    private Encounters encounters;

    @Autowired
    private DeviceSetups setups;

    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);
    private String key = "";

    @BeforeEach
    void ownUnit() {
        unit = unit();
        key = UUID.randomUUID().toString();
        Setups.of(unit.code()).forEach(setup -> post("/api/v1/device-setups", setup));
    }

    private Typed plain() {
        return new Typed(Fields.plain().fields()).with("site_id", unit.code()).with("key", key);
    }

    private Answer form(String path, Typed typed) {
        String body = typed.fields().entrySet().stream()
                .flatMap(field -> field.getValue().stream()
                        .map(value -> field.getKey() + "=" + URLEncoder.encode(value, StandardCharsets.UTF_8)))
                .collect(Collectors.joining("&"));
        return send(request(path)
                .header("Content-Type", "application/x-www-form-urlencoded")
                .header("Accept", "text/html")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    private Answer page(String path) {
        return send(request(path).header("Accept", "text/html").GET());
    }

    /** Where the record is that was saved. */
    private static String saved(Answer answer) {
        assertThat(answer.status()).as(answer.text()).isEqualTo(303);
        return answer.header("Location").replaceAll(".*(/records/[0-9a-f-]{36}).*", "$1");
    }

    private String seen(String record) {
        return post("/api/v1/encounters/" + record.substring("/records/".length()) + "/hospital-number/look", """
                        {"reason_code": "care"}""")
                .json()
                .path("hospital_number")
                .asString("none");
    }

    private static String covered(Answer page) {
        return page.text().replaceAll("(?s).*name=\"hospital_number_covered\" value=\"([^\"]+)\".*", "$1");
    }

    @Test
    void isSavedWithTheRecordAndNotShownOnItsPages() {
        String record = saved(form("/record", plain().with("hospital_number", NUMBER)));
        assertThat(seen(record)).isEqualTo(NUMBER);
        for (String path : List.of(record, record + "/history", record + "/amend", record + "/versions/1")) {
            assertThat(page(path).text()).as(path).doesNotContain("4711");
        }
    }

    @Test
    void isNeededByNobody() throws SQLException {
        String record = saved(form("/record", plain()));
        assertThat(seen(record)).isEqualTo("none");
        assertThat(Sql.rows(
                        LOGINS.owner(),
                        "select count(*) from audit.entry where object = 'identity' and site_id = " + unit.no()))
                .containsExactly("0");
    }

    @Test
    void isKeptInTheDraftAndCoveredForWhoeverGoesOn() {
        Answer later = form("/record", plain().with("hospital_number", NUMBER).with("later", "yes"));
        assertThat(later.status()).isEqualTo(303);
        assertThat(OpenRegistry.rows(
                        LOGINS,
                        "select position('4711'::bytea in sealed) from encounter.draft where draft_id = '" + key + "'"))
                .containsExactly("0");

        Answer page = page("/record?site_id=" + unit.code() + "&draft=" + key);

        assertThat(page.text())
                .contains("One was typed before and is kept, ending in -22.")
                .doesNotContain("4711");
        Typed gone = plain().with("hospital_number", "").with("hospital_number_covered", covered(page));
        form("/record/draft", gone.with("writer", UUID.randomUUID().toString()).with("revision", "1"));
        assertThat(page("/record?site_id=" + unit.code() + "&draft=" + key).text())
                .as("kept once more")
                .contains("ending in -22.");
        assertThat(seen(saved(form("/record", gone)))).isEqualTo(NUMBER);
    }

    @Test
    void ofADraftIsReplacedByTypingAnotherAndLeftOutByATick() {
        form("/record", plain().with("hospital_number", NUMBER).with("later", "yes"));
        String covered = covered(page("/record?site_id=" + unit.code() + "&draft=" + key));
        Typed form = plain().with("hospital_number_covered", covered);
        String other = saved(form("/record", form.with("hospital_number", "99")));
        assertThat(seen(other)).isEqualTo("99");
        String none = saved(
                form("/record", form.with("key", UUID.randomUUID().toString()).with("hospital_number_out", "yes")));
        assertThat(seen(none)).isEqualTo("none");
    }

    @Test
    void isAskedForAgainWhenTheCoveredOneCannotBeRead() {
        Answer answer = form("/record", plain().with("hospital_number_covered", "bm90aGluZyBvZiBvdXJz"));
        assertThat(answer.status()).isEqualTo(422);
        assertThat(answer.text()).contains("cannot be read any more: type it again");
    }

    @Test
    void isToldAtItsBoxWhenItIsNone() {
        Answer answer = form("/record", plain().with("hospital_number", "1234567890123456789012345678901"));
        assertThat(answer.status()).isEqualTo(422);
        assertThat(answer.text())
                .contains("href=\"#hospital_number\"", "Hospital number: Type 1 to 30", "id=\"hospital_number-e\"")
                .contains("value=\"1234567890123456789012345678901\"");
    }

    @Test
    void isNotStoredWithoutItsRecordNorTheRecordWithoutIt() throws SQLException {
        Sql.execute(
                LOGINS.owner(),
                "create function identity.away() returns trigger language plpgsql as"
                        + " $$ begin raise exception 'away'; end $$;"
                        + " create trigger away before insert on identity.hospital_number for each row"
                        + " when (new.site_id = " + unit.no() + ") execute function identity.away()");
        try {
            Answer answer = form("/record", plain().with("hospital_number", NUMBER));
            assertThat(answer.status()).isEqualTo(500);
            assertThat(answer.text()).doesNotContain("4711");
            assertThat(Sql.rows(
                            LOGINS.owner(), "select count(*) from encounter.encounter where site_id = " + unit.no()))
                    .containsExactly("0");
        } finally {
            Sql.execute(LOGINS.owner(), "drop function identity.away() cascade");
        }
        assertThat(seen(saved(form("/record", plain().with("hospital_number", NUMBER)))))
                .isEqualTo(NUMBER);
    }

    @Test
    void savedTwiceMakesOneRecordAndAnotherNumberUnderTheSameKeyIsTold() {
        Typed form = plain().with("hospital_number", NUMBER);
        String record = saved(form("/record", form));
        assertThat(saved(form("/record", form))).isEqualTo(record);
        Answer other = form("/record", form.with("hospital_number", "99"));
        assertThat(other.status()).isEqualTo(422);
        assertThat(other.text()).contains("This form was saved before.");
        assertThat(seen(record)).isEqualTo(NUMBER);
    }

    private Typed puttingRight(String record) {
        Recorded recorded = encounters.read(UUID.fromString(record.substring("/records/".length())));
        Offered offered = new Offered(recorded.site(), sites.actor(), setups.all(recorded.site()), Map.of(), false);
        return FilledIn.of(recorded.encounter(), offered)
                .with("site_id", unit.code())
                .with("key", UUID.randomUUID().toString())
                .with("amends", recorded.id().toString())
                .with("seen", String.valueOf(recorded.version()))
                .with("over", String.valueOf(recorded.version()));
    }

    @Test
    void isAddedChangedAndTakenOutLaterWithoutBeingShownAndWithoutAVersion() {
        String record = saved(form("/record", plain()));
        String amend = record + "/amend";
        assertThat(page(amend).text()).doesNotContain("One is kept with this record.");

        assertThat(saved(form(amend, puttingRight(record).with("hospital_number", NUMBER))))
                .isEqualTo(record);
        assertThat(seen(record)).isEqualTo(NUMBER);
        assertThat(page(amend).text())
                .contains("One is kept with this record. It is not shown; type another to change it.")
                .doesNotContain("4711");
        saved(form(amend, puttingRight(record).with("hospital_number", "99")));
        assertThat(seen(record)).isEqualTo("99");
        Answer both =
                form(amend, puttingRight(record).with("hospital_number", "98").with("hospital_number_out", "yes"));
        assertThat(both.status()).isEqualTo(422);
        saved(form(amend, puttingRight(record).with("hospital_number_out", "yes")));
        assertThat(seen(record)).isEqualTo("none");
        assertThat(get("/api/v1" + record.replace("records", "encounters") + "/versions")
                        .json())
                .hasSize(1);
        assertThat(form(amend, puttingRight(record)).text()).contains("Nothing was changed: no answer differs");
    }

    @Test
    void isChangedTogetherWithAnAnswer() {
        String record = saved(form("/record", plain().with("hospital_number", NUMBER)));
        Typed form = puttingRight(record).with("weight", "7.5").with("reason_code", "mistyped");
        assertThat(form(record + "/amend", form.with("hospital_number", "99")).status())
                .isEqualTo(303);
        assertThat(seen(record)).isEqualTo("99");
        assertThat(get("/api/v1" + record.replace("records", "encounters"))
                        .json()
                        .path("version")
                        .asInt())
                .isEqualTo(2);
    }
}
