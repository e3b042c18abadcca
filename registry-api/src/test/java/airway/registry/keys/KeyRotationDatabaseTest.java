package airway.registry.keys;

import static airway.sql.generated.encounter.Tables.DRAFT;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.testing.OpenRegistry;
import airway.sql.TestDatabase;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.UUID;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.Table;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.springframework.scheduling.concurrent.ThreadPoolTaskScheduler;

/** Sealing anew, step by step: it stops anywhere, goes on elsewhere, and a damaged row holds up nobody. */
class KeyRotationDatabaseTest {
    private static final int ROWS = 230;
    private static final OffsetDateTime NOW = OffsetDateTime.parse("2026-11-24T12:00:00Z");

    @TempDir
    Path temp = Path.of("");

    private final OpenRegistry registry = OpenRegistry.on(TestDatabase.fresh());
    private final ActorTransactions transactions = registry.bean(ActorTransactions.class);
    private final ThreadPoolTaskScheduler background = new ThreadPoolTaskScheduler();
    private final List<UUID> ids = new ArrayList<>();
    private Site unit = new Site((short) 0, "", "", "", ZoneId.of("UTC"), true);

    @BeforeEach
    void rowsUnderTheFirstKey() {
        unit = registry.bean(Sites.class).add("one", "One", "picu", ZoneId.of("Europe/London"), true);
        Keys keys = keys();
        for (int row = 0; row < ROWS; row++) {
            UUID id = UUID.randomUUID();
            ids.add(id);
            transactions.write(dsl -> dsl.insertInto(DRAFT)
                    .set(DRAFT.SITE_ID, unit.no())
                    .set(DRAFT.DRAFT_ID, id)
                    .set(DRAFT.REVISION, 1)
                    .set(DRAFT.WRITER, UUID.randomUUID())
                    .set(DRAFT.SEALED, keys.seal(place(id), clear(id)))
                    .set(DRAFT.BEGUN_AT, NOW)
                    .set(DRAFT.WRITTEN_AT, NOW)
                    .set(DRAFT.EXPIRES_AT, NOW.plusDays(7))
                    .execute());
        }
    }

    @AfterEach
    void close() {
        background.shutdown();
        registry.close();
    }

    private static String place(UUID id) {
        return "test|" + id;
    }

    private static byte[] clear(UUID id) {
        return ("row " + id).getBytes(StandardCharsets.UTF_8);
    }

    private static final class Rows implements SealedTable {
        @Override
        public String title() {
            return "Rows";
        }

        @Override
        public Table<?> table() {
            return DRAFT;
        }

        @Override
        public List<Field<?>> key() {
            return List.of(DRAFT.SITE_ID, DRAFT.DRAFT_ID);
        }

        @Override
        public Field<byte[]> sealed() {
            return DRAFT.SEALED;
        }

        @Override
        public String place(Record row) {
            return KeyRotationDatabaseTest.place(row.get(DRAFT.DRAFT_ID));
        }
    }

    /** The keys as a start reads them. */
    private Keys keys() {
        return new Keys(transactions, temp.resolve("keys"));
    }

    private KeyRotation rotation(Keys keys) {
        return new KeyRotation(transactions, keys, List.of(new Rows()), background);
    }

    private List<? extends Record> some(int number) {
        return transactions.read(dsl -> dsl.select(DRAFT.SITE_ID, DRAFT.DRAFT_ID)
                .from(DRAFT)
                .limit(number)
                .fetch());
    }

    private List<String> byKey() {
        return registry.rows("select get_byte(sealed, 0), count(*) from encounter.draft group by 1 order by 1");
    }

    private void allCanBeRead(Keys keys) {
        transactions
                .read(dsl -> dsl.selectFrom(DRAFT).fetch())
                .forEach(row -> assertThat(keys.open(place(row.get(DRAFT.DRAFT_ID)), row.get(DRAFT.SEALED)))
                        .isEqualTo(clear(row.get(DRAFT.DRAFT_ID))));
    }

