package airway.registry.reports;

import com.openhtmltopdf.pdfboxout.PdfBoxRenderer;
import com.openhtmltopdf.pdfboxout.PdfRendererBuilder;
import com.openhtmltopdf.svgsupport.BatikSVGDrawer;
import com.openhtmltopdf.util.XRLog;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.Base64;
import java.util.GregorianCalendar;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.TimeZone;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDDocumentInformation;
import org.springframework.stereotype.Component;
import org.thymeleaf.ITemplateEngine;
import org.thymeleaf.context.Context;

/** Prints a paper as one page of HTML that needs nothing else, and as a tagged PDF. The same paper gives the same bytes. */
@Component
class Print {
    private static final String FONTS = font(400) + font(700);

    /** Millimetres. */
    private static final int WIDTH = 150;

    private static final Pattern VIEW_BOX = Pattern.compile("<svg ([^>]*viewBox=\"0 0 (\\d+) (\\d+)\")");

    private final ITemplateEngine templates;

    Print(ITemplateEngine templates) {
        this.templates = templates;
    }

    /** As XHTML, which is HTML too. */
    String html(Report report, Readers readers) {
        Context context = new Context(Locale.UK);
        context.setVariable("paper", drawn(report.paper(readers)));
        context.setVariable(
                "corrections", report.isFinal() ? report.corrections().words(readers) : null);
        context.setVariable("fonts", FONTS);
        context.setVariable("invented", report.site().invented());
        return templates.process("reports/print", context);
    }

    /** As PDF, tagged for readers who listen (PDF/UA). */
    byte[] pdf(Report report, Readers readers) {
        XRLog.setLoggingEnabled(false);
        PdfRendererBuilder builder = new PdfRendererBuilder();
        builder.usePdfUaAccessibility(true);
        builder.useSVGDrawer(new BatikSVGDrawer());
        builder.withHtmlContent(html(report, readers), null);
        builder.withProducer("airway event registry");
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        builder.toStream(out);
        try (PdfBoxRenderer renderer = builder.buildPdfRenderer()) {
            renderer.createPDFWithoutClosing();
            PDDocument document = renderer.getPdfDocument();
            date(document, report);
            document.save(out);
            return out.toByteArray();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** The moment of the numbers stands in for that of printing: a report is printed again as it was. */
    private static void date(PDDocument document, Report report) throws IOException {
        GregorianCalendar asOf = new GregorianCalendar(TimeZone.getTimeZone("UTC"), Locale.ROOT);
        asOf.setTimeInMillis(report.asOf().toEpochMilli());
        PDDocumentInformation about = document.getDocumentInformation();
        about.setCreationDate(asOf);
        about.setModificationDate(asOf);
        document.setDocumentId(report.asOf().getEpochSecond());
    }

    /** A rule that brings a font along: the drawings in the file take it from there too. */
    private static String font(int weight) {
        String name = "/airway/registry/reports/sans-" + weight + ".ttf";
        try (InputStream bytes = Objects.requireNonNull(Print.class.getResourceAsStream(name))) {
            return "@font-face { font-family: 'Reg Sans'; font-weight: " + weight
                    + "; -fs-pdf-font-embed: embed; -fs-pdf-font-encoding: Identity-H; src: url(data:font/ttf;base64,"
                    + Base64.getEncoder().encodeToString(bytes.readAllBytes()) + ") }\n";
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** Drawings with the size they have on paper, and with what they show for somebody who cannot see them. */
    private static Paper drawn(Paper paper) {
        List<Paper.Section> sections = paper.sections().stream()
                .map(section -> new Paper.Section(
                        section.id(),
                        section.title(),
                        section.blocks().stream().map(Print::drawn).toList()))
                .toList();
        return new Paper(paper.title(), paper.unit(), paper.standing(), paper.notice(), sections);
    }

    private static Paper.Block drawn(Paper.Block block) {
        Paper.Drawing drawing = block.drawing();
        if (drawing == null) {
            return block;
        }
        Matcher box = VIEW_BOX.matcher(drawing.svg());
        String sized = box.replaceFirst(match -> {
            double height = WIDTH * Double.parseDouble(match.group(3)) / Double.parseDouble(match.group(2));
            return Matcher.quoteReplacement(String.format(
                    Locale.ROOT,
                    "<svg alt=\"%s\" style=\"width:%dmm;height:%.1fmm\" %s",
                    escaped(drawing.alternative()),
                    WIDTH,
                    height,
                    match.group(1)));
        });
        return Paper.Block.drawing(new Paper.Drawing(
                drawing.title(), drawing.says(), drawing.remarks(), drawing.alternative(), sized, ""));
    }

    private static String escaped(String text) {
        return text.replace("&", "&amp;").replace("<", "&lt;").replace("\"", "&quot;");
    }
}
