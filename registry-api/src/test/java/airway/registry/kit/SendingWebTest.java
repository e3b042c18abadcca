package airway.registry.kit;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import com.google.zxing.BinaryBitmap;
import com.google.zxing.RGBLuminanceSource;
import com.google.zxing.common.HybridBinarizer;
import com.google.zxing.datamatrix.DataMatrixReader;
import java.awt.image.BufferedImage;
import java.net.http.HttpClient;
import java.net.http.HttpResponse;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.rendering.PDFRenderer;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;
import tools.jackson.databind.JsonNode;

/** Sending many items under one label, the paper that goes with them, and taking them back. */
class SendingWebTest extends KitDesk {
    private String used(String name) {
        String item = ready(name);
        moved(recorder, item, "opened", 3, "\"at\": \"2026-11-24T09:00\"");
        moved(recorder, item, "used", 4, "\"place\": \"Box\", \"at\": \"2026-11-24T09:10\"");
        return item;
    }

    private Answer send(String scanned, String label) {
        return form(
                keeper, "/kit/sending", "scanned", scanned, "label", label, "destination_other", "Sterile services");
    }

    private static String id(String item) {
        return item.substring(item.lastIndexOf('/') + 1);
    }

    @Test
    void sendsAllThatWasScannedUnderOneLabelOrNothing() {
        kind();
        String one = used("0417");
        String other = used("0388");
        ready("0391");
        assertThat(page(keeper, "/kit/sending").text()).contains("0417, " + KIND, "0388, " + KIND, "Box");

        Answer refused = send("0417\n0391\n0999", "77/31");
        assertThat(refused.status()).isEqualTo(422);
        assertThat(refused.text())
                .contains("0391 is not waiting to go; it is now: Ready.", "No item of this unit has the label 0999.")
                .contains("0417\n0391\n0999</textarea>", "value=\"77/31\"", "value=\"Sterile services\"");
        assertThat(read(one).path("state").asString()).isEqualTo("used");
        Answer unlabelled = send("0417", "");
        assertThat(unlabelled.text()).contains("href=\"#sent-label\"", "Tell the number of the tracking label.");

        Answer sent = send("0417\n0388\n0417", "77/31");
        assertThat(sent.status()).as(sent.text()).isEqualTo(303);
        assertThat(read(other).path("label").asString()).isEqualTo("77/31");
        String address = sent.header("Location");
        String label = page(keeper, address.substring(address.indexOf("/kit/"))).text();
        assertThat(label).contains("Label 77/31", "To Sterile services, 24 Nov 2026, 12:00", "0388, " + KIND);
        assertThat(page(keeper, "/kit/sending").text()).contains("2 of 2 still away, to Sterile services");
        assertThat(send("", "8").text()).contains("Scan the labels of what goes, or tick it above.");
    }

    @Test
    void printsAPaperWhoseSymbolReadsAsTheLabelAndThatNamesNoRecord() throws Exception {
        kind();
        String item = ready("0417");
        String record = recordConfirmed("""
                        {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-11-24T06:20:00Z",
                         "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes",
                           "kit_labels": ["0417"]}]}]}""".formatted(unit.code()))
                .json()
                .path("encounter_id")
                .asString();
        send("0417", "7731 A");
        assertThat(read(item).path("state").asString()).isEqualTo("sent");

        byte[] pdf = HttpClient.newHttpClient()
                .send(
                        request("/kit/label/paper?label=7731%20A", keeper).GET().build(),
                        HttpResponse.BodyHandlers.ofByteArray())
                .body();

        try (PDDocument document = Loader.loadPDF(pdf)) {
            assertThat(new PDFTextStripper().getText(document))
                    .contains("7731 A", "0417", KIND, "Leaflet 7, March 2024", "Sterile services")
                    .doesNotContain(record.substring(0, 8), "06:20", "attempt");
            BufferedImage image = new PDFRenderer(document).renderImageWithDPI(0, 150);
            int[] dots = image.getRGB(0, 0, image.getWidth(), image.getHeight(), null, 0, image.getWidth());
            assertThat(new DataMatrixReader()
                            .decode(new BinaryBitmap(new HybridBinarizer(corner(dots, image.getWidth()))))
                            .getText())
                    .isEqualTo("7731 A");
        }
        assertThat(page(recorder, "/kit/label/paper?label=7731%20A").status()).isEqualTo(403);
    }

