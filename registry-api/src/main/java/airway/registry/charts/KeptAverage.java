package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.charts.Chart.Point;
import airway.registry.cohort.Measure;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Instant;
import java.time.YearMonth;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.UUID;
import java.util.stream.Stream;
import org.springframework.util.LinkedMultiValueMap;
import org.springframework.util.MultiValueMap;

/**
 * A version of an average that a unit kept for one of its charts.
 *
 * @param status final, amended or entered-in-error
 * @param about the chart it is kept for; its cohort ends with the period that was kept
 * @param points what was counted in that period, as it stood on the day; of what lies between two events they tell days
 * @param reason why this period, or why it was withdrawn
 * @param writtenAt when this version was written
 */
record KeptAverage(
        UUID id, int version, String status, ChartRequest about, List<Point> points, String reason, Instant writtenAt) {
    static final String WITHDRAWN = "entered-in-error";

    private static final DateTimeFormatter MONTH = DateTimeFormatter.ofPattern("MMM yyyy", Locale.ENGLISH);

    KeptAverage {
        points = List.copyOf(points);
    }

    boolean withdrawn() {
        return status.equals(WITHDRAWN);
    }

    Site site() {
        return about.cohort().sites().get(0);
    }

    YearMonth from() {
        return Objects.requireNonNull(about.cohort().from());
    }

    YearMonth to() {
        return Objects.requireNonNull(about.cohort().to());
    }

    /** The period in words: "Jan 2025 to Dec 2025". */
    String period() {
        if (!about.byCalendar()) {
            return MONTH.format(from()) + " to " + MONTH.format(to());
        }
        return points.get(0).words() + " to " + points.get(points.size() - 1).words();
    }

    /** All that was counted in the period. */
    Counted total() {
        return points.stream().map(Point::counted).reduce(Counted.NOTHING, Counted::plus);
    }

    /** The points as a kind of chart plots them: of what lies between two events it may be the days or the encounters. */
    List<Point> points(ChartKind kind) {
        return plotted(points, kind);
    }

    static List<Point> plotted(List<Point> points, ChartKind kind) {
        return kind != ChartKind.G
                ? points
                : points.stream()
                        .map(point -> point.plotting(point.counted().n() - 1.0))
                        .toList();
    }

    /**
     * The chart that an average is about.
     *
     * @param parameters of the chart, {@code by} also {@value ChartRequest#EVENT}
     * @throws Problem.Missing if there is no such measure
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    static ChartRequest about(String measure, MultiValueMap<String, String> parameters, Site site) {
        MultiValueMap<String, String> asked = new LinkedMultiValueMap<>(parameters);
        if (Question.first(asked, "by", "").equals(ChartRequest.EVENT)) {
            Measure known = Question.measure(measure);
            ChartKind kind = Stream.of(ChartKind.T, ChartKind.G)
                    .filter(one -> one.fits(known))
                    .findFirst()
                    .orElseThrow(() -> new Problem.Malformed(Fault.parameter(
                            "by",
                            "by.event",
                            "What lies between events is kept of measures of which it is known what is unwanted; send"
                                    + " month, quarter, year, or n: and a number.")));
            asked.remove("by");
            asked.set("chart", kind.id());
        }
        return ChartRequest.read(measure, asked, List.of(site));
    }

    /** The parameters of its chart, but for the period: what tells it from other kept averages. */
    static MultiValueMap<String, String> question(ChartRequest about) {
        MultiValueMap<String, String> question = new LinkedMultiValueMap<>();
        about.cohort().sites().forEach(site -> question.add("site_id", site.code()));
        question.set("measure", about.measure().id());
        if (about.scheme() != null) {
            question.set("scheme", about.scheme().name());
        }
        question.set("by", about.span());
        question.addAll(filters(about));
        return question;
    }

    /** The filters of its chart, variables and codes in order. */
    static MultiValueMap<String, String> filters(ChartRequest about) {
        MultiValueMap<String, String> filters = new LinkedMultiValueMap<>();
        about.cohort().filters().forEach((stratum, codes) -> filters.put(stratum.variable(), sorted(codes)));
        if (!about.cohort().setups().isEmpty()) {
            filters.put(Comparisons.SETUP, sorted(about.cohort().setups()));
        }
        return filters;
    }

    /** The average of one unit over encounters: what is kept are the records behind it, and days of the kit are none. */
    static boolean canBeKept(ChartRequest request) {
        return !request.measure().ofKit() && request.cohort().sites().size() == 1;
    }

    private static List<String> sorted(Iterable<String> codes) {
        List<String> sorted = new ArrayList<>();
        codes.forEach(sorted::add);
        sorted.sort(null);
        return sorted;
    }
}
