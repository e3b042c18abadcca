package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.charts.Chart.Point;
import airway.registry.charts.Chart.Reach;
import airway.registry.cohort.Cohort;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.chart.ChartPoint;
import airway.stats.chart.PChart;
import airway.stats.interval.ProportionInterval;
import java.time.Clock;
import java.time.LocalDate;
import java.time.YearMonth;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SortedMap;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;

/** Draws measures over time: counts in one query, limits by the module of statistics. */
@Component
class Charts {
    private static final int MOST_POINTS = 600;
    /** More than this share of answers not known is told. Source: the statistical methods of the registry, section 0. */
    private static final double MISSING_HIGH = 0.10;

    private final ActorTransactions transactions;
    private final Sites sites;
    private final Clock clock;

    Charts(ActorTransactions transactions, Sites sites, Clock clock) {
        this.transactions = transactions;
        this.sites = sites;
        this.clock = clock;
    }

    /**
     * Draws the chart that the parameters ask for.
     *
     * @throws Problem.Missing if there is no such measure
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    Chart draw(String measure, Map<String, List<String>> parameters) {
        List<Site> mine = sites.all();
        ChartRequest request = ChartRequest.read(measure, parameters, mine);
        List<Point> points = transactions.read(dsl -> {
            CountQuery query = new CountQuery(dsl, request.measure(), request.scheme(), request.cohort());
            return request.grouping().calendar()
                    ? spans(query.bySpan(request.grouping()), request)
                    : groups(
                            query.byEncounters(request.grouping().size()),
                            request.grouping().size());
        });
        return chart(request, points);
    }

    /** Every span from the first to the last, those without a case too: they are gaps. */
    private List<Point> spans(SortedMap<YearMonth, Counted> counts, ChartRequest request) {
        Grouping grouping = request.grouping();
        Cohort cohort = request.cohort();
        YearMonth first = cohort.from() == null ? (counts.isEmpty() ? null : counts.firstKey()) : cohort.from();
        YearMonth last = cohort.to() == null ? (counts.isEmpty() ? null : counts.lastKey()) : cohort.to();
        if (first == null || last == null) {
            return List.of();
        }
        List<Point> points = new ArrayList<>();
        LocalDate today = LocalDate.now(clock.withZone(zone(cohort)));
        for (YearMonth start = grouping.start(first); !start.isAfter(last); start = grouping.next(start)) {
            YearMonth end = grouping.next(start).minusMonths(1);
            boolean whole = (cohort.from() == null || !cohort.from().isAfter(start))
                    && (cohort.to() == null || !cohort.to().isBefore(end));
            points.add(point(
                    grouping.code(start),
                    (whole ? "" : "part of ") + grouping.words(start),
                    counts.getOrDefault(start, Counted.NOTHING),
                    whole && grouping.complete(start, today)));
        }
        if (points.size() > MOST_POINTS && cohort.from() != null) {
            throw new Problem.Malformed(Fault.parameter(
                    "by",
                    "points.many",
                    "That is more than " + MOST_POINTS + " points: choose longer spans, or a later beginning."));
        }
        // Without a chosen beginning one record of a mistyped year must not take the chart away from everybody.
        return points.subList(Math.max(0, points.size() - MOST_POINTS), points.size());
    }

    private static List<Point> groups(SortedMap<Integer, Counted> counts, int size) {
        List<Point> points = new ArrayList<>();
        counts.forEach((number, counted) -> {
            String name = (long) number * size + 1 + "-" + ((long) number * size + counted.n());
            points.add(point(name, name.replace("-", " to "), counted, counted.n() == size));
        });
        if (points.size() > MOST_POINTS) {
            throw new Problem.Malformed(Fault.parameter(
                    "by", "points.many", "That is more than " + MOST_POINTS + " points: choose larger groups."));
        }
        return points;
    }

    private static ZoneId zone(Cohort cohort) {
        return cohort.sites().isEmpty()
                ? ZoneId.of("UTC")
                : cohort.sites().get(0).zone();
    }

    static Point point(String period, String words, Counted counted, boolean complete) {
        return new Point(period, words, counted, complete, wilson(counted), null, false);
    }

    static @Nullable Estimate wilson(Counted counted) {
        return ProportionInterval.WILSON
                .of(new Proportion(counted.x(), counted.n()), Confidence.DEFAULT)
                .toOptional()
                .orElse(null);
    }

    /** Judges counted points: average, limits and cautions, or why there are none. */
    static Chart chart(ChartRequest request, List<Point> points) {
        Counted total = points.stream().map(Point::counted).reduce(Counted.NOTHING, Counted::plus);
        List<Proportion> judged = points.stream()
                .map(point -> point.complete()
                        ? new Proportion(point.counted().x(), point.counted().n())
                        : new Proportion(0, 0))
                .toList();
        Answer<PChart> answer = PChart.of(judged);
        Set<Caution> missing = missing(total);
        return answer.fold(
                ok -> {
                    Set<Caution> cautions = union(ok.cautions(), missing);
                    PChart p = ok.value();
                    return new Chart(
                            request,
                            judged(points, p.chart().points()),
                            total,
                            wilson(total),
                            p.chart().centre(),
                            null,
                            p.chart().provisional(),
                            cautions,
                            new Reach(
                                    p.upperUnreachable().size(),
                                    p.casesToReachUpper(),
                                    p.lowerUnreachable().size(),
                                    p.casesToReachLower()));
                },
                refused -> new Chart(
                        request,
                        points,
                        total,
                        wilson(total),
                        refused.shown().estimate().isPresent()
                                ? (Double) refused.shown().estimate().getAsDouble()
                                : null,
                        refused.reason(),
                        false,
                        missing,
                        Reach.NOT_ASKED));
    }

    private static Set<Caution> missing(Counted total) {
        long asked = total.n() + total.unknown();
        return asked > 0 && total.unknown() > MISSING_HIGH * asked ? Set.of(Caution.MISSING_HIGH) : Set.of();
    }

    private static Set<Caution> union(Set<Caution> some, Set<Caution> more) {
        Set<Caution> all = EnumSet.noneOf(Caution.class);
        all.addAll(some);
        all.addAll(more);
        return all;
    }

    private static List<Point> judged(List<Point> points, List<ChartPoint> judgements) {
        List<Point> judged = new ArrayList<>();
        for (int i = 0; i < points.size(); i++) {
            Point point = points.get(i);
            ChartPoint judgement = judgements.get(i);
            judged.add(new Point(
                    point.period(),
                    point.words(),
                    point.counted(),
                    point.complete(),
                    point.estimate(),
                    judgement.limits().orElse(null),
                    judgement.signal() != airway.stats.chart.Signal.NONE));
        }
        return judged;
    }
}
