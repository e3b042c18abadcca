package airway.registry.web;

import com.openhtmltopdf.pdfboxout.PdfBoxRenderer;
import com.openhtmltopdf.pdfboxout.PdfRendererBuilder;
import com.openhtmltopdf.svgsupport.BatikSVGDrawer;
import com.openhtmltopdf.util.XRLog;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.time.Instant;
import java.util.GregorianCalendar;
import java.util.Locale;
import java.util.TimeZone;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDDocumentInformation;

/** Makes a PDF of a page that needs nothing else, tagged for readers who listen (PDF/UA). */
public final class Pdf {
    private Pdf() {}

    /**
     * The same page and moment give the same bytes.
     *
     * @param html XHTML with its styles, fonts and drawings in it
     * @param asOf the moment of what it says, which stands in for that of printing
     */
    public static byte[] of(String html, Instant asOf) {
        XRLog.setLoggingEnabled(false);
        PdfRendererBuilder builder = new PdfRendererBuilder();
        builder.usePdfUaAccessibility(true);
        builder.useSVGDrawer(new BatikSVGDrawer());
        builder.withHtmlContent(html, null);
        builder.withProducer("airway event registry");
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        builder.toStream(out);
        try (PdfBoxRenderer renderer = builder.buildPdfRenderer()) {
            renderer.createPDFWithoutClosing();
            PDDocument document = renderer.getPdfDocument();
            date(document, asOf);
            document.save(out);
            return out.toByteArray();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static void date(PDDocument document, Instant asOf) throws IOException {
        GregorianCalendar moment = new GregorianCalendar(TimeZone.getTimeZone("UTC"), Locale.ROOT);
        moment.setTimeInMillis(asOf.toEpochMilli());
        PDDocumentInformation about = document.getDocumentInformation();
        about.setCreationDate(moment);
        about.setModificationDate(moment);
        document.setDocumentId(asOf.getEpochSecond());
    }
}
