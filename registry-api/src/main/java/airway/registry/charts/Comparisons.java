package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.charts.Comparison.Group;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortForm;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.database.ActorTransactions;
import airway.registry.dictionary.Scheme;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.springframework.stereotype.Component;

/** Compares groups of encounters by a measure. */
@Component
class Comparisons {
    static final String SETUP = "device_setup_id";
    private static final Set<String> OWN = Set.of("by", "groups", "adjust", "format", "scheme");

    private final ActorTransactions transactions;
    private final Sites sites;

    Comparisons(ActorTransactions transactions, Sites sites) {
        this.transactions = transactions;
        this.sites = sites;
    }

    /**
     * Compares the groups that the parameters ask for.
     *
     * @throws Problem.Missing if there is no such measure
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    Comparison compare(String measure, Map<String, List<String>> parameters) {
        Measure known = Measure.named(measure).orElseThrow(() -> new Problem.Missing("measure"));
        List<Site> mine = sites.all();
        List<Fault> faults = new ArrayList<>();
        if (!Measure.proportions().contains(known)) {
            faults.add(Fault.parameter(
                    "measure",
                    "measure.not_compared",
                    "Groups are compared by a share of encounters: "
                            + Measure.proportions().stream().map(Measure::id).collect(Collectors.joining(", "))
                            + "."));
        }
        String by = String.join(",", parameters.getOrDefault("by", List.of(SETUP)));
        Stratum stratum = Stratum.named(by).orElse(null);
        if (stratum == null && !by.equals(SETUP)) {
            faults.add(Fault.parameter("by", "by.form", "Send device_setup_id or a coded variable of attempt 1."));
        }
        if (!String.join("", parameters.getOrDefault("adjust", List.of())).isEmpty()) {
            faults.add(Fault.parameter(
                    "adjust", "adjust.not_offered", "Only groups as recorded are offered; leave it out."));
        }
        Scheme scheme = known.scheme(Question.named(parameters), faults);
        Cohort cohort = CohortForm.read(parameters, OWN, mine, faults);
        List<Group> groups = new ArrayList<>(transactions.read(dsl -> {
            CountQuery query = new CountQuery(dsl, known, scheme, cohort);
            return stratum == null ? bySetup(query) : byCode(query, stratum);
        }));
        Set<String> wanted = wanted(parameters);
        if (!wanted.isEmpty()) {
            groups.removeIf(group -> !wanted.contains(group.code()));
        }
        boolean comparable = groups.stream().filter(Group::comparable).count() >= 2;
        return new Comparison(
                known,
                scheme,
                by,
                stratum == null ? "Set-up" : stratum.title(),
                cohort,
                List.copyOf(groups),
                comparable);
    }

    private static Set<String> wanted(Map<String, List<String>> parameters) {
        Set<String> wanted = new LinkedHashSet<>();
        for (String value : parameters.getOrDefault("groups", List.of())) {
            wanted.addAll(List.of(value.split(",", -1)));
        }
        wanted.remove("");
        return wanted;
    }

    private static List<Group> bySetup(CountQuery query) {
        List<Group> groups = new ArrayList<>();
        query.bySetup().forEach((code, setup) -> groups.add(group(code, setup.title(), setup.counted())));
        return groups;
    }

    private static List<Group> byCode(CountQuery query, Stratum stratum) {
        List<Group> groups = new ArrayList<>();
        query.byCode(stratum).forEach((code, counted) -> groups.add(group(code, stratum.label(code), counted)));
        return groups;
    }

    private static Group group(String code, String label, Counted counted) {
        return new Group(code, label, counted, Judging.wilson(counted));
    }
}
