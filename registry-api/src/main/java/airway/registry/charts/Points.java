package airway.registry.charts;

import airway.registry.changes.Change;
import airway.registry.charts.Chart.Mark;
import airway.registry.charts.Chart.Point;
import airway.registry.cohort.Cohort;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Instant;
import java.time.LocalDate;
import java.time.YearMonth;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.SortedMap;
import java.util.SortedSet;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;

/** Turns what was counted into the points of a chart, in order, not yet judged. */
final class Points {
    static final int MOST = 600;
    private static final double SECONDS_A_DAY = 86_400;
    private static final DateTimeFormatter MONTH = DateTimeFormatter.ofPattern("MMM yyyy", Locale.ENGLISH);

    private final ChartRequest request;
    private final Instant now;
    private final ZoneId zone;

    Points(ChartRequest request, Instant now) {
        this.request = request;
        this.now = now;
        this.zone = zone(request.cohort());
    }

    /** The zone of the first unit. */
    static ZoneId zone(Cohort cohort) {
        return cohort.sites().isEmpty()
                ? ZoneId.of("UTC")
                : cohort.sites().get(0).zone();
    }

    /** Every span from the first to the last, those without a case too: they are gaps. */
    List<Point> spans(SortedMap<YearMonth, Counted> counts) {
        return spans(counts, new TreeSet<>(counts.keySet()));
    }

    /**
     * The same from the first to the last of given months.
     *
     * @param seen months in which anything was counted, also beside these counts
     */
    List<Point> spans(SortedMap<YearMonth, Counted> counts, SortedSet<YearMonth> seen) {
        Grouping grouping = request.grouping();
        Cohort cohort = request.cohort();
        YearMonth first = cohort.from() == null ? (seen.isEmpty() ? null : seen.first()) : cohort.from();
        YearMonth last = cohort.to() == null ? (seen.isEmpty() ? null : seen.last()) : cohort.to();
        if (first == null || last == null) {
            return List.of();
        }
        List<Point> points = new ArrayList<>();
        LocalDate today = LocalDate.ofInstant(now, zone);
        for (YearMonth start = grouping.start(first); !start.isAfter(last); start = grouping.next(start)) {
            YearMonth end = grouping.next(start).minusMonths(1);
            boolean whole = (cohort.from() == null || !cohort.from().isAfter(start))
                    && (cohort.to() == null || !cohort.to().isBefore(end));
            points.add(counted(
                    request.quantity(),
                    grouping.code(start),
                    (whole ? "" : "part of ") + grouping.words(start),
                    start.atDay(1),
                    counts.getOrDefault(start, Counted.NOTHING),
                    whole && grouping.complete(start, today)));
        }
        if (points.size() > MOST && cohort.from() != null) {
            throw tooMany("choose longer spans, or a later beginning.");
        }
        return latest(points);
    }

    /** Groups of as many encounters as were asked for; the last one may still fill. */
    List<Point> groups(SortedMap<Integer, CountQuery.Group> counts) {
        int size = request.grouping().size();
        List<Point> points = new ArrayList<>();
        counts.forEach((number, group) -> {
            Counted counted = group.counted();
            String name = group(number, size, counted.n());
            points.add(counted(
                    request.quantity(),
                    name,
                    name.replace("-", " to "),
                    day(group.starts()),
                    counted,
                    counted.n() == size));
        });
        if (points.size() > MOST) {
            throw tooMany("choose larger groups.");
        }
        return points;
    }

    /** "26-50": the places of the encounters of a group among those that count. */
    private static String group(int number, long size, long n) {
        return number * size + 1 + "-" + (number * size + n);
    }

    /** The name of a whole point, by its number from 0 and the day it starts. */
    static String period(ChartRequest request, int number, LocalDate starts) {
        if (!request.kind().grouped()) {
            return String.valueOf(number + 1);
        }
        Grouping grouping = request.grouping();
        return grouping.calendar()
                ? grouping.code(YearMonth.from(starts))
                : group(number, grouping.size(), grouping.size());
    }

    /** What lies between one event and the next; the last point, from the last event until now, is not complete. */
    List<Point> between(CountQuery.Events events) {
        List<Point> points = new ArrayList<>();
        List<CountQuery.Event> latest = events.latest();
        for (int i = 1; i < latest.size(); i++) {
            CountQuery.Event event = latest.get(i);
            points.add(between(events.before() + i, latest.get(i - 1), event.at(), event.cases() - 1, true));
        }
        if (!latest.isEmpty()) {
            points.add(between(
                    events.before() + latest.size(), latest.get(latest.size() - 1), now, events.since(), false));
        }
        return latest(points);
    }

    private Point between(int number, CountQuery.Event from, Instant until, long cases, boolean complete) {
        double days = (until.getEpochSecond() - from.at().getEpochSecond()) / SECONDS_A_DAY;
        LocalDate ended = day(until);
        return new Point(
                String.valueOf(number),
                complete ? "until " + MONTH.format(ended) : "since " + MONTH.format(day(from.at())),
                ended,
                new Counted(complete ? 1 : 0, complete ? cases + 1 : cases, 0, 0, 0),
                complete,
                request.kind() == ChartKind.G ? cases : days,
                null,
                null,
                Set.of());
    }

    static Point counted(
            Quantity quantity,
            String period,
            String words,
            @Nullable LocalDate starts,
            Counted counted,
            boolean complete) {
        return new Point(
                period,
                words,
                starts,
                counted,
                complete,
                quantity.value(counted),
                quantity.interval(counted),
                null,
                Set.of());
    }

    /**
     * Where the changes of the unit lie among the points: before the first point that begins on their day or later. A span
     * in which something was changed still counts as before.
     */
    static List<Mark> marks(List<Point> points, List<Change> changes) {
        List<Mark> marks = new ArrayList<>();
        for (Change change : changes) {
            int place = 0;
            while (place < points.size() && isBefore(points.get(place), change.on())) {
                place++;
            }
            marks.add(new Mark(
                    letter(marks.size()), change.on(), change.name(), change.reason(), change.cutsChart(), place));
        }
        return marks;
    }

    private static boolean isBefore(Point point, LocalDate day) {
        return point.starts() == null || point.starts().isBefore(day);
    }

    /** A to Z, then A1 to Z1 and so on. */
    private static String letter(int number) {
        return (char) ('A' + number % 26) + (number < 26 ? "" : String.valueOf(number / 26));
    }

    private LocalDate day(Instant instant) {
        return LocalDate.ofInstant(instant, zone);
    }

    /** Without a chosen beginning one record of a mistyped year must not take the chart away from everybody. */
    private static List<Point> latest(List<Point> points) {
        return points.subList(Math.max(0, points.size() - MOST), points.size());
    }

    private static Problem.Malformed tooMany(String mend) {
        return new Problem.Malformed(
                Fault.parameter("by", "points.many", "That is more than " + MOST + " points: " + mend));
    }
}
