package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.changes.Change;
import airway.registry.changes.Changes;
import airway.registry.charts.Chart.Mark;
import airway.registry.charts.Chart.Point;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortTable;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.database.ActorTransactions;
import airway.registry.dictionary.Code;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.Instant;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.OptionalDouble;
import java.util.SortedMap;
import java.util.SortedSet;
import java.util.TreeSet;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;

/** Draws measures over time: counts in one query, limits by the module of statistics. */
@Component
class Charts {
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
        ChartRequest request = ChartRequest.read(measure, parameters, sites.all());
        return transactions.read(dsl -> draw(dsl, request, clock.instant()));
    }

    /** The same inside a running transaction, as of a moment. */
    static Chart draw(DSLContext dsl, ChartRequest request, Instant now) {
        Points points = new Points(request, now);
        if (request.measure().ofKit()) {
            return grouped(dsl, request, now, points.spans(new KitCountQuery(dsl, now).bySpan(request)));
        }
        CountQuery query = new CountQuery(dsl, request.measure(), request.scheme(), request.cohort());
        if (!request.kind().grouped()) {
            CountQuery.Events events = query.events(request.measure().unwanted(), Points.MOST);
            return judged(dsl, request, now, points.between(events), query.total());
        }
        return grouped(
                dsl,
                request,
                now,
                request.grouping().calendar()
                        ? points.spans(query.bySpan(request.grouping()))
                        : points.groups(query.byEncounters(request.grouping().size(), Points.MOST)));
    }

    /**
     * Single intubations of the last two years up to the end of the period, for units with few.
     *
     * @throws Problem.Missing if there is no such measure
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    OneByOne oneByOne(String measure, Map<String, List<String>> parameters) {
        List<Fault> faults = new ArrayList<>();
        Measure known = Question.measure(measure);
        if (!ChartKind.oneByOne(known)) {
            faults.add(Fault.parameter("chart", "chart.not_offered", ChartKind.offer(known)));
        }
        if (!Question.first(parameters, "from", "").isEmpty()) {
            faults.add(Fault.parameter(
                    "from", "from.none", "Leave this out: the two years up to the end of the period are drawn."));
        }
        Question question = Question.read(measure, parameters, sites.all(), faults);
        YearMonth to = question.cohort().to();
        YearMonth until = to == null ? YearMonth.now(clock.withZone(Points.zone(question.cohort()))) : to;
        YearMonth from = until.minusMonths(2 * OneByOne.MONTHS - 1);
        List<OneByOne.Case> cases = transactions.read(dsl ->
                new CountQuery(dsl, question.measure(), question.scheme(), question.cohort()).cases(from, until));
        if (cases.size() == CountQuery.MOST_CASES) {
            throw new Problem.Malformed(Fault.parameter(
                    "chart",
                    "cases.many",
                    "That is " + CountQuery.MOST_CASES + " intubations or more: draw them by month, as p."));
        }
        return OneByOne.of(question, until, cases);
    }

    /**
     * Draws the chart that the parameters ask for side by side, for each code of the variable named in {@code split}, or for each unit.
     *
     * @throws Problem.Missing if there is no such measure
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    Panels split(String measure, Map<String, List<String>> parameters) {
        ChartRequest request = ChartRequest.read(measure, parameters, sites.all());
        String variable = Question.first(parameters, "split", "");
        Stratum stratum = variable.equals(Panels.UNITS)
                ? null
                : Stratum.named(variable)
                        .orElseThrow(() -> new Problem.Malformed(Fault.parameter(
                                "split",
                                "split.unknown",
                                "Send a variable of the filters, site_id for units, or leave this out.")));
        if (request.measure().shape() != Measure.Shape.PROPORTION
                || !request.kind().grouped()
                || !request.grouping().calendar()) {
            throw new Problem.Malformed(Fault.parameter(
                    "split", "split.none", "Side by side are proportions by month, quarter or year; leave this out."));
        }
        Instant now = clock.instant();
        Points points = new Points(request, now);
        return transactions.read(dsl -> {
            CountQuery query = new CountQuery(dsl, request.measure(), request.scheme(), request.cohort());
            List<Code> codes = stratum != null
                    ? stratum.codes()
                    : request.cohort().sites().stream()
                            .sorted(Comparator.comparing(Site::title))
                            .map(site -> new Code(site.code(), site.title()))
                            .toList();
            Map<String, SortedMap<YearMonth, Counted>> groups = stratum != null
                    ? query.bySpanOfEach(request.grouping(), stratum)
                    : query.bySpanOfEachUnit(request.grouping());
            SortedSet<YearMonth> seen = new TreeSet<>();
            groups.values().forEach(group -> seen.addAll(group.keySet()));
            List<Panels.Panel> panels = new ArrayList<>();
            for (Code code : codes) {
                SortedMap<YearMonth, Counted> counts = groups.get(code.value());
                if (counts != null) {
                    panels.add(new Panels.Panel(
                            code.value(), code.label(), grouped(dsl, request, now, points.spans(counts, seen))));
                }
            }
            return new Panels(request, stratum, panels);
        });
    }

    private static Chart grouped(DSLContext dsl, ChartRequest request, Instant now, List<Point> points) {
        Counted total = points.stream().map(Point::counted).reduce(Counted.NOTHING, Counted::plus);
        return judged(dsl, request, now, points, total);
    }

    /** The changes of one unit in the period cut its chart; those of several would mean nothing together. */
    private static Chart judged(DSLContext dsl, ChartRequest asked, Instant now, List<Point> points, Counted total) {
        Chart.Kept kept = kept(dsl, asked, now);
        ChartRequest request = kept == null ? asked : asked.byKept();
        List<Site> units = request.cohort().sites();
        List<Change> changes = units.size() == 1
                ? Changes.of(dsl, units.get(0)).stream()
                        .filter(change -> within(request.cohort(), YearMonth.from(change.on())))
                        .toList()
                : List.of();
        List<Mark> marks = Points.marks(points, changes);
        return Judging.of(request, points, total, kept, marks, shifts(dsl, request, points, marks));
    }

    private static boolean within(Cohort cohort, YearMonth month) {
        return (cohort.from() == null || !month.isBefore(cohort.from()))
                && (cohort.to() == null || !month.isAfter(cohort.to()));
    }

    /** The average that the unit kept for this chart, unless another one is asked for. */
    private static Chart.@Nullable Kept kept(DSLContext dsl, ChartRequest request, Instant now) {
        if (!KeptAverage.canBeKept(request) || (request.asked() != null && request.asked() != Average.KEPT)) {
            return null;
        }
        KeptAverageQuery query = new KeptAverageQuery(dsl);
        return query.newest(request)
                .filter(average -> !average.withdrawn())
                .map(average -> {
                    KeptRecords.Since since = query.since(average, now);
                    OptionalDouble centre = request.kind()
                            .centre(request.quantity(), KeptAverage.plotted(since.points(), request.kind()));
                    return new Chart.Kept(average, since, centre.isPresent() ? (Double) centre.getAsDouble() : null);
                })
                .orElse(null);
    }

    /** What differs in the kind of cases between the first phase and the latest. */
    private static List<CaseMix.Share> shifts(
            DSLContext dsl, ChartRequest request, List<Point> points, List<Mark> marks) {
        List<Integer> cuts = Judging.cuts(request, points, marks);
        if (cuts.isEmpty()
                || request.measure().ofKit()
                || !request.kind().grouped()
                || !request.grouping().calendar()) {
            return List.of();
        }
        CountQuery query = new CountQuery(dsl, request.measure(), request.scheme(), request.cohort());
        return CaseMix.shifts(query.mix(
                CaseMix.LOOKED_AT, month(points.get(cuts.get(0))), month(points.get(cuts.get(cuts.size() - 1)))));
    }

    private static YearMonth month(Point point) {
        return YearMonth.from(Objects.requireNonNull(point.starts()));
    }

    /** The set-ups of a unit, to filter by. */
    List<Code> setups(Site site) {
        return transactions.read(dsl -> CohortTable.setups(dsl, site));
    }
}
