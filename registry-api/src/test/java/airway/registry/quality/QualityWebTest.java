package airway.registry.quality;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.tuple;

import airway.registry.access.Site;
import airway.registry.cohort.Measure;
import airway.registry.dictionary.Condition;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Scheme;
import airway.registry.dictionary.Variable;
import airway.registry.encounter.Anchor;
import airway.registry.testing.OpenRegistry;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Setups;
import java.math.BigDecimal;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.time.YearMonth;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.springframework.beans.factory.annotation.Autowired;
import tools.jackson.databind.JsonNode;

class QualityWebTest extends ServedRegistry {
    private static final YearMonth MARCH = YearMonth.of(2026, 3);
    private static final YearMonth APRIL = YearMonth.of(2026, 4);

    @Autowired
    private Quality quality;

    private Site site = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);
    private String unit = "";

    @BeforeEach
    void ownUnit() {
        site = unit();
        unit = site.code();
        Setups.of(unit).forEach(setup -> post("/api/v1/device-setups", setup));
    }

    private String intubate(String start, String more, String course, String attempts) {
        Answer answer = recordConfirmed("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "%s"%s,
                 "courses": [{"course_approach": "oral"%s, "attempts": [%s]}]}""".formatted(unit, start, more, course, attempts));
        assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        return answer.json().path("encounter_id").asString();
    }

    private String intubate(String start, String more) {
        return intubate(start, more, "", "{\"attempt_success\": \"yes\"}");
    }

    private Answer page(String parameters) {
        return send(request("/quality?site_id=" + unit + parameters).header("Accept", "text/html"));
    }

    private Answer send(String path, Map<String, String> fields) {
        String form = fields.entrySet().stream()
                .map(field -> field.getKey() + "=" + URLEncoder.encode(field.getValue(), StandardCharsets.UTF_8))
                .collect(Collectors.joining("&"));
        return send(request(path)
                .header("Accept", "text/html")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString("site_id=" + unit + "&" + form)));
    }

    private Answer list(String from, String to, String list) {
        return send("/quality/log", Map.of("list_from", from, "list_to", to, "window", "2", "list", list));
    }

    private Answer count(String month, String counted, String confirmed) {
        return send("/quality/counts", Map.of("month", month, "counted", counted, "confirmed", confirmed));
    }

    private Overview look(YearMonth from, YearMonth to) {
        return quality.look(site, from, to);
    }

    @Test
    void countsWhatIsAnsweredAsANaiveReaderOfTheRecordsDoes() {
        List<String> march = List.of(
                intubate("2026-03-01T00:00:00Z", ""),
                intubate(
                        "2026-03-02T00:00:00Z",
                        ", \"age_days\": 400, \"unknown\": [\"weight_kg\"], \"adverse_event_any\": \"yes\"",
                        ", \"drugs\": [{\"drug_agent\": \"ketamine\", \"drug_dose\": 20}, {\"drug_agent\": \"rocuronium\"}]",
                        "{\"attempt_success\": \"no\", \"failure_reason\": [\"unk\"], \"device_setup_id\": \"metal-direct\","
                                + " \"tube_passes\": 0}, {\"attempt_success\": \"yes\", \"device_setup_id\": \"plastic-cable\","
                                + " \"tube_passes\": 2, \"tube_position\": \"unk\", \"kit_issue\": [\"fogging\"]}"));
        List<String> april = List.of(intubate(
                "2026-04-02T00:00:00Z",
                ", \"age_days\": 3, \"location\": \"theatre\", \"urgency\": \"unk\", \"patient\": {\"sex\": \"unk\"},"
                        + " \"adverse_event_any\": \"yes\", \"events\": [{\"event_type\": \"bradycardia\"}]",
                ", \"unknown\": [\"spo2_best_before\"]",
                "{\"attempt_success\": \"unk\", \"kit_issue\": [\"none\"], \"spo2_lowest\": 91}"));
        String gone = intubate("2026-04-03T00:00:00Z", "");
        post("/api/v1/encounters/" + gone + "/withdrawal", "{\"reason_code\": \"test_entry\"}");

        Overview seen = look(MARCH, APRIL);

        for (Layer layer : List.of(Layer.FIRST, Layer.DETAIL, Layer.OPTIONAL)) {
            assertThat(tally(march).get(layer))
                    .as("March, " + layer)
                    .isEqualTo(List.of(
                            seen.months().get(0).answered(layer),
                            seen.months().get(0).known(layer)));
            assertThat(tally(april).get(layer))
                    .as("April, " + layer)
                    .isEqualTo(List.of(
                            seen.months().get(1).answered(layer),
                            seen.months().get(1).known(layer)));
        }
        // And the open ones are those that the API lists as incomplete.
        long incomplete = march.stream()
                .mapToLong(id -> get("/api/v1/encounters/" + id)
                        .json()
                        .path("incomplete")
                        .size())
                .sum();
        Share first = seen.months().get(0).answered(Layer.FIRST);
        Share detail = seen.months().get(0).answered(Layer.DETAIL);
        assertThat(first.n() - first.x() + detail.n() - detail.x()).isEqualTo(incomplete);
    }

    /** Answered and known of each layer, read from the API's JSON by the conditions of the dictionary. */
    private Map<Layer, List<Share>> tally(List<String> ids) {
        Map<Layer, List<Share>> shares = new EnumMap<>(Layer.class);
        Map<String, JsonNode> setups = new LinkedHashMap<>();
        get("/api/v1/device-setups?site_id=" + unit)
                .json()
                .findParents("device_setup_id")
                .forEach(setup -> setups.put(setup.path("device_setup_id").asString(), setup));
        for (String id : ids) {
            JsonNode record = get("/api/v1/encounters/" + id).json();
            List<JsonNode> attempts = new ArrayList<>();
            record.path("courses").forEach(course -> course.path("attempts").forEach(attempts::add));
            JsonNode patient = record.path("patient");
            node(shares, Level.ENCOUNTER, attempts, record, patient);
            node(shares, Level.PATIENT, attempts, patient, record);
            for (JsonNode course : record.path("courses")) {
                node(shares, Level.COURSE, attempts, course, record);
                if (course.path("drugs").isEmpty()) {
                    add(shares, Layer.DETAIL, false, false);
                }
                course.path("drugs").forEach(drug -> node(shares, Level.DRUG, attempts, drug, record));
            }
            for (JsonNode attempt : attempts) {
                JsonNode setup = setups.get(attempt.path("device_setup_id").asString(""));
                node(shares, Level.ATTEMPT, attempts, attempt, setup == null ? record : setup, record);
            }
            record.path("events").forEach(event -> node(shares, Level.EVENT, attempts, event, record));
            if (record.path("adverse_event_any").asString("").equals("yes")
                    && record.path("events").isEmpty()) {
                add(shares, Layer.FIRST, false, false);
            }
        }
        return shares;
    }

    private static void node(
            Map<Layer, List<Share>> shares, Level level, List<JsonNode> attempts, JsonNode own, JsonNode... others) {
        List<JsonNode> sources = new ArrayList<>(List.of(own));
        sources.addAll(List.of(others));
        Condition.Answered answered = new Condition.Answered() {
            @Override
            public Optional<Object> answer(String variable) {
                return sources.stream()
                        .map(source -> source.path(variable))
                        .filter(value -> !value.isMissingNode() && !value.isNull())
                        .findFirst()
                        .map(QualityWebTest::value);
            }

            @Override
            public boolean anyMissing(String variable) {
                return attempts.stream().anyMatch(attempt -> !attempt.hasNonNull(variable));
            }
        };
        for (Variable variable : Dictionary.current().variables(level)) {
            boolean kept = variable.layer() != Layer.SYSTEM && !variable.name().equals("birth_date");
            if (kept && variable.when().test(answered) != Condition.Truth.FALSE) {
                JsonNode value = own.path(variable.name());
                boolean there = own.hasNonNull(variable.name());
                boolean unknown = own.path("unknown")
                        .valueStream()
                        .anyMatch(name -> name.asString().equals(variable.name()));
                boolean unk = there && List.of("\"unk\"", "[\"unk\"]").contains(value.toString());
                add(shares, variable.layer(), there || unknown, there && !unk);
            }
        }
    }

    private static Object value(JsonNode value) {
        if (value.isArray()) {
            return value.valueStream().map(JsonNode::asString).toList();
        }
        return value.isNumber() ? new BigDecimal(value.asString()) : value.asString();
    }

    private static void add(Map<Layer, List<Share>> shares, Layer layer, boolean answered, boolean known) {
        List<Share> before = shares.getOrDefault(layer, List.of(Share.NOTHING, Share.NOTHING));
        shares.put(
                layer,
                List.of(
                        before.get(0).plus(new Share(answered ? 1 : 0, 1)),
                        before.get(1).plus(new Share(known ? 1 : 0, 1))));
    }

    @Test
    void tellsHowSoonARecordWasMade() {
        // Records are made now, 24 November 2026 at 12:00.
        intubate("2026-11-24T10:00:00Z", "");
        intubate("2026-11-23T06:00:00Z", "");
        intubate("2026-11-16T11:00:00Z", "");
        intubate("2026-11-20T00:00:00Z", ", \"encounter_start_precision\": \"day\"");

        QualityQuery.Entered entered =
                look(YearMonth.of(2026, 11), YearMonth.of(2026, 11)).entered();

        assertThat(entered.records()).isEqualTo(4);
        assertThat(entered.day()).isEqualTo(new Share(1, 3));
        assertThat(entered.week()).isEqualTo(new Share(2, 3));
        assertThat(entered.onTheHour()).isEqualTo(new Share(3, 3));
        assertThat(page("&from=2026-11").text()).contains("within 24 hours 1 of 3; within 7 days 2 of 3");
        assertThat(page("&from=2026-10&to=2026-10").text()).contains("no value: no record of Oct 2026");
    }

    @Test
    void findsWhatContradictsWithTheFieldToMend() {
        String further = intubate(
                "2026-03-01T00:00:00Z", "", "", "{\"attempt_success\": \"yes\"}, {\"attempt_success\": \"no\"}");
        String unconfirmed = intubate(
                "2026-03-02T00:00:00Z",
                "",
                "",
                "{\"attempt_success\": \"yes\", \"tube_passes\": 1, \"confirmation\": [\"none\"]}");
        String oesophagus = intubate(
                "2026-03-03T00:00:00Z",
                ", \"adverse_event_any\": \"no\"",
                "",
                "{\"attempt_success\": \"no\", \"tube_passes\": 1, \"tube_position\": \"oesophagus\"}");
        intubate(
                "2026-03-04T00:00:00Z",
                ", \"adverse_event_any\": \"yes\", \"events\": [{\"event_type\": \"oesophageal_now\"}]",
                "",
                "{\"attempt_success\": \"no\", \"tube_passes\": 1, \"tube_position\": \"oesophagus\"}");
        String low = intubate(
                "2026-03-05T00:00:00Z",
                ", \"adverse_event_any\": \"no\"",
                "",
                "{\"attempt_success\": \"no\", \"spo2_lowest\": 39}");
        String view = intubate(
                "2026-03-06T00:00:00Z",
                "",
                "",
                "{\"attempt_success\": \"no\", \"device_setup_id\": \"metal-handle\", \"view_direct\": \"1\", \"view_screen\": \"3a\"}");
        intubate(
                "2026-03-07T00:00:00Z",
                "",
                "",
                "{\"attempt_success\": \"no\", \"device_setup_id\": \"metal-handle\", \"view_direct\": \"2b\", \"view_screen\": \"3a\"}");
        // Four years: with a cuff 4.5 mm is usual, so 3 mm lies on the limit and 2.5 mm beyond it.
        String small = intubate(
                "2026-03-08T00:00:00Z",
                ", \"age_days\": 1461",
                "",
                "{\"attempt_success\": \"no\", \"tube_passes\": 1, \"tube_cuff\": \"cuffed\", \"tube_size_mm\": 2.5}");
        intubate(
                "2026-03-09T00:00:00Z",
                ", \"age_days\": 1461",
                "",
                "{\"attempt_success\": \"no\", \"tube_passes\": 1, \"tube_cuff\": \"cuffed\", \"tube_size_mm\": 3}");

        Overview seen = look(MARCH, MARCH);

        assertThat(seen.contradictions().items())
                .extracting(item -> item.id() + " " + item.field())
                .containsExactly(
                        small + " a1",
                        view + " a1",
                        low + " event",
                        oesophagus + " event",
                        unconfirmed + " a1.co2",
                        further + " a1.end");
        assertThat(seen.contradictions().total()).isEqualTo(6);
        assertThat(seen.months().get(0).contradictions()).isEqualTo(6);
        assertThat(page("&from=2026-03&to=2026-03").text())
                .contains(
                        "Contradictory: 6",
                        "href=\"/records/" + low + "/amend#event\"",
                        "href=\"/records/" + further + "\"",
                        "Attempt 1: a tube was in place and confirmed");
    }

    @Test
    void findsUnlikelyValuesConfirmedOrNot() {
        String heavy = intubate(
                "2026-03-01T00:00:00Z",
                ", \"weight_kg\": 200, \"confirmed\": [\"/weight_kg\", \"/courses/0/attempts/1/spo2_lowest\"]",
                "",
                "{\"attempt_success\": \"no\"}, {\"attempt_success\": \"yes\", \"spo2_lowest\": 20}");
        intubate("2026-03-02T00:00:00Z", ", \"weight_kg\": 180");

        Overview seen = look(MARCH, MARCH);

        assertThat(seen.unlikely().items())
                .extracting(Item::words, Item::field)
                .containsExactlyInAnyOrder(
                        tuple("Weight: 200, usual is 0.5 to 180. Unlikely, confirmed.", "weight"),
                        tuple(
                                "Attempt 2: Lowest saturation: 20, usual is at least 30. Unlikely, confirmed.",
                                "a2.lowest"));
        assertThat(seen.unlikely().items())
                .allMatch(item -> item.id().toString().equals(heavy));
    }

    /** A value outside the usual is unlikely; any other answer that was confirmed was asked about, and is told apart. */
    @Test
    void tellsOtherConfirmedAnswersApartFromUnlikelyOnes() {
        String id = intubate(
                "2026-03-01T00:00:00Z",
                ", \"weight_kg\": 200",
                "",
                "{\"attempt_success\": \"no\", \"tube_passes\": 1},"
                        + " {\"attempt_success\": \"yes\", \"tube_passes\": 1, \"confirmation\": [\"none\"]}");

        Overview seen = look(MARCH, MARCH);

        assertThat(seen.unlikely().items())
                .extracting(Item::words)
                .containsExactly("Weight: 200, usual is 0.5 to 180. Unlikely, confirmed.");
        assertThat(seen.confirmed().items())
                .extracting(item -> item.id() + " " + item.field())
                .containsExactly(id + " a2.co2");
        assertThat(seen.confirmed().items().get(0).words())
                .startsWith("Attempt 2: ")
                .endsWith(": asked about and confirmed.");
        assertThat(send(request("/records?site_id=" + unit).header("Accept", "text/html"))
                        .text())
                .contains("1 unlikely value, confirmed", "1 answer asked about and confirmed");
    }

    @Test
    void suspectsPairsAndSaysWhy() {
        String same = ", \"age_days\": 30, \"weight_kg\": 4.1";
        String first = intubate("2026-03-01T10:00:00Z", same);
        String soon = intubate("2026-03-01T10:12:00Z", ", \"age_days\": 30");
        String later = intubate("2026-03-01T20:30:00Z", same);
        intubate("2026-03-01T10:05:00Z", ", \"age_days\": 31, \"weight_kg\": 4.1");
        intubate(
                "2026-03-01T10:06:00Z",
                ", \"age_days\": 30, \"weight_kg\": 4.3, \"encounter_start_precision\": \"day\"");
        intubate("2026-03-02T10:00:00Z", same);

        Found pairs = look(MARCH, MARCH).duplicates();

        assertThat(pairs.items())
                .extracting(item -> item.id() + " " + item.others() + " " + item.words())
                .containsExactly(
                        later + " " + List.of(soon, first) + " 3 records, each with one beside it that is like it.");
        assertThat(pairs.total()).isEqualTo(1);
        assertThat(look(MARCH, MARCH).months().get(0).duplicates())
                .as("records like an earlier one")
                .isEqualTo(2);
        assertThat(page("&from=2026-03&to=2026-03").text())
                .contains("href=\"/records/" + first + "\"", "Other record 2 beside");

        String pair = intubate("2026-04-01T10:00:00Z", same);
        String beside = intubate("2026-04-01T20:30:00Z", same);
        assertThat(look(APRIL, APRIL).duplicates().items())
                .extracting(item -> item.id() + " " + item.others() + " " + item.words())
                .containsExactly(beside + " " + List.of(pair)
                        + " 10 h 30 min apart, same age, same weight, same kind of encounter.");
    }

    @Test
    void countsWhatTheMeasuresLeaveOut() {
        intubate("2026-03-01T00:00:00Z", "");
        intubate("2026-03-02T00:00:00Z", "", "", "{\"attempt_success\": \"unk\"}");
        intubate("2026-03-03T00:00:00Z", "", "", "");

        Overview march = look(MARCH, MARCH);
        assertThat(march.leftOut(Measure.FPS)).isEqualTo(new QualityQuery.LeftOut(1, new Share(1, 2)));
        assertThat(march.leftOut(Measure.FPS_STRICT)).isEqualTo(new QualityQuery.LeftOut(1, new Share(2, 2)));
        assertThat(march.leftOut(Measure.AE_ANY)).isEqualTo(new QualityQuery.LeftOut(0, new Share(3, 3)));
        assertThat(page("&from=2026-03&to=2026-03").text())
                .contains("Severe adverse event (" + Scheme.DEFAULT.words() + ")");
        for (Measure measure : Measure.proportions()) {
            QualityQuery.LeftOut left = march.leftOut(measure);
            long records = left.outside() + left.unknown().x();
            assertThat(send(request("/records?site_id=" + unit + "&from=2026-03&to=2026-03&left_out=" + measure.id())
                                    .header("Accept", "text/html"))
                            .text())
                    .as("the records behind the figure of " + measure.id())
                    .contains(
                            records == 0
                                    ? "0 intubations"
                                    : records == 1 ? "1 intubation in" : records + " intubations");
        }
        String list = "/records?site_id=" + unit + "&from=2026-03&to=2026-03&left_out=fps";
        assertThat(page("&from=2026-03&to=2026-03").text())
                .contains("href=\"" + list.replace("&", "&amp;") + "\"", " questions open.", "Which questions");
        assertThat(send(request(list).header("Accept", "text/html")).status()).isEqualTo(200);
    }

    @Test
    void listsQuestionsThatComeBackEmptyOnlyWhenTheyWereAskedOften() {
        for (int i = 10; i < 29; i++) {
            intubate("2026-03-" + i + "T00:00:00Z", ", \"location\": \"picu\"");
        }
        assertThat(look(MARCH, MARCH).toDrop()).isEmpty();
        intubate("2026-03-30T00:00:00Z", "");

        List<Question> empty = look(MARCH, MARCH).toDrop();

        assertThat(empty)
                .extracting(Question::variable)
                .contains("urgency", "head_position")
                .doesNotContain("location", "encounter_start_precision", "operator_is_recorder");
        assertThat(empty).allSatisfy(question -> assertThat(question.missing()).isEqualTo(new Share(20, 20)));
        assertThat(page("&from=2026-03&to=2026-03").text())
                .as("five lines of a group, and the others folded")
                .contains("15 more of: Missing");
    }

    @Test
    void comparesAListAndKeepsOnlyItsCounts() {
        intubate("2026-03-01T10:00:00Z", "");
        intubate("2026-03-05T10:00:00Z", "");
        String list = "date and time\n2026-03-01 11:59\n2026-03-05\n2026-03-06 13:00\n2026-03-20;08:15\n";

        Answer compared = list("2026-03", "2026-04", list);

        assertThat(compared.status()).as(compared.text()).isEqualTo(200);
        assertThat(compared.text())
                .contains("2 of 4", "Row 4: 6 Mar 2026, 13:00", "Row 5: 20 Mar 2026, 08:15")
                .doesNotContain("2026-03-20");
        Overview seen = look(MARCH, YearMonth.of(2026, 5));
        assertThat(seen.captured()).isEqualTo(new Share(2, 4));
        assertThat(seen.months().get(1).capture()).extracting(Capture::words).isEqualTo("no value");
        assertThat(seen.withoutCount()).isEqualTo(1);
        String again = page("&from=2026-03&to=2026-05").text();
        assertThat(again)
                .contains("By list: 2 of 4.", "No value for 1 month without an independent count.")
                .doesNotContain("20 Mar 2026");
    }

    @Test
    void setsACountBesideTheRecordsAndLetsANewerOneTakeItsPlace() {
        for (int i = 10; i < 27; i++) {
            intubate("2026-03-" + i + "T00:00:00Z", "");
        }
        assertThat(count("2026-03", "40", "").status()).isEqualTo(303);
        assertThat(count("2026-03", "20", "").status()).isEqualTo(303);

        // No interval: a binomial one supposes that the records are among those counted, which nobody has looked at.
        assertThat(page("&from=2026-03&to=2026-03").text())
                .contains(
                        "By count, not matched: 17 records for 20 counted, a ratio of 0.85. The records need not be among",
                        "17 records for 20 counted, a ratio of 0.85, not matched")
                .doesNotContain("95% interval");
        assertThat(OpenRegistry.rows(
                        LOGINS,
                        "select counted from quality.independent_count join access.site using (site_id) where code = '"
                                + unit + "' order by count_no"))
                .as("the older one stays")
                .containsExactly("40", "20");

        count("2026-03", "12", "");
        assertThat(page("&from=2026-03&to=2026-03").text())
                .contains(
                        "17 records for 12 counted, a ratio of 1.42: look at both",
                        "Months with more records than were counted elsewhere")
                .doesNotContain("142%");
    }

    @Test
    void asksOnceAboutAnUnlikelyCount() {
        Answer asked = count("2026-03", "151", "");

        assertThat(asked.status()).isEqualTo(422);
        assertThat(asked.text())
                .contains("Usual is at most 150", "name=\"confirmed\"", "value=\"151\"", "value=\"2026-03\"");
        assertThat(count("2026-03", "151", "yes").status()).isEqualTo(303);
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "2026-3|12|Type a month as 2026-03.",
                "2027-01|12|That month lies ahead.",
                "2026-03|twelve|Type a whole number, 0 to 1000.",
                "2026-03|1001|Type a whole number, 0 to 1000."
            })
    void turnsAwayABadCount(String month, String counted, String mend) {
        Answer refused = count(month, counted, "");

        assertThat(refused.status()).isEqualTo(422);
        assertThat(refused.text())
                .contains("<title>Error: ", mend, "value=\"" + counted + "\"", "value=\"" + month + "\"");
        assertThat(look(MARCH, MARCH).withoutCount()).isEqualTo(1);
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "14.03.2026 12:00|Row 1: write the date as 2026-03-14",
                "2026-02-30|Row 1: write the date as 2026-03-14",
                "2026-03-14 24:10|Row 1: write the date as 2026-03-14",
                "2026-03-14 14:20 A name|leave other columns out",
                "2026-04-01|Row 1: the date lies outside the months named above",
                "''|Paste the list, or choose a file"
            })
    void turnsAwayABadListWithTheRowAndKeepsIt(String list, String mend) {
        Answer refused = list("2026-03", "2026-03", list);

        assertThat(refused.status()).isEqualTo(422);
        assertThat(refused.text()).contains("<title>Error: ", mend, list + "</textarea>");
        assertThat(look(MARCH, MARCH).withoutCount()).isEqualTo(1);
    }

    @Test
    void namesARowThatComesTwiceAndReadsAFile() {
        assertThat(list("2026-03", "2026-03", "2026-03-14 14:20\n2026-03-14 14:20")
                        .text())
                .contains("Row 2: the same day and time as row 1");
        String boundary = "edge";
        String form = List.of(
                        Map.entry("_csrf", session().secret()),
                        Map.entry("site_id", unit),
                        Map.entry("list_from", "2026-03"),
                        Map.entry("list_to", "2026-03"),
                        Map.entry("window", "2"))
                .stream()
                .map(field -> "--" + boundary + "\r\nContent-Disposition: form-data; name=\"" + field.getKey()
                        + "\"\r\n\r\n" + field.getValue() + "\r\n")
                .collect(Collectors.joining());
        String file = "--" + boundary + "\r\nContent-Disposition: form-data; name=\"file\"; filename=\"log.csv\"\r\n"
                + "Content-Type: text/csv\r\n\r\n\"2026-03-14\",\"14:20\"\r\n\r\n--" + boundary + "--\r\n";
        Answer read = send(request("/quality/log")
                .header("Accept", "text/html")
                .header("Content-Type", "multipart/form-data; boundary=" + boundary)
                .POST(HttpRequest.BodyPublishers.ofString(form + file)));

        assertThat(read.status()).as(read.text()).isEqualTo(200);
        assertThat(read.text()).contains("0 of 1", "Row 1: 14 Mar 2026, 14:20");
    }

    @ParameterizedTest
    @CsvSource({"location=picu", "sort=name", "from=May", "from=2026-05&to=2026-01", "from=1950&to=2026", "from=2027-06"
    })
    void turnsAwayWhatItCannotShow(String parameters) {
        Answer refused = page("&" + parameters);

        assertThat(refused.status()).isEqualTo(400);
        assertThat(refused.text()).contains("This cannot be shown as asked");
    }

    @Test
    void saysSoWhenNothingIsOpenAndWhenThereIsNothing() {
        assertThat(page("&from=2026-03&to=2026-03").text())
                .contains("No intubations are recorded for Mar 2026.", "no value")
                .doesNotContain("0 of 0", "No open questions", "NaN");
    }

    @Test
    void leadsToFieldsThatTheRecordPageHas() {
        String record = send(request("/record?site_id=" + unit).header("Accept", "text/html"))
                .text();
        for (Level level : Level.values()) {
            for (Variable variable : Dictionary.current().variables(level)) {
                String field = Anchor.of(variable.name(), level == Level.ATTEMPT ? 1 : null);
                assertThat(field.isEmpty() || record.contains("id=\"" + field + "\""))
                        .as(variable.name() + " at #" + field)
                        .isTrue();
            }
        }
    }
}
