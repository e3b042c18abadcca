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
import java.util.UUID;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Half-filled records: kept while typed, gone on with by anyone of the unit, and by nobody else. */
class DraftWebTest extends ServedRegistry {
    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);
    private String key = "";

    @BeforeEach
    void ownUnit() {
        unit = unit();
        key = UUID.randomUUID().toString();
        Setups.of(unit.code())
                .forEach(
                        setup -> assertThat(post("/api/v1/device-setups", setup).status())
                                .isEqualTo(201));
    }

    private Answer form(String path, Stream<String> fields) {
        String body = fields.map(field -> {
                    int at = field.indexOf('=');
                    return field.substring(0, at) + "="
                            + URLEncoder.encode(field.substring(at + 1), StandardCharsets.UTF_8);
                })
                .collect(Collectors.joining("&"));
        return send(request(path)
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    private Answer keep(UUID writer, int revision, String... fields) {
        return form(
                "/record/draft",
                Stream.concat(
                        Stream.of("site_id=" + unit.code(), "key=" + key, "writer=" + writer, "revision=" + revision),
                        Stream.of(fields)));
    }

    private String home() {
        return send(request("/?site_id=" + unit.code())
                        .header("Accept", "text/html")
                        .GET())
                .text();
    }

    private Answer goOn() {
        return send(request("/record?site_id=" + unit.code() + "&draft=" + key)
                .header("Accept", "text/html")
                .GET());
    }

    @Test
    void keepsWhatIsTypedForWhoeverGoesOn() {
        Answer first = keep(UUID.randomUUID(), 0, "age=7", "age_unit=months", "weight=74");
        assertThat(first.status()).isEqualTo(200);
        assertThat(first.text()).isEqualTo("1");
        assertThat(home())
                .contains("One record is unfinished")
                .contains("Go on: 7 months, 74 kg.")
                .contains("Deleted on Tue 1 Dec if nobody goes on with it.");
        assertThat(goOn().text()).contains("value=\"74\"").contains("name=\"revision\" value=\"1\"");
    }

    @Test
    void isNoRecord() throws SQLException {
        keep(UUID.randomUUID(), 0, "age=7", "age_unit=months");
        assertThat(get("/api/v1/encounters/" + key).status()).isEqualTo(404);
        assertThat(Sql.rows(LOGINS.owner(), "select count(*) from encounter.version where site_id = " + unit.no()))
                .containsExactly("0");
        assertThat(Sql.rows(LOGINS.owner(), "select count(*) from audit.entry where site_id = " + unit.no()))
                .containsExactly("0");
    }

    @Test
    void cannotBeReadInTheDatabase() {
        keep(UUID.randomUUID(), 0, "reason=oxygenation", "note=marmalade");
        assertThat(OpenRegistry.rows(
                        LOGINS,
                        "select position('marmalade'::bytea in sealed), position('oxygenation'::bytea in sealed)"
                                + " from encounter.draft where draft_id = '" + key + "'"))
                .containsExactly("0,0");
    }

    @Test
    void isNotOverwrittenByAPageThatHasNotSeenIt() {
        UUID mine = UUID.randomUUID();
        UUID theirs = UUID.randomUUID();
        keep(mine, 0, "weight=7");
        assertThat(keep(mine, 0, "weight=7.4").text())
                .as("an answer that got lost")
                .isEqualTo("2");
        Answer unseen = keep(theirs, 1, "weight=9");
        assertThat(unseen.status()).isEqualTo(409);
        assertThat(unseen.json().path("detail").asString()).contains("Somebody went on with this draft");
        assertThat(keep(theirs, 2, "weight=8").text()).isEqualTo("3");
        assertThat(keep(mine, 2, "weight=7.5").status()).isEqualTo(409);
        assertThat(goOn().text()).contains("value=\"8\"");
    }

    @Test
    void endsWhenTheRecordIsSavedAndDoesNotComeBack() {
        UUID writer = UUID.randomUUID();
        keep(writer, 0, "weight=7.4");
        Answer saved = form(
                "/record",
                Stream.concat(
                        Stream.of("site_id=" + unit.code(), "key=" + key),
                        Fields.plain().fields().entrySet().stream()
                                .flatMap(field ->
                                        field.getValue().stream().map(value -> field.getKey() + "=" + value))));
        assertThat(saved.status()).isEqualTo(303);
        assertThat(home()).doesNotContain("unfinished");
        Answer late = keep(writer, 1, "weight=7.5");
        assertThat(late.status()).isEqualTo(409);
        assertThat(late.json().path("detail").asString()).isEqualTo("This record has been saved by now.");
        assertThat(home()).doesNotContain("unfinished");
        Answer gone = goOn();
        assertThat(gone.status()).as("the way back leads to the record").isEqualTo(303);
        assertThat(gone.header("Location")).isEqualTo(saved.header("Location"));
    }

    @Test
    void oneThatIsDamagedDoesNotCloseTheOthers() throws SQLException {
        keep(UUID.randomUUID(), 0, "weight=7.4");
        Sql.execute(
                LOGINS.owner(),
                "update encounter.draft set sealed = set_byte(sealed, 20, get_byte(sealed, 20) # 1) where draft_id = '"
                        + key + "'");
        assertThat(goOn().status()).isEqualTo(404);
        key = UUID.randomUUID().toString();
        keep(UUID.randomUUID(), 0, "weight=8");
        assertThat(home()).contains("2 records are unfinished", "This draft cannot be opened any more", "Go on: 8 kg.");
    }

    @Test
    void isKeptWithoutScriptToo() {
        Answer later = form("/record", Stream.of("site_id=" + unit.code(), "key=" + key, "weight=12,5", "later=yes"));
        assertThat(later.status()).isEqualTo(303);
        assertThat(later.header("Location")).endsWith("/?site_id=" + unit.code());
        assertThat(goOn().text()).contains("value=\"12,5\"");
    }

    @Test
    void isThrownAwayOnlyWhenAsked() {
        keep(UUID.randomUUID(), 0, "weight=7.4");
        Answer away = form("/drafts/" + key + "/discard", Stream.of("site_id=" + unit.code()));
        assertThat(away.status()).isEqualTo(303);
        assertThat(home()).doesNotContain("unfinished");
        assertThat(form("/drafts/" + key + "/discard", Stream.of("site_id=" + unit.code()))
                        .status())
                .isEqualTo(303);
    }

    @Test
    void expires() throws SQLException {
        keep(UUID.randomUUID(), 0, "weight=7.4");
        Sql.execute(
                LOGINS.owner(),
                "update encounter.draft set expires_at = '2026-11-24T11:59:59Z' where draft_id = '" + key + "'");
        assertThat(home()).doesNotContain("unfinished");
        assertThat(goOn().status()).isEqualTo(404);
        key = UUID.randomUUID().toString();
        keep(UUID.randomUUID(), 0, "weight=8");
        assertThat(Sql.rows(LOGINS.owner(), "select count(*) from encounter.draft where site_id = " + unit.no()))
                .as("the expired one is deleted")
                .containsExactly("1");
    }

    @Test
    void belongsToItsUnit() {
        keep(UUID.randomUUID(), 0, "weight=7.4");
        Site other = unit();
        assertThat(send(request("/record?site_id=" + other.code() + "&draft=" + key)
                                .header("Accept", "text/html")
                                .GET())
                        .status())
                .isEqualTo(404);
        assertThat(send(request("/?site_id=" + other.code())
                                .header("Accept", "text/html")
                                .GET())
                        .text())
                .doesNotContain("unfinished");
    }

    @Test
    void refusesWhatIsNoDraft() {
        for (List<String> bad : List.of(
                List.of("key=1", "writer=" + UUID.randomUUID()),
                List.of("key=" + key, "writer=me"),
                List.of("key=" + key))) {
            assertThat(form("/record/draft", Stream.concat(Stream.of("site_id=" + unit.code()), bad.stream()))
                            .status())
                    .as(bad.toString())
                    .isEqualTo(400);
        }
        assertThat(keep(UUID.randomUUID(), 0, "note=" + "x".repeat(70_000)).status())
                .isEqualTo(413);
    }
}
