package airway.registry.identity;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.database.ActorTransactions;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import airway.sql.Sql;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Duration;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.Arrays;
import java.util.List;
import java.util.UUID;
import java.util.stream.Collectors;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.springframework.beans.factory.annotation.Autowired;

/** The hospital number: kept apart, looked at for a reason, found in its unit alone, erased while the record stays. */
class HospitalNumberWebTest extends ServedRegistry {
    private static final String REASON = "{\"reason_code\": \"case_review\"}";

    @Autowired
    private ActorTransactions transactions;

    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    @BeforeEach
    void ownUnit() {
        unit = unit();
    }

    private String aRecord(Site of) {
        return record("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-11-23T09:20:00Z",
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}]}""".formatted(of.code())).json().path("encounter_id").asString();
    }

    private String aRecordOf(Site of, String number) {
        String id = aRecord(of);
        assertThat(put(id, "{\"hospital_number\": \"" + number + "\"}").status())
                .isEqualTo(200);
        return id;
    }

    private Answer put(String id, String body) {
        return send(request(address(id))
                .header("Content-Type", "application/json")
                .PUT(HttpRequest.BodyPublishers.ofString(body)));
    }

    private Answer look(String id) {
        return look(id, REASON);
    }

    private Answer look(String id, String body) {
        return post(address(id) + "/look", body);
    }

    private static String address(String id) {
        return "/api/v1/encounters/" + id + "/hospital-number";
    }

    /** A form without script, as "name=value". */
    private Answer form(String path, String... fields) {
        String body = Arrays.stream(fields)
                .map(field -> field.substring(0, field.indexOf('=') + 1)
                        + URLEncoder.encode(field.substring(field.indexOf('=') + 1), StandardCharsets.UTF_8))
                .collect(Collectors.joining("&"));
        return send(request(path)
                .header("Content-Type", "application/x-www-form-urlencoded")
                .header("Accept", "text/html")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    private Answer find(Site of, String number) {
        return form("/child", "site_id=" + of.code(), "hospital_number=" + number);
    }

    private List<String> audit() throws SQLException {
        return Sql.rows(
                LOGINS.owner(),
                "select action || ' ' || coalesce(object_id::text, '-') || ' ' || coalesce(reason, '-') || ' '"
                        + " || coalesce(detail::text, '-') from audit.entry where object = 'identity' and site_id = "
                        + unit.no() + " order by entry_id");
    }

    @Test
    void isKeptAndLookedAtForAReasonAndNeverAnsweredByGet() throws SQLException {
        String id = aRecord(unit);
        Answer kept = put(id, "{\"hospital_number\": \"A 0012345\"}");
        assertThat(kept.json().path("hospital_number").asString()).isEqualTo("kept");
        assertThat(get(address(id)).status()).isEqualTo(405);
        assertThat(get("/api/v1/encounters/" + id).text()).doesNotContain("0012345");
        assertThat(get("/records/" + id).text())
                .contains("Show the hospital number")
                .doesNotContain("0012345");

        Answer seen = look(id);

        assertThat(seen.json().path("hospital_number").asString()).isEqualTo("A 0012345");
        assertThat(seen.header("Cache-Control")).contains("no-store");
        assertThat(audit()).containsExactly("kept " + id + " - -", "seen " + id + " case_review -");
        assertThat(Sql.rows(LOGINS.owner(), "select count(*) from encounter.version where encounter_id = '" + id + "'"))
                .as("it makes no version")
                .containsExactly("1");
    }

    @Test
    void isShownOnThePageOnceAndForAReasonOnly() throws SQLException {
        String id = aRecordOf(unit, "A 0012345");
        Answer unasked = form("/records/" + id + "/hospital-number", "site_id=" + unit.code());
        assertThat(unasked.status()).isEqualTo(422);
        assertThat(unasked.text()).contains("Choose why.").doesNotContain("0012345");
        Answer other = form("/records/" + id + "/hospital-number", "site_id=" + unit.code(), "reason_code=other");
        assertThat(other.text()).contains("Write in a few words").doesNotContain("0012345");

        Answer seen = form(
                "/records/" + id + "/hospital-number",
                "site_id=" + unit.code(),
                "reason_code=other",
                "reason_text=Asked by the coroner");

        assertThat(seen.status()).isEqualTo(200);
        assertThat(seen.text()).contains("A 0012345");
        assertThat(seen.header("Cache-Control")).contains("no-store");
        assertThat(audit()).last().isEqualTo("seen " + id + " other: Asked by the coroner -");
    }

    @Test
    void doesNotGetIntoTheReasonForLooking() throws SQLException {
        String id = aRecordOf(unit, "A0012345");
        Answer answer = look(id, "{\"reason_code\": \"other\", \"reason_text\": \"is it a00 12345?\"}");
        assertThat(faults(isProblem(answer, 422, "invalid"))).containsExactly("/reason_text number");
        assertThat(answer.text()).doesNotContain("12345");
        assertThat(audit()).hasSize(1);
    }

    @Test
    void isChangedInPlaceAndTakenOut() throws SQLException {
        String id = aRecordOf(unit, "111111");
        put(id, "{\"hospital_number\": \"222222\"}");
        assertThat(look(id).json().path("hospital_number").asString()).isEqualTo("222222");
        assertThat(find(unit, "111111").text()).contains("No record has this number");
        assertThat(put(id, "{\"hospital_number\": null}")
                        .json()
                        .path("hospital_number")
                        .asString())
                .isEqualTo("none");
        isProblem(look(id), 404, "missing");
        assertThat(get("/records/" + id).text()).contains("None is kept with this record.");
        assertThat(audit()).last().isEqualTo("erased " + id + " taken_out -");
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "{}|422|/hospital_number required",
                "{\"hospital_number\": \"\"}|422|/hospital_number text",
                "{\"hospital_number\": \"  \"}|422|/hospital_number text",
                "{\"hospital_number\": \"1234567890123456789012345678901\"}|422|/hospital_number text",
                "{\"hospital_number\": \"QX77\\u001d88\"}|422|/hospital_number text",
                "{\"hospital_number\": 7788}|422|/hospital_number text",
                "{\"hospital_number\": \"QX7788\", \"name\": \"x\"}|400|/name field.unknown"
            })
    void isRefusedWithTheFieldAndTheMendAndNeverRepeated(String body, int status, String fault) {
        Answer answer = put(aRecord(unit), body);
        assertThat(answer.status()).isEqualTo(status);
        assertThat(faults(answer.json())).containsExactly(fault);
        assertThat(answer.text()).doesNotContain("QX", "1234567890");
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "{}",
                "{\"reason_code\": \"curiosity\"}",
                "{\"reason_code\": \"wrong_number\"}",
                "{\"reason_code\": \"other\"}",
                "{\"reason_code\": \"other\", \"reason_text\": \"  \"}"
            })
    void isNotShownWithoutAReasonThatFits(String body) throws SQLException {
        String id = aRecordOf(unit, "A0012345");
        Answer answer = look(id, body);
        isProblem(answer, 422, "invalid");
        assertThat(answer.text()).doesNotContain("12345");
        assertThat(audit()).hasSize(1);
    }

    @Test
    void findsTheRecordsOfOneChildHoweverTheNumberIsWritten() throws SQLException {
        String one = aRecordOf(unit, "A 0012345");
        String two = aRecordOf(unit, "a0012345");
        String other = aRecordOf(unit, "A0012346");

        Answer found = find(unit, " a00 12345 ");

        assertThat(found.status()).isEqualTo(200);
        assertThat(found.text())
                .contains("2 records have this number", one, two, "23 Nov 2026, 09:20")
                .doesNotContain(other, "12345");
        assertThat(find(unit, "nobody").text()).contains("No record has this number");
        assertThat(find(unit, "").status()).isEqualTo(422);
        assertThat(audit().subList(3, 5)).containsExactly("found - - {\"records\": 2}", "found - - {\"records\": 0}");
    }

    @Test
    void isFoundAndErasedInItsUnitAlone() throws SQLException {
        Site other = unit();
        String mine = aRecordOf(unit, "A0012345");
        String theirs = aRecordOf(other, "A0012345");

        assertThat(find(unit, "A0012345").text()).contains(mine).doesNotContain(theirs);
        assertThat(Sql.rows(
                        LOGINS.owner(),
                        "select count(distinct lookup) from identity.hospital_number where site_id in (" + unit.no()
                                + ", " + other.no() + ")"))
                .as("the hashes do not join the units")
                .containsExactly("2");
        erase(unit, "A0012345");
        assertThat(look(mine).status()).isEqualTo(404);
        assertThat(look(theirs).status()).isEqualTo(200);
    }

    @Test
    void isNotToBeHadByATransactionOfAnotherUnit() throws SQLException {
        String mine = aRecordOf(unit, "A0012345");
        Site other = unit();
        try (var connection = Sql.connect(LOGINS.app())) {
            connection.setAutoCommit(false);
            Sql.execute(
                    connection,
                    "select set_config('airway.actor', '1', true), set_config('airway.sites', '" + other.no()
                            + "', true)");
            assertThat(Sql.rows(
                            connection,
                            "select encounter_id from identity.hospital_number where encounter_id = '" + mine + "'"))
                    .isEmpty();
            assertThat(Sql.rows(
                            connection, "select encounter_id from identity.record where encounter_id = '" + mine + "'"))
                    .isEmpty();
        }
    }

    private String erase(Site of, String number) {
        Answer asked = form("/child/erase", "site_id=" + of.code(), "hospital_number=" + number, "reason_code=family");
        assertThat(asked.status()).isEqualTo(200);
        String covered = asked.text().replaceAll("(?s).*name=\"covered\" value=\"([^\"]+)\".*", "$1");
        Answer erased =
                form("/child/erase", "site_id=" + of.code(), "covered=" + covered, "reason_code=family", "sure=yes");
        assertThat(erased.status()).isEqualTo(200);
        return asked.text() + erased.text();
    }

    @Test
    void isErasedOnRequestAfterAskingOnceMoreAndTheRecordsStay() throws SQLException {
        String one = aRecordOf(unit, "A0012345");
        String two = aRecordOf(unit, "A0012345");
        String other = aRecordOf(unit, "B777777");
        Answer unsure = form(
                "/child/erase",
                "site_id=" + unit.code(),
                "hospital_number=A0012345",
                "reason_code=other",
                "reason_text=a00 12345");
        assertThat(unsure.text()).contains("Leave the hospital number out of the reason.");
        assertThat(look(one).status()).as("nothing was erased yet").isEqualTo(200);

        String pages = erase(unit, "a 0012345");

        assertThat(pages)
                .contains("Erase it from 2 records?", "Erased from 2 records.")
                .doesNotContain("0012345");
        assertThat(look(one).status()).isEqualTo(404);
        assertThat(look(two).status()).isEqualTo(404);
        assertThat(look(other).status()).isEqualTo(200);
        assertThat(get("/api/v1/encounters/" + one).status()).isEqualTo(200);
        assertThat(find(unit, "A0012345").text()).contains("No record has this number");
        assertThat(audit()).contains("erased " + one + " family -", "erased " + two + " family -");
        assertThat(Sql.rows(LOGINS.owner(), "select finding from audit.findings() where site = '" + unit.code() + "'"))
                .isEmpty();
    }

    @Test
    void isErasedWhenItsTimeIsOver() throws SQLException {
        String id = aRecordOf(unit, "A0012345");
        Clock dayBefore = Clock.fixed(NOW.plus(Duration.ofDays(364)), ZoneOffset.UTC);
        new Retention(transactions, new KeepFor("P1Y", dayBefore)).erase();
        assertThat(look(id).status()).isEqualTo(200);
        Clock dayAfter = Clock.fixed(NOW.plus(Duration.ofDays(366)), ZoneOffset.UTC);

        assertThat(new Retention(transactions, new KeepFor("P1Y", dayAfter)).erase())
                .isPositive();

        assertThat(look(id).status()).isEqualTo(404);
        assertThat(Sql.rows(
                        LOGINS.owner(), "select count(*) from identity.hospital_number where site_id = " + unit.no()))
                .containsExactly("0");
        assertThat(audit()).last().isEqualTo("erased " + id + " retention -");
        assertThat(get("/api/v1/encounters/" + id).status()).isEqualTo(200);
        assertThat(Sql.rows(LOGINS.owner(), "select finding from audit.findings() where site = '" + unit.code() + "'"))
                .isEmpty();
    }

    @Test
    void isNotTakenForARecordOlderThanNumbersAreKept() throws SQLException {
        String id = aRecord(unit);
        Sql.execute(
                LOGINS.owner(),
                "update encounter.version set recorded_at = '2025-11-23T00:00:00Z' where encounter_id = '" + id + "'");
        Answer answer = put(id, "{\"hospital_number\": \"A0012345\"}");
        assertThat(faults(isProblem(answer, 422, "invalid"))).containsExactly("/hospital_number number.late");
        assertThat(answer.text()).contains("kept for 1 year after a record was made");
    }

    /** A sealed value that was changed, moved, or says another key does not open, and nothing is shown. */
    @ParameterizedTest
    @ValueSource(
            strings = {
                "update identity.hospital_number set sealed = set_byte(sealed, 20, get_byte(sealed, 20) # 1)"
                        + " where encounter_id = '%1$s'",
                "update identity.hospital_number h set sealed = o.sealed from identity.hospital_number o"
                        + " where h.encounter_id in ('%1$s', '%2$s') and o.encounter_id in ('%1$s', '%2$s')"
                        + " and o.encounter_id <> h.encounter_id",
                "update identity.hospital_number set sealed = set_byte(sealed, 0, 99) where encounter_id = '%1$s'"
            })
    void failsClosedWhenItWasTamperedWith(String change) throws SQLException {
        String one = aRecordOf(unit, "A0012345");
        String two = aRecordOf(unit, "B7777777");
        Sql.execute(LOGINS.owner(), change.formatted(one, two));

        Answer answer = look(one);

        isProblem(answer, 500, "internal-server-error");
        assertThat(answer.text()).doesNotContain("12345", "7777", "sealed");
        assertThat(audit()).as("nothing was seen").hasSize(2);
    }

    /** As the record itself: its recorder can put it right, and an improvement lead of the unit. */
    @Test
    void isSetByWhoMadeTheRecordOrALeadAndByNobodyElse() {
        String id = aRecord(unit);
        Tester colleague = Tester.fresh(LOGINS).with(unit.no(), Role.RECORDER);
        Tester lead = Tester.fresh(LOGINS).with(unit.no(), Role.IMPROVEMENT_LEAD);
        isProblem(putBy(colleague, id, "{\"hospital_number\": \"NUM 77\"}"), 403, "not-allowed");
        assertThat(putBy(lead, id, "{\"hospital_number\": \"NUM 77\"}").status())
                .isEqualTo(200);
        isProblem(putBy(colleague, id, "{\"hospital_number\": null}"), 403, "not-allowed");
        assertThat(look(id).json().path("hospital_number").asString()).isEqualTo("NUM 77");
    }

    private Answer putBy(Tester who, String id, String body) {
        return send(request(address(id), who)
                .header("Content-Type", "application/json")
                .PUT(HttpRequest.BodyPublishers.ofString(body)));
    }

    @Test
    void belongsToARecordThatIsThere() {
        isProblem(put(UUID.randomUUID().toString(), "{\"hospital_number\": \"A0012345\"}"), 404, "missing");
        isProblem(put("x", "{\"hospital_number\": \"A0012345\"}"), 404, "missing");
        isProblem(look(UUID.randomUUID().toString()), 404, "missing");
        isProblem(look(aRecord(unit)), 404, "missing");
    }
}
