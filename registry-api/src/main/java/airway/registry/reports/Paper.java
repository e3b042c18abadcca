package airway.registry.reports;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A report as it is read: plain words, tables and drawings, in order. The page and the file print the same one, and a final report
 * keeps it as it was.
 *
 * @param title what it is about
 * @param unit whose it is
 * @param standing whether it is a draft or final, and as of when
 * @param notice what has to be known before all else, or null
 */
record Paper(
        String title,
        String unit,
        String standing,
        @Nullable String notice,
        List<Section> sections) {
    /** A part with its heading. */
    record Section(String id, String title, List<Block> blocks) {}

    /** One of: a paragraph, a list, a table, a drawing. */
    record Block(
            @Nullable String text,
            @Nullable List<String> points,
            @Nullable Table table,
            @Nullable Drawing drawing) {
        static Block text(String text) {
            return new Block(text, null, null, null);
        }

        static Block points(List<String> points) {
            return new Block(null, points, null, null);
        }

        static Block table(Table table) {
            return new Block(null, null, table, null);
        }

        static Block drawing(Drawing drawing) {
            return new Block(null, null, null, drawing);
        }
    }

    /** A table; the first cell of each row names it. */
    record Table(String caption, List<String> head, List<List<String>> rows) {}

    /**
     * A drawing.
     *
     * @param alternative what it shows, for somebody who cannot see it
     * @param svg for a wide page and for paper
     * @param svgSmall for a narrow page
     */
    record Drawing(String title, String says, List<String> remarks, String alternative, String svg, String svgSmall) {}
}