    /** What is dark in the upper right of the page, where the symbol stands: its reader looks for one in the middle. */
    private static RGBLuminanceSource corner(int[] dots, int width) {
        int height = dots.length / width;
        int left = width;
        int right = 0;
        int top = height;
        int bottom = 0;
        for (int y = 0; y < height / 5; y++) {
            for (int x = width * 3 / 4; x < width; x++) {
                if ((dots[y * width + x] & 0xff) < 128) {
                    left = Math.min(left, x);
                    right = Math.max(right, x);
                    top = Math.min(top, y);
                    bottom = Math.max(bottom, y);
                }
            }
        }
        int white = 20;
        int side = Math.max(right - left, bottom - top) + 2 * white;
        int[] part = new int[side * side];
        for (int y = 0; y < side; y++) {
            System.arraycopy(dots, (top - white + y) * width + left - white, part, y * side, side);
        }
        return new RGBLuminanceSource(side, side, part);
    }

    @Test
    void takesBackWhatPassedToBeCheckedAndHoldsWhatFailed() {
        kind();
        String one = used("0417");
        String other = used("0388");
        send("0417\n0388", "7731");
        String[] back = {
            "label",
            "7731",
            "cycle",
            "24-2",
            "cycle_ended_at",
            "2026-11-24T11:30",
            "cycle_passed",
            "yes",
            "use_by",
            "2027-05-18",
            "item",
            id(one) + "/6"
        };
        Answer nothing = form(keeper, "/kit/label", "label", "7731", "cycle_passed", "yes");
        assertThat(nothing.status()).isEqualTo(422);
        assertThat(nothing.text()).contains("href=\"#back-items\"");
        assertThat(form(keeper, "/kit/label", back).status()).isEqualTo(303);

        JsonNode returned = read(one);
        assertThat(returned.path("state").asString()).isEqualTo("returned");
        assertThat(returned.path("cycles").asInt()).isEqualTo(2);
        assertThat(read(other).path("state").asString()).isEqualTo("sent");
        assertThat(page(keeper, pageOf(one)).text()).contains("Inspection, and check of light or picture: passed?");
        assertThat(form(keeper, pageOf(one) + "/moves", "move", "ready", "seen", "7", "checked", "no")
                        .status())
                .isEqualTo(422);
        assertThat(form(keeper, pageOf(one) + "/moves", "move", "ready", "seen", "7", "checked", "yes")
                        .status())
                .isEqualTo(303);

        back[back.length - 1] = id(other) + "/6";
        back[7] = "no";
        JsonNode told = isProblem(
                sent(
                        keeper,
                        "/api/v1/kit/returns",
                        "{\"label\": \"7731\", \"cycle_passed\": \"no\", \"items\": [{\"item_id\": \"" + id(other)
                                + "\", \"seen\": 6}]}"),
                422,
                "invalid");
        assertThat(faults(told)).containsExactly("/place required");
        assertThat(form(keeper, "/kit/label", with(back, "place_other", "Red box"))
                        .status())
                .isEqualTo(303);
        JsonNode held = read(other);
        assertThat(held.path("state").asString()).isEqualTo("held");
        assertThat(held.path("clean").asString()).isEqualTo("no");
        assertThat(held.at("/log/6/cycle_passed").asString()).isEqualTo("no");
        assertThat(page(keeper, "/kit/label?label=7731").text()).contains("All of it is back", "Held: Red box");
    }

    private static String[] with(String[] fields, String... more) {
        String[] all = java.util.Arrays.copyOf(fields, fields.length + more.length);
        System.arraycopy(more, 0, all, fields.length, more.length);
        return all;
    }
}
