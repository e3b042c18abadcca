package airway.registry.keys;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import airway.registry.database.ActorTransactions;
import airway.registry.testing.OpenRegistry;
import airway.sql.CannotStart;
import airway.sql.TestDatabase;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Keys outside the database, and what they sealed. */
class KeysDatabaseTest {
    private static final byte[] TEXT = "7 months, 7.4 kg".getBytes(StandardCharsets.UTF_8);

    @TempDir
    Path temp = Path.of("");

    private final OpenRegistry registry = OpenRegistry.on(TestDatabase.fresh());

    @AfterEach
    void close() {
        registry.close();
    }

    private Path folder = Path.of("");

    @BeforeEach
    void folder() {
        folder = temp.resolve("keys");
    }

    private Keys keys() {
        return new Keys(registry.bean(ActorTransactions.class), folder);
    }

    @Test
    void opensAfterARestartWhatItSealed() throws IOException {
        byte[] sealed = keys().seal("draft|1", TEXT);
        assertThat(new String(sealed, StandardCharsets.ISO_8859_1)).doesNotContain("months");
        assertThat(keys().open("draft|1", sealed)).isEqualTo(TEXT);
        assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(folder.resolve("key-1"))))
                .isEqualTo("rw-------");
    }

    @Test
    void sealsTheSameTextDifferentlyEachTime() {
        Keys keys = keys();
        assertThat(keys.seal("draft|1", TEXT)).isNotEqualTo(keys.seal("draft|1", TEXT));
    }

    @Test
    void opensNothingThatWasMovedOrChanged() {
        Keys keys = keys();
        byte[] sealed = keys.seal("draft|1", TEXT);
        assertThatThrownBy(() -> keys.open("draft|2", sealed)).isInstanceOf(IllegalStateException.class);
        for (int at = 0; at < sealed.length; at++) {
            byte[] changed = sealed.clone();
            changed[at] ^= 1;
            assertThatThrownBy(() -> keys.open("draft|1", changed))
                    .as("byte " + at)
                    .isInstanceOf(IllegalStateException.class);
        }
    }

    @Test
    void refusesToStartWithoutTheKeyThatTheDatabaseWasWrittenWith() throws IOException {
        keys();
        Files.move(folder.resolve("key-1"), temp.resolve("elsewhere"));
        assertThatThrownBy(this::keys)
                .isInstanceOf(CannotStart.class)
                .hasMessageContaining("has no key-1 than this database was written with")
                .hasMessageContaining("airway.keys-dir");
        assertThat(folder.resolve("key-1")).doesNotExist();
        Files.writeString(folder.resolve("key-1"), "MDEyMzQ1Njc4OTAxMjM0NTY3ODkwMTIzNDU2Nzg5MDE=");
        Files.setPosixFilePermissions(folder.resolve("key-1"), PosixFilePermissions.fromString("rw-------"));
        assertThatThrownBy(this::keys).isInstanceOf(CannotStart.class).hasMessageContaining("has another key-1");
        Files.delete(folder.resolve("key-1"));
        Files.move(temp.resolve("elsewhere"), folder.resolve("key-1"));
        assertThat(keys()).isNotNull();
    }

    @Test
    void refusesAKeyThatOthersCanRead() throws IOException {
        keys();
        Files.setPosixFilePermissions(folder.resolve("key-1"), PosixFilePermissions.fromString("rw-r--r--"));
        assertThatThrownBy(this::keys).isInstanceOf(CannotStart.class).hasMessageContaining("0600");
        Files.setPosixFilePermissions(folder.resolve("key-1"), PosixFilePermissions.fromString("rw-------"));
        Files.writeString(folder.resolve("key-1"), "c2hvcnQ=");
        assertThatThrownBy(this::keys).isInstanceOf(CannotStart.class).hasMessageContaining("is damaged");
    }
}
