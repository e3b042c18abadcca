package airway.registry.charts;

import airway.registry.charts.Chart.Mark;
import airway.registry.charts.Chart.Phase;
import airway.registry.charts.Chart.Point;
import airway.registry.charts.Chart.Reach;
import airway.registry.charts.Chart.Rule;
import airway.registry.charts.Chart.Run;
import airway.registry.charts.ChartKind.Lines;
import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Estimate;
import airway.stats.Sample;
import airway.stats.Series;
import airway.stats.chart.Autocorrelation;
import airway.stats.chart.Baseline;
import airway.stats.chart.ChartPoint;
import airway.stats.chart.Limits;
import airway.stats.chart.RunChart;
import airway.stats.chart.Signal;
import airway.stats.interval.MissingBounds;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Objects;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** Judges counted points: phases, averages, limits, rules and cautions, or why there are none. */
final class Judging {
    private final ChartKind kind;
    private final Quantity quantity;
    private final List<Point> counted;
    private final List<Point> points;
    private final @Nullable KeptAverage kept;
    private final Set<Caution> cautions = EnumSet.noneOf(Caution.class);

    private Judging(ChartRequest request, List<Point> points, Chart.@Nullable Kept kept) {
        this.kind = request.kind();
        this.quantity = request.quantity();
        this.counted = List.copyOf(points);
        this.points = new ArrayList<>(points);
        this.kept = kept == null ? null : kept.average();
    }

    /**
     * The chart of these points.
     *
     * @param total all that was counted, also what no point stands for
     * @param kept an average that judges the points of its period and the later ones, or null
     * @param shifts what differs in the kind of cases between the first phase and the latest
     */
    static Chart of(
            ChartRequest request,
            List<Point> points,
            Counted total,
            Chart.@Nullable Kept kept,
            List<Mark> marks,
            List<CaseMix.Share> shifts) {
        Judging judging = new Judging(request, points, kept);
        List<Phase> phases = judging.phases(judging.withKept(cuts(request, points, marks)), request.average());
        judging.missing(total);
        if (request.kind().grouped()) {
            judging.autocorrelation(phases);
        }
        if (!shifts.isEmpty()) {
            judging.cautions.add(Caution.CASE_MIX_CHANGED);
        }
        return new Chart(
                request,
                judging.points,
                total,
                Quantity.of(request.measure()).interval(total),
                phases,
                kept,
                marks,
                shifts,
                judging.cautions);
    }

    /** The interval of a proportion, or null without a case. */
    static @Nullable Estimate wilson(Counted counted) {
        return Quantity.PROPORTION.interval(counted);
    }

    /** Places at which a new phase begins; a change before the first or after the last point cuts nothing. */
    static List<Integer> cuts(ChartRequest request, List<Point> points, List<Mark> marks) {
        return request.average() == Average.ONE
                ? List.of()
                : marks.stream()
                        .filter(Mark::cuts)
                        .map(Mark::place)
                        .filter(place -> place > 0 && place < points.size())
                        .distinct()
                        .sorted()
                        .toList();
    }

    private List<Phase> phases(List<Integer> cuts, Average average) {
        List<Phase> phases = new ArrayList<>();
        int first = 0;
        for (int i = 0; i <= cuts.size(); i++) {
            int end = i < cuts.size() ? cuts.get(i) : points.size();
            if (kept != null) {
                phases.add(first < place(kept.from()) ? judge(first, end, first, end, false) : judge(kept, first, end));
            } else {
                boolean carried = average == Average.KEPT && i > 0;
                phases.add(carried ? judge(0, cuts.get(0), first, end, true) : judge(first, end, first, end, false));
            }
            first = end;
        }
        return phases;
    }

    /** The period of a kept average is a phase of its own. */
    private List<Integer> withKept(List<Integer> cuts) {
        if (kept == null) {
            return cuts;
        }
        return Stream.concat(
                        cuts.stream(),
                        Stream.of(place(kept.from()), place(kept.to().plusMonths(1))))
                .filter(place -> place > 0 && place < points.size())
                .distinct()
                .sorted()
                .toList();
    }

    /** The place of the first point that begins in a month or later; as many as there are points when all lie before. */
    private int place(YearMonth month) {
        int place = 0;
        while (place < points.size() && begins(place).isBefore(month)) {
            place++;
        }
        return place;
    }

    private YearMonth begins(int place) {
        return YearMonth.from(Objects.requireNonNull(points.get(place).starts()));
    }

