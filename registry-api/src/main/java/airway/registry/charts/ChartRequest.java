package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortForm;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** Which chart was asked for. */
record ChartRequest(Measure measure, Grouping grouping, Cohort cohort) {
    private static final Set<String> OWN = Set.of("chart", "by", "format");

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
        String chart = first(parameters, "chart", "p");
        if (!chart.equals("p")) {
            faults.add(Fault.parameter("chart", "chart.not_offered", "This measure is drawn as p."));
        }
        Grouping grouping = Grouping.parse(first(parameters, "by", "month")).orElse(null);
        if (grouping == null) {
            faults.add(Fault.parameter("by", "by.form", "Send month, quarter, year, or n: and a number, as n:25."));
            grouping = new Grouping(Grouping.Span.MONTH, 0);
        }
        return new ChartRequest(known, grouping, CohortForm.read(parameters, OWN, sites, faults));
    }

    private static String first(Map<String, List<String>> parameters, String name, String otherwise) {
        List<String> values = parameters.getOrDefault(name, List.of());
        return values.isEmpty() || values.get(0).isEmpty() ? otherwise : values.get(0);
    }
}
