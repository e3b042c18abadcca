package airway.registry.research;

import java.math.BigInteger;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.text.Normalizer;
import java.time.LocalDate;
import java.util.Arrays;
import javax.crypto.Mac;
import javax.crypto.spec.SecretKeySpec;

/**
 * What stands in one package for a child, and by how much its days are shifted. Without the key nobody can tell for whom a
 * pseudonym stands, nor join the rows of two packages. HMAC-SHA-256 (RFC 2104); the form is that of our own rules of privacy,
 * section 6.
 */
final class Pseudonyms {
    private static final String HMAC = "HmacSHA256";
    private static final String DIGITS = "abcdefghijklmnopqrstuvwxyz234567";
    private static final int BYTES = 16;
    private static final int DIGIT_BITS = 5;
    private static final int LENGTH = 26;
    private static final int MOST_DAYS = 364;

    private final byte[] key;
    private final String project;

    /**
     * Pseudonyms of a package.
     *
     * @param key made for it
     * @param project names it
     */
    Pseudonyms(byte[] key, String project) {
        this.key = key.clone();
        this.project = project;
    }

    /** The pseudonym of a child: 128 bits in base 32 (RFC 4648), small letters, nothing behind. */
    String patient(String id) {
        return of("patient", id);
    }

    /** The same of another kind, which tells nothing about a child of the same number. */
    String of(String kind, String id) {
        byte[] first = Arrays.copyOf(mac(kind, id), BYTES);
        BigInteger bits = new BigInteger(1, first).shiftLeft(LENGTH * DIGIT_BITS - BYTES * Byte.SIZE);
        StringBuilder text = new StringBuilder();
        for (int i = LENGTH - 1; i >= 0; i--) {
            text.append(DIGITS.charAt(bits.shiftRight(i * DIGIT_BITS).intValue() & (DIGITS.length() - 1)));
        }
        return text.toString();
    }

    /** The day of a child, 1 to 364 days earlier; all days of one child by the same number. */
    LocalDate shifted(String id, LocalDate day) {
        long first = ByteBuffer.wrap(mac("dateshift", id)).getLong();
        return day.minusDays(Long.remainderUnsigned(first, MOST_DAYS) + 1);
    }

    private byte[] mac(String kind, String id) {
        String normal = Normalizer.normalize(id.strip(), Normalizer.Form.NFC);
        try {
            Mac mac = Mac.getInstance(HMAC);
            mac.init(new SecretKeySpec(key, HMAC));
            return mac.doFinal((kind + '\0' + project + '\0' + normal).getBytes(StandardCharsets.UTF_8));
        } catch (GeneralSecurityException e) {
            throw new IllegalStateException(e);
        }
    }
}
