package airway.registry.keys;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.util.HexFormat;
import javax.crypto.Cipher;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The cipher and the hash as the house calls them, against published values. */
class CipherTest {
    private static final HexFormat HEX = HexFormat.of();

    /** Sources: RFC 4231, sections 4.2, 4.3, 4.4 and 4.7 (test cases 1, 2, 3 and 6), HMAC-SHA-256. */
    @ParameterizedTest
    @CsvSource({
        "0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b, 4869205468657265,"
                + " b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7",
        "4a656665, 7768617420646f2079612077616e7420666f72206e6f7468696e673f,"
                + " 5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843",
        "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa,"
                + " dddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddd,"
                + " 773ea91e36800e46854db8ebd09181a72959098b3ef8c122d9635514ced565fe"
    })
    void makesTheHashesOfTheStandard(String key, String text, String hash) {
        assertThat(HEX.formatHex(Keys.hmac(HEX.parseHex(key), HEX.parseHex(text))))
                .isEqualTo(hash);
    }

    @Test
    void makesTheHashOfTheStandardUnderAKeyLongerThanABlock() {
        byte[] text = "Test Using Larger Than Block-Size Key - Hash Key First".getBytes(StandardCharsets.US_ASCII);
        assertThat(HEX.formatHex(Keys.hmac(HEX.parseHex("aa".repeat(131)), text)))
                .isEqualTo("60e431591ee0b67f0d8a26aacbf5b77f8e0bc6213728c5140546040f0ee37f54");
    }

    /**
     * Source: test case 16 of the GCM submission to NIST (McGrew and Viega, 2005), the mode that NIST SP 800-38D adopted;
     * AES-256 with associated data and an incomplete last block.
     */
    @Test
    void sealsAndOpensAsTheStandardDoes() throws GeneralSecurityException {
        byte[] key = HEX.parseHex("feffe9928665731c6d6a8f9467308308feffe9928665731c6d6a8f9467308308");
        byte[] iv = HEX.parseHex("cafebabefacedbaddecaf888");
        byte[] place = HEX.parseHex("feedfacedeadbeeffeedfacedeadbeefabaddad2");
        byte[] clear = HEX.parseHex("d9313225f88406e5a55909c5aff5269a86a7a9531534f7da2e4c303d8a318a72"
                + "1c3c0c95956809532fcf0e2449a6b525b16aedf5aa0de657ba637b39");
        byte[] sealed = HEX.parseHex("522dc1f099567d07f47f37a32a84427d643a8cdcbfe5c0c97598a2bd2555d1aa"
                + "8cb08e48590dbb3da7b08b1056828838c5f61e6393ba7a0abcc9f662" + "76fc6ece0f4e1768cddf8853bb2d551b");
        assertThat(Keys.gcm(Cipher.ENCRYPT_MODE, key, iv, place, clear)).isEqualTo(sealed);
        assertThat(Keys.gcm(Cipher.DECRYPT_MODE, key, iv, place, sealed)).isEqualTo(clear);
        sealed[0] ^= 1;
        assertThatThrownBy(() -> Keys.gcm(Cipher.DECRYPT_MODE, key, iv, place, sealed))
                .isInstanceOf(GeneralSecurityException.class);
    }
}
