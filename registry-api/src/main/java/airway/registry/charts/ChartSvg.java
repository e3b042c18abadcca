package airway.registry.charts;

import static airway.registry.charts.Svg.at;

import airway.registry.charts.Chart.Point;
import airway.stats.chart.Limits;
import java.util.List;
import java.util.Locale;

/**
 * Draws a p chart: points, the average, limits that step with n, and n under each point. Computes nothing; rounds only
 * text. Dot: a point. Hollow: not complete. Numbered diamond: beyond a limit.
 */
final class ChartSvg {
    /** How large, and how many of the latest points. */
    enum Size {
        /** As wide as the points need; all of them. */
        WHOLE(24, Integer.MAX_VALUE, 440, 13),
        DESKTOP(24, 48, 440, 13),
        PHONE(23, 12, 330, 13);

        private final int slot;
        private final int most;
        private final int height;
        private final int font;

        Size(int slot, int most, int height, int font) {
            this.slot = slot;
            this.most = most;
            this.height = height;
            this.font = font;
        }

        int most() {
            return most;
        }
    }

    private static final int LEFT = 50;
    private static final int TOP = 34;
    private static final int RIGHT = 84;
    private static final int BELOW = 92;
    private static final int NARROWEST = 1_100;
    private static final int PHONE_WIDTH = 360;
    private static final int PHONE_RIGHT = 66;

    private final Chart chart;
    private final Size size;
    private final List<Point> points;
    private final int right;
    private final int width;
    private final double slot;
    private final Svg svg = new Svg();

    private ChartSvg(Chart chart, Size size) {
        this.chart = chart;
        this.size = size;
        int all = chart.points().size();
        this.points = chart.points().subList(Math.max(0, all - size.most), all);
        this.right = size == Size.PHONE ? PHONE_RIGHT : RIGHT;
        this.width = size == Size.PHONE ? PHONE_WIDTH : Math.max(NARROWEST, LEFT + right + points.size() * size.slot);
        this.slot = (double) (width - LEFT - right) / Math.max(1, points.size());
    }

    static String draw(Chart chart, Size size) {
        return new ChartSvg(chart, size).draw();
    }

    private String draw() {
        ChartWords words = new ChartWords(chart);
        String id = "chart-" + size.name().toLowerCase(Locale.ROOT);
        svg.open(
                "svg",
                "xmlns",
                "http://www.w3.org/2000/svg",
                "class",
                size == Size.PHONE ? "plot ph" : "plot",
                "viewBox",
                "0 0 " + width + " " + size.height,
                "role",
                "group",
                "aria-labelledby",
                id + "-title " + id + "-desc",
                "font-family",
                "'Reg Sans', system-ui, sans-serif",
                "font-size",
                String.valueOf(size.font));
        svg.text(
                "title",
                chart.request().title() + " by " + chart.request().grouping().noun(),
                "id",
                id + "-title");
        svg.text("desc", description(words), "id", id + "-desc");
        grid();
        limits();
        centre();
        points();
        axis();
        return svg.close("svg").toString();
    }

    private String description(ChartWords words) {
        String signals = chart.refusal() != null
                ? String.valueOf(words.limits())
                : chart.signals().isEmpty() ? "No point lies beyond its limits." : String.join(" ", words.signals());
        String nominal = chart.nominal() ? " " + ChartWords.NOMINAL : "";
        return "Control chart for a proportion. " + words.shows() + " " + signals + nominal
                + " The same numbers are in the table.";
    }

    private void grid() {
        for (int percent = 0; percent <= 100; percent += 20) {
            String y = at(y(percent / 100.0));
            svg.empty(
                    "line",
                    "class",
                    "grid",
                    "stroke",
                    Svg.HAIR,
                    "x1",
                    at(LEFT),
                    "x2",
                    at(width - right),
                    "y1",
                    y,
                    "y2",
                    y);
            label("m", Svg.MUTED, LEFT - 7, y(percent / 100.0) + 4.5, "end", percent + "%");
        }
        if (points.isEmpty()) {
            label("b", Svg.INK, width / 2.0, y(0.5), "middle", "No intubations here.");
        }
    }

