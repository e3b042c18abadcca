package airway.registry.access;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class OneTimeCodeTest {
    /** RFC 6238, appendix B, the rows for SHA-1: the last six of the eight digits, from memory. */
    @ParameterizedTest
    @CsvSource({
        "59, 287082",
        "1111111109, 081804",
        "1111111111, 050471",
        "1234567890, 005924",
        "2000000000, 279037",
        "20000000000, 353130",
    })
    void isTheCodeOfTheStandard(long second, String code) {
        byte[] secret = "12345678901234567890".getBytes(StandardCharsets.US_ASCII);
        Instant when = Instant.ofEpochSecond(second);
        assertThat(OneTimeCode.at(secret, when)).isEqualTo(code);
        assertThat(OneTimeCode.step(secret, code.substring(0, 3) + " " + code.substring(3), when))
                .hasValue(second / 30);
        assertThat(OneTimeCode.step(secret, code, when.plusSeconds(90)))
                .as("too old")
                .isEmpty();
    }

    /** RFC 4648, section 10, without the padding. */
    @ParameterizedTest
    @CsvSource({"f, MY", "fo, MZXQ", "foo, MZXW6", "foob, MZXW6YQ", "fooba, MZXW6YTB", "foobar, MZXW6YTBOI"})
    void writesBase32AsTheStandardDoes(String text, String written) {
        assertThat(OneTimeCode.base32(text.getBytes(StandardCharsets.US_ASCII))).isEqualTo(written);
    }
}
