package airway.registry.audit;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.UUID;
import org.erdtman.jcs.JsonCanonicalizer;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What is hashed for an entry, and the canonical JSON it is made by. */
class EntryTest {
    private static final UUID ID = UUID.fromString("00000000-0000-4000-8000-000000000001");

    /** RFC 8785, section 3.2.2 (input) and 3.2.3 (result). */
    @Test
    void writesTheExampleOfTheStandardAsTheStandardDoes() throws IOException {
        String input = "{\"numbers\": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],"
                + " \"string\": \"\\u20ac$\\u000F\\u000aA'\\u0042\\u0022\\u005c\\\\\\\"\\/\","
                + " \"literals\": [null, true, false]}";

        assertThat(new JsonCanonicalizer(input).getEncodedString())
                .isEqualTo("{\"literals\":[null,true,false],"
                        + "\"numbers\":[333333333.3333333,1e+30,4.5,0.002,1e-27],"
                        + "\"string\":\"\u20ac$\\u000f\\nA'B\\\"\\\\\\\\\\\"/\"}");
    }

    /** RFC 8785, section 3.2.3: names are sorted by their UTF-16 code units. */
    @Test
    void sortsTheNamesOfTheStandardAsTheStandardDoes() throws IOException {
        String input = "{\"\\u20ac\": \"Euro Sign\", \"\\r\": \"Carriage Return\","
                + " \"\\ufb33\": \"Hebrew Letter Dalet With Dagesh\", \"1\": \"One\","
                + " \"\\ud83d\\ude00\": \"Emoji: Grinning Face\", \"\\u0080\": \"Control\","
                + " \"\\u00f6\": \"Latin Small Letter O With Diaeresis\"}";

        assertThat(new JsonCanonicalizer(input).getEncodedString().replaceAll("\"[^\"]*\":", ""))
                .isEqualTo("{\"Carriage Return\",\"One\",\"Control\",\"Latin Small Letter O With Diaeresis\","
                        + "\"Euro Sign\",\"Emoji: Grinning Face\",\"Hebrew Letter Dalet With Dagesh\"}");
    }

    /** RFC 8785, appendix B: IEEE 754 doubles by their bits, and how they are written. */
    @ParameterizedTest
    @CsvSource({
        "0000000000000000, 0",
        "8000000000000000, 0",
        "0000000000000001, 5e-324",
        "8000000000000001, -5e-324",
        "7fefffffffffffff, 1.7976931348623157e+308",
        "4340000000000000, 9007199254740992",
        "c340000000000000, -9007199254740992",
        "4430000000000000, 295147905179352830000",
        "44b52d02c7e14af5, 9.999999999999997e+22",
        "44b52d02c7e14af6, 1e+23",
        "444b1ae4d6e2ef4e, 999999999999999700000",
        "444b1ae4d6e2ef50, 1e+21",
        "3eb0c6f7a0b5ed8d, 0.000001",
        "41b3de4355555555, 333333333.3333333",
        "becbf647612f3696, -0.0000033333333333333333"
    })
    void writesTheNumbersOfTheStandardAsTheStandardDoes(String bits, String written) throws IOException {
        double number = Double.longBitsToDouble(Long.parseUnsignedLong(bits, 16));

        assertThat(new JsonCanonicalizer("[" + number + "]").getEncodedString()).isEqualTo("[" + written + "]");
    }

    @Test
    void hashesEveryFieldItsPlaceAndTheHashBeforeIt() throws NoSuchAlgorithmException {
        Entry entry = new Entry(
                7,
                "2026-11-24 12:00:00.25+00",
                1,
                (short) 2,
                "amended",
                "encounter",
                ID,
                3,
                "01ff",
                4,
                "why",
                "{\"a\": 1}");
        String text = "{\"about\":4,\"action\":\"amended\",\"actor_id\":1,\"at\":\"2026-11-24 12:00:00.25+00\","
                + "\"detail\":\"{\\\"a\\\": 1}\",\"entry_id\":7,\"hash\":\"01ff\",\"object\":\"encounter\","
                + "\"object_id\":\"" + ID + "\",\"previous\":\"0a0b\",\"reason\":\"why\",\"seq\":9,\"site_id\":2,"
                + "\"version\":3}";

        assertThat(entry.canonical(9, "0a0b")).isEqualTo(text);
        assertThat(entry.seal(9, "0a0b").hash())
                .isEqualTo(HexFormat.of()
                        .formatHex(MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8))));
    }

    @Test
    void leavesOutWhatAnEntryDoesNotHave() {
        assertThat(new Entry(1, "x", 1, null, "set", "setting", null, null, null, null, null, null).canonical(1, null))
                .isEqualTo("{\"action\":\"set\",\"actor_id\":1,\"at\":\"x\",\"entry_id\":1,\"object\":\"setting\","
                        + "\"seq\":1}");
    }
}
