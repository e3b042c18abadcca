package airway.registry.charts;

import airway.registry.charts.Chart.Mark;
import airway.registry.charts.Chart.Phase;
import airway.registry.charts.Chart.Point;
import airway.registry.charts.Chart.Reach;
import airway.registry.charts.Chart.Run;
import airway.registry.cohort.Measure;
import airway.stats.Caution;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.chart.ControlChart;
import airway.stats.chart.Limits;
import airway.stats.chart.RunChart;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import org.jspecify.annotations.Nullable;

/** What a chart shows, and what it does not, in sentences made from its numbers. */
final class ChartWords {
    static final String NOMINAL =
            "The dates of these records are made up for order only: the chart shows their order, not time.";

    static final String MIXED =
            "Units of several kinds are counted together here; their patients differ. Choose one with site_id.";

    static final String ONE_GROUP =
            "There is one group only, and nothing stands beside it. Take a filter away, choose a longer period, or ask for other groups.";

    /** What no chart shows. */
    static final String DOES_NOT_SHOW =
            "Why it is so, or who. These figures describe what happened; they do not rank people, teams or units."
                    + " Other things change too, and a unit that records less can look safer.";

    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.UK);

    private final Chart chart;
    private final ChartKind kind;
    private final Quantity quantity;

    /** What several points together are told as: groups of one size cannot be one group. */
    private final Quantity together;

    private final Measure.Cases cases;

    ChartWords(Chart chart) {
        this.chart = chart;
        this.kind = chart.request().kind();
        this.quantity = chart.request().quantity();
        this.together = Quantity.of(chart.request().measure());
        this.cases = chart.request().measure().cases();
    }

    /** The one sentence of the whole chart, with the count and its interval. */
    String shows() {
        Counted total = chart.total();
        Estimate overall = chart.overall();
        if (total.n() == 0 || chart.points().isEmpty()) {
            return "No " + cases.one() + " counts here" + leftOut() + ".";
        }
        String period = !kind.grouped()
                ? "In all"
                : chart.request().grouping().calendar()
                        ? span()
                        : "In " + cases.many() + " "
                                + chart.points().get(0).words().replaceFirst(" .*", "")
                                + " to "
                                + chart.points()
                                        .get(chart.points().size() - 1)
                                        .words()
                                        .replaceFirst(".* ", "");
        String interval = overall == null || total.n() < Percent.FEWEST
                ? ""
                : "; 95% interval " + together.interval(overall, total.n());
        Question question = chart.request().question();
        return period + ": " + lower(question.measure().counts().title(question.scheme()))
                + (quantity == Quantity.PROPORTION ? " in " : ", ") + quantity.count(total) + interval + leftOut()
                + ".";
    }

    private String span() {
        String first = chart.points().get(0).words();
        return chart.points().size() == 1
                ? "In " + first
                : "From " + first + " to "
                        + chart.points().get(chart.points().size() - 1).words();
    }

    /** A title inside a sentence. */
    private static String lower(String title) {
        return title.substring(0, 1).toLowerCase(Locale.ROOT) + title.substring(1);
    }

    /** The title of the chart. */
    String heading() {
        return chart.request().measure().shape() == Measure.Shape.BETWEEN
                ? chart.request().title()
                : chart.request().title() + ofEach();
    }

    private String ofEach() {
        return switch (kind) {
            case G -> ": intubations between one and the next";
            case T -> ": days between one and the next";
            default -> ", by " + chart.request().grouping().noun();
        };
    }

    /** What one point stands for. */
    String noun() {
        return kind.grouped() ? chart.request().grouping().noun() : "stretch from one to the next";
    }

    /** What stands beside each point in the table. */
    String counted() {
        return switch (quantity) {
            case PROPORTION -> "k of n";
            case RATE, COUNT -> "Events";
            case SATURATION, SECONDS -> "Median";
            case DAYS -> "Ready again, median";
        };
    }

    /** A value on the chart's own scale: a percentage, a rate, seconds, intubations, days. */
    String value(double value, long n) {
        return kind.grouped() ? quantity.of(value, n) : amount(value);
    }

    String interval(Estimate estimate, long n) {
        return quantity.interval(estimate, n);
    }

    private String amount(double value) {
        return kind == ChartKind.G || value == 0
                ? String.format(Locale.ROOT, value == Math.rint(value) ? "%.0f" : "%.1f", value)
                : String.format(Locale.ROOT, value < 10 ? "%.1f" : "%.0f", value);
    }

    private String unit() {
        return kind == ChartKind.G ? " intubations" : " days";
    }

    /** What a point came to: "28 of 43 (65%)", "34 intubations". */
    String came(Point point) {
        Double value = point.value();
        if (kind.grouped()) {
            String count = quantity.count(point.counted());
            return kind == ChartKind.EWMA && value != null
                    ? count + ", moving average "
                            + quantity.of(value, point.counted().n())
                    : count;
        }
        return value == null ? "none" : amount(value) + unit();
    }

    /** The line that the points stand about, in one word. */
    String line() {
        return kind == ChartKind.RUN ? "median" : "average";
    }

    /** The average or median of each phase, with its count and interval. */
    List<String> averages() {
        List<String> sentences = new ArrayList<>();
        for (Phase phase : chart.phases()) {
            String sentence = average(phase);
            if (sentence != null) {
                sentences.add(sentence);
            }
        }
        String gap = gap();
        if (gap != null) {
            sentences.add(gap);
        }
        return sentences;
    }

    private @Nullable String average(Phase phase) {
        Double centre = phase.centre();
        Counted judged = chart.judged(phase);
        if (centre == null || judged.n() == 0) {
            return null;
        }
        Estimate estimate = chart.together(phase);
        String interval = within(estimate, judged);
        String stretch = chart.phases().size() == 1 && !phase.kept()
                ? "The " + line() + " is that of the complete points: "
                : stretch(phase) + ": the " + line() + " is ";
        if (!kind.grouped()) {
            return stretch + amount(centre) + unit() + " from one to the next"
                    + (!phase.kept()
                            ? " (" + stretches(judged) + "); " + interval + "."
                            : ", kept from before; recorded in this time "
                                    + (estimate == null
                                            ? stretches(judged)
                                            : amount(estimate.value()) + unit() + " (" + stretches(judged) + ")")
                                    + ", " + interval + ".");
        } else if (phase.kept() && kind != ChartKind.RUN) {
            return stretch + quantity.of(centre, basis()) + ", kept from before; recorded in this time "
                    + quantity.count(judged) + ", " + interval + ".";
        } else if (kind == ChartKind.RUN || quantity.isMedian() || quantity == Quantity.COUNT) {
            return stretch + quantity.of(centre, judged.n()) + "; of all " + cases.many() + " together "
                    + quantity.count(judged) + ", " + interval + ".";
        }
        return stretch + quantity.count(judged) + "; " + interval + ".";
    }

    /** The interval of what was counted, in words. */
    private String within(@Nullable Estimate estimate, Counted counted) {
        if (estimate == null) {
            return "too few for an interval";
        }
        return "95% interval "
                + (kind.grouped()
                        ? together.interval(estimate, counted.n())
                        : amount(estimate.lower()) + " to " + amount(estimate.upper()));
    }

    /** How many intubations the line of a phase rests on. */
    long basis(Phase phase) {
        return phase.kept() ? basis() : chart.judged(phase).n();
    }

    /** How many intubations an average that was carried on rests on. */
    private long basis() {
        Chart.Kept kept = chart.kept();
        return kept == null
                ? chart.judged(chart.phases().get(0)).n()
                : kept.average().total().n();
    }

    /** What is known of the average that was kept; null where none is drawn. */
    @Nullable
    String kept() {
        Chart.Kept kept = chart.kept();
        if (kept == null) {
            return chart.phases().stream().anyMatch(Phase::kept)
                    ? "This average is not kept yet: it is worked out anew each time, and moves when a record of its time is"
                            + " put right."
                    : null;
        }
        KeptAverage average = kept.average();
        OptionalDouble then = kind.centre(quantity, average.points(kind));
        String line = then.isPresent() ? " of " + line(then.getAsDouble(), average.total()) : "";
        return "The " + line() + line + " was kept on "
                + DAY.format(average.writtenAt().atZone(average.site().zone())) + ", from " + average.period() + " ("
                + over(average.points(kind)) + "): \u201c" + average.reason() + "\u201d " + since(kept);
    }

    private String since(Chart.Kept kept) {
        KeptRecords.Since since = kept.since();
        if (since.isNothing()) {
            return "None of these records was changed, added or withdrawn since.";
        }
        Double today = kept.today();
        return "Since then " + since.changed() + " of these records "
                + (since.changed() == 1 ? "was" : "were") + " changed, " + since.added() + " added, and " + since.gone()
                + " withdrawn or moved elsewhere; "
                + (today == null
                        ? "today nothing could be taken."
                        : "taken today it would be " + line(today, kept.total()) + " (" + over(kept.points(kind))
                                + ").")
                + " The line stays until somebody keeps it anew.";
    }

    private String line(double centre, Counted total) {
        return kind.grouped() ? quantity.of(centre, total.n()) : amount(centre) + unit();
    }

    /**
     * What a line rests on: "all together 28 of 43 (65%), 95% interval 50% to 78%", "14 stretches over 320 intubations, 95% interval 12
     * to 40".
     */
    private String over(List<Point> points) {
        Counted total = Chart.judged(points);
        Estimate estimate =
                kind.together(chart.request().measure(), points).toOptional().orElse(null);
        return (kind.grouped() ? "all together " + together.count(total) : stretches(total)) + ", "
                + within(estimate, total);
    }

    private String stretches(Counted total) {
        return total.x() + (total.x() == 1 ? " stretch over " : " stretches over ") + cases.of(total.n());
    }

    /** A point as the beginning or the end of a stretch of points: "Mar 2025", "intubation 26 to 50". */
    private String when(Point point) {
        String words = point.words();
        if (!kind.grouped()) {
            return words.replaceFirst("^(until|since) ", "");
        }
        return chart.request().grouping().calendar() ? words : "intubation " + words;
    }

    /** "From Mar 2025 on, after A". */
    private String stretch(Phase phase) {
        String from = when(chart.points().get(phase.first()));
        if (phase.first() == 0) {
            return "Until " + when(chart.points().get(phase.end() - 1));
        }
        String letters = chart.marks().stream()
                .filter(mark -> mark.cuts() && mark.place() == phase.first())
                .map(Mark::letter)
                .reduce((one, two) -> one + ", " + two)
                .map(all -> ", after " + all)
                .orElse("");
        return "From " + from + " on" + letters;
    }

    /** How far the latest phase lies from the first; the sentence never says that the change made it. */
    private @Nullable String gap() {
        return PhaseGap.of(chart)
                .map(gap -> gap(gap) + " "
                        + (gap.holdsNone()
                                ? "That holds " + (gap.scale() == PhaseGap.Scale.RATIO ? "1" : "0")
                                        + ", so it does not settle whether anything changed."
                                : "Other things changed too in this time; the chart cannot tell which one it was."))
                .orElse(null);
    }

    private String gap(PhaseGap gap) {
        Estimate far = gap.estimate();
        String side = far.value() < 0 ? " below" : " above";
        return switch (gap.scale()) {
            case DIFFERENCE ->
                "The last phase lies " + points(Math.abs(far.value())) + side + " the first (95% interval of the"
                        + " difference " + signed(far.lower()) + " to " + signed(far.upper()) + " points).";
            case RATIO ->
                (Double.isInfinite(far.value())
                                ? "Events came in the last phase alone (95% interval of the ratio of the two rates "
                                : "The rate of the last phase is " + ratio(far.value())
                                        + " times that of the first (95% interval of the ratio ")
                        + ratio(far.lower())
                        + (Double.isInfinite(far.upper()) ? " or more" : " to " + ratio(far.upper()))
                        + "; where several events come in one intubation it can be too narrow).";
            case SHIFT ->
                "The values of the last phase lie "
                        + (far.value() == 0 ? "neither above nor below" : distance(Math.abs(far.value())) + side)
                        + " those of the first (the middle of all differences; 95% interval "
                        + distance(far.lower()).replace(" points", "") + " to " + distance(far.upper()) + ").";
        };
    }

    private static String ratio(double ratio) {
        return String.format(Locale.ROOT, "%.2f", ratio);
    }

    /** Between two values; between two saturations lie points and no percentage. */
    private String distance(double value) {
        return (value < 0 ? "−" : "") + quantity.of(Math.abs(value), 0).replace("%", " points");
    }

    private static String count(Proportion share) {
        return Percent.count(new Counted(share.x(), share.n(), 0, 0, 0));
    }

    private static String points(double fraction) {
        String points = String.format(Locale.ROOT, "%.0f", 100 * fraction);
        return points + (points.equals("1") ? " point" : " points");
    }

    private static String signed(double fraction) {
        String points = String.format(Locale.ROOT, "%.0f", 100 * fraction);
        return points.equals("-0") ? "0" : points.replace("-", "−");
    }

    private String leftOut() {
        Counted total = chart.total();
        if (total.leftOut() == 0) {
            return ", none left out";
        }
        long defined = total.leftOut() - total.unknown();
        String all = ", " + total.leftOut() + " left out";
        if (total.unknown() == 0) {
            return all + " by definition";
        }
        return defined == 0
                ? all + " because the answer is not known"
                : all + " (" + defined + " by definition, " + total.unknown() + " because the answer is not known)";
    }

    /** One sentence for each signal: the points beyond their limits, then long runs, then few crossings. */
    List<String> signals() {
        List<String> sentences = new ArrayList<>();
        for (List<Integer> together : chart.beyondTogether()) {
            Point point = chart.points().get(together.get(0));
            Limits limits = point.limits();
            Double value = point.value();
            if (limits != null && value != null) {
                sentences.add(
                        together.size() == 1 ? beyond(point, value, limits) : beyond(together, value > limits.upper()));
            }
        }
        for (Phase phase : chart.phases()) {
            Run run = phase.run();
            if (run != null && run.isLong()) {
                sentences.add(run.points() + " points in a row, "
                        + chart.points().get(run.first()).words() + " to "
                        + chart.points().get(run.last()).words() + ", lie on one side of the median of "
                        + value(run.median(), chart.judged(phase).n()) + "; with " + run.useful()
                        + " points off the median chance seldom gives more than " + run.mostByChance()
                        + ". The level may have moved: ask what was different.");
            }
            if (run != null && run.crossesSeldom()) {
                sentences.add("The points cross the median of "
                        + value(run.median(), chart.judged(phase).n()) + " "
                        + (run.crossings() == 1 ? "once" : run.crossings() + " times") + "; with " + run.useful()
                        + " points off the median chance seldom gives fewer than " + run.fewestByChance()
                        + ". The level may have moved or drifted.");
            }
        }
        return sentences;
    }

    private String beyond(List<Integer> together, boolean above) {
        Point first = chart.points().get(together.get(0));
        Point last = chart.points().get(together.get(together.size() - 1));
        return first.words() + " to " + last.words() + ": the moving average lies " + (above ? "over" : "under")
                + " its "
                + (above ? "upper" : "lower") + " limit at " + together.size()
                + " points in a row, which are one signal, since each holds the one before. The last: " + came(last)
                + ". A question, not an answer: ask what was different.";
    }

    private String beyond(Point point, double value, Limits limits) {
        long n = point.counted().n();
        boolean above = value > limits.upper();
        String limit = value(above ? limits.upper() : limits.lower(), n);
        if (!kind.grouped()) {
            return sentence(point.words()) + ": " + came(point) + " without, "
                    + (above
                            ? "longer than chance usually gives; the upper"
                            : "shorter than chance usually gives; the lower")
                    + " limit is " + limit + ". A question, not an answer: ask what was different.";
        }
        if (kind == ChartKind.EWMA) {
            return point.words() + ": " + (above ? "higher" : "lower") + " than chance usually gives. " + came(point)
                    + "; its " + (above ? "upper" : "lower") + " limit is " + limit
                    + ". A question, not an answer: ask what was different.";
        }
        String side = quantity.isMedian() ? (above ? "higher" : "lower") : (above ? "more" : "fewer");
        return point.words() + ": " + side + " than chance usually gives. "
                + quantity.count(point.counted()) + "; with " + cases.of(n) + " the "
                + (above ? "upper" : "lower") + " limit is " + limit
                + ". A question, not an answer: ask what was different.";
    }

    private static String sentence(String words) {
        return words.substring(0, 1).toUpperCase(Locale.ROOT) + words.substring(1);
    }

    /** What is said when nothing signals; null where nothing could. */
    @Nullable
    String quiet() {
        boolean limits = kind != ChartKind.RUN && chart.phases().stream().anyMatch(phase -> phase.refusal() == null);
        boolean rules = chart.phases().stream().anyMatch(phase -> phase.run() != null);
        if (!chart.rules().isEmpty() || (!limits && !rules)) {
            return null;
        }
        String what = limits && rules
                ? "No point lies beyond its limits, and no run or crossing signals."
                : limits ? "No point lies beyond its limits." : "No run or crossing signals.";
        return what + " That is not proof that nothing changed.";
    }

    /** Why there are no limits, or why they may still move, phase by phase; empty when all stand. */
    List<String> limits() {
        List<String> sentences = new ArrayList<>();
        for (Phase phase : chart.phases()) {
            String sentence = limits(phase);
            if (sentence != null) {
                sentences.add(chart.phases().size() == 1 ? sentence : stretch(phase) + ": " + lower(sentence));
            }
        }
        return sentences;
    }

    private @Nullable String limits(Phase phase) {
        Reason refusal = phase.refusal();
        long points = setting(phase).stream()
                .filter(point -> point.complete() && point.value() != null)
                .count();
        if (refusal == Reason.NO_DATA) {
            return null;
        } else if (refusal == Reason.TOO_FEW_POINTS) {
            return kind.grouped()
                    ? "No limits: there are " + points + " complete points with " + cases.many() + ", and limits need "
                            + ControlChart.FEWEST_POINTS + ". The points are shown without them."
                    : "No limits: there are " + points + " complete stretches, and limits need "
                            + ControlChart.FEWEST_POINTS + ". Review the cases one by one first.";
        } else if (refusal == Reason.TOO_FEW_USEFUL_POINTS) {
            return "No rules: fewer than " + RunChart.FEWEST_USEFUL_POINTS
                    + " points lie off the median. The points are shown with their median.";
        } else if (refusal == Reason.SINGLE_GROUP) {
            return "No limits: there is no average from before a change to judge these points by. Enter the change, and keep"
                    + " the average from before it.";
        } else if (refusal == Reason.ZERO_WIDTH_LIMITS || refusal == Reason.NO_VARIATION) {
            return "No limits: the points are all alike, so there is nothing to set limits by.";
        } else if (refusal != null) {
            return "No limits can be worked out from these numbers.";
        }
        return phase.provisional()
                ? "Provisional: the limits rest on " + points + " points, under " + ControlChart.FIRM_POINTS
                        + ", one for each " + noun() + ", so they may still move."
                : null;
    }

    /** The points that set the lines of a phase. */
    private List<Point> setting(Phase phase) {
        Chart.Kept kept = chart.kept();
        return !phase.kept()
                ? chart.points(phase)
                : kept == null
                        ? chart.points(chart.phases().get(0))
                        : kept.average().points();
    }

    /** Which limits can never be passed, and what would be needed; empty when all can. */
    List<String> reach() {
        List<String> sentences = new ArrayList<>();
        for (Phase phase : chart.phases()) {
            reach(phase, sentences);
        }
        return sentences;
    }

    private void reach(Phase phase, List<String> sentences) {
        Double centre = phase.centre();
        Reach reach = phase.reach();
        if (centre == null || phase.refusal() != null) {
            return;
        }
        List<Point> points = chart.points(phase);
        long judged = points.stream().filter(point -> point.limits() != null).count();
        String each = " of " + judged + " points"
                + (chart.phases().size() == 1 ? "" : " from " + points.get(0).words());
        long most =
                points.stream().mapToLong(point -> point.counted().n()).max().orElse(0);
        String average = quantity.of(centre, chart.judged(phase).n());
        if (reach.upper() > 0) {
            sentences.add("Can't reach the upper limit at " + reach.upper() + each + ": with an average of " + average
                    + " a point needs " + reach.casesForUpper()
                    + " or more " + cases.many() + " for an upper limit under 100%; the largest has " + most
                    + ". A rise there cannot show as a point beyond its limit.");
        }
        if (reach.lower() > 0) {
            sentences.add("Can't reach the lower limit at " + reach.lower() + each + ": with an average of " + average
                    + " a point needs " + reach.casesForLower()
                    + " or more " + cases.many() + " for a lower limit over " + quantity.of(0, 0) + "; the largest has "
                    + most
                    + ". A fall there cannot show as a point beyond its limit.");
        }
    }

    /** The changes of the unit on the chart, by letter. */
    List<Note> notes() {
        return chart.marks().stream()
                .map(mark -> new Note(
                        mark.letter(),
                        DAY.format(mark.on()) + ": " + mark.name(),
                        mark.reason(),
                        mark.place() == 0
                                ? "before the first point"
                                : mark.place() >= chart.points().size()
                                        ? "after the last whole point"
                                        : mark.cuts() ? "a new phase begins" : ""))
                .toList();
    }

    /** A change in words. */
    public record Note(String letter, String name, String reason, String place) {}

    /** Further cautions in words. */
    List<String> cautions() {
        List<String> sentences = new ArrayList<>();
        if (chart.nominal()) {
            sentences.add(NOMINAL);
        }
        if (cases == Measure.Cases.DAYS) {
            sentences.add(
                    "A day is much like the day before: an interval that treats days as if each stood alone is narrower"
                            + " than what is really known.");
        }
        if (cases == Measure.Cases.SENDINGS && chart.total().x() < chart.total().n()) {
            sentences.add("What is still away can move the latest points until it is back.");
        }
        if (chart.cautions().contains(Caution.SMALL_DENOMINATORS)) {
            sentences.add("Few " + cases.many()
                    + " a point: more than a quarter of the points hold so few that the limits are"
                    + " only rough. Longer spans make it steadier.");
        }
        if (chart.cautions().contains(Caution.OVERDISPERSED) && !Proposal.widens(chart)) {
            sentences.add(Proposal.SCATTER);
        }
        if (chart.cautions().contains(Caution.AUTOCORRELATED)) {
            sentences.add(
                    "Neighbouring points resemble each other, or alternate, more than chance explains. Limits then"
                            + " signal too often or too seldom.");
        }
        for (CaseMix.Share shift : chart.shifts()) {
            sentences.add("The kind of cases differs between the first phase and the last: "
                    + lower(shift.stratum().title()) + " “" + shift.label() + "” in " + count(shift.before())
                    + " before and " + count(shift.after())
                    + " now. A difference in the outcome can be one of the cases.");
        }
        if (chart.cautions().contains(Caution.MISSING_HIGH)) {
            Counted total = chart.total();
            long asked = total.n() + total.unknown();
            sentences.add("The answer is not known in " + total.unknown() + " of " + asked + "."
                    + (quantity != Quantity.PROPORTION
                            ? ""
                            : " Had it been no in all of these it would be "
                                    + Percent.of((double) total.x() / asked, asked) + ", had it been yes in all "
                                    + Percent.of((double) (total.x() + total.unknown()) / asked, asked) + "."));
        }
        if (chart.points().stream().anyMatch(point -> !point.complete())) {
            sentences.add(
                    kind == ChartKind.EWMA
                            ? "A span that still runs, or is cut by the period chosen, is not in the moving average yet: it"
                                    + " has no point."
                            : kind.grouped()
                                    ? "A hollow point is not complete: its span still runs, or is cut by the period chosen. It is"
                                            + " not judged."
                                    : "The hollow point is the stretch since the last one, which still runs. It is not judged.");
        }
        return sentences;
    }
}
