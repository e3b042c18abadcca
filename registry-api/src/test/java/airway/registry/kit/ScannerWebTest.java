package airway.registry.kit;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import com.google.zxing.BinaryBitmap;
import com.google.zxing.NotFoundException;
import com.google.zxing.RGBLuminanceSource;
import com.google.zxing.ReaderException;
import com.google.zxing.Result;
import com.google.zxing.ResultMetadataType;
import com.google.zxing.common.BitMatrix;
import com.google.zxing.common.GlobalHistogramBinarizer;
import com.google.zxing.datamatrix.DataMatrixReader;
import java.net.URLEncoder;
import java.net.http.HttpRequest;
import java.nio.charset.StandardCharsets;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import tools.jackson.databind.json.JsonMapper;

class ScannerWebTest extends ServedRegistry {
    private static final String API = "/api/v1/kit/scans";

    @Test
    void readsAScanForPrograms() {
        Answer answer = post(API, """
                {"data": "01095060001343521727113010L9-A\\u001d21S/7", "today": "2026-11-24"}""");
        assertThat(answer.status()).isEqualTo(200);
        assertThat(answer.json()).isEqualTo(new JsonMapper().readTree("""
                {"result": "OK", "warnings": [], "elements": [
                  {"ai": "01", "value": "09506000134352"},
                  {"ai": "17", "value": "271130", "date": "2027-11-30"},
                  {"ai": "10", "value": "L9-A"},
                  {"ai": "21", "value": "S/7"}]}"""));
    }

    @Test
    void saysWhyItCannotBeReadAndKeepsNothingOfIt() {
        assertThat(post(API, "{\"data\": \"0112345678901234\"}").json())
                .isEqualTo(new JsonMapper()
                        .readTree("{\"result\": \"BAD_CHECK_DIGIT\", \"warnings\": [], \"elements\": []}"));
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = ';',
            value = {
                "{}; 422; /data",
                "{\"data\": null}; 422; /data",
                "{\"data\": 5}; 422; /data",
                "{\"data\": \"01\", \"today\": \"2026-02-30\"}; 422; /today",
                "{\"data\": \"01\", \"when\": \"2026-02-03\"}; 400; /when"
            })
    void namesWhatIsWrongWithARequest(String body, int status, String field) {
        Answer answer = post(API, body);
        assertThat(answer.status()).isEqualTo(status);
        assertThat(faults(answer.json())).anyMatch(fault -> fault.startsWith(field + " "));
    }

    @Test
    void answersNobodyWhoIsNotKnown() {
        isProblem(
                send(bare(API)
                        .header("Content-Type", "application/json")
                        .POST(HttpRequest.BodyPublishers.ofString("{\"data\": \"01\"}"))),
                401,
                "signed-out");
    }

    private Answer tried(String data) {
        return send(request("/kit/scanner")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .header("Accept", "text/html")
                .POST(HttpRequest.BodyPublishers.ofString("data=" + URLEncoder.encode(data, StandardCharsets.UTF_8))));
    }

    @ParameterizedTest
    @CsvSource({
        "010950600013435210yz-YZ/1{GS}21a_B.7, which is understood",
        "]d2010950600013435210yz-YZ/1␝21a_B.7, This scanner can be used",
        "010950600013435210yz-YZ/1|21a_B.7, The separator comes as “|”",
        "010950600013435210yz-YZ/121a_B.7, The separator is lost",
        "010950600013435210YZ-YZ/1␝21A_B.7, not kept apart",
        "010950600013435210zy-ZY/1␝21a_B.7, y and z are exchanged",
        "010950600013435210yz)YZ/1␝21a_B.7, differs from the symbol at character 21",
        "'', Nothing has come"
    })
    void tellsWhatAScannerGetsWrong(String sent, String words) {
        assertThat(tried(sent).text()).contains(words);
    }

    @Test
    void showsEveryCharacterAndHowALabelIsRead() {
        assertThat(tried("0109506000134352\u241d<b>").text())
                .contains("U+001D", "separator", "name nothing", "&lt;b&gt;")
                .doesNotContain("<b>&");
    }

    /** A decoder reads it back: GS1 DataMatrix (]d2, ISO/IEC 15424), the mark at its begin told as a separator. */
    @Test
    void drawsASymbolThatADecoderReads() throws NotFoundException, ReaderException {
        Matcher dots = Pattern.compile("M(\\d+) (\\d+)h1").matcher(ScannerTrial.symbol());
        BitMatrix picture = new BitMatrix(300, 300);
        while (dots.find()) {
            picture.setRegion(8 * Integer.parseInt(dots.group(1)), 8 * Integer.parseInt(dots.group(2)), 8, 8);
        }
        int[] pixels = new int[300 * 300];
        for (int i = 0; i < pixels.length; i++) {
            pixels[i] = picture.get(i % 300, i / 300) ? 0xff000000 : 0xffffffff;
        }
        Result read = new DataMatrixReader()
                .decode(new BinaryBitmap(new GlobalHistogramBinarizer(new RGBLuminanceSource(300, 300, pixels))));
        assertThat(read.getResultMetadata().get(ResultMetadataType.SYMBOLOGY_IDENTIFIER))
                .isEqualTo("]d2");
        assertThat(read.getText()).isEqualTo(Scan.SEPARATOR + ScannerTrial.CONTENT);
        assertThat(Scan.read(
                                "]d2" + read.getText(),
                                NOW.atZone(java.time.ZoneOffset.UTC).toLocalDate())
                        .result())
                .isEqualTo(Scan.Result.OK);
    }
}
