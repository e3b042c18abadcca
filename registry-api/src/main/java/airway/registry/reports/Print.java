package airway.registry.reports;

import airway.registry.web.Fonts;
import airway.registry.web.Pdf;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.springframework.stereotype.Component;
import org.thymeleaf.ITemplateEngine;
import org.thymeleaf.context.Context;

/** Prints a paper as one page of HTML that needs nothing else, and as a tagged PDF. The same paper gives the same bytes. */
@Component
class Print {
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
        context.setVariable("fonts", Fonts.FOR_PRINT);
        context.setVariable("invented", report.site().invented());
        return templates.process("reports/print", context);
    }

    /** As PDF, tagged for readers who listen (PDF/UA). */
    byte[] pdf(Report report, Readers readers) {
        return Pdf.of(html(report, readers), report.asOf());
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