    @Test
    void goesOnWhereItWasWhenItWasStoppedMidway() {
        Keys before = keys();
        assertThat(before.add()).isEqualTo(2);
        assertThat(rotation(before).sealAnew(new Rows(), some(90))).isEqualTo(90);
        assertThat(byKey()).containsExactly("1," + (ROWS - 90), "2,90");
        allCanBeRead(before);

        Keys after = keys();
        allCanBeRead(after);
        rotation(after).goOn();

        assertThat(byKey()).containsExactly("2," + ROWS);
        allCanBeRead(after);
        assertThat(rotation(after).held()).extracting(KeyRotation.Held::number).containsExactly(2, 1);
        assertThat(rotation(after).held()).extracting(KeyRotation.Held::all).containsExactly(ROWS, 0);
        assertThat(registry.rows("select action, object, detail ->> 'key' from audit.entry"))
                .containsExactly("rotated,key,2");
    }

    @Test
    void leavesADamagedRowUnderItsKeyAndSealsTheOthers() {
        transactions.write(dsl -> dsl.execute("update encounter.draft set sealed = set_byte(sealed, 20,"
                + " get_byte(sealed, 20) # 1) where draft_id = '" + ids.get(7) + "'"));
        Keys keys = keys();
        keys.add();
        rotation(keys).goOn();
        assertThat(byKey()).containsExactly("1,1", "2," + (ROWS - 1));
    }

    @Test
    void leavesARowThatSomebodyIsWritingForTheNextTurn() {
        Keys keys = keys();
        keys.add();
        transactions.write(dsl -> {
            dsl.execute("select from encounter.draft where draft_id = '" + ids.get(3) + "' for update");
            rotation(keys).goOn();
            return 0;
        });
        assertThat(byKey()).containsExactly("1,1", "2," + (ROWS - 1));
        rotation(keys).goOn();
        assertThat(byKey()).containsExactly("2," + ROWS);
    }

    @Test
    void aKeyMadeByAnotherProgramOnTheSameFolderIsTakenUp() {
        Keys mine = keys();
        Keys theirs = keys();
        assertThat(theirs.add()).isEqualTo(2);
        byte[] sealed = theirs.seal("place", clear(ids.get(0)));
        assertThat(mine.open("place", sealed)).isEqualTo(clear(ids.get(0)));
        assertThat(mine.newest()).isEqualTo(2);
        assertThat(mine.add()).isEqualTo(3);
    }

    @Test
    void theKeyToFindByIsAnotherOneAndNeverMadeAnewOnceItWasUsed() throws Exception {
        assertThat(Files.readString(temp.resolve("keys/lookup-1")))
                .isNotEqualTo(Files.readString(temp.resolve("keys/key-1")));
        Files.delete(temp.resolve("keys/lookup-1"));
        assertThatThrownBy(this::keys).hasMessageContaining("has no lookup-1");
        assertThat(temp.resolve("keys/lookup-1")).doesNotExist();
    }

    @Test
    void aDatabaseFromBeforeThereWereKeysToFindByGetsOne() throws Exception {
        Files.delete(temp.resolve("keys/lookup-1"));
        transactions.write(dsl -> dsl.execute("update access.key set lookup_check_value = null"));
        assertThat(keys().lookup(1, "place", clear(ids.get(0)))).hasSize(32);
        assertThat(temp.resolve("keys/lookup-1")).exists();
        assertThat(registry.rows("select lookup_check_value is not null from access.key"))
                .containsExactly("t");
    }

    @Test
    void aKeyWhoseMakingWasInterruptedIsTakenUpAtTheNextStart() {
        new KeyFiles(temp.resolve("keys")).make(KeyFiles.Use.SEAL, 2);
        Keys keys = keys();
        assertThat(keys.newest()).isEqualTo(2);
        rotation(keys).goOn();
        allCanBeRead(keys());
        assertThat(byKey()).containsExactly("2," + ROWS);
    }

    @Test
    void theSameTextHasAnotherHashInAnotherPlaceAndUnderAnotherKey() {
        Keys keys = keys();
        keys.add();
        byte[] text = clear(ids.get(0));
        assertThat(keys.lookup(1, "a", text))
                .isEqualTo(keys.lookup(1, "a", text))
                .isNotEqualTo(keys.lookup(1, "b", text))
                .isNotEqualTo(keys.lookup(2, "a", text));
        assertThat(keys.lookups("a", text)).containsExactly(keys.lookup(1, "a", text), keys.lookup(2, "a", text));
    }
}
