package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.charts.Chart.Point;
import java.time.Instant;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.UUID;
import org.springframework.util.LinkedMultiValueMap;
import org.springframework.util.MultiValueMap;

/**
 * A version of an average that a unit kept for one of its charts.
 *
 * @param status final, amended or entered-in-error
 * @param about the chart it is kept for; its cohort ends with the period that was kept
 * @param points what was counted in that period, as it stood on the day
 * @param reason why this period, or why it was withdrawn
 * @param writtenAt when this version was written
 */
record KeptAverage(
        UUID id, int version, String status, ChartRequest about, List<Point> points, String reason, Instant writtenAt) {
    static final String WITHDRAWN = "entered-in-error";

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
        return points.get(0).words() + " to " + points.get(points.size() - 1).words();
    }

    /** All that was counted in the period. */
    Counted total() {
        return points.stream().map(Point::counted).reduce(Counted.NOTHING, Counted::plus);
    }

    /** The parameters of its chart, but for the period: what tells it from other kept averages. */
    static MultiValueMap<String, String> question(ChartRequest about) {
        MultiValueMap<String, String> question = new LinkedMultiValueMap<>();
        about.cohort().sites().forEach(site -> question.add("site_id", site.code()));
        question.set("measure", about.measure().id());
        if (about.scheme() != null) {
            question.set("scheme", about.scheme().name());
        }
        question.set("by", about.grouping().toString());
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

    /**
     * The average of one unit by spans of the calendar; what lies between two events has no period of its own, and what is kept
     * are the records behind an average.
     */
    static boolean canBeKept(ChartRequest request) {
        return !request.measure().ofKit()
                && request.kind().grouped()
                && request.grouping().calendar()
                && request.cohort().sites().size() == 1;
    }

    private static List<String> sorted(Iterable<String> codes) {
        List<String> sorted = new ArrayList<>();
        codes.forEach(sorted::add);
        sorted.sort(null);
        return sorted;
    }
}
