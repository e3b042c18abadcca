package airway.registry.reports;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import java.io.IOException;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.documentinterchange.logicalstructure.PDStructureElement;
import org.apache.pdfbox.pdmodel.documentinterchange.logicalstructure.PDStructureNode;
import org.apache.pdfbox.pdmodel.documentinterchange.logicalstructure.PDStructureTreeRoot;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.springframework.web.util.HtmlUtils;

/** The report as a file, read back by a library for PDF: what it tells to eyes and ears is what the page tells. */
class ReportFileWebTest extends ServedRegistry {
    private String path = "";
    private String unit = "";

    @BeforeEach
    void aQuarterWithRecords() {
        unit = unit().code();
        path = "/api/v1/reports/2026-Q3?site_id=" + unit;
        for (int i = 0; i < 24; i++) {
            Answer made = recordConfirmed(
                    """
                    {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "202%d-0%d-1%dT10:00:00Z",
                     "cyanotic_heart_disease": "no",
                     "courses": [{"course_approach": "oral", "spo2_best_before": 98,
                       "attempts": [{"attempt_success": "%s", "spo2_lowest": %d}]}]}""".formatted(unit, 5 + i % 2, 7 + i % 3, i % 9, i % 3 == 0 ? "no" : "yes", 70 + i));
            assertThat(made.status()).as(made.text()).isEqualTo(201);
        }
        send(request(path)
                .header("Content-Type", "application/json")
                .header("If-None-Match", "*")
                .PUT(HttpRequest.BodyPublishers.ofString(
                        "{\"learned\": \"Blades \\u201cstraight\\u201d & curved <both>.\"}")));
    }

    private byte[] pdf(String more) {
        try {
            HttpResponse<byte[]> answer = HttpClient.newHttpClient()
                    .send(
                            request(path + more)
                                    .header("Accept", "application/pdf")
                                    .build(),
                            HttpResponse.BodyHandlers.ofByteArray());
            assertThat(answer.headers().firstValue("Content-Type")).contains("application/pdf");
            return answer.body();
        } catch (IOException e) {
            throw new IllegalStateException(e);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException(e);
        }
    }

    /** Without any white space, and the hyphens at which lines were broken. */
    private static String squeezed(String text) {
        return text.replaceAll("\\s+", "");
    }

    private static List<String> told(String html) {
        List<String> told = new ArrayList<>();
        Matcher element = Pattern.compile("<(h1|h2|p|li|th|td|caption|figcaption)\\b[^>]*>([^<]+)</\\1>")
                .matcher(html);
        while (element.find()) {
            told.add(HtmlUtils.htmlUnescape(element.group(2)).strip());
        }
        told.removeIf(String::isEmpty);
        return told;
    }

    @Test
    void isTaggedNamesItsLanguageAndTitleAndTellsDrawingsInWords() throws IOException {
        try (PDDocument document = Loader.loadPDF(pdf(""))) {
            assertThat(document.getDocumentCatalog().getMarkInfo().isMarked()).isTrue();
            assertThat(document.getDocumentCatalog().getLanguage()).startsWith("en");
            assertThat(document.getDocumentInformation().getTitle())
                    .isEqualTo("Intubations, July to September 2026 \u2013 Unit " + unit);
            assertThat(document.getDocumentCatalog().getViewerPreferences().displayDocTitle())
                    .isTrue();
            PDStructureTreeRoot root = document.getDocumentCatalog().getStructureTreeRoot();
            Set<String> kinds = new HashSet<>();
            List<String> drawings = new ArrayList<>();
            walk(root, kinds, drawings);
            assertThat(kinds).contains("H1", "H2", "P", "L", "LI", "Table", "TR", "TH", "TD", "Figure");
            assertThat(drawings)
                    .hasSize(Figures.FIRST_PAGE.size())
                    .allSatisfy(words -> assertThat(words).contains("The counts are in the table of measures."));
            for (PDPage page : document.getPages()) {
                for (var name : page.getResources().getFontNames()) {
                    assertThat(page.getResources().getFont(name).isEmbedded())
                            .as(page.getResources().getFont(name).getName())
                            .isTrue();
                }
            }
        }
    }

    private static void walk(PDStructureNode node, Set<String> kinds, List<String> drawings) {
        for (Object kid : node.getKids()) {
            if (kid instanceof PDStructureElement element) {
                kinds.add(element.getStandardStructureType());
                if (element.getStandardStructureType().equals("Figure")) {
                    drawings.add(String.valueOf(element.getAlternateDescription()));
                }
                walk(element, kinds, drawings);
            }
        }
    }

    @Test
    void saysEverySentenceOfThePage() throws IOException {
        for (String readers : List.of("unit", "board")) {
            String page = get("/reports/2026-Q3?site_id=" + unit + "&readers=" + readers)
                    .text();
            List<String> told = told(page.substring(page.indexOf("<article"), page.indexOf("</article>")));
            try (PDDocument document = Loader.loadPDF(pdf("&readers=" + readers))) {
                PDFTextStripper stripper = new PDFTextStripper();
                stripper.setSortByPosition(false);
                String text = squeezed(stripper.getText(document)
                        .replaceAll(
                                "Airway register\\. Describes what happened; ranks nobody\\.|Page \\d+ of \\d+", ""));
                assertThat(told).hasSizeGreaterThan(100);
                assertThat(told).contains("Blades \u201cstraight\u201d & curved <both>.");
                assertThat(told)
                        .allSatisfy(sentence -> assertThat(text.contains(squeezed(sentence)))
                                .as(sentence)
                                .isTrue());
            }
        }
    }

    @Test
    void isTheSameFileEachTimeItIsPrintedOnceItIsFinal() throws InterruptedException {
        Answer done = send(request(path.replace("?", "/finalisation?"))
                .header("If-Match", "\"v1\"")
                .POST(HttpRequest.BodyPublishers.noBody()));
        assertThat(done.status()).as(done.text()).isEqualTo(200);

        byte[] first = pdf("");
        Thread.sleep(1_100);
        assertThat(pdf("")).isEqualTo(first);
    }
}
