package airway.registry.charts;

import static airway.registry.charts.Svg.at;

import airway.registry.charts.OneByOne.Case;
import airway.registry.charts.OneByOne.Watch;
import airway.stats.Series;
import airway.stats.sequential.LcCusum;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * Draws single intubations in order, a row for each stretch of months, and the running count below. Filled dot on the upper
 * row: as wanted. Hollow diamond or filled triangle on the lower row: not. Hollow square with a line: not known.
 */
final class StripSvg {
    /** How wide, and how many months in a row. */
    enum Size {
        DESKTOP(1100, 12),
        PHONE(360, 6);

        private final int width;
        private final int months;

        Size(int width, int months) {
            this.width = width;
            this.months = months;
        }
    }

    private static final int EDGE = 8;
    private static final int ROW = 112;
    private static final int UPPER = 42;
    private static final int LOWER = 62;
    private static final double LARGEST = 5;
    private static final double WIDEST_SLOT = 26;
    private static final int COUNT_HEIGHT = 190;

    private final OneByOne small;
    private final OneByOneWords words;
    private final Size size;
    private final Svg svg = new Svg();

    private StripSvg(OneByOne small, Size size) {
        this.small = small;
        this.words = new OneByOneWords(small);
        this.size = size;
    }

    /** Every intubation of the two years. */
    static String cases(OneByOne small, Size size) {
        return cases(small, size, "strip");
    }

    /**
     * The same as one of several on a page.
     *
     * @param name tells it from the others
     */
    static String cases(OneByOne small, Size size, String name) {
        return new StripSvg(small, size).cases(name);
    }

    /** The running count, or nothing where there is none. */
    static String count(OneByOne small, Size size) {
        return small.watch().fold(ok -> new StripSvg(small, size).count(ok.value()), refused -> "");
    }

    /** The learning curve of the one who asks, or nothing where there is none. */
    static String learning(OwnCurve own, Size size) {
        return own.curve().fold(ok -> new StripSvg(own.strip(), size).learning(own, ok.value()), refused -> "");
    }

    private String cases(String name) {
        int rows = 2 * OneByOne.MONTHS / size.months;
        open(name, rows * ROW, small.question().title() + ", every intubation in order", words.spoken());
        YearMonth start = small.until().minusMonths(2 * OneByOne.MONTHS - 1);
        List<List<Case>> all = new ArrayList<>();
        for (int row = 0; row < rows; row++) {
            YearMonth first = start.plusMonths((long) row * size.months);
            all.add(shown(first, first.plusMonths(size.months)));
        }
        int most = all.stream().mapToInt(List::size).max().orElse(1);
        double slot = Math.min(WIDEST_SLOT, (size.width - 2.0 * EDGE) / Math.max(1, most));
        for (int row = 0; row < rows; row++) {
            YearMonth first = start.plusMonths((long) row * size.months);
            row(row * ROW, first, all.get(row), slot);
        }
        return svg.close("svg").toString();
    }

    private List<Case> shown(YearMonth from, YearMonth before) {
        return small.cases().stream()
                .filter(Case::shown)
                .filter(one -> !one.month().isBefore(from) && one.month().isBefore(before))
                .toList();
    }

    private void open(String name, int height, String title, String spoken) {
        String id = name + "-" + size.name().toLowerCase(Locale.ROOT);
        svg.plot(id, size == Size.PHONE ? "plot ph" : "plot", size.width, height, 13, title, spoken);
    }

    private void row(int top, YearMonth first, List<Case> cases, double slot) {
        label(
                "b",
                Svg.INK,
                EDGE,
                top + 18,
                OneByOneWords.month(first) + " to " + OneByOneWords.month(first.plusMonths(size.months - 1L)));
        line(EDGE, size.width - EDGE, top + 76, top + 76);
        double x = EDGE;
        for (int i = 0; i < size.months; i++) {
            YearMonth month = first.plusMonths(i);
            List<Case> ofMonth =
                    cases.stream().filter(one -> one.month().equals(month)).toList();
            if (ofMonth.isEmpty()) {
                continue;
            }
            if (x > EDGE) {
                line(x, x, top + 30, top + 82);
            }
            month(top, x, month, ofMonth, slot);
            x += ofMonth.size() * slot;
        }
        if (cases.isEmpty()) {
            label("m", Svg.MUTED, EDGE, top + 58, "No intubations that count.");
        }
    }

    private void month(int top, double x, YearMonth month, List<Case> cases, double slot) {
        long upper = cases.stream().filter(small::upper).count();
        long unknown = cases.stream().filter(one -> !one.counts()).count();
        long counted = cases.size() - unknown;
        String spoken = OneByOneWords.month(month) + ": " + upper + " of " + counted + " in the upper row"
                + (unknown == 0 ? "" : ", " + unknown + " not known");
        svg.open("g", "role", "img", "tabindex", "0", "aria-label", spoken);
        svg.text("title", spoken);
        double radius = Math.min(LARGEST, 0.43 * slot);
        for (int i = 0; i < cases.size(); i++) {
            mark(cases.get(i), x + (i + 0.5) * slot, top, radius);
        }
        svg.close("g");
        double width = cases.size() * slot;
        if (width > 24) {
            svg.text(
                    "text",
                    OneByOneWords.month(month).substring(0, 3),
                    "class",
                    "m",
                    "fill",
                    Svg.MUTED,
                    "x",
                    at(x + width / 2),
                    "y",
                    at(top + 94),
                    "text-anchor",
                    "middle");
        }
    }

