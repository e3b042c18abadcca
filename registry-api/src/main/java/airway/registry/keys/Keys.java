package airway.registry.keys;

import static airway.sql.generated.access.Tables.KEY;

import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Problem;
import airway.sql.CannotStart;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.MessageDigest;
import java.security.SecureRandom;
import java.util.List;
import java.util.SortedMap;
import java.util.TreeMap;
import javax.crypto.Cipher;
import javax.crypto.Mac;
import javax.crypto.spec.GCMParameterSpec;
import javax.crypto.spec.SecretKeySpec;
import org.jooq.impl.DSL;
import org.jooq.impl.SQLDataType;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.context.annotation.Lazy;
import org.springframework.stereotype.Component;

/**
 * Encrypts bytes for one place in the database, opens them again there and nowhere else, and makes the keyed hashes by
 * which what is encrypted can be found.
 *
 * <p>AES-256 in GCM (NIST SP 800-38D) with a random 96-bit initialisation vector and a 128-bit tag. What is sealed
 * begins with the number of its key. The place, such as a table and the key of a row, is authenticated with it: a
 * ciphertext moved to another row does not open. Hashes are HMAC-SHA-256 (RFC 2104) under a key of their own.
 *
 * <p>A key may be added at any time: from then on it seals, and the earlier ones go on opening. On the command line keys are
 * read only by what needs them.
 */
@Lazy
@Component
public class Keys {
    private static final int IV_BYTES = 12;
    private static final int TAG_BITS = 128;
    private static final String HMAC = "HmacSHA256";
    private static final byte[] CHECK = "airway registry, check of a key".getBytes(StandardCharsets.UTF_8);

    /** A key to seal with, and the one to find by that goes with it. */
    private static final class Pair {
        private final byte[] seal;
        private final byte[] lookup;

        Pair(byte[] seal, byte[] lookup) {
            this.seal = seal;
            this.lookup = lookup;
        }
    }

    private final ActorTransactions transactions;
    private final Path folder;
    private final KeyFiles files;
    private final SecureRandom random = new SecureRandom();
    private volatile SortedMap<Integer, Pair> pairs;

    /**
     * Reads the keys, and compares them with those that the database was written with.
     *
     * @throws CannotStart if one of these is missing or another one: a key is never made anew in silence
     */
    Keys(ActorTransactions transactions, @Value("${airway.keys-dir:${airway.data-dir}/keys}") Path folder) {
        this.transactions = transactions;
        this.folder = folder;
        this.files = new KeyFiles(folder);
        this.pairs = Acting.asProgram(this::read);
    }

    private SortedMap<Integer, Pair> read() {
        SortedMap<Integer, byte[]> seal = files.read(KeyFiles.Use.SEAL);
        SortedMap<Integer, byte[]> lookup = files.read(KeyFiles.Use.LOOKUP);
        transactions.read(dsl -> dsl.selectFrom(KEY).fetch()).forEach(known -> {
            int number = known.get(KEY.KEY_NO);
            compare(KeyFiles.Use.SEAL, number, seal.get(number), known.get(KEY.CHECK_VALUE));
            compare(KeyFiles.Use.LOOKUP, number, lookup.get(number), known.get(KEY.LOOKUP_CHECK_VALUE));
        });
        if (seal.isEmpty()) {
            seal.put(1, files.make(KeyFiles.Use.SEAL, 1));
        }
        SortedMap<Integer, Pair> read = new TreeMap<>();
        seal.forEach((number, key) -> {
            byte[] found = lookup.get(number);
            read.put(number, new Pair(key, found == null ? files.make(KeyFiles.Use.LOOKUP, number) : found));
        });
        transactions.write(dsl -> {
            read.forEach((number, pair) -> dsl.insertInto(KEY)
                    .set(KEY.KEY_NO, number.shortValue())
                    .set(KEY.CHECK_VALUE, check(pair.seal))
                    .set(KEY.LOOKUP_CHECK_VALUE, check(pair.lookup))
                    .onConflict(KEY.KEY_NO)
                    .doUpdate()
                    .set(KEY.LOOKUP_CHECK_VALUE, check(pair.lookup))
                    .where(KEY.LOOKUP_CHECK_VALUE.isNull())
                    .execute());
            return read.size();
        });
        return read;
    }

    private void compare(KeyFiles.Use use, int number, byte @Nullable [] key, byte @Nullable [] check) {
        if (check != null && (key == null || !MessageDigest.isEqual(check, check(key)))) {
            throw new CannotStart("The folder " + folder + (key == null ? " has no " : " has another ")
                    + use.file(number) + " than this database was written with. Put the file back from a backup, or"
                    + " name its folder with airway.keys-dir.");
        }
    }

    /**
     * Makes a new key, and one to find by; everything is sealed with it from now on.
     *
     * @return its number
     * @throws Problem.Conflict if there are as many as there can be
     * @throws CannotStart if the files cannot be written
     */
    synchronized int add() {
        return Acting.asProgram(this::make);
    }

