package airway.registry.audit;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import airway.registry.testing.OpenRegistry;
import airway.sql.Sql;
import airway.sql.TestDatabase;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.UUID;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.LongStream;
import org.jooq.impl.DSL;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The chain over the audit on the database, and what an owner of the database does to it behind the program's back. */
class ChainDatabaseTest {
    private static final String SEALS = "select string_agg(seq || ':' || entry_id, ' ' order by seq) from audit.seal";

    @TempDir
    Path data = Path.of("");

    private final TestDatabase.Logins logins = TestDatabase.fresh();
    private final OpenRegistry registry = OpenRegistry.on(logins);
    private final ActorTransactions transactions = registry.bean(ActorTransactions.class);
    private final Sealer sealer = new Sealer(transactions);
    private Instant now = Instant.parse("2026-11-24T12:00:00Z");
    private HeadFile heads = new HeadFile(data, null);
    private Chain chain = new Chain(transactions, heads, Clock.systemUTC());

    @BeforeEach
    void theFolder() {
        heads = new HeadFile(data, null);
        chain = new Chain(transactions, heads, clock());
    }

    @AfterEach
    void close() {
        registry.close();
    }

    private Clock clock() {
        InstantSource source = () -> now;
        return source.withZone(ZoneOffset.UTC);
    }

    private void write(int entries) {
        Acting.asProgram(() -> transactions.write(dsl -> {
            for (int i = 0; i < entries; i++) {
                dsl.execute("select audit.note('set', 'setting', null, null, null, 'why', '{\"was\": 1, \"is\": 2}')");
            }
            return entries;
        }));
    }

    private List<String> faults() {
        return chain.verify().faults().stream().map(ChainFault::words).toList();
    }

    private void tamper(String change) throws SQLException {
        Sql.execute(logins.owner(), "alter table audit.seal drop constraint seal_no_gap");
        Sql.execute(logins.owner(), "alter table audit.seal drop constraint seal_seq_range");
        Sql.execute(logins.owner(), "alter table audit.seal drop constraint seal_first_alone");
        Sql.execute(logins.owner(), "alter table audit.seal disable trigger user");
        Sql.execute(logins.owner(), change);
    }

    private void keepHead() {
        Sealing sealing = new Sealing(sealer, heads, clock());
        sealing.once(false);
    }

    @Test
    void sealsEachEntryOnceInOrderAndWithoutAGap() {
        write(2_500);
        assertThat(chain.state().unsealed()).isEqualTo(2_500);

        sealer.seal();
        sealer.seal();

        assertThat(registry.rows("select count(*), min(seq), max(seq), count(distinct entry_id) from audit.seal"))
                .containsExactly("2500,1,2500,2500");
        assertThat(registry.rows("select count(*) from audit.unsealed")).containsExactly("0");
        assertThat(registry.rows("select count(*) from audit.seal s join audit.seal b on b.seq = s.before and b.hash ="
                        + " s.previous and b.entry_id < s.entry_id"))
                .containsExactly("2499");
        assertThat(faults()).isEmpty();
    }

    @Test
    void sealsEveryColumnThereIs() {
        assertThat(registry.rows("select column_name from information_schema.columns"
                        + " where table_schema = 'audit' and table_name = 'entry' order by 1"))
                .as("a column added to the entry must be added to what is sealed")
                .containsExactly(
                        "about",
                        "action",
                        "actor_id",
                        "at",
                        "detail",
                        "entry_id",
                        "hash",
                        "object",
                        "object_id",
                        "reason",
                        "site_id",
                        "version");
    }