    private void mark(Case one, double x, int top, double r) {
        if (!one.counts()) {
            double y = top + LOWER;
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
                    at(x - r),
                    "y",
                    at(y - r),
                    "width",
                    at(2 * r),
                    "height",
                    at(2 * r));
            svg.empty(
                    "line", "class", "axis", "stroke", Svg.EDGE, "x1", at(x - r), "x2", at(x + r), "y1", at(y), "y2",
                    at(y));
        } else if (small.upper(one)) {
            svg.empty("circle", "class", "fil", "fill", Svg.INK, "cx", at(x), "cy", at(top + UPPER), "r", at(r));
        } else if (one.second()) {
            diamond(x, top + LOWER, r * 1.2);
        } else {
            double y = top + LOWER;
            svg.empty(
                    "path",
                    "class",
                    "fil",
                    "fill",
                    Svg.INK,
                    "d",
                    "M" + at(x - 1.2 * r) + "," + at(y + r) + " L" + at(x + 1.2 * r) + "," + at(y + r) + " L" + at(x)
                            + "," + at(y - r) + " Z");
        }
    }

    private void diamond(double x, double y, double half) {
        svg.empty(
                "path",
                "class",
                "hol",
                "fill",
                Svg.PANEL,
                "stroke",
                Svg.INK,
                "stroke-width",
                "1.5",
                "d",
                "M" + at(x - half) + "," + at(y) + " L" + at(x) + "," + at(y - half) + " L" + at(x + half) + "," + at(y)
                        + " L" + at(x) + "," + at(y + half) + " Z");
    }

    private String count(Watch watch) {
        open("count", COUNT_HEIGHT, "Running count, " + small.question().title(), String.join(" ", words.watch()));
        return sums(
                watch.cusum().path().sums(),
                watch.design().h(),
                "signals here",
                watch.cusum().path().signals(),
                "Signal",
                watch.cases());
    }

    private String learning(OwnCurve own, LcCusum curve) {
        open("learning", COUNT_HEIGHT, "Learning curve, " + small.question().title(), LearningWords.spoken(own));
        return sums(
                curve.path().sums(),
                curve.design().h(),
                "level aimed for is shown here",
                curve.enoughForAVerdict()
                        ? curve.competenceAt().stream().boxed().toList()
                        : List.of(),
                "The line is reached",
                own.onCurve());
    }

    /**
     * The sum after each case, the limit that it is held against, and what is marked as a diamond.
     *
     * @param marked numbers of the cases that are marked
     */
    private String sums(Series sums, double h, String atLimit, List<Integer> marked, String mark, List<Case> cases) {
        double highest = h;
        for (double sum : sums.present()) {
            highest = Math.max(highest, sum);
        }
        int top = 30;
        int foot = COUNT_HEIGHT - 40;
        double scale = (foot - top) / (highest * 1.05);
        double slot = (size.width - 2.0 * EDGE) / Math.max(1, sums.size());
        svg.empty(
                "line",
                "class",
                "lim",
                "stroke",
                Svg.EDGE,
                "stroke-width",
                "1.4",
                "stroke-dasharray",
                "5 3",
                "x1",
                at(EDGE),
                "x2",
                at(size.width - EDGE),
                "y1",
                at(foot - h * scale),
                "y2",
                at(foot - h * scale));
        label("m", Svg.MUTED, EDGE, foot - h * scale - 6, atLimit);
        line(EDGE, size.width - EDGE, foot, foot);
        StringBuilder path = new StringBuilder("M" + at(EDGE) + "," + at(foot));
        for (int i = 1; i <= sums.size(); i++) {
            double x = EDGE + (i - 0.5) * slot;
            if (sums.at(i).isPresent()) {
                path.append(" L")
                        .append(at(x))
                        .append(',')
                        .append(at(foot - sums.at(i).getAsDouble() * scale));
            }
        }
        svg.empty(
                "path",
                "class",
                "join",
                "fill",
                "none",
                "stroke",
                Svg.INK,
                "stroke-width",
                "1.6",
                "d",
                path.toString());
        for (int number : marked) {
            double x = EDGE + (number - 0.5) * slot;
            String spoken = mark + ", case " + number + ", "
                    + OneByOneWords.month(cases.get(number - 1).month());
            svg.open("g", "role", "img", "tabindex", "0", "aria-label", spoken);
            svg.text("title", spoken);
            double y = foot - sums.at(number).orElse(h) * scale;
            svg.empty(
                    "path",
                    "class",
                    "out",
                    "fill",
                    Svg.PANEL,
                    "stroke",
                    Svg.BERRY,
                    "stroke-width",
                    "3",
                    "d",
                    "M" + at(x - 8) + "," + at(y) + " l8,-8 l8,8 l-8,8 z");
            svg.close("g");
        }
        months(cases, slot, foot);
        return svg.close("svg").toString();
    }

    private void months(List<Case> cases, double slot, int foot) {
        YearMonth month = null;
        double free = 0;
        for (int i = 0; i < cases.size(); i++) {
            if (!cases.get(i).month().equals(month)) {
                month = cases.get(i).month();
                double x = EDGE + i * slot;
                line(x, x, foot, foot + 6);
                if (x >= free) {
                    label(
                            "m",
                            Svg.MUTED,
                            x + 3,
                            foot + 20,
                            OneByOneWords.month(month).substring(0, 3));
                    free = x + 34;
                }
            }
        }
    }

    private void line(double x1, double x2, double y1, double y2) {
        svg.empty("line", "class", "axis", "stroke", Svg.EDGE, "x1", at(x1), "x2", at(x2), "y1", at(y1), "y2", at(y2));
    }

    private void label(String type, String fill, double x, double y, String text) {
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
                "font-weight",
                type.equals("b") ? "700" : "400");
    }
}
