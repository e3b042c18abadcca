package airway.registry.kit;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

class ScanTest {
    private static final LocalDate TODAY = LocalDate.of(2026, 11, 24);

    /** The source of each stands in its row: published tests and label texts, and values computed from the standard's rules. */
    static Stream<CSVRecord> vectors() throws IOException {
        CSVFormat table = CSVFormat.RFC4180
                .builder()
                .setHeader()
                .setSkipHeaderRecord(true)
                .get();
        return table.parse(Files.newBufferedReader(Path.of("src/test/resources/kit/scans.csv"))).stream();
    }

    @ParameterizedTest(name = "{0}")
    @MethodSource("vectors")
    void readsWhatTheSourcesSay(CSVRecord row) {
        Scan scan = Scan.read(row.get("input"), LocalDate.parse(row.get("today")));
        assertThat(scan.result()).as(row.get("note")).hasToString(row.get("expect"));
        assertThat(scan.warnings().stream().map(Enum::name).collect(Collectors.joining("|")))
                .isEqualTo(row.get("warnings"));
        Map<String, String> expected = new LinkedHashMap<>();
        for (String[] named : new String[][] {
            {"01", "gtin"}, {"10", "lot"}, {"21", "serial"}, {"240", "additional_id"}, {"8004", "giai"}
        }) {
            if (!row.get(named[1]).isEmpty()) {
                expected.put(named[0], row.get(named[1]));
            }
        }
        if (!row.get("other").isEmpty()) {
            String[] other = row.get("other").split("=", 2);
            expected.put(other[0], other[1]);
        }
        Map<String, String> values = new LinkedHashMap<>();
        Map<String, String> dates = new LinkedHashMap<>();
        for (Scan.Element element : scan.elements()) {
            if (element.date() == null) {
                values.put(element.ai(), element.value());
            } else {
                dates.put(element.ai(), element.date());
            }
        }
        assertThat(values).isEqualTo(expected);
        assertThat(dates.getOrDefault("11", "")).isEqualTo(row.get("prod_date"));
        assertThat(dates.getOrDefault("17", "")).isEqualTo(row.get("expiry_date"));
    }

    @Test
    void allVectorsAreThere() throws IOException {
        assertThat(vectors()).hasSize(39);
    }

    /** Rules of the GS1 General Specifications beyond the vectors; GS stands as {@code {GS}}. */
    @ParameterizedTest
    @CsvSource({
        "0109506000134352{GS}17271130{GS}10L9{GS}, OK",
        "01095060001343522559506000134352, CONFLICT",
        "010950600013435231000000013101000001, CONFLICT",
        "80039506000134352, BAD_LENGTH",
        "800309506000134352S1, OK",
        "8017950600013435212341, BAD_CHECK_DIGIT",
        "]d1 0109506000134352, NOT_GS1",
        "=A9999, NOT_GS1",
        "]E496385074, OK",
        "]E0416000336109, BAD_LENGTH",
        "(01)09506000134352(05)1, BAD_LENGTH",
        "(05)1, UNKNOWN_AI",
        "{GS}, EMPTY",
        "01095060001343527003271130, BAD_LENGTH",
        "010950600013435270032711301230, OK",
        "010950600013435270032711001230, BAD_DATE",
        "80049506000BLADE-0042{GS}10L9, NO_KEY",
    })
    void keepsTheRulesOfTheStandard(String sent, Scan.Result result) {
        assertThat(Scan.read(sent, TODAY).result()).isEqualTo(result);
    }

    /** Arithmetic of another kind: the weighted sum with its check digit is a multiple of ten. */
    @Test
    void takesOneCheckDigitOfTen() {
        Random random = new Random(7);
        for (int i = 0; i < 1_000; i++) {
            String body = String.format("%013d", Math.floorMod(random.nextLong(), 10_000_000_000_000L));
            List<Integer> taken = new ArrayList<>();
            for (int digit = 0; digit < 10; digit++) {
                if (Scan.read("01" + body + digit, TODAY).result() == Scan.Result.OK) {
                    taken.add(digit);
                }
            }
            int sum = 0;
            for (int place = 0; place < 13; place++) {
                sum += (body.charAt(place) - '0') * (place % 2 == 0 ? 3 : 1);
            }
            assertThat(taken).hasSize(1);
            assertThat((sum + taken.get(0)) % 10).isZero();
        }
    }

    /** Whatever a scanner sends, it is answered: nothing thrown, and nothing of it kept unless all can be read. */
    @Test
    void answersAnything() {
        Random random = new Random(11);
        String alphabet = "0123456789(){}ABCabc]dCQ#\u001d\n %/";
        for (int i = 0; i < 20_000; i++) {
            StringBuilder sent = new StringBuilder(random.nextBoolean() ? "0109506000134352" : "");
            for (int length = random.nextInt(30); length > 0; length--) {
                sent.append(alphabet.charAt(random.nextInt(alphabet.length())));
            }
            Scan scan = Scan.read(sent.toString(), TODAY);
            assertThat(scan.elements().isEmpty()).isEqualTo(scan.result() != Scan.Result.OK);
        }
    }

    @Test
    void noIdentifierBeginsLikeAnother() {
        for (int no = 0; no < 10_000; no++) {
            String four = String.format("%04d", no);
            List<String> known = Stream.of(four.substring(0, 2), four.substring(0, 3), four)
                    .filter(digits -> Identifiers.named(digits).isPresent())
                    .toList();
            assertThat(known).as(four).hasSizeLessThanOrEqualTo(1);
        }
    }
}
