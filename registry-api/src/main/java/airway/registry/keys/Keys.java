package airway.registry.keys;

import static airway.sql.generated.access.Tables.KEY;

import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import airway.sql.CannotStart;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.MessageDigest;
import java.security.SecureRandom;
import java.util.Map;
import java.util.SortedMap;
import javax.crypto.Cipher;
import javax.crypto.Mac;
import javax.crypto.spec.GCMParameterSpec;
import javax.crypto.spec.SecretKeySpec;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Component;

/**
 * Encrypts bytes for one place in the database, and opens them again there and nowhere else.
 *
 * <p>AES-256 in GCM (NIST SP 800-38D) with a random 96-bit initialisation vector and a 128-bit tag. What is sealed
 * begins with the number of its key. The place, such as a table and the key of a row, is authenticated with it: a
 * ciphertext moved to another row does not open.
 */
@Component
@ConditionalOnWebApplication
public class Keys {
    private static final int IV_BYTES = 12;
    private static final int TAG_BITS = 128;
    private static final byte[] CHECK = "airway registry, check of a key".getBytes(StandardCharsets.UTF_8);

    private final SortedMap<Integer, byte[]> keys;
    private final SecureRandom random = new SecureRandom();

    /**
     * Reads the keys, and compares them with those that the database was written with.
     *
     * @throws CannotStart if one of these is missing or another one: a key is never made anew in silence
     */
    Keys(ActorTransactions transactions, @Value("${airway.keys-dir:${airway.data-dir}/keys}") Path folder) {
        KeyFiles files = new KeyFiles(folder);
        SortedMap<Integer, byte[]> found = files.read();
        Map<Short, byte[]> known = Acting.asProgram(
                () -> transactions.read(dsl -> dsl.selectFrom(KEY).fetchMap(KEY.KEY_NO, KEY.CHECK_VALUE)));
        known.forEach((number, check) -> {
            byte[] key = found.get(number.intValue());
            if (key == null || !MessageDigest.isEqual(check, check(key))) {
                throw new CannotStart("The folder " + folder + (key == null ? " has no key-" : " has another key-")
                        + number + " than this database was written with. Put the file back from a backup, or name its"
                        + " folder with airway.keys-dir.");
            }
        });
        if (found.isEmpty()) {
            found.put(1, files.make(1));
        }
        Acting.asProgram(() -> transactions.write(dsl -> {
            found.forEach((number, key) -> dsl.insertInto(KEY)
                    .set(KEY.KEY_NO, number.shortValue())
                    .set(KEY.CHECK_VALUE, check(key))
                    .onConflictDoNothing()
                    .execute());
            return found.size();
        }));
        this.keys = found;
    }

    /** Encrypts for a place, with the newest key. */
    public byte[] seal(String place, byte[] clear) {
        int number = keys.lastKey();
        byte[] iv = new byte[IV_BYTES];
        random.nextBytes(iv);
        byte[] sealed = run(Cipher.ENCRYPT_MODE, number, place, iv, clear);
        return ByteBuffer.allocate(1 + IV_BYTES + sealed.length)
                .put((byte) number)
                .put(iv)
                .put(sealed)
                .array();
    }

    /**
     * Opens what was sealed for the same place.
     *
     * @throws IllegalStateException if it was changed, belongs to another place, or its key is not here
     */
    public byte[] open(String place, byte[] sealed) {
        ByteBuffer bytes = ByteBuffer.wrap(sealed);
        int number = bytes.get() & 0xFF;
        byte[] iv = new byte[IV_BYTES];
        bytes.get(iv);
        byte[] rest = new byte[bytes.remaining()];
        bytes.get(rest);
        return run(Cipher.DECRYPT_MODE, number, place, iv, rest);
    }

    private byte[] run(int mode, int number, String place, byte[] iv, byte[] text) {
        byte[] key = keys.get(number);
        if (key == null) {
            throw new IllegalStateException("There is no key " + number + ".");
        }
        try {
            Cipher cipher = Cipher.getInstance("AES/GCM/NoPadding");
            cipher.init(mode, new SecretKeySpec(key, "AES"), new GCMParameterSpec(TAG_BITS, iv));
            cipher.updateAAD((place + "|" + number).getBytes(StandardCharsets.UTF_8));
            return cipher.doFinal(text);
        } catch (GeneralSecurityException e) {
            throw new IllegalStateException("What is kept at " + place + " does not open.", e);
        }
    }

    /**
     * HMAC-SHA-256 of a text under a key made from the first one for this purpose alone: the same text gives the same
     * bytes, and nobody without the key can tell which text it was.
     */
    public byte[] mac(String purpose, String text) {
        byte[] key = hmac(keys.get(keys.firstKey()), "airway registry, key for: " + purpose);
        return hmac(key, text);
    }

    private static byte[] hmac(byte[] key, String text) {
        try {
            Mac mac = Mac.getInstance("HmacSHA256");
            mac.init(new SecretKeySpec(key, "HmacSHA256"));
            return mac.doFinal(text.getBytes(StandardCharsets.UTF_8));
        } catch (GeneralSecurityException e) {
            throw new IllegalStateException(e);
        }
    }

    private static byte[] check(byte[] key) {
        try {
            Mac mac = Mac.getInstance("HmacSHA256");
            mac.init(new SecretKeySpec(key, "HmacSHA256"));
            return mac.doFinal(CHECK);
        } catch (GeneralSecurityException e) {
            throw new IllegalStateException(e);
        }
    }
}
