package airway.registry.kit;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import airway.sql.Sql;
import java.io.IOException;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.sql.SQLException;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;
import java.util.UUID;
import java.util.stream.Collectors;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/**
 * The look-back. That instruments which cannot be sterilised carry an identifier recorded at every use, so that they can be
 * traced: anaesthetists' guidance on infection control (2008; doi 10.1111/j.1365-2044.2008.05657.x). How far back is looked
 * decides infection control: common practice, no source.
 */
class LookBackWebTest extends ServedRegistry {
    private static final String PATH = "/api/v1/kit/look-backs";
    private static final String NUMBER = "KHX-0081773";
    private static final Instant BEGIN = Instant.parse("2026-10-01T08:00:00Z");

    private static Tester keeper = Tester.fresh(LOGINS);
    private static Tester reader = Tester.fresh(LOGINS);
    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);
    private Kind kind = new Kind(unit, Walks.key(1), 1, "", null, null, null);

    @BeforeEach
    void aUnitWithAKeeperAndAReader() {
        unit = unit();
        keeper = Tester.fresh(LOGINS).with(unit.no(), Role.KIT_KEEPER);
        reader = Tester.fresh(LOGINS).with(unit.no(), Role.LOOK_BACK_READER);
        kind = new Kind(unit, UUID.randomUUID(), 1, "Straight blade, size 1", "Leaflet 7", null, null);
    }

    private UUID aRecord(String start) {
        return UUID.fromString(record("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "%s",
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}]}""".formatted(unit.code(), start))
                .json()
                .path("encounter_id")
                .asString());
    }

    private Answer look(Tester who, String accept, String... asked) {
        ObjectNode body = new JsonMapper().createObjectNode().put("site_id", unit.code());
        body.put("reason", "A cycle failed.");
        for (int i = 0; i < asked.length; i += 2) {
            if (asked[i + 1].isEmpty()) {
                body.remove(asked[i]);
            } else if (asked[i].equals("cycles")) {
                body.put("cycles", Integer.parseInt(asked[i + 1]));
            } else {
                body.put(asked[i], asked[i + 1]);
            }
        }
        return send(request(PATH, who)
                .header("Content-Type", "application/json")
                .header("Accept", accept)
                .POST(HttpRequest.BodyPublishers.ofString(body.toString())));
    }

    private JsonNode looked(String... asked) {
        Answer answer = look(keeper, "application/json", asked);
        assertThat(answer.status()).as(answer.text()).isEqualTo(200);
        return answer.json();
    }

    private List<Item> items(int number) {
        List<Item> items = new ArrayList<>();
        for (int i = 0; i < number; i++) {
            items.add(new Item(UUID.randomUUID(), kind, String.format("0%03d", i), null, null, null, 0));
        }
        return items;
    }

    /** A use as the reader of the test knows it: which item, which line, when, whom. */
    private record Use(int item, int line, Instant at, UUID whom) {}

    /** Reads the logs line by line, as one would on paper: what was taken back is struck out. */
    private record Paper(List<Use> uses, Map<Integer, List<Move>> cycles) {
        static Paper of(List<List<Move>> logs) {
            List<Use> uses = new ArrayList<>();
            Map<Integer, List<Move>> cycles = new HashMap<>();
            for (int item = 0; item < logs.size(); item++) {
                List<Move> log = logs.get(item);
                State state = State.NEW;
                for (int i = 0; i < log.size(); i++) {
                    Move move = log.get(i);
                    boolean struck = i + 1 < log.size() && log.get(i + 1).done().equals("undo");
                    boolean stands = !struck
                            && !move.done().equals("undo")
                            && !move.done().equals("proposed");
                    if (stands && move.to() == State.IN_USE) {
                        uses.add(new Use(
                                item,
                                move.version(),
                                move.told().at(),
                                Objects.requireNonNull(move.told().encounter())));
                    }
                    boolean passing = Boolean.TRUE.equals(move.told().cyclePassed())
                            && (move.to() == State.RETURNED || (move.to() == State.READY && state == State.NEW));
                    if (stands && passing) {
                        cycles.computeIfAbsent(item, key -> new ArrayList<>()).add(move);
                    }
                    state = move.to();
                }
            }
            return new Paper(uses, cycles);
        }

        boolean after(Use first, Use then, @Nullable Integer most) {
            boolean later = then.item() == first.item()
                    && then.line() != first.line()
                    && (then.line() > first.line() || !then.at().isBefore(first.at()));
            long between = cycles.getOrDefault(first.item(), List.of()).stream()
                    .filter(cycle -> cycle.version() > first.line()
                            && cycle.version() < then.line()
                            && !cycle.told().at().isAfter(then.at()))
                    .count();
            return later && (most == null || between < most);
        }

        /** What the items of one record touched, as "item line whom". */
        Set<String> touched(UUID whom, boolean next, @Nullable Integer most) {
            return uses.stream()
                    .filter(use -> !use.whom().equals(whom)
                            && uses.stream()
                                    .filter(own -> own.whom().equals(whom))
                                    .anyMatch(own -> next ? after(own, use, most) : after(use, own, most)))
                    .map(use -> String.format("0%03d %d %s", use.item(), use.line(), use.whom()))
                    .collect(Collectors.toCollection(TreeSet::new));
        }
    }

    private static Set<String> touched(JsonNode look, String side) {
        Set<String> out = new TreeSet<>();
        look.path("uses").forEach(use -> {
            if (use.path("side").asString().equals(side)) {
                out.add(use.path("name").asString() + " " + use.path("line").asInt() + " "
                        + use.path("encounter_id").asString());
            }
        });
        return out;
    }

    @Test
    void agreesFromBothEndsWithWhatOneReadsLineByLineInGeneratedLogs() throws SQLException {
        List<UUID> records = new ArrayList<>();
        for (int day = 1; day <= 9; day++) {
            records.add(aRecord("2026-10-0" + day + "T09:00:00Z"));
        }
        UUID unnamed = aRecord("2026-10-05T10:00:00Z");
        Walks walks = new Walks(11, records, BEGIN, keeper.actor(), reader.actor());
        List<Item> items = items(6);
        List<List<Move>> logs =
                items.stream().map(item -> walks.walk(item, 110)).toList();
        Walks.keep(LOGINS.app(), kind, items, logs, keeper.actor());
        Paper paper = Paper.of(logs);

        Map<UUID, Set<String>> next = new HashMap<>();
        Map<UUID, Set<String>> before = new HashMap<>();
        for (UUID whom : records) {
            JsonNode all = looked("by", "record", "value", whom.toString());
            assertThat(touched(all, "after")).isEqualTo(paper.touched(whom, true, null));
            JsonNode one = looked("by", "record", "value", whom.toString(), "cycles", "2");
            next.put(whom, touched(one, "after"));
            before.put(whom, touched(one, "before"));
            assertThat(next.get(whom)).isEqualTo(paper.touched(whom, true, 2));
            assertThat(before.get(whom)).isEqualTo(paper.touched(whom, false, 2));
        }
        for (UUID one : records) {
            for (UUID other : records) {
                assertThat(names(next.get(one), other))
                        .as("who comes after is asked about from the other end")
                        .isEqualTo(names(before.get(other), one));
            }
        }
        assertThat(next.values().stream().mapToInt(Set::size).sum())
                .as("there was something to find")
                .isGreaterThan(20);
        assertThat(next.values().stream().mapToInt(Set::size).sum())
                .as("cycles part some uses")
                .isLessThan(records.stream()
                        .mapToInt(whom -> paper.touched(whom, true, null).size())
                        .sum());

        for (int i = 0; i < items.size(); i++) {
            int item = i;
            assertThat(touched(looked("by", "item", "value", items.get(i).name()), "after"))
                    .isEqualTo(paper.uses().stream()
                            .filter(use -> use.item() == item)
                            .map(use -> String.format("0%03d %d %s", item, use.line(), use.whom()))
                            .collect(Collectors.toCollection(TreeSet::new)));
        }
        JsonNode coverage =
                looked("by", "period", "from", "2026-10-01", "to", "2026-10-31").path("coverage");
        assertThat(coverage.path("records").asInt()).isEqualTo(records.size() + 1);
        assertThat(coverage.path("records_named").asInt())
                .isEqualTo((int) paper.uses().stream().map(Use::whom).distinct().count())
                .isLessThan(records.size() + 1);
        assertThat(paper.uses().stream().map(Use::whom)).doesNotContain(unnamed);
    }

    private static boolean names(@Nullable Set<String> found, UUID whom) {
        return Objects.requireNonNull(found).stream().anyMatch(use -> use.endsWith(whom.toString()));
    }

    private static Move move(
            int version, State to, String at, @Nullable String label, @Nullable String cycle, @Nullable UUID whom) {
        Instant moment = Instant.parse("2026-11-20T" + at + ":00Z");
        boolean passed = cycle != null && to != State.IN_PROCESSING;
        return new Move(
                version,
                to.code(),
                to,
                null,
                new Told(
                        moment,
                        to == State.PLACED ? "Trolley 1, drawer 2" : null,
                        label,
                        null,
                        cycle,
                        passed ? moment : null,
                        passed ? true : null,
                        null,
                        null,
                        null,
                        whom,
                        whom == null ? null : 1,
                        null),
                keeper.actor(),
                moment);
    }

    /** One blade: used on the first child, back from cycle C-1, used on the second, back from C-2, used on the third. */
    private List<UUID> threeUses() throws SQLException {
        List<UUID> records = List.of(
                aRecord("2026-11-20T08:00:00Z"), aRecord("2026-11-20T10:00:00Z"), aRecord("2026-11-20T12:00:00Z"));
        List<Move> log = List.of(
                new Move(1, "new", State.NEW, null, Told.nothing(BEGIN), keeper.actor(), BEGIN),
                new Move(2, "proposed", State.NEW, State.READY, Told.nothing(BEGIN), keeper.actor(), BEGIN),
                new Move(3, "confirmed", State.READY, null, Told.nothing(BEGIN), reader.actor(), BEGIN),
                move(4, State.IN_USE, "08:00", null, null, records.get(0)),
                move(5, State.USED, "08:30", null, null, null),
                move(6, State.SENT, "08:40", "L-1", null, null),
                move(7, State.RETURNED, "10:00", "L-1", "C-1", null),
                move(8, State.READY, "10:00", null, null, null),
                move(9, State.PLACED, "10:00", null, null, null),
                move(10, State.IN_USE, "10:00", null, null, records.get(1)),
                move(11, State.USED, "10:30", null, null, null),
                move(12, State.SENT, "10:40", "L-2", null, null),
                move(13, State.RETURNED, "12:00", "L-2", "C-2", null),
                move(14, State.READY, "12:00", null, null, null),
                move(15, State.IN_USE, "12:00", null, null, records.get(2)));
        Walks.keep(LOGINS.app(), kind, items(1), List.of(log), keeper.actor());
        return records;
    }

    @Test
    void findsTheUsesAfterAFailedCycleAndBeforeTheNextOneToTheMinute() throws SQLException {
        List<UUID> records = threeUses();

        assertThat(whom(looked("by", "cycle", "value", "C-1", "cycles", "1"), "after"))
                .as("at the minute of its return is after it")
                .containsExactly(records.get(1));
        assertThat(whom(looked("by", "cycle", "value", "C-1"), "after"))
                .containsExactlyInAnyOrder(records.get(1), records.get(2));
        JsonNode label = looked("by", "label", "value", "L-1", "cycles", "1");
        assertThat(whom(label, "before")).containsExactly(records.get(0));
        assertThat(whom(label, "after")).isEmpty();
        assertThat(whom(looked("by", "trolley", "value", "trolley 1", "cycles", "1"), "after"))
                .containsExactly(records.get(1));
        assertThat(looked("by", "cycle", "value", "C-9").path("items")).isEmpty();
        assertThat(faults(isProblem(look(keeper, "application/json", "by", "period", "reason", ""), 422, "invalid")))
                .containsExactly("/from required", "/to required", "/reason required");
    }

    private static List<UUID> whom(JsonNode look, String side) {
        return touched(look, side).stream()
                .map(use -> UUID.fromString(use.substring(use.lastIndexOf(' ') + 1)))
                .toList();
    }

    private Answer form(Tester who, String... fields) {
        StringBuilder body = new StringBuilder("site_id=" + unit.code());
        for (int i = 0; i < fields.length; i += 2) {
            body.append('&')
                    .append(fields[i])
                    .append('=')
                    .append(URLEncoder.encode(fields[i + 1], StandardCharsets.UTF_8));
        }
        return send(request("/kit/look-back", who)
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(body.toString())));
    }

    @Test
    void showsChildrenToTheGrantAloneOnThePageAloneAndWritesEachLookDown() throws SQLException, IOException {
        List<UUID> records = threeUses();
        for (UUID whom : records.subList(0, 2)) {
            send(request("/api/v1/encounters/" + whom + "/hospital-number")
                    .header("Content-Type", "application/json")
                    .PUT(HttpRequest.BodyPublishers.ofString(
                            "{\"hospital_number\": \"" + (whom.equals(records.get(0)) ? NUMBER : "KHX-2") + "\"}")));
        }
        isProblem(look(keeper, "application/json", "by", "patient", "value", NUMBER), 403, "not-allowed");
        isProblem(look(keeper, "application/json", "by", "item", "value", "0000", "names", "yes"), 403, "not-allowed");
        isProblem(look(tester(), "application/json", "by", "item", "value", "0000"), 403, "not-allowed");
        assertThat(faults(isProblem(
                        look(reader, "application/json", "by", "patient", "value", NUMBER, "reason", ""),
                        422,
                        "invalid")))
                .containsExactly("/reason required");
        assertThat(faults(isProblem(
                        look(reader, "application/json", "by", "patient", "value", NUMBER, "reason", "on " + NUMBER),
                        422,
                        "invalid")))
                .containsExactly("/reason number");

        Answer page = form(reader, "by", "patient", "value", NUMBER, "reason", "Infection found");
        assertThat(page.status()).as(page.text()).isEqualTo(200);
        assertThat(page.text())
                .contains(
                        "KHX-2",
                        "3 uses",
                        "asked about",
                        "none kept",
                        records.get(1).toString())
                .contains("an item is named in 3 of 3 records");
        Answer csv = form(reader, "by", "patient", "value", NUMBER, "reason", "Infection found", "form", "csv");
        assertThat(csv.text())
                .contains(records.get(2).toString(), "\"cycles_between\"")
                .doesNotContain("KHX");
        try (PDDocument paper = Loader.loadPDF(pdf())) {
            assertThat(new PDFTextStripper().getText(paper).replaceAll("\\s+", " "))
                    .contains("Look-back", "What can be known", "3 of 3 records")
                    .doesNotContain("KHX");
        }
        Answer listed = form(keeper, "by", "item", "value", "0000", "reason", "Recall");
        assertThat(listed.text()).contains("3 uses", records.get(0).toString()).doesNotContain("KHX");

        assertThat(Sql.rows(
                        LOGINS.owner(),
                        "select action || ' ' || object || ' ' || coalesce(reason, '') || ' ' || coalesce(detail ->> 'by', '')"
                                + " from audit.entry where site_id = " + unit.no()
                                + " and (object = 'look_back' or (object = 'identity' and reason like 'look_back: Infection%'))"
                                + " order by entry_id"))
                .containsExactly(
                        "seen identity look_back: Infection found ",
                        "seen identity look_back: Infection found ",
                        "found look_back Infection found patient",
                        "seen identity look_back: Infection found ",
                        "seen identity look_back: Infection found ",
                        "found look_back Infection found patient",
                        "found look_back A cycle failed. patient",
                        "found look_back Recall item");
        assertThat(Sql.rows(LOGINS.owner(), "select entry_id from audit.entry where detail::text like '%KHX%'"))
                .isEmpty();
    }

    private byte[] pdf() throws IOException {
        try {
            HttpResponse<byte[]> answer = HttpClient.newHttpClient()
                    .send(
                            request(PATH, reader)
                                    .header("Content-Type", "application/json")
                                    .header("Accept", "application/pdf")
                                    .POST(HttpRequest.BodyPublishers.ofString("{\"site_id\": \"" + unit.code()
                                            + "\", \"by\": \"patient\", \"value\": \"" + NUMBER
                                            + "\", \"reason\": \"A cycle failed.\"}"))
                                    .build(),
                            HttpResponse.BodyHandlers.ofByteArray());
            assertThat(answer.headers().firstValue("Content-Type")).contains("application/pdf");
            return answer.body();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException(e);
        }
    }

    /** S40. */
    @Test
    void endsTheGrantAfterThreeDaysAndGivesItToNobodyByThemselves() throws SQLException {
        String mine = " from access.role_grant where actor_id = " + reader.actor();
        assertThat(Sql.rows(LOGINS.owner(), "select expires_at - granted_at" + mine))
                .containsExactly("3 days");
        assertThat(look(reader, "application/json", "by", "item", "value", "0000", "names", "yes")
                        .status())
                .isEqualTo(200);

        Sql.execute(
                LOGINS.owner(),
                "update access.role_grant set granted_at = granted_at - interval '9 days', expires_at = expires_at"
                        + " - interval '9 days' where actor_id = " + reader.actor());
        isProblem(look(reader, "application/json", "by", "item", "value", "0000"), 403, "not-allowed");
        assertThatThrownBy(() -> Sql.execute(
                        LOGINS.owner(),
                        "insert into access.role_grant (actor_id, role, site_id, granted_by) values (" + keeper.actor()
                                + ", 'look_back_reader', " + unit.no() + ", " + keeper.actor() + ")"))
                .hasMessageContaining("nobody gives the look-back to themselves");

        reader.with(unit.no(), Role.LOOK_BACK_READER);
        assertThat(look(reader, "application/json", "by", "item", "value", "0000", "names", "yes")
                        .status())
                .as("given anew once it has ended")
                .isEqualTo(200);
    }
}