    private int make() {
        int made = transactions.write(dsl -> {
            // Another program on the same database may be about to make the same number.
            dsl.execute("select pg_advisory_xact_lock(hashtextextended('key', 0))");
            Integer last = dsl.select(DSL.max(KEY.KEY_NO).cast(SQLDataType.INTEGER))
                    .from(KEY)
                    .fetchSingle()
                    .value1();
            int number = 1
                    + Math.max(
                            last == null ? 0 : last,
                            files.read(KeyFiles.Use.SEAL).lastKey());
            if (number > KeyFiles.MOST) {
                throw new Problem.Conflict(
                        "There are " + KeyFiles.MOST + " keys, and there can be no more.", List.of());
            }
            byte[] seal = files.make(KeyFiles.Use.SEAL, number);
            byte[] lookup = files.make(KeyFiles.Use.LOOKUP, number);
            dsl.insertInto(KEY)
                    .set(KEY.KEY_NO, (short) number)
                    .set(KEY.CHECK_VALUE, check(seal))
                    .set(KEY.LOOKUP_CHECK_VALUE, check(lookup))
                    .execute();
            dsl.execute(
                    "select audit.note('rotated', 'key', null, null, null, null, jsonb_build_object('key', {0}))",
                    DSL.val(number));
            return number;
        });
        pairs = read();
        return made;
    }

    /** Takes up keys that another program on the same database and folder has made meanwhile. */
    synchronized void learn() {
        int known = Acting.asProgram(() -> transactions.read(dsl -> dsl.fetchCount(KEY)));
        if (known > pairs.size()) {
            pairs = Acting.asProgram(this::read);
        }
    }

    /** The number of the key that seals. */
    int newest() {
        return pairs.lastKey();
    }

    /** Encrypts for a place, with the newest key. */
    public byte[] seal(String place, byte[] clear) {
        SortedMap<Integer, Pair> now = pairs;
        int number = now.lastKey();
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
        if (sealed.length < 1 + IV_BYTES) {
            throw new IllegalStateException("What is kept at " + place + " is too short.");
        }
        ByteBuffer bytes = ByteBuffer.wrap(sealed);
        int number = bytes.get() & 0xFF;
        byte[] iv = new byte[IV_BYTES];
        bytes.get(iv);
        byte[] rest = new byte[bytes.remaining()];
        bytes.get(rest);
        return run(Cipher.DECRYPT_MODE, number, place, iv, rest);
    }

    /** The number of the key that something was sealed with. */
    public static int number(byte[] sealed) {
        return sealed[0] & 0xFF;
    }

    /**
     * The hash by which a text of a place is found, under the key to find by of a number.
     *
     * @throws IllegalStateException if there is no such key
     */
    public byte[] lookup(int number, String place, byte[] text) {
        byte[] before = (place + "|").getBytes(StandardCharsets.UTF_8);
        return hmac(
                pair(number).lookup,
                ByteBuffer.allocate(before.length + text.length)
                        .put(before)
                        .put(text)
                        .array());
    }

    /** The same under every key: while values are being sealed anew, some are found by the earlier one. */
    public List<byte[]> lookups(String place, byte[] text) {
        return pairs.keySet().stream()
                .map(number -> lookup(number, place, text))
                .toList();
    }

    private Pair pair(int number) {
        Pair pair = pairs.get(number);
        if (pair == null) {
            learn();
            pair = pairs.get(number);
        }
        if (pair == null) {
            throw new IllegalStateException("There is no key " + number + ".");
        }
        return pair;
    }

    private byte[] run(int mode, int number, String place, byte[] iv, byte[] text) {
        byte[] key = pair(number).seal;
        try {
            return gcm(mode, key, iv, (place + "|" + number).getBytes(StandardCharsets.UTF_8), text);
        } catch (GeneralSecurityException e) {
            throw new IllegalStateException("What is kept at " + place + " does not open.", e);
        }
    }

    /**
     * The hash of a text under the first key to find by, for a purpose of its own: the same text gives the same bytes, and
     * nobody without the key can tell which text it was.
     */
    public byte[] mac(String purpose, String text) {
        return lookup(pairs.firstKey(), purpose, text.getBytes(StandardCharsets.UTF_8));
    }

    /** AES in GCM with a tag of 128 bits behind the ciphertext. */
    static byte[] gcm(int mode, byte[] key, byte[] iv, byte[] place, byte[] text) throws GeneralSecurityException {
        Cipher cipher = Cipher.getInstance("AES/GCM/NoPadding");
        cipher.init(mode, new SecretKeySpec(key, "AES"), new GCMParameterSpec(TAG_BITS, iv));
        cipher.updateAAD(place);
        return cipher.doFinal(text);
    }

    /** HMAC-SHA-256. */
    static byte[] hmac(byte[] key, byte[] text) {
        try {
            Mac mac = Mac.getInstance(HMAC);
            mac.init(new SecretKeySpec(key, HMAC));
            return mac.doFinal(text);
        } catch (GeneralSecurityException e) {
            throw new IllegalStateException(e);
        }
    }

    private static byte[] check(byte[] key) {
        return hmac(key, CHECK);
    }
}
