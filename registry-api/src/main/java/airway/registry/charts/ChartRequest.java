package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortForm;
import airway.registry.cohort.Measure;
import airway.registry.dictionary.Scheme;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Which chart was asked for.
 *
 * @param scheme the scheme of severity that decides; null where none does
 */
record ChartRequest(
        Measure measure, @Nullable Scheme scheme, ChartKind kind, Grouping grouping, Average average, Cohort cohort) {
    private static final Set<String> OWN = Set.of("chart", "by", "average", "format", "scheme");

    /**
     * Reads the parameters of a request.
     *
     * @throws Problem.Missing if there is no such measure
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    static ChartRequest read(String measure, Map<String, List<String>> parameters, List<Site> sites) {
        Measure known = Measure.named(measure).orElseThrow(() -> new Problem.Missing("measure"));
        List<Fault> faults = new ArrayList<>();
        OWN.stream()
                .filter(name -> parameters.getOrDefault(name, List.of()).size() > 1)
                .forEach(name -> faults.add(Fault.parameter(name, "parameter.repeated", "Send this once.")));
        ChartKind kind = ChartKind.named(first(parameters, "chart", ChartKind.P.id()))
                .filter(one -> one.fits(known))
                .orElse(null);
        if (kind == null) {
            faults.add(Fault.parameter(
                    "chart",
                    "chart.not_offered",
                    "This measure is drawn as " + String.join(", ", ChartKind.idsFor(known)) + "."));
            kind = ChartKind.P;
        }
        Average average =
                Average.named(first(parameters, "average", Average.EACH.id())).orElse(null);
        if (average == null) {
            faults.add(Fault.parameter("average", "average.form", "Send each, kept or one."));
            average = Average.EACH;
        }
        Grouping grouping = Grouping.parse(first(parameters, "by", "month")).orElse(null);
        if (grouping == null) {
            faults.add(Fault.parameter("by", "by.form", "Send month, quarter, year, or n: and a number, as n:25."));
            grouping = new Grouping(Grouping.Span.MONTH, 0);
        }
        Scheme scheme = known.scheme(named(parameters), faults);
        return new ChartRequest(
                known, scheme, kind, grouping, average, CohortForm.read(parameters, OWN, sites, faults));
    }

    /** The title, with the scheme that decides. */
    String title() {
        return measure.title(scheme);
    }

    /** The scheme of severity that is asked for, if one is. */
    static @Nullable String named(Map<String, List<String>> parameters) {
        String named = first(parameters, "scheme", "");
        return named.isEmpty() ? null : named;
    }

    private static String first(Map<String, List<String>> parameters, String name, String otherwise) {
        List<String> values = parameters.getOrDefault(name, List.of());
        return values.isEmpty() || values.get(0).isEmpty() ? otherwise : values.get(0);
    }
}
