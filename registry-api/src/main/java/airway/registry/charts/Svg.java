package airway.registry.charts;

import java.util.Locale;

/**
 * Writes SVG elements. Colours stand as attributes, so that a saved picture looks right by itself; the stylesheet of
 * the page overrides them by class for the dim and the printed page.
 */
final class Svg {
    static final String INK = "#14262B";
    static final String MUTED = "#4A5C60";
    static final String EDGE = "#64777B";
    static final String HAIR = "#CBD4D2";
    static final String PETROL = "#0B5A61";
    static final String BERRY = "#8F1F57";
    static final String BAND = "#E6EEEC";
    static final String PANEL = "#FFFFFF";

    private final StringBuilder out = new StringBuilder(8_000);

    /** An element with attributes in pairs, closed at once. */
    Svg empty(String element, String... attributes) {
        start(element, attributes, "/>");
        return this;
    }

    Svg open(String element, String... attributes) {
        start(element, attributes, ">");
        return this;
    }

    /** A drawing as large as its box, with a title and a description for those who do not see it. */
    Svg plot(String id, String classes, int width, int height, int font, String title, String says) {
        open(
                "svg",
                "xmlns",
                "http://www.w3.org/2000/svg",
                "class",
                classes,
                "viewBox",
                "0 0 " + width + " " + height,
                "role",
                "group",
                "aria-labelledby",
                id + "-title " + id + "-desc",
                "font-family",
                "'Reg Sans', system-ui, sans-serif",
                "font-size",
                String.valueOf(font));
        text("title", title, "id", id + "-title");
        return text("desc", says, "id", id + "-desc");
    }

    Svg close(String element) {
        out.append("</").append(element).append('>');
        return this;
    }

    /** An element that holds only text. */
    Svg text(String element, String content, String... attributes) {
        start(element, attributes, ">");
        out.append(escaped(content));
        return close(element);
    }

    private void start(String element, String[] attributes, String end) {
        out.append('<').append(element);
        for (int i = 0; i < attributes.length; i += 2) {
            out.append(' ')
                    .append(attributes[i])
                    .append("=\"")
                    .append(escaped(attributes[i + 1]))
                    .append('"');
        }
        out.append(end);
    }

    /** A coordinate with one decimal: the same picture on every machine. */
    static String at(double coordinate) {
        return String.format(Locale.ROOT, "%.1f", coordinate);
    }

    private static String escaped(String text) {
        return text.replace("&", "&amp;")
                .replace("<", "&lt;")
                .replace(">", "&gt;")
                .replace("\"", "&quot;");
    }

    @Override
    public String toString() {
        return out.toString();
    }
}