    private void limits() {
        int from = 0;
        while (from < points.size()) {
            int to = from;
            while (to < points.size() && points.get(to).limits() != null) {
                to++;
            }
            if (to > from) {
                limits(from, to);
            }
            from = to + 1;
        }
    }

    /** The band and both stepped limits of neighbouring points; each step is as wide as its point's place. */
    private void limits(int from, int to) {
        StringBuilder upper = new StringBuilder();
        StringBuilder lower = new StringBuilder();
        StringBuilder back = new StringBuilder();
        for (int i = from; i < to; i++) {
            Limits limits = java.util.Objects.requireNonNull(points.get(i).limits());
            String step = i == from ? "M" : "L";
            upper.append(step)
                    .append(edge(i, limits.upper()))
                    .append(" L")
                    .append(edge(i + 1, limits.upper()))
                    .append(' ');
            lower.append(step)
                    .append(edge(i, limits.lower()))
                    .append(" L")
                    .append(edge(i + 1, limits.lower()))
                    .append(' ');
            back.insert(0, " L" + edge(i + 1, limits.lower()) + " L" + edge(i, limits.lower()));
        }
        String provisional = chart.provisional() ? " prov" : "";
        String dash = chart.provisional() ? "2 4" : "5 3";
        svg.empty(
                "path", "class", "band", "fill", Svg.BAND, "d", upper.toString().strip() + back + " Z");
        for (StringBuilder line : List.of(upper, lower)) {
            svg.empty(
                    "path",
                    "class",
                    "lim" + provisional,
                    "fill",
                    "none",
                    "stroke",
                    Svg.EDGE,
                    "stroke-width",
                    "1.4",
                    "stroke-dasharray",
                    dash,
                    "d",
                    line.toString().strip());
        }
    }

    private String edge(int place, double value) {
        return at(LEFT + place * slot) + "," + at(y(value));
    }

    private void centre() {
        Double centre = chart.centre();
        if (centre == null) {
            return;
        }
        String y = at(y(centre));
        svg.empty(
                "line",
                "class",
                "cl",
                "stroke",
                Svg.PETROL,
                "stroke-width",
                "2.5",
                "x1",
                at(LEFT),
                "x2",
                at(width - right),
                "y1",
                y,
                "y2",
                y);
        label("b", Svg.INK, width - right + 8, y(centre) - 2, "start", "average");
        label(
                "b",
                Svg.INK,
                width - right + 8,
                y(centre) + 14,
                "start",
                Percent.of(centre, chart.judged().n()));
        label(
                "m",
                Svg.MUTED,
                width - right + 8,
                y(centre) + 30,
                "start",
                "of " + chart.judged().n());
    }

    private void points() {
        StringBuilder join = new StringBuilder();
        boolean apart = true;
        for (int i = 0; i < points.size(); i++) {
            Point point = points.get(i);
            if (point.estimate() == null || !point.complete()) {
                apart = true;
            } else {
                join.append(apart ? "M" : "L")
                        .append(at(x(i)))
                        .append(',')
                        .append(at(y(point.estimate().value())))
                        .append(' ');
                apart = false;
            }
        }
        if (!join.isEmpty()) {
            svg.empty(
                    "path",
                    "class",
                    "join",
                    "fill",
                    "none",
                    "stroke",
                    Svg.INK,
                    "stroke-width",
                    "1.4",
                    "d",
                    join.toString().strip());
        }
        int signal = 0;
        for (int i = 0; i < points.size(); i++) {
            Point point = points.get(i);
            if (point.estimate() != null) {
                signal += point.signal() ? 1 : 0;
                point(i, point, point.estimate().value(), signal);
            }
        }
    }

