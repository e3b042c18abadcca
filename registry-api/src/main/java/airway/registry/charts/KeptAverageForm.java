package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.charts.Chart.Point;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import airway.registry.web.JsonFields;
import airway.stats.chart.ControlChart;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import org.springframework.util.LinkedMultiValueMap;
import org.springframework.util.MultiValueMap;
import tools.jackson.databind.JsonNode;

/** Which average is to be kept, and why, as it came in. */
final class KeptAverageForm {
    static final int LONGEST_REASON = 500;

    static final Set<String> PARTS = Set.of("site_id", "measure", "scheme", "by", "filters", "from", "to", "reason");
    static final Set<String> PARTS_ANEW = Set.of("from", "to", "reason");

    private KeptAverageForm() {}

    /** A chart that ends with the period to keep, and why that one. */
    record Asked(ChartRequest about, String reason) {}

    /**
     * Reads an average to keep.
     *
     * @throws Problem.Malformed if it has other fields
     * @throws Problem.Invalid with everything that is wrong
     */
    static Asked read(JsonNode body, Site site) {
        JsonFields fields = JsonFields.of(body, PARTS);
        MultiValueMap<String, String> question = new LinkedMultiValueMap<>();
        question.set("site_id", site.code());
        for (String name : List.of("measure", "scheme", "by")) {
            if (!fields.blank(name)) {
                question.set(name, body.path(name).asString(""));
            }
        }
        List<Fault> faults = new ArrayList<>();
        JsonNode filters = body.path("filters");
        if (!fields.blank("filters") && !filters.isObject()) {
            fields.fault("filters", "type", "Send an object: variables with lists of codes.");
        }
        filters.properties().forEach(filter -> {
            if (CHART.contains(filter.getKey())) {
                faults.add(Fault.at(
                        "/filters/" + filter.getKey(), "parameter.unknown", "There is no such filter; leave it out."));
            } else {
                filter.getValue().forEach(code -> question.add(filter.getKey(), code.asString("")));
            }
        });
        faults.forEach(fault -> fields.fault(fault.path().substring(1), fault.code(), fault.mend()));
        return read(body, fields, question, site);
    }

    private static final Set<String> CHART =
            Set.of("site_id", "from", "to", "chart", "by", "average", "split", "format", "scheme", "measure");

    /** Reads another period of the same average; refuses as {@link #read(JsonNode, Site)}. */
    static Asked anew(JsonNode body, KeptAverage before) {
        return read(body, JsonFields.of(body, PARTS_ANEW), KeptAverage.question(before.about()), before.site());
    }

    /** Reads why an average is withdrawn; refuses as {@link #read(JsonNode, Site)}. */
    static String withdrawal(JsonNode body) {
        JsonFields fields = JsonFields.of(body, Set.of("reason"));
        String reason = fields.needed("reason", fields.text("reason", LONGEST_REASON), "Say why it is withdrawn.");
        fields.check();
        return Objects.requireNonNull(reason);
    }

    private static Asked read(JsonNode body, JsonFields fields, MultiValueMap<String, String> question, Site site) {
        for (String name : List.of("from", "to")) {
            String mend = name.equals("from")
                    ? "Name the first month of the period, as 2025-01."
                    : "Name the last month of the period, as 2025-12.";
            if (fields.needed(name, fields.blank(name) ? null : name, mend) != null) {
                String period = body.path(name).asString("").strip();
                question.set(name, period);
                if (period.isEmpty()) {
                    fields.fault(name, "required", mend);
                }
            }
        }
        String reason = fields.needed(
                "reason", fields.text("reason", LONGEST_REASON), "Say why this period is the one to keep.");
        String measure = Question.first(question, "measure", "");
        question.remove("measure");
        ChartRequest about = null;
        try {
            about = KeptAverage.about(measure, question, site);
            if (about.measure().ofKit()) {
                fields.fault(
                        "measure", "measure.kit", "Averages are kept of measures of encounters; send one of these.");
            }
        } catch (Problem.Missing e) {
            fields.fault("measure", "code", "Name a measure of the catalogue.");
        } catch (Problem.Malformed e) {
            e.faults()
                    .forEach(fault -> fields.fault(
                            PARTS.contains(fault.path()) ? fault.path() : "filters/" + fault.path(),
                            fault.code(),
                            fault.mend()));
        }
        fields.check();
        return new Asked(Objects.requireNonNull(about), Objects.requireNonNull(reason));
    }

    /** "12 points with intubations", "12 whole groups of 25", "12 whole stretches from one to the next". */
    static String points(ChartRequest about, long number) {
        String many = number == 1 ? "" : "s";
        if (!about.kind().grouped()) {
            return number + " whole stretch" + (number == 1 ? "" : "es") + " from one to the next";
        }
        return about.grouping().calendar()
                ? number + " point" + many + " with intubations"
                : number + " whole group" + many + " of " + about.grouping().size();
    }

    /**
     * The points of the period, as they are now.
     *
     * @throws Problem.Invalid if the period is not over, or holds too few points to judge others by
     */
    static void check(ChartRequest about, List<Point> points, YearMonth now) {
        if (!Objects.requireNonNull(about.cohort().to()).isBefore(now)) {
            throw new Problem.Invalid(
                    Fault.at("/to", "period.part", "The period still runs there; name a month that is over."));
        }
        int end = points.size() - 1;
        for (int place : List.of(end, 0)) {
            if (end >= 0 && !points.get(place).complete()) {
                throw new Problem.Invalid(Fault.at(
                        place == end ? "/to" : "/from",
                        "period.part",
                        "There the period cuts a span, or one that still runs; name a whole one that is over."));
            }
        }
        long counted = points.stream().filter(point -> point.value() != null).count();
        if (counted < ControlChart.FEWEST_POINTS) {
            throw new Problem.Invalid(Fault.at(
                    "/from",
                    "points.few",
                    "The period holds " + points(about, counted) + ", and an average is kept from "
                            + ControlChart.FEWEST_POINTS + " on; name a longer one."));
        }
    }
}
