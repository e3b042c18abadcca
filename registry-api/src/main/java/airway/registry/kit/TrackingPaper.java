package airway.registry.kit;

import airway.registry.web.Dots;
import airway.registry.web.Fonts;
import airway.registry.web.Pdf;
import com.google.zxing.BarcodeFormat;
import com.google.zxing.datamatrix.DataMatrixWriter;
import java.util.Locale;
import java.util.Objects;
import org.springframework.stereotype.Component;
import org.thymeleaf.ITemplateEngine;
import org.thymeleaf.context.Context;

/** The paper that travels with a sending: its label also as a symbol, the items, and lines for what is told on the way. */
@Component
class TrackingPaper {
    private final ITemplateEngine templates;

    TrackingPaper(ITemplateEngine templates) {
        this.templates = templates;
    }

    /** An item on the paper. */
    public record Line(String name, String kind, String instructions, int cycles) {}

    /** As XHTML. */
    String html(Sending sending) {
        Context context = new Context(Locale.UK);
        context.setVariable("label", sending.label());
        context.setVariable("destination", sending.destination());
        context.setVariable(
                "lines",
                sending.items().stream()
                        .map(item -> new Line(
                                item.item().name(),
                                item.kind().title(),
                                Objects.requireNonNullElse(item.kind().instructions(), "not entered"),
                                item.cycles()))
                        .toList());
        context.setVariable("unit", sending.site().title());
        context.setVariable("invented", sending.site().invented());
        context.setVariable(
                "at", Sending.AT.format(sending.at().atZone(sending.site().zone())));
        context.setVariable("fonts", Fonts.FOR_PRINT);
        context.setVariable("symbol", symbol(sending.label()));
        return templates.process("kit/tracking", context);
    }

    /** As PDF. */
    byte[] pdf(Sending sending) {
        return Pdf.of(html(sending), sending.at());
    }

    /** The label as a DataMatrix with the size it has on paper. */
    private static String symbol(String label) {
        return Dots.svg(
                        new DataMatrixWriter().encode(label, BarcodeFormat.DATA_MATRIX, 0, 0),
                        "The label as a symbol",
                        2)
                .replace(
                        "<svg ",
                        "<svg xmlns=\"http://www.w3.org/2000/svg\" alt=\"The label as a symbol\" style=\"width:34mm;height:34mm\" ");
    }
}
