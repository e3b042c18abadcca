package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import airway.registry.dictionary.Scheme;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Which chart was asked for.
 *
 * @param asked what a change does to the average; null where that is left to the unit, which may have kept one
 */
record ChartRequest(
        Question question,
        ChartKind kind,
        Grouping grouping,
        @Nullable Average asked) {
    static final String EVENT = "event";

    /**
     * Reads the parameters of a request.
     *
     * @throws Problem.Missing if there is no such measure
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    static ChartRequest read(String measure, Map<String, List<String>> parameters, List<Site> sites) {
        Measure known = Question.measure(measure);
        List<Fault> faults = new ArrayList<>();
        ChartKind kind = ChartKind.named(Question.first(
                        parameters, "chart", ChartKind.usual(known).id()))
                .filter(one -> one.fits(known))
                .orElse(null);
        if (kind == null) {
            faults.add(Fault.parameter("chart", "chart.not_offered", ChartKind.offer(known)));
            kind = ChartKind.usual(known);
        }
        String named = Question.first(parameters, "average", "");
        Average average = Average.named(named).orElse(null);
        if (average == null && !named.isEmpty()) {
            faults.add(Fault.parameter("average", "average.form", "Send each, kept or one."));
        }
        Grouping grouping =
                Grouping.parse(Question.first(parameters, "by", "month")).orElse(null);
        if (grouping == null) {
            faults.add(Fault.parameter("by", "by.form", "Send month, quarter, year, or n: and a number, as n:25."));
            grouping = new Grouping(Grouping.Span.MONTH, 0);
        } else if (kind.equalGroups() && grouping.calendar()) {
            faults.add(
                    Fault.parameter(
                            "by",
                            "by.equal",
                            "A c chart needs as many intubations at every point: choose 25 intubations (n:25, or another number), or the u chart."));
        }
        if (known.ofKit() && !grouping.calendar()) {
            faults.add(Fault.parameter("by", "by.calendar", "The kit is measured by month, quarter or year."));
        }
        return new ChartRequest(Question.read(measure, parameters, sites, faults), kind, grouping, average);
    }

    Average average() {
        return asked == null ? Average.EACH : asked;
    }

    /** What one point stands for: the parameter {@code by}, or {@value #EVENT} for what lies between two events. */
    String span() {
        return kind.grouped() ? grouping.toString() : EVENT;
    }

    /** Whether a point stands for a span of the calendar. */
    boolean byCalendar() {
        return kind.grouped() && grouping.calendar();
    }

    /** The same question drawn otherwise. */
    ChartRequest drawnAs(ChartKind other) {
        return new ChartRequest(question, other, grouping, asked);
    }

    /** The same by an average that the unit kept. */
    ChartRequest byKept() {
        return new ChartRequest(question, kind, grouping, Average.KEPT);
    }

    Measure measure() {
        return question.measure();
    }

    Quantity quantity() {
        return kind == ChartKind.C ? Quantity.COUNT : Quantity.of(measure());
    }

    @Nullable
    Scheme scheme() {
        return question.scheme();
    }

    Cohort cohort() {
        return question.cohort();
    }

    String title() {
        return question.title();
    }
}
