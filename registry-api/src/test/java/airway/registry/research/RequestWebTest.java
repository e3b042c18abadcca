package airway.registry.research;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.OpenRegistry;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.NamedCsvRecord;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.UUID;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipInputStream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;

/** Research data from the question to the package: who may do what, what is refused, and that what was approved is what is made. */
class RequestWebTest extends ServedRegistry {
    private static final Path PACKAGES = Path.of("target/test-data/packages");

    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);
    private Tester researcher = Tester.fresh(LOGINS);
    private Tester guardian = Tester.fresh(LOGINS);

    @BeforeEach
    void ownUnitAndPeople() {
        unit = unit();
        researcher = Tester.fresh(LOGINS).with(unit.no(), Role.RESEARCHER);
        guardian = Tester.fresh(LOGINS).with(unit.no(), Role.DATA_GUARDIAN);
    }

    /** A child of an age: every second has a severe event, every third no first pass. */
    private String intubate(int number, int days, String optOut, String more) {
        Answer answer = recordConfirmed("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2025-03-0%dT10:00:00Z",
                 "age_days": %d, "age_precision": "days", "patient": {"research_opt_out": "%s"}, "adverse_event_any": "%s",
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "%s", "spo2_lowest": %d}%s]}]%s%s}""".formatted(
                        unit.code(),
                        1 + number % 9,
                        days,
                        optOut,
                        number % 2 == 0 ? "yes" : "no",
                        number % 3 == 0 ? "no" : "yes",
                        55 + number % 45,
                        number % 3 == 0 ? ", {\"attempt_success\": \"yes\"}" : "",
                        number % 2 == 0
                                ? ", \"events\": [{\"event_type\": \"oesophageal_late\", \"event_attempt_no\": 1}]"
                                : "",
                        more));
        assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        return answer.json().path("encounter_id").asString();
    }

    private String children(int number, int days) {
        String last = "";
        for (int i = 0; i < number; i++) {
            last = intubate(i, days, "no", "");
        }
        return last;
    }

    private String body(String change) {
        Map<String, String> fields = new LinkedHashMap<>();
        fields.put("site_id", "\"" + unit.code() + "\"");
        fields.put("variables", "[\"age_days\", \"encounter_start\", \"fps\", \"spo2_lowest\", \"tracheal_attempts\"]");
        fields.put("purpose", "\"First passes by age\"");
        fields.put("recipient", "\"Project on first passes\"");
        fields.put("approval_reference", "\"EC 26-114\"");
        fields.put("approval_expires", "\"2027-12-31\"");
        for (String one : change.isEmpty() ? new String[0] : change.split(";", -1)) {
            String[] parts = one.split("=", 2);
            if (parts[1].isEmpty()) {
                fields.remove(parts[0]);
            } else {
                fields.put(parts[0], parts[1]);
            }
        }
        List<String> all = new ArrayList<>();
        fields.forEach((name, value) -> all.add("\"" + name + "\": " + value));
        return "{" + String.join(", ", all) + "}";
    }

    private Answer ask(String change) {
        return send(request("/api/v1/research/requests", researcher)
                .header("Content-Type", "application/json")
                .POST(HttpRequest.BodyPublishers.ofString(body(change))));
    }

    private String asked(String change) {
        Answer answer = ask(change);
        assertThat(answer.status()).as(answer.text()).isEqualTo(201);
        assertThat(answer.header("ETag")).isEqualTo("\"v1\"");
        return answer.json().path("request_id").asString();
    }

    private JsonNode read(String id, Tester who) {
        Answer answer = send(request("/api/v1/research/requests/" + id, who).GET());
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    private Answer step(String id, Tester who, String step, int version, String body) {
        return send(request("/api/v1/research/requests/" + id + "/" + step, who)
                .header("Content-Type", "application/json")
                .header("If-Match", "\"v" + version + "\"")
                .POST(HttpRequest.BodyPublishers.ofString(body)));
    }

    private Answer approve(String id) {
        JsonNode looked = read(id, guardian);
        JsonNode loss = looked.at("/outlook/plan/loss_to_accept");
        return step(
                id,
                guardian,
                "approval",
                looked.path("version").asInt(),
                "{\"digest\": \"" + looked.path("digest").asString() + "\""
                        + (loss.isNumber() ? ", \"accept_loss\": " + loss.asInt() : "") + "}");
    }

    private String approved(String change) {
        String id = asked(change);
        Answer answer = approve(id);
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        assertThat(answer.json().path("status").asString()).isEqualTo("approved");
        return id;
    }

    private Answer link(String id, Tester who) {
        return send(
                request("/api/v1/research/requests/" + id + "/package", who).POST(HttpRequest.BodyPublishers.noBody()));
    }

    private JsonNode linked(String id) {
        Answer answer = link(id, researcher);
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    private byte[] fetched(String href) throws IOException, InterruptedException {
        HttpResponse<byte[]> response = HttpClient.newHttpClient()
                .send(request(href, researcher).GET().build(), HttpResponse.BodyHandlers.ofByteArray());
        assertThat(response.statusCode()).isEqualTo(200);
        assertThat(response.headers().firstValue("Content-Type")).contains("application/zip");
        assertThat(response.headers().firstValue("Content-Disposition").orElse(""))
                .contains("attachment", "airway-events-");
        return response.body();
    }

    static Map<String, byte[]> unzipped(byte[] zip) throws IOException {
        Map<String, byte[]> parts = new LinkedHashMap<>();
        try (ZipInputStream in = new ZipInputStream(new ByteArrayInputStream(zip))) {
            for (ZipEntry entry = in.getNextEntry(); entry != null; entry = in.getNextEntry()) {
                parts.put(entry.getName(), in.readAllBytes());
            }
        }
        return parts;
    }

    private static String text(Map<String, byte[]> parts, String name) {
        return new String(parts.getOrDefault(name, new byte[0]), StandardCharsets.UTF_8);
    }

    static String sha256(byte[] bytes) {
        try {
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
        } catch (java.security.NoSuchAlgorithmException e) {
            throw new IllegalStateException(e);
        }
    }

    /** The package read back by other people's reader: its rates are those of the registry, and it is the same each time. */
    @Test
    void givesWhoAskedExactlyWhatWasApproved() throws IOException, InterruptedException {
        children(24, 3);
        children(20, 900);
        intubate(1, 3, "yes", "");
        intubate(2, 3, "unk", "");
        String gone = intubate(3, 3, "no", "");
        assertThat(post("/api/v1/encounters/" + gone + "/withdrawal", "{\"reason_code\": \"duplicate\"}")
                        .status())
                .isEqualTo(200);

        String id = approved("");
        JsonNode link = linked(id);
        assertThat(link.path("rows").asInt()).isEqualTo(44);
        byte[] zip = fetched(link.path("href").asString());
        assertThat(sha256(zip)).isEqualTo(link.path("sha256").asString());
        assertThat((long) zip.length).isEqualTo(link.path("bytes").asLong());

        Map<String, byte[]> parts = unzipped(zip);
        assertThat(parts.keySet())
                .containsExactly(
                        "data/events.csv",
                        "data/events.parquet",
                        "datapackage.json",
                        "README.md",
                        "codebook.md",
                        "risk-report.json",
                        "risk-report.html",
                        "provenance.json",
                        "manifest.sha256");
        for (String line : text(parts, "manifest.sha256").split("\n", -1)) {
            if (!line.isEmpty()) {
                String[] sum = line.split("  ", 2);
                assertThat(sha256(parts.getOrDefault(sum[1], new byte[0])))
                        .as(sum[1])
                        .isEqualTo(sum[0]);
            }
        }
        String csv = text(parts, "data/events.csv");
        assertThat(csv).startsWith("age_days,encounter_start,fps,spo2_lowest,tracheal_attempts\r\n");
        List<NamedCsvRecord> rows =
                CsvReader.builder().ofNamedCsvRecord(csv).stream().toList();
        assertThat(rows).hasSize(44);
        assertThat(rows.stream().map(row -> row.getField("age_days")).distinct())
                .containsExactlyInAnyOrder("0-6 d", "2-4 y");
        for (Map.Entry<String, String> band : Map.of("0-6 d", "newborn_unknown_gestation", "2-4 y", "child_1_7")
                .entrySet()) {
            List<String> told = rows.stream()
                    .filter(row -> row.getField("age_days").equals(band.getKey()))
                    .map(row -> row.getField("fps"))
                    .toList();
            long yes = told.stream().filter("yes"::equals).count();
            long n = told.stream()
                    .filter(one -> one.equals("yes") || one.equals("no"))
                    .count();
            // The registry also counts the two whose families did not say no: one of each answer.
            JsonNode counted = get("/api/v1/charts/fps?chart=run&by=year&from=2025&to=2025&site_id=" + unit.code()
                            + "&age_band=" + band.getValue())
                    .json()
                    .at("/points/0");
            boolean young = band.getKey().equals("0-6 d");
            assertThat(n).isEqualTo(counted.path("n").asLong() - (young ? 2 : 0));
            assertThat(yes).isEqualTo(counted.path("x").asLong() - (young ? 2 : 0));
        }
        assertThat(text(parts, "README.md"))
                .contains("First passes by age", "EC 26-114", "44 are here", "INVENTED DATA")
                .doesNotContain(unit.title(), unit.code());
        assertThat(text(parts, "risk-report.html")).contains("an intruder found");
        JsonNode provenance = json(text(parts, "provenance.json"));
        assertThat(provenance.at("/audit_head/hash").asString("")).matches("|[0-9a-f]{64}");
        assertThat(provenance.path("contents_sha256").asString()).hasSize(64);

        // Nothing of the registry's own: no key of a record, no unit, no person.
        List<String> inside = OpenRegistry.rows(
                LOGINS,
                "select encounter_id::text from encounter.encounter e join access.site s using (site_id) where s.code = '"
                        + unit.code() + "'");
        assertThat(inside).hasSize(47);
        for (Map.Entry<String, byte[]> part : parts.entrySet()) {
            String told = new String(part.getValue(), StandardCharsets.UTF_8);
            assertThat(inside).noneMatch(told::contains);
            assertThat(told).doesNotContain(unit.title(), "Tester", "10:00", "2025-03-0");
        }

        // A record that comes later changes nothing, and the same again gives the same bytes.
        intubate(4, 3, "no", "");
        assertThat(linked(id).path("sha256").asString()).isEqualTo(sha256(zip));
        assertThat(read(id, guardian).path("steps").size()).isEqualTo(2);
        assertThat(OpenRegistry.rows(
                        LOGINS,
                        "select action || ' ' || object from audit.entry where object_id = '" + id
                                + "' order by entry_id"))
                .containsExactly(
                        "asked research_request",
                        "approved research_request",
                        "made research_package",
                        "fetched research_package");
        assertThat(OpenRegistry.rows(LOGINS, "select finding from audit.findings() where object = 'research_request'"))
                .isEmpty();
    }

    /** Vector P19 of the rules of privacy: what people write near the records is nowhere in a package, and no clock either. */
    @Test
    void holdsNothingOfWhatWasWrittenNearTheRecords() throws IOException, InterruptedException {
        // Nobody's: the telephone number and the address are kept free for fiction and for documents (Ofcom; RFC 5737).
        List<String> canaries = List.of(
                "Wren Abbotsley", "Zq 55512340", "wren@example.org", "020 7946 0123", "SN88-4471-WREN", "203.0.113.77");
        String all = String.join(", ", canaries);
        Answer setup = post("/api/v1/device-setups", """
                {"site_id": "%s", "device_setup_id": "wren", "title": "%s"}""".formatted(unit.code(), all));
        assertThat(setup.status()).as(setup.text()).isEqualTo(201);
        Answer change = post("/api/v1/changes", """
                {"site_id": "%s", "changed_on": "2025-03-04", "name": "Wren Abbotsley asks", "reason": "%s", "cuts_chart": "no"}""".formatted(unit.code(), all));
        assertThat(change.status()).as(change.text()).isEqualTo(201);
        children(20, 900);
        String severe = children(23, 3);
        Answer review = send(request("/api/v1/reviews/" + severe)
                .header("Content-Type", "application/json")
                .header("If-None-Match", "*")
                .PUT(HttpRequest.BodyPublishers.ofString(
                        "{\"contributed\": [\"equipment\"], \"learning_point\": \"" + all + "\", \"done\": \"no\"}")));
        assertThat(review.status()).as(review.text()).isEqualTo(201);
        Answer number = send(request("/api/v1/encounters/" + severe + "/hospital-number")
                .header("Content-Type", "application/json")
                .header("X-Forwarded-For", canaries.get(5))
                .header("User-Agent", all)
                .PUT(HttpRequest.BodyPublishers.ofString("{\"hospital_number\": \"" + canaries.get(1) + "\"}")));
        assertThat(number.status()).as(number.text()).isEqualTo(200);

        byte[] zip = fetched(linked(approved("")).path("href").asString());
        Map<String, byte[]> parts = new LinkedHashMap<>(unzipped(zip));
        parts.put("names and comments", zip);
        assertThat(parts).hasSize(10);
        for (Map.Entry<String, byte[]> part : parts.entrySet()) {
            String told = part.getKey() + new String(part.getValue(), StandardCharsets.ISO_8859_1);
            for (String canary : canaries) {
                assertThat(told.replace(" ", "")).as(part.getKey()).doesNotContainIgnoringCase(canary.replace(" ", ""));
            }
            assertThat(told).as(part.getKey()).doesNotContain("127.0.0.1", unit.title());
        }
        assertThat(times(zip)).as("one time for all parts, which is none").hasSize(1);
        assertThat(times(zip).iterator().next()).isBefore(LocalDateTime.of(1981, 1, 1, 0, 0));
    }

    private static Set<LocalDateTime> times(byte[] zip) throws IOException {
        Set<LocalDateTime> times = new HashSet<>();
        try (ZipInputStream in = new ZipInputStream(new ByteArrayInputStream(zip))) {
            for (ZipEntry entry = in.getNextEntry(); entry != null; entry = in.getNextEntry()) {
                times.add(entry.getTimeLocal());
            }
        }
        return times;
    }

    private static JsonNode json(String text) {
        return new tools.jackson.databind.json.JsonMapper().readTree(text);
    }

    @Test
    void letsALinkServeOnceForTheOneWhoMadeIt() throws IOException, InterruptedException {
        children(12, 3);
        String id = approved("");
        String href = linked(id).path("href").asString();

        Tester other = Tester.fresh(LOGINS).with(unit.no(), Role.RESEARCHER);
        assertThat(isProblem(send(request(href, other).GET()), 404, "link-spent"))
                .isNotNull();
        assertThat(isProblem(send(bare(href).GET()), 401, "signed-out")).isNotNull();
        assertThat(isProblem(link(id, other), 403, "not-allowed")).isNotNull();
        assertThat(fetched(href)).isNotEmpty();
        assertThat(isProblem(send(request(href, researcher).GET()), 404, "link-spent"))
                .isNotNull();
        assertThat(isProblem(
                        send(request("/api/v1/research/packages/" + UUID.randomUUID(), researcher)
                                .GET()),
                        404,
                        "link-spent"))
                .isNotNull();

        String second = linked(id).path("href").asString();
        JsonNode packages = read(id, guardian).path("packages");
        assertThat(packages.size()).as("the same bytes are one package").isEqualTo(1);
        assertThat(packages.path(0).path("rows").asInt()).as("twelve, rounded").isEqualTo(10);
        assertThat(packages.path(0).path("fetched_at").size()).isEqualTo(1);
        assertThat(page("/research/requests/" + id, guardian).text())
                .contains(
                        "Checksum (SHA-256): ",
                        "Fetched ",
                        packages.path(0).path("sha256").asString());
        assertThat(page("/research/requests?site_id=" + unit.code(), guardian).text())
                .contains("Approved. A package left on ");
        assertThat(step(id, researcher, "withdrawal", 2, "{\"reason\": \"No longer needed\"}")
                        .status())
                .isEqualTo(200);
        assertThat(isProblem(send(request(second, researcher).GET()), 409, "not-approved"))
                .isNotNull();
        assertThat(isProblem(link(id, researcher), 409, "not-approved")).isNotNull();
        try (Stream<Path> files = Files.list(PACKAGES)) {
            assertThat(files.filter(file -> file.toString().contains(id))).isEmpty();
        }
        assertThat(OpenRegistry.rows(
                        LOGINS,
                        "select expires_at - made_at < interval '1 year' from research.link where request_id = '" + id
                                + "'"))
                .hasSize(2);
    }

    /** The approval ended between the making and the fetching. */
    @Test
    void deletesTheFileOfAnApprovalThatIsOverWhenSomebodyWouldFetchIt() throws IOException, InterruptedException {
        children(12, 3);
        String id = approved("");
        String href = linked(id).path("href").asString();
        Path file = PACKAGES.resolve(id + "-2.zip");
        assertThat(file).exists();
        OpenRegistry.rows(
                LOGINS,
                "with over as (update research.request set approval_expires = '2026-11-23' where request_id = '" + id
                        + "' returning 1) select count(*) from over");

        assertThat(isProblem(send(request(href, researcher).GET()), 422, "approval-expired"))
                .isNotNull();
        assertThat(file).doesNotExist();
        assertThat(isProblem(link(id, researcher), 422, "approval-expired")).isNotNull();
        assertThat(file).doesNotExist();
        assertThat(OpenRegistry.rows(LOGINS, "select 1 from research.fetched where request_id = '" + id + "'"))
                .isEmpty();
    }

    @Test
    void refusesWhatMayNotLeave() {
        children(12, 3);

        assertThat(faults(isProblem(ask("approval_reference=;approval_expires="), 422, "approval-missing")))
                .containsExactly("/approval_reference required", "/approval_expires required");
        assertThat(faults(isProblem(ask("approval_expires=\"31.12.2027\""), 422, "approval-missing")))
                .containsExactly("/approval_expires required");
        assertThat(isProblem(ask("approval_expires=\"2026-11-23\""), 422, "approval-expired"))
                .isNotNull();
        assertThat(ask("approval_expires=\"2026-11-24\"").status()).isEqualTo(201);
        assertThat(isProblem(ask("variables=[\"age_days\",\"hospital_number\"]"), 422, "never-leaves"))
                .isNotNull();
        assertThat(isProblem(ask("variables=[\"reason_text\"]"), 422, "never-leaves"))
                .isNotNull();
        assertThat(faults(isProblem(ask("purpose=\"  \";recipient="), 422, "invalid")))
                .containsExactly("/purpose required", "/recipient required");
        assertThat(faults(isProblem(ask("about=\"moon:yes\";profile=\"all\""), 400, "malformed")))
                .containsExactlyInAnyOrder("/about about.form", "/profile code");
        assertThat(faults(isProblem(ask("moon=1"), 400, "malformed"))).containsExactly("/moon field.unknown");

        // One child alone: with so few it would be found for certain.
        assertThat(isProblem(ask("from=\"2026\""), 422, "recognisable")).isNotNull();
        assertThat(isProblem(
                        ask("profile=\"public\";filters={\"encounter_kind\": [\"tube_change\"]}"), 422, "recognisable"))
                .isNotNull();
    }

    @Test
    void wantsAYesOfSomebodyElseToExactlyWhatWasSeen() {
        children(12, 3);
        String id = asked("");
        String digest = read(id, guardian).path("digest").asString();
        assertThat(digest).hasSize(64);
        assertThat(read(id, researcher).path("digest").isNull()).isTrue();

        assertThat(isProblem(link(id, researcher), 409, "not-approved")).isNotNull();
        assertThat(isProblem(step(id, researcher, "approval", 1, "{}"), 403, "not-allowed"))
                .isNotNull();
        researcher.with(unit.no(), Role.DATA_GUARDIAN);
        assertThat(isProblem(
                        step(id, researcher, "approval", 1, "{\"digest\": \"" + digest + "\"}"), 403, "own-request"))
                .isNotNull();
        assertThat(isProblem(step(id, researcher, "refusal", 1, "{\"reason\": \"no\"}"), 403, "own-request"))
                .isNotNull();
        assertThat(faults(isProblem(step(id, guardian, "approval", 1, "{}"), 422, "invalid")))
                .containsExactly("/digest required");
        assertThat(isProblem(step(id, guardian, "approval", 1, "{\"digest\": \"00\"}"), 409, "data-changed"))
                .isNotNull();
        assertThat(isProblem(step(id, guardian, "approval", 7, "{\"digest\": \"" + digest + "\"}"), 412, "stale"))
                .isNotNull();
        assertThat(faults(isProblem(step(id, guardian, "refusal", 1, "{}"), 422, "invalid")))
                .containsExactly("/reason required");
        assertThat(step(id, guardian, "refusal", 1, "{\"reason\": \"Too short a period\"}")
                        .json()
                        .at("/steps/1/reason")
                        .asString())
                .isEqualTo("Too short a period");
        assertThat(isProblem(
                        step(id, guardian, "approval", 2, "{\"digest\": \"" + digest + "\"}"), 409, "request-ended"))
                .isNotNull();
        assertThat(isProblem(step(id, researcher, "withdrawal", 2, "{\"reason\": \"x\"}"), 409, "request-ended"))
                .isNotNull();

        assertThat(get("/api/v1/research/requests?site_id=" + unit.code()).status())
                .isEqualTo(403);
        Tester stranger = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.DATA_GUARDIAN);
        assertThat(send(request("/api/v1/research/requests/" + id, stranger).GET())
                        .status())
                .isEqualTo(404);
    }

    /** Records that were objected to or put right since the yes keep the package back until somebody looks again. */
    @Test
    void makesNothingOfRecordsThatChangedSinceTheYes() throws IOException, InterruptedException {
        String last = children(13, 3);
        String id = approved("");
        String before = linked(id).path("href").asString();

        JsonNode record = get("/api/v1/encounters/" + last).json();
        tools.jackson.databind.node.ObjectNode objected = (tools.jackson.databind.node.ObjectNode) record;
        ((tools.jackson.databind.node.ObjectNode) objected.path("patient")).put("research_opt_out", "yes");
        for (String set : List.of(
                "encounter_id", "version", "status", "recorded_at", "dictionary_version", "incomplete", "derived")) {
            objected.remove(set);
        }
        objected.putObject("amendment").put("reason_code", "added_later");
        Answer put = send(request("/api/v1/encounters/" + last)
                .header("Content-Type", "application/json")
                .header("If-Match", "\"v1\"")
                .PUT(HttpRequest.BodyPublishers.ofString(objected.toString())));
        assertThat(put.status()).as(put.text()).isEqualTo(200);

        assertThat(isProblem(send(request(before, researcher).GET()), 409, "data-changed"))
                .isNotNull();
        assertThat(isProblem(link(id, researcher), 409, "data-changed")).isNotNull();

        Answer again = approve(id);
        assertThat(again.status()).as(again.text()).isEqualTo(200);
        JsonNode link = linked(id);
        assertThat(link.path("rows").asInt()).isEqualTo(12);
        assertThat(unzipped(fetched(link.path("href").asString()))).hasSize(9);
    }

    /** A group that loses more than a tenth: the guardian says yes to the figure, or nothing is approved. */
    @Test
    void wantsAnExplicitYesToTheLossOfAGroup() {
        for (int i = 0; i < 60; i++) {
            intubate(i, 3, "no", ", \"limited_mouth_opening\": \"no\"");
        }
        for (int i = 0; i < 2; i++) {
            intubate(i, 900, "no", ", \"limited_mouth_opening\": \"yes\"");
        }
        intubate(2, 3, "no", ", \"limited_mouth_opening\": \"yes\"");
        String id = asked("about=\"limited_mouth_opening:yes\"");
        JsonNode looked = read(id, guardian);
        assertThat(looked.at("/outlook/plan/loss_to_accept").asInt()).isEqualTo(70);
        String digest = looked.path("digest").asString();

        assertThat(faults(isProblem(
                        step(id, guardian, "approval", 1, "{\"digest\": \"" + digest + "\"}"),
                        422,
                        "loss-not-accepted")))
                .containsExactly("/accept_loss loss.70");
        assertThat(isProblem(
                        step(id, guardian, "approval", 1, "{\"digest\": \"" + digest + "\", \"accept_loss\": 50}"),
                        422,
                        "loss-not-accepted"))
                .isNotNull();
        assertThat(step(id, guardian, "approval", 1, "{\"digest\": \"" + digest + "\", \"accept_loss\": 70}")
                        .json()
                        .at("/steps/1/accepted_loss_percent")
                        .asInt())
                .isEqualTo(70);
    }

    private JsonNode looked(String parameters) {
        return send(request("/api/v1/research/outlook?site_id=" + unit.code() + "&" + parameters, researcher)
                        .GET())
                .json();
    }

    /** A second package tells about the children in which it differs from the first, so these must be enough. */
    @Test
    void holdsAPackageAgainstThoseThatHaveLeft() throws IOException, InterruptedException {
        children(12, 3);
        String first = approved("");
        fetched(linked(first).path("href").asString());
        assertThat(linked(first).path("rows").asInt())
                .as("the same once more tells nothing new")
                .isEqualTo(12);

        children(2, 3);
        assertThat(isProblem(ask(""), 422, "too-close")).isNotNull();
        JsonNode close = looked("variables=age_days");
        assertThat(close.path("refusal").asString()).isEqualTo("too-close");
        assertThat(close.path("earlier_packages").asInt()).isEqualTo(1);
        assertThat(isProblem(step(first, guardian, "approval", 2, "{\"digest\": \"x\"}"), 422, "too-close"))
                .as("what was fetched cannot be approved anew with two children more")
                .isNotNull();

        children(4, 3);
        String second = approved("");
        JsonNode approval = read(second, guardian).at("/steps/1");
        assertThat(approval.path("held_against").asInt()).isEqualTo(1);
        assertThat(looked("variables=age_days").path("earlier_packages").asInt())
                .as("what was approved may leave at any moment")
                .isEqualTo(2);
        assertThat(step(second, researcher, "withdrawal", 2, "{\"reason\": \"No longer needed\"}")
                        .status())
                .isEqualTo(200);
        assertThat(looked("variables=age_days").path("earlier_packages").asInt())
                .as("nobody fetched it")
                .isEqualTo(1);
    }

    @Test
    void givesPseudonymsOfOnePackageToTheOrganisationAlone() throws IOException, InterruptedException {
        children(12, 3);
        String id = approved("profile=\"internal-pseudonymised\"");
        byte[] zip = fetched(linked(id).path("href").asString());
        assertThat(fetched(linked(id).path("href").asString())).isEqualTo(zip);
        Map<String, byte[]> parts = unzipped(zip);
        List<NamedCsvRecord> rows = CsvReader.builder().ofNamedCsvRecord(text(parts, "data/events.csv")).stream()
                .toList();
        assertThat(rows.stream().map(row -> row.getField("patient_code")).distinct())
                .hasSize(12)
                .allMatch(code -> code.matches("[a-z2-7]{26}"));
        assertThat(rows)
                .allSatisfy(row -> assertThat(row.getField("encounter_start"))
                        .matches("202[45]-\\d\\d-\\d\\d")
                        .isLessThan("2025-03-09"));
        assertThat(text(parts, "README.md")).contains("Never leaves the organisation");
        assertThat(json(text(parts, "provenance.json"))
                        .path("stays_in_the_organisation")
                        .asBoolean())
                .isTrue();
        assertThat(page("/research/requests/" + id, guardian).text())
                .contains("People of this organisation only", "a pseudonym of this package alone");

        String again = approved("profile=\"internal-pseudonymised\"");
        String other = text(unzipped(fetched(linked(again).path("href").asString())), "data/events.csv");
        assertThat(rows).noneMatch(row -> other.contains(row.getField("patient_code")));

        assertThat(faults(isProblem(ask("safe_harbor=true;from=\"2025-03\";to=\"2025\""), 400, "malformed")))
                .containsExactly("/from period.years");
        String harbor = approved("profile=\"internal-pseudonymised\";safe_harbor=true;from=\"2025\"");
        assertThat(text(unzipped(fetched(linked(harbor).path("href").asString())), "data/events.csv"))
                .startsWith("age_days,encounter_start,fps")
                .contains(",2025,")
                .doesNotContain("2025-", "2024-");
    }

    /** Everything that is empty is told at once, whatever kind of box it is. */
    @Test
    void namesAllEmptyBoxesAtOnce() {
        children(12, 3);
        assertThat(faults(isProblem(
                        ask("purpose=;recipient=;approval_reference=;approval_expires="), 422, "approval-missing")))
                .containsExactly(
                        "/purpose required",
                        "/recipient required",
                        "/approval_reference required",
                        "/approval_expires required");
        assertThat(faults(isProblem(ask("purpose=;variables=[]"), 400, "malformed")))
                .containsExactly("/variables required", "/purpose required");
    }

    /** Where the file belongs there is a folder with something in it, as if the disk did not take it. */
    @Test
    void saysSoAndLeavesNothingWhereAPackageCannotBeWritten() throws IOException, InterruptedException {
        children(12, 3);
        String id = approved("");
        Path place = Files.createDirectories(PACKAGES.resolve(id + "-2.zip"));
        Path inside = Files.createFile(place.resolve("inside"));
        assertThat(isProblem(link(id, researcher), 503, "not-written")).isNotNull();
        try (Stream<Path> files = Files.list(PACKAGES)) {
            assertThat(files.filter(file -> file.toString().endsWith(".part"))).isEmpty();
        }
        assertThat(OpenRegistry.rows(LOGINS, "select 1 from research.package where request_id = '" + id + "'"))
                .isEmpty();
        Files.delete(inside);
        Files.delete(place);
        assertThat(fetched(linked(id).path("href").asString())).isNotEmpty();

        String making = "/api/v1/research/requests/" + id + "/package";
        assertThat(send(request(making, researcher).GET()).json().path("stage").isNull())
                .as("nothing is being made")
                .isTrue();
        assertThat(isProblem(send(request(making, guardian).GET()), 403, "not-allowed"))
                .isNotNull();
        String there = "/research/requests/" + id + "/package/";
        assertThat(send(request(there + "progress", researcher).GET()).status()).isEqualTo(204);
        assertThat(form(there + "cancellation", researcher).status()).isEqualTo(303);
        assertThat(send(request(making + "/cancellation", researcher).POST(HttpRequest.BodyPublishers.noBody()))
                        .status())
                .isEqualTo(204);
    }

    private static final Pattern HIDDEN =
            Pattern.compile("<input type=\"hidden\" name=\"(version|digest)\" value=\"([^\"]*)\"");

    private Answer page(String path, Tester who) {
        return send(request(path, who).header("Accept", "text/html").GET());
    }

    private Answer form(String path, Tester who, String... pairs) {
        StringBuilder body = new StringBuilder();
        for (int i = 0; i < pairs.length; i += 2) {
            body.append(i == 0 ? "" : "&")
                    .append(pairs[i])
                    .append('=')
                    .append(URLEncoder.encode(pairs[i + 1], StandardCharsets.UTF_8));
        }
        return send(request(path, who)
                .header("Accept", "text/html")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(body.toString())));
    }

    @Test
    void goesTheSameWayOnThePages() throws IOException, InterruptedException {
        children(12, 3);
        String outlook = page(
                        "/research?site_id=" + unit.code() + "&profile=controlled&variables=age_days&variables=fps",
                        researcher)
                .text();
        assertThat(outlook).contains("Ask for these data", "Send the request", "First-pass success");

        Answer incomplete = form(
                "/research",
                researcher,
                "site_id",
                unit.code(),
                "profile",
                "controlled",
                "variables",
                "age_days",
                "variables",
                "fps",
                "about",
                "age_band:infant",
                "purpose",
                "Blades & ages");
        assertThat(incomplete.status()).isEqualTo(422);
        assertThat(incomplete.text())
                .contains("Error: Research data", "Blades &amp; ages", "Write the number of the approval")
                .containsPattern("id=\"approval_reference-e\">Write the number of the approval")
                .contains("name=\"about\" value=\"age_band:infant\"");
        Answer sent = form(
                "/research",
                researcher,
                "site_id",
                unit.code(),
                "profile",
                "controlled",
                "variables",
                "age_days",
                "variables",
                "fps",
                "purpose",
                "Blades & ages",
                "recipient",
                "Project",
                "approval_reference",
                "EC 1",
                "approval_expires",
                "2027-01-31");
        assertThat(sent.status()).as(sent.text()).isEqualTo(303);
        String there = sent.header("Location").replaceAll("^https?://[^/]+", "");
        assertThat(page(there, researcher).text())
                .contains("Waits for the data guardian", "Could a child be recognised?", "Take the request back")
                .doesNotContain("Approve</button>", "Make the package");

        assertThat(page("/research/requests?site_id=" + unit.code(), guardian).text())
                .contains("Blades &amp; ages", "Waits for the data guardian", there);
        String looked = page(there, guardian).text();
        Map<String, String> hidden = new LinkedHashMap<>();
        Matcher found = HIDDEN.matcher(looked);
        while (found.find()) {
            hidden.put(found.group(1), found.group(2));
        }
        Answer noReason = form(there + "/refusal", guardian, "version", hidden.getOrDefault("version", ""));
        assertThat(noReason.status()).isEqualTo(422);
        assertThat(noReason.text()).contains("Write why");
        Answer yes = form(
                there + "/approval",
                guardian,
                "version",
                hidden.getOrDefault("version", ""),
                "digest",
                hidden.getOrDefault("digest", ""));
        assertThat(yes.status()).as(yes.text()).isEqualTo(303);

        Answer made = form(there + "/package", researcher);
        assertThat(made.text()).contains("12 rows", "serves once");
        Matcher link = Pattern.compile("href=\"(/research/packages/[A-Za-z0-9_-]{43})\"")
                .matcher(made.text());
        assertThat(link.find()).as(made.text()).isTrue();
        HttpResponse<byte[]> file = HttpClient.newHttpClient()
                .send(request(link.group(1), researcher).GET().build(), HttpResponse.BodyHandlers.ofByteArray());
        assertThat(unzipped(file.body())).containsKey("data/events.csv");
        assertThat(page(link.group(1), researcher).text()).contains("This link does not serve");
    }
}
