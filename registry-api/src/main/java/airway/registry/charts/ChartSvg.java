package airway.registry.charts;

import static airway.registry.charts.Svg.at;

import airway.registry.charts.Chart.Mark;
import airway.registry.charts.Chart.Phase;
import airway.registry.charts.Chart.Point;
import airway.registry.charts.Chart.Rule;
import airway.registry.charts.Chart.Run;
import airway.stats.chart.Limits;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Draws a chart: points, the average of each phase, limits that step with n, and n under each point. Computes nothing;
 * rounds only text. Dot: a point. Hollow: not complete. Numbered diamond: beyond a limit, or a bracket over a run. Letter
 * in a square: a change of the unit. Dotted average: kept from before.
 */
final class ChartSvg {
    /** How large, and how many of the latest points. */
    enum Size {
        /** As wide as the points need; all of them. */
        WHOLE(1_100, Integer.MAX_VALUE, 440, 13),
        DESKTOP(1_100, 48, 440, 13),
        PHONE(360, 12, 330, 13),
        /** One of several side by side, half as wide as a page. */
        PANEL(700, 24, 330, 14);

        private final int narrowest;
        private final int most;
        private final int height;
        private final int font;

        Size(int narrowest, int most, int height, int font) {
            this.narrowest = narrowest;
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
    private static final int NARROWEST_SLOT = 24;

    /** Width of a digit as part of its height, and what two names need between them. */
    private static final double LETTER = 0.6;

    private static final int BETWEEN_NAMES = 4;
    private static final int PHONE_RIGHT = 66;
    /** A phase of fewer points has its average drawn thin. */
    private static final int FEW_POINTS = 8;

    /** Pixels about a point, and steps along a line, by which a free place is looked for. */
    private static final double DOT = 3;

    private static final int STEPS = 20;

    /** So many lines of text away from a line its name may stand, above it and below. */
    private static final int ROWS = 4;

    private final Chart chart;
    private final ChartWords words;
    private final Scale scale;
    private final Size size;
    private final int hidden;
    private final List<Point> points;
    private final int right;
    private final int width;
    private final double slot;
    private final Svg svg = new Svg();

    private ChartSvg(Chart chart, Size size) {
        this.chart = chart;
        this.words = new ChartWords(chart);
        this.size = size;
        int all = chart.points().size();
        this.hidden = Math.max(0, all - size.most);
        this.points = chart.points().subList(hidden, all);
        this.scale = scale();
        this.right = size == Size.PHONE ? PHONE_RIGHT : RIGHT;
        this.width = size == Size.WHOLE
                ? Math.max(size.narrowest, LEFT + right + points.size() * NARROWEST_SLOT)
                : size.narrowest;
        this.slot = (double) (width - LEFT - right) / Math.max(1, points.size());
    }

    private Scale scale() {
        double highest = points.stream().mapToDouble(ChartSvg::highest).max().orElse(0);
        return chart.request().kind().grouped() ? chart.request().quantity().scale(highest) : Scale.upTo(highest, 1);
    }

    private static double highest(Point point) {
        Double value = point.value();
        Limits limits = point.limits();
        return Math.max(value == null ? 0 : value, limits == null ? 0 : limits.upper());
    }

    static String draw(Chart chart, Size size) {
        return draw(chart, size, "chart");
    }

    /**
     * Draws a chart of several on a page.
     *
     * @param name tells it from the others
     */
    static String draw(Chart chart, Size size, String name) {
        return new ChartSvg(chart, size).draw(name + "-" + size.name().toLowerCase(Locale.ROOT));
    }

    private String draw(String id) {
        svg.plot(
                id,
                size == Size.PHONE ? "plot ph" : "plot",
                width,
                size.height,
                size.font,
                words.heading(),
                description());
        grid();
        limits();
        axis();
        chart.phases().forEach(this::centre);
        marks();
        runs();
        points();
        return svg.close("svg").toString();
    }

    private String description() {
        List<String> sentences = new ArrayList<>();
        sentences.add(chart.request().kind().title() + ".");
        sentences.add(words.shows());
        sentences.addAll(words.signals());
        String quiet = words.quiet();
        if (quiet != null) {
            sentences.add(quiet);
        }
        sentences.addAll(words.limits());
        words.notes().forEach(note -> sentences.add(note.letter() + ", " + note.name() + "."));
        if (chart.nominal()) {
            sentences.add(ChartWords.NOMINAL);
        }
        sentences.add("The same numbers are in the table.");
        return String.join(" ", sentences);
    }

    private void grid() {
        for (double tick : scale.ticks()) {
            String y = at(y(tick));
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
            label("m", Svg.MUTED, LEFT - 7, y(tick) + 4.5, "end", words.value(tick, 0));
        }
        if (chart.total().n() == 0) {
            label(
                    "b",
                    Svg.INK,
                    width / 2.0,
                    y(scale.top() / 2),
                    "middle",
                    "No " + chart.request().measure().cases().many() + (points.isEmpty() ? " here." : " that count."));
        }
    }

    private void limits() {
        for (Phase phase : chart.phases()) {
            int from = shown(phase.first());
            int end = shown(phase.end());
            while (from < end) {
                int to = from;
                while (to < end && points.get(to).limits() != null) {
                    to++;
                }
                if (to > from) {
                    limits(phase, from, to);
                }
                from = to + 1;
            }
        }
    }

    /** A place among all points as a place among those that are drawn. */
    private int shown(int place) {
        return Math.max(0, place - hidden);
    }

    /** The band and both stepped limits of neighbouring points; each step is as wide as its point's place. */
    private void limits(Phase phase, int from, int to) {
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
        boolean dotted = phase.provisional();
        String provisional = dotted ? " prov" : "";
        String dash = dotted ? "2 4" : "5 3";
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

    /** The average of a phase, named beside it. */
    private void centre(Phase phase) {
        Double centre = phase.centre();
        int from = shown(phase.first());
        int end = shown(phase.end());
        if (centre == null || end <= from) {
            return;
        }
        boolean last = phase.end() == chart.points().size();
        double x2 = last ? width - right : LEFT + end * slot;
        String y = at(y(centre));
        boolean thin = chart.phases().size() > 1
                && chart.points(phase).stream().filter(Point::complete).count() < FEW_POINTS;
        List<String> line = new ArrayList<>(List.of(
                "class",
                "cl",
                "stroke",
                Svg.PETROL,
                "stroke-width",
                thin ? "1.2" : "2.5",
                "x1",
                at(LEFT + from * slot),
                "x2",
                at(x2),
                "y1",
                y,
                "y2",
                y));
        if (phase.kept()) {
            line.addAll(List.of("stroke-dasharray", "2 5"));
        }
        svg.empty("line", line.toArray(String[]::new));
        long n = words.basis(phase);
        Counted judged = chart.judged(phase);
        boolean few = !phase.kept() && n < Percent.FEWEST && chart.request().quantity() == Quantity.PROPORTION;
        String value = few && chart.request().kind().grouped() ? judged.x() + " of " + n : words.value(centre, n);
        if (!last) {
            // A kept one goes on to the end and is named there.
            if (!phase.kept()) {
                named(from, end, y(centre), value);
            }
            return;
        }
        double x = width - right + 8;
        label("b", Svg.INK, x, y(centre) - 2, "start", phase.kept() ? "kept" : words.line());
        label("b", Svg.INK, x, y(centre) + 14, "start", value);
        if (chart.request().kind().grouped() && !few) {
            label("m", Svg.MUTED, x, y(centre) + 30, "start", "of " + n);
        }
    }

    /** The value of a line near it, at the nearest place where no point and no joining line runs through it. */
    private void named(int from, int end, double y, String value) {
        double wide = value.length() * size.font * LETTER;
        for (int row = 0; row < ROWS; row++) {
            double away = row * size.font;
            for (double baseline : List.of(y - 7 - away, y + size.font + 4 + away)) {
                for (int place = from; place < end; place++) {
                    double x = LEFT + place * slot + 6;
                    if (x + wide <= LEFT + end * slot
                            && isFree(x - 2, x + wide + 2, baseline - size.font - 1, baseline + 3)) {
                        label("b", Svg.INK, x, baseline, "start", value);
                        return;
                    }
                }
            }
        }
        label("b", Svg.INK, LEFT + from * slot + 6, y - 7, "start", value);
    }

    private boolean isFree(double left, double right, double top, double bottom) {
        for (int i = 0; i < points.size(); i++) {
            Double value = points.get(i).value();
            Double next = i + 1 < points.size() ? points.get(i + 1).value() : null;
            if (value == null) {
                continue;
            }
            for (int step = 0; step <= (next == null ? 0 : STEPS); step++) {
                double x = x(i) + slot * step / STEPS;
                double y = y(value) + (next == null ? 0 : (y(next) - y(value)) * step / STEPS);
                if (x > left - DOT && x < right + DOT && y > top - DOT && y < bottom + DOT) {
                    return false;
                }
            }
        }
        return true;
    }

    /** The changes of the unit: a letter over the first point after it, and a line where a phase begins. */
    private void marks() {
        int before = Integer.MIN_VALUE;
        int row = 0;
        for (Mark mark : chart.marks()) {
            int place = mark.place() - hidden;
            if (place < 0 || (place == 0 && hidden > 0) || place > points.size()) {
                continue;
            }
            row = place == before ? row + 1 : 0;
            before = place;
            double x = LEFT + place * slot;
            if (mark.cuts()) {
                svg.empty(
                        "line",
                        "class",
                        "axis",
                        "stroke",
                        Svg.EDGE,
                        "stroke-width",
                        "1.5",
                        "x1",
                        at(x),
                        "x2",
                        at(x),
                        "y1",
                        at(TOP - 6),
                        "y2",
                        at(y(0)));
            }
            double left = x - 10 + row * 22;
            String spoken = mark.letter() + ": " + mark.name();
            svg.open("g", "role", "img", "tabindex", "0", "aria-label", spoken);
            svg.text("title", spoken);
            svg.empty(
                    "rect",
                    "class",
                    "hol",
                    "fill",
                    Svg.PANEL,
                    "stroke",
                    Svg.INK,
                    "stroke-width",
                    "1.5",
                    "x",
                    at(left),
                    "y",
                    at(TOP - 30),
                    "width",
                    "20",
                    "height",
                    "20");
            label("b", Svg.INK, left + 10, TOP - 15, "middle", mark.letter());
            svg.close("g");
        }
    }

    /** A bracket over each run that signals, with its number in the list. */
    private void runs() {
        int number = chart.beyondTogether().size();
        for (Phase phase : chart.phases()) {
            Run run = phase.run();
            if (run != null && run.isLong()) {
                number++;
                if (run.last() >= hidden) {
                    run(run, shown(run.first()), shown(run.last()), number);
                }
            }
            number += run != null && run.crossesSeldom() ? 1 : 0;
        }
    }

    private void run(Run run, int first, int last, int number) {
        Double value = chart.points().get(run.last()).value();
        boolean above = value != null && value > run.median();
        double y = above ? TOP - 3 : y(0) - 8;
        double foot = above ? y + 8 : y - 8;
        svg.empty(
                "path",
                "class",
                "run",
                "fill",
                "none",
                "stroke",
                Svg.BERRY,
                "stroke-width",
                "2",
                "d",
                "M" + at(x(first)) + "," + at(foot) + " V" + at(y) + " H" + at(x(last)) + " V" + at(foot));
        double middle = (x(first) + x(last)) / 2;
        diamond("tag", Svg.BERRY, "none", middle, y, 15);
        label("tagt", Svg.PANEL, middle, y + 5, "middle", String.valueOf(number));
    }

    private void points() {
        StringBuilder join = new StringBuilder();
        boolean apart = true;
        for (int i = 0; i < points.size(); i++) {
            Point point = points.get(i);
            if (point.value() == null || !point.complete()) {
                apart = true;
            } else {
                join.append(apart ? "M" : "L")
                        .append(at(x(i)))
                        .append(',')
                        .append(at(y(point.value())))
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
        Map<Integer, Integer> numbers = new HashMap<>();
        int number = 0;
        for (List<Integer> together : chart.beyondTogether()) {
            number++;
            if (together.get(together.size() - 1) >= hidden) {
                numbers.put(shown(together.get(0)), number);
            }
        }
        for (int i = 0; i < points.size(); i++) {
            Point point = points.get(i);
            if (point.value() != null) {
                point(i, point, point.value(), numbers.get(i));
            }
        }
    }

    /** @param signal its number in the list, or null where it has none of its own */
    private void point(int place, Point point, double value, @Nullable Integer signal) {
        String spoken = spoken(point);
        svg.open("g", "role", "img", "tabindex", "0", "aria-label", spoken);
        svg.text("title", spoken);
        if (point.beyond()) {
            diamond("out", Svg.PANEL, Svg.BERRY, x(place), y(value), 9);
            if (signal != null) {
                double tag = y(value) + (value < 0.2 * scale.top() ? -32 : 32);
                diamond("tag", Svg.BERRY, "none", x(place), tag, 15);
                label("tagt", Svg.PANEL, x(place), tag + 5, "middle", String.valueOf(signal));
            }
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
    private String spoken(Point point) {
        Limits limits = point.limits();
        long n = point.counted().n();
        return point.words() + ": " + words.came(point)
                + (limits == null
                        ? ""
                        : ", limits " + words.value(limits.lower(), n) + " to " + words.value(limits.upper(), n))
                + (point.beyond() ? ", beyond its limit" : "")
                + (point.signals().contains(Rule.LONG_RUN) ? ", in a long run" : "")
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
        boolean counted = chart.request().kind() != ChartKind.G;
        if (counted) {
            label("m", Svg.MUTED, LEFT - 18, y + 58, "end", "n");
        }
        String year = "";
        int every = everyName();
        for (int i = 0; i < points.size(); i++) {
            Point point = points.get(i);
            if ((points.size() - 1 - i) % every == 0) {
                label("", Svg.INK, x(i), y + 18, "middle", shortName(point));
            }
            if (counted) {
                label(
                        "m",
                        Svg.MUTED,
                        x(i),
                        y + 58,
                        "middle",
                        String.valueOf(point.counted().n()));
            }
            String now = point.period().substring(0, Math.min(4, point.period().length()));
            if (chart.request().kind().grouped()
                    && chart.request().grouping().calendar()
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

    /** Every so many points, counted from the last, have their name below them: names must not run into each other. */
    private int everyName() {
        int longest = points.stream()
                .mapToInt(point -> shortName(point).length())
                .max()
                .orElse(1);
        return Math.max(1, (int) Math.ceil((longest * size.font * LETTER + BETWEEN_NAMES) / slot));
    }

    private String shortName(Point point) {
        if (!chart.request().kind().grouped()) {
            return point.period();
        }
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
        return TOP + (1 - value / scale.top()) * (size.height - TOP - BELOW);
    }
}
