package airway.registry.kit;

import airway.registry.web.Fonts;
import com.openhtmltopdf.pdfboxout.PdfRendererBuilder;
import com.openhtmltopdf.util.XRLog;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import org.springframework.stereotype.Component;
import org.thymeleaf.ITemplateEngine;
import org.thymeleaf.context.Context;

/** Prints a look-back as a tagged PDF; hospital numbers never. */
@Component
class LookBackPaper {
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);

    private final ITemplateEngine templates;

    LookBackPaper(ITemplateEngine templates) {
        this.templates = templates;
    }

    /** A use as it reads. */
    public record Row(String side, String item, String at, String record, String number, String cycles, String note) {}

    static List<Row> rows(LookBack look) {
        return look.uses().stream()
                .map(use -> new Row(
                        use.side().words(),
                        use.name() + ", " + use.kind()
                                + (use.units() == null || use.units() == 1 ? "" : " (" + use.units() + ")"),
                        AT.format(use.at().atZone(look.site().zone())),
                        use.record() == null
                                ? "none named"
                                : use.record() + (use.attempt() == null ? "" : ", attempt " + use.attempt()),
                        use.record() == null || !look.asked().names()
                                ? ""
                                : look.numbers().getOrDefault(use.record(), "none kept"),
                        use.side() == LookBack.Side.ITSELF || !look.asked().by().fromLine()
                                ? ""
                                : String.valueOf(use.cycles()),
                        use.uncertain() ? "Order not certain." : ""))
                .toList();
    }

    static List<String> items(LookBack look) {
        return look.items().stream()
                .map(item -> item.name() + ", " + item.kind() + ": " + now(look, item) + ".")
                .toList();
    }

    private static String now(LookBack look, LookBack.Found found) {
        if (found.state() == null || found.since() == null) {
            return found.left() + " left by its log";
        }
        return found.state().words().toLowerCase(Locale.ROOT) + " since "
                + AT.format(found.since().atZone(look.site().zone()))
                + (found.place() == null ? "" : "; " + found.place());
    }

    byte[] pdf(LookBack look) {
        Context context = new Context(Locale.UK);
        context.setVariable("unit", look.site().title());
        context.setVariable("invented", look.site().invented());
        context.setVariable("asked", LookBackWords.asked(look));
        context.setVariable("at", AT.format(look.at().atZone(look.site().zone())));
        context.setVariable("reason", look.asked().reason());
        context.setVariable("items", items(look));
        context.setVariable("rows", rows(look));
        context.setVariable("coverage", LookBackWords.coverage(look));
        context.setVariable("fonts", Fonts.FOR_PRINT);
        XRLog.setLoggingEnabled(false);
        PdfRendererBuilder builder = new PdfRendererBuilder();
        builder.usePdfUaAccessibility(true);
        builder.withHtmlContent(templates.process("kit/look-back-print", context), null);
        builder.withProducer("airway event registry");
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        builder.toStream(out);
        try {
            builder.run();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return out.toByteArray();
    }
}
