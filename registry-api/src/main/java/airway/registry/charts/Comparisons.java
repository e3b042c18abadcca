package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.access.Sites;
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
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;

/** Compares groups of encounters by a measure. */
@Component
class Comparisons {
    static final String SETUP = "device_setup_id";

    /** Sent as {@code adjust}: nothing is allowed for. */
    static final String NOTHING = "none";

    /** What is allowed for unless asked otherwise. Source: the statistical methods of the registry, sections 3 and 4. */
    static final List<Stratum> USUAL =
            List.of(Stratum.DIFFICULTY_PREDICTED, Stratum.AGE_BAND, Stratum.OPERATOR_EXPERIENCE);

    private static final Set<String> OWN = Set.of("by", "groups", "adjust", "across", "format", "scheme");

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
        String named = String.join(",", values(parameters, "by"));
        String by = named.isEmpty() ? SETUP : named;
        List<Stratum> variables = by.equals(SETUP)
                ? List.of()
                : variables(
                        "by",
                        values(parameters, "by"),
                        "Send device_setup_id or coded variables of attempt 1.",
                        faults);
        List<String> adjust = values(parameters, "adjust");
        List<Stratum> allowFor = adjust.isEmpty()
                ? USUAL.stream().filter(stratum -> !variables.contains(stratum)).toList()
                : adjust.equals(List.of(NOTHING))
                        ? List.of()
                        : variables("adjust", adjust, "Send coded variables of attempt 1, or none.", faults);
        if (allowFor.stream().anyMatch(variables::contains)) {
            faults.add(Fault.parameter(
                    "adjust", "adjust.is_by", "What makes the groups cannot be allowed for; leave it out of adjust."));
        }
        Set<String> wanted = new LinkedHashSet<>(values(parameters, "groups"));
        if (!by.equals(SETUP) && !wanted.stream().allMatch(code -> fits(variables, code))) {
            faults.add(Fault.parameter(
                    "groups",
                    "code",
                    "Name codes of " + by + (variables.size() > 1 ? ", joined by " + CountQuery.AND : "") + "."));
        }
        Half half = half(values(parameters, "across"), faults);
        Scheme scheme = known.scheme(Question.named(parameters), faults);
        Cohort cohort = CohortForm.read(parameters, OWN, mine, faults);
        Comparing comparing = new Comparing(variables, allowFor, adjust.isEmpty(), half);
        List<CountQuery.Cell> cells = transactions.read(
                dsl -> new CountQuery(dsl, known, scheme, cohort).cells(variables, comparing.questions()));
        return comparing.of(
                known,
                scheme,
                by,
                cohort,
                cells.stream()
                        .filter(cell -> wanted.isEmpty() || wanted.contains(cell.group()))
                        .toList());
    }

    /** Whether a code of groups is one of the variables that make them. */
    static boolean fits(List<Stratum> variables, String code) {
        String[] parts = code.split("\\.", -1);
        if (parts.length != variables.size()) {
            return false;
        }
        for (int i = 0; i < parts.length; i++) {
            if (!variables.get(i).has(parts[i])) {
                return false;
            }
        }
        return true;
    }

    private static @Nullable Half half(List<String> across, List<Fault> faults) {
        if (across.isEmpty()) {
            return null;
        }
        return Half.named(String.join(",", across)).orElseGet(() -> {
            faults.add(Fault.parameter("across", "code", "Allowed are " + Half.names() + "."));
            return null;
        });
    }

    private static List<Stratum> variables(String name, List<String> values, String mend, List<Fault> faults) {
        List<Stratum> variables = new ArrayList<>();
        for (String value : values) {
            Stratum.named(value)
                    .filter(stratum -> !variables.contains(stratum))
                    .ifPresentOrElse(variables::add, () -> faults.add(Fault.parameter(name, name + ".form", mend)));
        }
        return variables;
    }

    /** The values of a parameter, sent apart or with commas between. */
    static List<String> values(Map<String, List<String>> parameters, String name) {
        return parameters.getOrDefault(name, List.of()).stream()
                .flatMap(value -> List.of(value.split(",", -1)).stream())
                .filter(value -> !value.isEmpty())
                .toList();
    }
}