    @Test
    void holdsForAnyEntriesAndFindsAnyFieldThatIsChanged() throws SQLException {
        Random random = new Random(20261124);
        List<String> texts = List.of("a", "\u00f6\u20ac", "\ud83d\ude00", "\"\\/\b\n\r\t", "\u0080\u2028", "'); --");
        short site = registry.bean(airway.registry.access.Sites.class)
                .add("one", "One", "picu", ZoneId.of("Europe/London"), true)
                .no();
        transactions.write(dsl -> {
            for (int i = 0; i < 300; i++) {
                String text = texts.get(random.nextInt(texts.size()));
                String detail = new tools.jackson.databind.json.JsonMapper()
                        .createObjectNode()
                        .put(text, random.nextDouble() * Math.pow(10, random.nextInt(40) - 20))
                        .put("n", random.nextLong())
                        .put("t", text)
                        .toString();
                dsl.execute(
                        "select audit.note('set', 'setting', {0}, {1}, {2}, {3}, {4}::jsonb)",
                        DSL.val(random.nextBoolean() ? null : site, org.jooq.impl.SQLDataType.SMALLINT),
                        DSL.val(random.nextBoolean() ? null : new UUID(random.nextLong(), random.nextLong())),
                        DSL.val(random.nextBoolean() ? null : 1, org.jooq.impl.SQLDataType.INTEGER),
                        DSL.val(random.nextBoolean() ? null : text),
                        DSL.val(random.nextBoolean() ? null : detail));
            }
            dsl.execute("select audit.note('set', 'setting', null, null, null, null, '{\"n\": 1e400}')");
            return texts;
        });
        sealer.seal();
        assertThat(chain.verify().faults()).isEmpty();
        sealer.seal();

        List<String> changes = List.of(
                "at = at + interval '1 microsecond'",
                "at = 'infinity'",
                "at = at - interval '4000 years'",
                "action = 'seen'",
                "object = 'key'",
                "actor_id = 2",
                "site_id = case when site_id is null then 1 end",
                "object_id = gen_random_uuid()",
                "version = 1",
                "hash = sha256('x')",
                "about = case when about is null then 1 end",
                "reason = coalesce(reason, '') || ' '",
                "detail = coalesce(detail, '{}') || '{\"n\": 1.0000000000000000000001}'");
        Sql.execute(logins.owner(), "insert into access.actor (actor_id, title) values (2, 'Another')");
        Sql.execute(logins.owner(), "alter table audit.entry drop constraint entry_version_whole");
        for (String change : changes) {
            int seq = 1 + random.nextInt(300);
            String entry = registry.rows("select entry_id from audit.seal where seq = " + seq)
                    .get(0);
            Sql.execute(
                    logins.owner(), "create table audit.copy as select * from audit.entry where entry_id = " + entry);
            Sql.execute(logins.owner(), "update audit.entry set " + change + " where entry_id = " + entry);
            assertThat(faults())
                    .as(change)
                    .containsExactly("Audit, seal " + seq + " (entry " + entry
                            + "): the entry or its seal was changed after it was sealed.");
            Sql.execute(
                    logins.owner(),
                    "update audit.entry e set at = c.at, action = c.action, object = c.object, actor_id = c.actor_id,"
                            + " site_id = c.site_id, object_id = c.object_id, version = c.version, hash = c.hash,"
                            + " about = c.about, reason = c.reason, detail = c.detail"
                            + " from audit.copy c where c.entry_id = e.entry_id; drop table audit.copy");
        }
        assertThat(faults()).isEmpty();
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "update audit.seal set hash = set_byte(hash, 7, get_byte(hash, 7) # 1) where seq = 5"
                        + "|Audit, seal 5 (entry 5): the entry or its seal was changed",
                "update audit.seal set previous = set_byte(previous, 7, get_byte(previous, 7) # 1) where seq = 5"
                        + "|Audit, seal 5 (entry 5): it does not follow the one before it",
                "update audit.entry set reason = 'whx' where entry_id = 4|Audit, seal 4 (entry 4): the entry or its seal",
                "delete from audit.entry where entry_id = 4|Audit, seal 4 (entry 4): the entry was removed",
                "delete from audit.seal where seq = 4|Audit, seal 4: it is missing, though later ones are there.",
                "delete from audit.seal where seq = 1|Audit, seal 1: it is missing",
                "delete from audit.entry where entry_id = 4; delete from audit.seal where seq = 4;"
                        + " update audit.seal set seq = -seq where seq > 4; update audit.seal set seq = -seq - 1 where seq < 0"
                        + "|Audit, seal 4 (entry 5): it does not follow the one before it",
                "update audit.seal set seq = 99 where seq = 3; update audit.seal set seq = 3 where seq = 6;"
                        + " update audit.seal set seq = 6 where seq = 99"
                        + "|Audit, seal 3 (entry 6): it does not follow the one before it",
                "update audit.seal set entry_id = 99 where seq = 3; update audit.seal set entry_id = 3 where seq = 6;"
                        + " update audit.seal set entry_id = 6 where seq = 3|Audit, seal 3 (entry 6): the entry or its seal",
                "delete from audit.seal where seq = 10|Audit, entry 10: it is not sealed and does not wait to be",
                "alter table audit.entry disable trigger user; insert into audit.entry (entry_id, actor_id, action, object,"
                        + " at) overriding system value values (-1, 1, 'set', 'setting', '2020-01-01')"
                        + "|Audit, entry -1: it is not sealed and does not wait to be",
                "insert into audit.unsealed values (77)|Audit, entry 77: it waited to be sealed and is gone."
            })
    void namesTheFirstPlaceThatSomebodyChanged(String change, String words) throws SQLException {
        write(10);
        sealer.seal();
        assertThat(faults()).isEmpty();
        // The entry of the verification itself, so that the chain ends with the tenth.
        Sql.execute(logins.owner(), "delete from audit.unsealed; delete from audit.entry where entry_id > 10");

        tamper(change);

        assertThat(faults().get(0)).startsWith(words);
    }

    @Test
    void findsAnEntryOfLongAgoThatWasPutInLater() throws SQLException {
        write(3);
        sealer.seal();
        Sql.execute(
                logins.owner(),
                "insert into audit.entry (entry_id, actor_id, action, object, at) overriding system value"
                        + " values (-1, 1, 'set', 'setting', now() - interval '40 days')");
        sealer.seal();

        assertThat(faults())
                .containsExactly("Audit, seal 4 (entry -1): the entry is dated more than a day before entries sealed"
                        + " earlier; it was put in later, or the clock of the database was set back.");
    }

    @Test
    void findsAnEndThatWasRemovedByTheHeadOutside() throws SQLException, IOException {
        write(10);
        keepHead();
        assertThat(faults()).isEmpty();

        tamper("delete from audit.seal where seq > 6; delete from audit.entry where entry_id > 6;"
                + " delete from audit.unsealed");

        assertThat(faults())
                .containsExactly(
                        "Heads of the audit, line 1: it names seal 10, which is not there; the end of the audit is"
                                + " missing.");
        Files.delete(heads.path());
        Checked without = chain.verify();
        assertThat(without.faults()).as("without a head nobody can know").isEmpty();
        assertThat(without.words()).contains("a deleted end would not be seen");
    }

    @Test
    void findsAnEndThatWasRemovedAndWrittenAnew() throws SQLException {
        write(10);
        keepHead();
        tamper("delete from audit.seal where seq > 6; delete from audit.entry where entry_id > 6");
        Sql.execute(logins.owner(), "alter table audit.seal enable trigger user");
        write(8);
        sealer.seal();

        assertThat(faults())
                .containsExactly(
                        "Heads of the audit, line 1: it does not fit seal 10; the audit up to there, or the line,"
                                + " was replaced.");
    }

    @Test
    void namesTheLineOfTheHeadsThatDoesNotFitAndToleratesOneCutShort() throws IOException {
        for (int i = 0; i < 3; i++) {
            write(2);
            keepHead();
        }
        assertThat(faults()).isEmpty();
        List<String> lines = Files.readAllLines(heads.path());
        assertThat(lines).hasSize(3).allMatch(line -> line.matches("[246] [0-9a-f]{64} 2026-11-24T12:00:00Z"));

        List<String> replaced = new ArrayList<>(lines);
        replaced.set(1, "4 " + "0".repeat(64) + lines.get(1).substring(66));
        Files.write(heads.path(), replaced);
        assertThat(faults())
                .hasSize(1)
                .first()
                .asString()
                .startsWith("Heads of the audit, line 2: it does not fit seal 4");

        replaced.set(1, "four");
        Files.write(heads.path(), replaced);
        assertThat(faults()).containsExactly("Heads of the audit, line 2: it cannot be read; it was changed.");

        String whole = String.join("\n", lines) + "\n";
        for (int length = 1; length < lines.get(2).length(); length++) {
            Files.writeString(heads.path(), whole + lines.get(2).substring(0, length));
            heads.add(new Head(6, lines.get(2).split(" ", -1)[1], now));
            Checked checked = chain.verify();
            assertThat(checked.faults()).isEmpty();
            assertThat(checked.halfLines()).isEqualTo(1);
            assertThat(Files.readAllLines(heads.path())).hasSize(5);
        }
    }

    @Test
    void keepsAHeadAtTheStartEachHourIfSomethingWasSealedAndAtTheStop() throws IOException {
        Sealing sealing = new Sealing(sealer, heads, clock());
        sealing.once(false);
        assertThat(heads.path()).as("nothing to keep yet").doesNotExist();
        write(1);
        sealing.once(false);
        write(1);
        sealing.once(false);
        assertThat(heads.lines()).hasSize(1);
        now = now.plus(Duration.ofHours(1));
        sealing.once(false);
        assertThat(heads.lines()).hasSize(2);
        now = now.plus(Duration.ofHours(2));
        sealing.once(false);
        assertThat(heads.lines()).as("nothing was sealed since").hasSize(2);
        write(1);
        sealing.once(true);
        assertThat(heads.last().orElseThrow()).extracting(Head::seq, Head::at).containsExactly(3L, now);
        assertThat(Files.getPosixFilePermissions(heads.path())).isEqualTo(PosixFilePermissions.fromString("rw-------"));
        assertThat(faults()).isEmpty();
    }

    @Test
    void sealsTheEndAndKeepsItsHeadWhenTheRegistryStops() throws InterruptedException {
        Sealing sealing = new Sealing(sealer, heads, clock());
        write(3);
        sealing.start();
        Instant end = Instant.now().plusSeconds(30);
        while (heads.lines().isEmpty() && Instant.now().isBefore(end)) {
            Thread.sleep(20);
        }
        assertThat(heads.last().orElseThrow().seq()).isEqualTo(3);
        write(2);
        sealing.stop();

        assertThat(sealing.isRunning()).isFalse();
        assertThat(heads.last().orElseThrow().seq()).isEqualTo(5);
        assertThat(registry.rows("select count(*) from audit.unsealed")).containsExactly("0");
    }

    @Test
    void sealsInNoOtherCommandThanServe() {
        write(1);
        assertThatThrownBy(() -> registry.bean(Sealing.class))
                .isInstanceOf(org.springframework.beans.factory.NoSuchBeanDefinitionException.class);
        assertThat(chain.verify().words())
                .startsWith("The audit is sealed up to number 0; 1 entry waits to be sealed.");
        assertThat(chain.verify().faults()).as("what waits is no fault").isEmpty();
    }

    @Test
    void sealsATransactionThatCommitsLateAfterwardsAndLosesNothing() throws SQLException {
        try (Connection late = Sql.connect(logins.app())) {
            late.setAutoCommit(false);
            Sql.execute(late, "select access.enter(1)");
            Sql.execute(late, "select audit.note('set', 'setting', null, null, null, null, null)");
            write(2);
            sealer.seal();
            assertThat(registry.rows(SEALS)).containsExactly("1:2 2:3");
            late.commit();
        }
        write(1);
        sealer.seal();

        assertThat(registry.rows(SEALS)).containsExactly("1:2 2:3 3:1 4:4");
        assertThat(faults()).isEmpty();
    }

    @Test
    void isOneChainWhenSeveralSealAtOnceWhileOthersWrite() throws Exception {
        ExecutorService threads = Executors.newFixedThreadPool(6);
        try {
            List<Future<?>> running = new ArrayList<>();
            for (int i = 0; i < 3; i++) {
                running.add(threads.submit(() -> LongStream.range(0, 40).forEach(turn -> write(5))));
                running.add(
                        threads.submit(() -> LongStream.range(0, 40).forEach(turn -> Acting.asProgram(sealer::seal))));
            }
            for (Future<?> one : running) {
                one.get();
            }
        } finally {
            threads.shutdownNow();
        }
        sealer.seal();

        assertThat(registry.rows("select count(*), max(seq), count(distinct entry_id) from audit.seal"))
                .containsExactly("600,600,600");
        assertThat(faults()).isEmpty();
    }

    @Test
    void goesOnWhereItWasWhenASealingIsCutOff() throws SQLException {
        write(4);
        sealer.seal();
        write(3);
        assertThatThrownBy(() -> transactions.write(dsl -> {
                    SealStore store = new SealStore(dsl);
                    assertThat(store.hold()).isTrue();
                    Seal last = store.last().orElseThrow();
                    store.insert(List.of(store.waiting(1).get(0).seal(5, last.hash())));
                    dsl.execute("select pg_terminate_backend(pg_backend_pid())");
                    return last;
                }))
                .isInstanceOf(RuntimeException.class);
        assertThat(registry.rows(SEALS)).containsExactly("1:1 2:2 3:3 4:4");

        sealer.seal();

        assertThat(registry.rows(SEALS)).containsExactly("1:1 2:2 3:3 4:4 5:5 6:6 7:7");
        assertThat(faults()).isEmpty();
    }

    @Test
    void letsOthersWriteWhileItSeals() {
        write(3);
        transactions.write(dsl -> {
            SealStore store = new SealStore(dsl);
            assertThat(store.hold()).isTrue();
            store.insert(List.of(store.waiting(1).get(0).seal(1, null)));
            write(1);
            assertThat(new Sealer(transactions).seal()).as("another leaves it").isEmpty();
            return store;
        });
        sealer.seal();

        assertThat(registry.rows(SEALS)).containsExactly("1:1 2:2 3:3 4:4");
    }

    @Test
    void letsTheApplicationAddSealsOfWaitingEntriesAloneAndChangeNone() throws SQLException {
        write(3);
        sealer.seal();
        for (String sql : List.of(
                "update audit.seal set hash = sha256('x')",
                "delete from audit.seal",
                "truncate audit.seal",
                "insert into audit.unsealed values (1)",
                "delete from audit.unsealed",
                "update audit.entry set reason = 'x'",
                "delete from audit.entry",
                "truncate audit.entry")) {
            assertThatThrownBy(() -> asApplication(sql))
                    .as(sql)
                    .isInstanceOfSatisfying(
                            SQLException.class, e -> assertThat(e.getSQLState()).isEqualTo("42501"));
        }
        String seal =
                "insert into audit.seal (seq, entry_id, previous, hash) values (%d, %d, sha256('x'), sha256('y'))";
        assertThatThrownBy(() -> asApplication(seal.formatted(4, 1))).hasMessageContaining("seal_once");
        assertThatThrownBy(() -> asApplication(seal.formatted(4, 99))).hasMessageContaining("waits to be sealed");
        write(1);
        assertThatThrownBy(() -> asApplication(seal.formatted(6, 4))).hasMessageContaining("seal_no_gap");
        assertThatThrownBy(() -> asApplication(seal.formatted(3, 4))).hasMessageContaining("seal_pkey");
    }

    private void asApplication(String sql) throws SQLException {
        try (Connection connection = Sql.connect(logins.app())) {
            connection.setAutoCommit(false);
            Sql.execute(connection, "select access.enter(1)");
            Sql.execute(connection, sql);
            connection.commit();
        }
    }
}