    private void point(int place, Point point, double value, int signal) {
        String spoken = spoken(point);
        svg.open("g", "role", "img", "tabindex", "0", "aria-label", spoken);
        svg.text("title", spoken);
        if (point.signal()) {
            diamond("out", Svg.PANEL, Svg.BERRY, x(place), y(value), 9);
            double tag = y(value) + (value < 0.2 ? -32 : 32);
            diamond("tag", Svg.BERRY, "none", x(place), tag, 15);
            label("tagt", Svg.PANEL, x(place), tag + 5, "middle", String.valueOf(signal));
        } else {
            svg.empty(
                    "circle",
                    "class",
                    point.complete() ? "pt" : "hol",
                    "cx",
                    at(x(place)),
                    "cy",
                    at(y(value)),
                    "r",
                    "5",
                    "fill",
                    point.complete() ? Svg.INK : Svg.PANEL,
                    "stroke",
                    point.complete() ? Svg.PANEL : Svg.INK,
                    "stroke-width",
                    "1.5");
        }
        svg.close("g");
    }

    /** What a point says to somebody who cannot see it. */
    private static String spoken(Point point) {
        Limits limits = point.limits();
        long n = point.counted().n();
        return point.words() + ": " + Percent.count(point.counted())
                + (limits == null
                        ? ""
                        : ", limits " + Percent.of(limits.lower(), n) + " to " + Percent.of(limits.upper(), n))
                + (point.signal() ? ", beyond its limit" : "")
                + (point.complete() ? "" : ", not complete yet");
    }

    private void diamond(String type, String fill, String stroke, double x, double y, int half) {
        svg.empty(
                "path",
                "class",
                type,
                "fill",
                fill,
                "stroke",
                stroke,
                "stroke-width",
                "3",
                "d",
                "M" + at(x - half) + "," + at(y) + " l" + half + ",-" + half + " l" + half + "," + half + " l-" + half
                        + "," + half + " z");
    }

    /** The foot: names of the points in short, their year, and n under each. */
    private void axis() {
        double y = y(0);
        svg.empty(
                "line",
                "class",
                "axis",
                "stroke",
                Svg.EDGE,
                "stroke-width",
                "1.5",
                "x1",
                at(LEFT),
                "x2",
                at(width - right),
                "y1",
                at(y),
                "y2",
                at(y));
        if (points.isEmpty()) {
            return;
        }
        label("m", Svg.MUTED, LEFT - 18, y + 58, "end", "n");
        String year = "";
        for (int i = 0; i < points.size(); i++) {
            Point point = points.get(i);
            label("", Svg.INK, x(i), y + 18, "middle", shortName(point));
            label(
                    "m",
                    Svg.MUTED,
                    x(i),
                    y + 58,
                    "middle",
                    String.valueOf(point.counted().n()));
            String now = point.period().substring(0, Math.min(4, point.period().length()));
            if (chart.request().grouping().calendar()
                    && chart.request().grouping().span() != Grouping.Span.YEAR
                    && !now.equals(year)) {
                svg.empty(
                        "line",
                        "class",
                        "axis",
                        "stroke",
                        Svg.EDGE,
                        "x1",
                        at(LEFT + i * slot),
                        "x2",
                        at(LEFT + i * slot),
                        "y1",
                        at(y),
                        "y2",
                        at(y + 40));
                if (i == points.size() - 1 || points.get(i + 1).period().startsWith(now)) {
                    label("b", Svg.INK, LEFT + i * slot + 5, y + 36, "start", now);
                }
                year = now;
            }
        }
    }

    private String shortName(Point point) {
        return switch (chart.request().grouping().span()) {
            case MONTH -> point.words().substring(0, 1);
            case QUARTER -> point.period().substring(5);
            case YEAR -> point.period();
            case ENCOUNTERS -> point.period().substring(point.period().indexOf('-') + 1);
        };
    }

    private void label(String type, String fill, double x, double y, String anchor, String text) {
        svg.text(
                "text",
                text,
                "class",
                type,
                "fill",
                fill,
                "x",
                at(x),
                "y",
                at(y),
                "text-anchor",
                anchor,
                "font-weight",
                type.equals("b") || type.equals("tagt") ? "700" : "400");
    }

    private double x(int place) {
        return LEFT + (place + 0.5) * slot;
    }

    private double y(double value) {
        return TOP + (1 - value) * (size.height - TOP - BELOW);
    }
}
