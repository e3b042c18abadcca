package airway.registry.charts;

import airway.registry.charts.Pictures.Stretch;
import java.util.List;
import java.util.Locale;

/** Draws proportions of stretches of time with their intervals, one below the other, on one scale from 0 to 100 %. */
final class StretchSvg {
    /** How wide. */
    enum Size {
        WIDE(700),
        PHONE(360);

        private final int width;

        Size(int width) {
            this.width = width;
        }
    }

    private static final int EDGE = 24;
    private static final int ROW = 58;
    private static final int AXIS = 30;
    private static final int TICK = 20;

    private StretchSvg() {}

    static String draw(String title, String says, List<Stretch> stretches, Size size, String name) {
        String id = name + "-" + size.name().toLowerCase(Locale.ROOT);
        int bottom = stretches.size() * ROW;
        Svg svg = new Svg();
        svg.plot(id, "plot", size.width, bottom + AXIS, 13, title, says);
        for (int percent = 0; percent <= 100; percent += TICK) {
            String x = Svg.at(x(percent / 100.0, size));
            svg.empty("line", "class", "grid", "stroke", Svg.HAIR, "x1", x, "x2", x, "y1", "0", "y2", "" + bottom);
            svg.text(
                    "text",
                    percent + "%",
                    "class",
                    "m",
                    "fill",
                    Svg.MUTED,
                    "x",
                    x,
                    "y",
                    "" + (bottom + 18),
                    "text-anchor",
                    "middle");
        }
        for (int i = 0; i < stretches.size(); i++) {
            stretch(svg, stretches.get(i), i * ROW, size);
        }
        return svg.close("svg").toString();
    }

    private static void stretch(Svg svg, Stretch stretch, int top, Size size) {
        String y = String.valueOf(top + 40);
        svg.text("text", stretch.label(), "fill", Svg.INK, "x", "" + EDGE, "y", "" + (top + 20));
        svg.text(
                "text",
                stretch.count(),
                "fill",
                Svg.INK,
                "x",
                "" + (size.width - EDGE),
                "y",
                "" + (top + 20),
                "text-anchor",
                "end");
        svg.empty(
                "line",
                "class",
                "ci",
                "stroke",
                Svg.EDGE,
                "stroke-width",
                "3",
                "x1",
                Svg.at(x(stretch.estimate().lower(), size)),
                "x2",
                Svg.at(x(stretch.estimate().upper(), size)),
                "y1",
                y,
                "y2",
                y);
        svg.empty(
                "circle",
                "class",
                "mk",
                "fill",
                Svg.PETROL,
                "stroke",
                Svg.PETROL,
                "stroke-width",
                "2",
                "cx",
                Svg.at(x(stretch.estimate().value(), size)),
                "cy",
                y,
                "r",
                "6");
    }

    private static double x(double fraction, Size size) {
        return EDGE + fraction * (size.width - 2.0 * EDGE);
    }
}