    /** Judges the points from {@code first} to before {@code end} by a kept average. */
    private Phase judge(KeptAverage average, int first, int end) {
        int base = place(average.from());
        List<Point> all = counted.subList(base, end);
        int within = Math.min(end, place(average.to().plusMonths(1))) - base;
        Run run = null;
        if (end == points.size() && kind.hasRuns()) {
            double median =
                    Sample.of(ChartKind.values(average.points(kind)).present()).median();
            run = run(RunChart.about(median, ChartKind.values(all)), base);
        }
        return phase(base, first, end, true, run, kind.judgeBy(quantity, average.points(kind), all, within));
    }

    /** Judges the points from {@code first} to before {@code end} by the lines of those from {@code base} on. */
    private Phase judge(int base, int baseEnd, int first, int end, boolean kept) {
        List<Point> all = counted.subList(base, end);
        Baseline baseline = new Baseline(1, baseEnd - base);
        Run run = (kept && end < points.size()) || !kind.hasRuns()
                ? null
                : run(RunChart.of(ChartKind.values(all), baseline), base);
        return phase(base, first, end, kept, run, kind.judge(quantity, all, baseline));
    }

    /** What was judged from {@code base} on, as the phase from {@code first} to before {@code end}. */
    private Phase phase(int base, int first, int end, boolean kept, @Nullable Run run, Answer<Lines> answer) {
        if (run != null && run.isLong()) {
            for (int place = run.first(); place <= run.last(); place++) {
                if (points.get(place).complete()) {
                    add(place, Rule.LONG_RUN);
                }
            }
        }
        return answer.fold(
                ok -> {
                    Lines lines = ok.value();
                    cautions.addAll(ok.cautions());
                    for (int place = first; place < end; place++) {
                        ChartPoint judged = lines.points().get(place - base);
                        judge(place, judged.value(), judged.limits().orElse(null));
                        if (judged.signal() != Signal.NONE) {
                            add(place, Rule.BEYOND_LIMITS);
                        }
                    }
                    return new Phase(
                            first,
                            end,
                            lines.centre(),
                            kept,
                            null,
                            lines.provisional(),
                            kept ? Reach.NOT_ASKED : lines.reach(),
                            run);
                },
                refused -> {
                    Series shown = refused.shown().points();
                    for (int place = first; place < Math.min(end, base + shown.size()); place++) {
                        judge(place, shown.at(place - base + 1), null);
                    }
                    OptionalDouble centre = refused.shown().estimate();
                    return new Phase(
                            first,
                            end,
                            centre.isPresent() ? (Double) centre.getAsDouble() : null,
                            kept,
                            refused.reason(),
                            false,
                            Reach.NOT_ASKED,
                            run);
                });
    }

    /** What is plotted at a place, and its limits; a point that is not complete keeps what was counted, or has no average yet. */
    private void judge(int place, OptionalDouble plotted, @Nullable Limits limits) {
        Point point = points.get(place);
        Double value =
                plotted.isPresent() ? (Double) plotted.getAsDouble() : kind == ChartKind.EWMA ? null : point.value();
        points.set(place, changed(point, value, limits, point.signals()));
    }

    private void add(int place, Rule rule) {
        Point point = points.get(place);
        Set<Rule> signals = EnumSet.of(rule);
        signals.addAll(point.signals());
        points.set(place, changed(point, point.value(), point.limits(), signals));
    }

    private static Point changed(Point point, @Nullable Double value, @Nullable Limits limits, Set<Rule> signals) {
        return new Point(
                point.period(),
                point.words(),
                point.starts(),
                point.counted(),
                point.complete(),
                value,
                point.estimate(),
                limits,
                signals);
    }

    /** How the points lie about the median of the baseline; with a kept one this is told of all points, in the last phase. */
    private static @Nullable Run run(Answer<RunChart> answer, int base) {
        return answer.toOptional()
                .map(chart -> {
                    List<Integer> longest = chart.longestRun();
                    return new Run(
                            chart.median(),
                            chart.useful(),
                            base + longest.get(0) - 1,
                            base + longest.get(longest.size() - 1) - 1,
                            longest.size(),
                            chart.limits().longestRun(),
                            chart.crossings(),
                            chart.limits().crossings());
                })
                .orElse(null);
    }

    private void missing(Counted total) {
        long asked = total.n() + total.unknown();
        if (asked > 0 && total.unknown() > MissingBounds.HIGH * asked) {
            cautions.add(Caution.MISSING_HIGH);
        }
    }

    private void autocorrelation(List<Phase> phases) {
        for (Phase phase : phases) {
            boolean flagged = Autocorrelation.of(ChartKind.values(counted.subList(phase.first(), phase.end())))
                    .toOptional()
                    .map(Autocorrelation::flagged)
                    .orElse(false);
            if (flagged) {
                cautions.add(Caution.AUTOCORRELATED);
            }
        }
    }
}
