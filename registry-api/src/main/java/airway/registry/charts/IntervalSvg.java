package airway.registry.charts;

import airway.stats.Estimate;
import java.util.Locale;

/** Draws one proportion with its interval on a line from 0 to 100 %, as wide as its place on the page. */
final class IntervalSvg {
    private static final int HEIGHT = 28;
    private static final int TICK = 20;

    private IntervalSvg() {}

    /**
     * @param solid whether this is what is to be read first; else it is drawn hollow and dashed
     */
    static String draw(String label, Estimate estimate, long n, boolean solid) {
        String middle = String.valueOf(HEIGHT / 2);
        Svg svg = new Svg();
        svg.open(
                "svg",
                "xmlns",
                "http://www.w3.org/2000/svg",
                "class",
                "plot interval",
                "height",
                String.valueOf(HEIGHT),
                "role",
                "img",
                "aria-label",
                label + ": " + Percent.of(estimate.value(), n) + ", interval " + Percent.interval(estimate, n));
        for (int percent = 0; percent <= 100; percent += TICK) {
            svg.empty(
                    "line",
                    "class",
                    "grid",
                    "stroke",
                    Svg.HAIR,
                    "x1",
                    percent + "%",
                    "x2",
                    percent + "%",
                    "y1",
                    "0",
                    "y2",
                    String.valueOf(HEIGHT));
        }
        svg.empty(
                "line",
                "class",
                "ci",
                "stroke",
                Svg.EDGE,
                "stroke-width",
                solid ? "3" : "2",
                "stroke-dasharray",
                solid ? "none" : "5 4",
                "x1",
                at(estimate.lower()),
                "x2",
                at(estimate.upper()),
                "y1",
                middle,
                "y2",
                middle);
        svg.empty(
                "circle",
                "class",
                solid ? "mk" : "hol",
                "fill",
                solid ? Svg.PETROL : Svg.PANEL,
                "stroke",
                solid ? Svg.PETROL : Svg.INK,
                "stroke-width",
                "2",
                "cx",
                at(estimate.value()),
                "cy",
                middle,
                "r",
                solid ? "7" : "6");
        return svg.close("svg").toString();
    }

    /** The numbers below the lines. */
    static String axis() {
        Svg svg = new Svg();
        svg.open(
                "svg",
                "xmlns",
                "http://www.w3.org/2000/svg",
                "class",
                "plot interval",
                "height",
                "20",
                "aria-hidden",
                "true");
        for (int percent = 0; percent <= 100; percent += TICK) {
            svg.text(
                    "text",
                    percent + "%",
                    "class",
                    "m",
                    "fill",
                    Svg.MUTED,
                    "font-size",
                    "13",
                    "x",
                    percent + "%",
                    "y",
                    "14",
                    "text-anchor",
                    percent == 0 ? "start" : percent == 100 ? "end" : "middle");
        }
        return svg.close("svg").toString();
    }

    private static String at(double fraction) {
        return String.format(Locale.ROOT, "%.2f%%", 100 * fraction);
    }
}
