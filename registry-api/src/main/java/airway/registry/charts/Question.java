package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortForm;
import airway.registry.cohort.Measure;
import airway.registry.dictionary.Scheme;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * What is asked over time: a measure over a cohort.
 *
 * @param scheme the scheme of severity that decides; null where none does
 */
record Question(Measure measure, @Nullable Scheme scheme, Cohort cohort) {
    private static final Set<String> OWN = Set.of("chart", "by", "average", "split", "format", "scheme");

    /** What can be asked of a measure of the kit. */
    static final List<String> OF_KIT = List.of("site_id", "chart", "by", "average", "from", "to", "format");

    /**
     * Reads the parameters of a request.
     *
     * @param faults gets every parameter that cannot be taken
     * @throws Problem.Missing if there is no such measure
     * @throws Problem.Malformed with all faults, if there is one
     */
    static Question read(String measure, Map<String, List<String>> parameters, List<Site> sites, List<Fault> faults) {
        Measure known = measure(measure);
        OWN.stream()
                .filter(name -> parameters.getOrDefault(name, List.of()).size() > 1)
                .forEach(name -> faults.add(Fault.parameter(name, "parameter.repeated", "Send this once.")));
        Scheme scheme = known.scheme(named(parameters), faults);
        if (known.ofKit()) {
            faults.addAll(others(OF_KIT, parameters));
        }
        return new Question(known, scheme, CohortForm.read(parameters, OWN, sites, faults));
    }

    /**
     * Refuses what would tell one kind of case from another.
     *
     * @throws Problem.Malformed with every parameter that is not among those taken
     */
    static void onlyOf(List<String> taken, Map<String, List<String>> parameters) {
        List<Fault> faults = others(taken, parameters);
        if (!faults.isEmpty()) {
            throw new Problem.Malformed("The request has parameters that cannot be taken.", faults);
        }
    }

    private static List<Fault> others(List<String> taken, Map<String, List<String>> parameters) {
        return parameters.keySet().stream()
                .filter(name -> !taken.contains(name))
                .sorted()
                .map(name -> Fault.parameter(
                        name, "filter.none", "The kit is measured as a whole, without filters; leave this out."))
                .toList();
    }

    static Measure measure(String id) {
        return Measure.named(id).orElseThrow(() -> new Problem.Missing("measure"));
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

    static String first(Map<String, List<String>> parameters, String name, String otherwise) {
        List<String> values = parameters.getOrDefault(name, List.of());
        return values.isEmpty() || values.get(0).isEmpty() ? otherwise : values.get(0);
    }
}
