package airway.registry.encounter;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortForm;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Code;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * The filters of the list as request parameters: those of a cohort, {@code tracheal_attempts}, {@code fps},
 * {@code warnings}, {@code withdrawn} and the place in the list, {@code after}.
 */
final class RecordListForm {
    /** Stands for the four age bands below one year, so that they can be chosen as one. */
    static final Code UNDER_A_YEAR = new Code("under_1_year", "under 1 year");

    static final List<String> BELOW_A_YEAR =
            List.of("newborn_preterm", "newborn_term", "newborn_unknown_gestation", "infant");

    private static final Set<String> OWN =
            Set.of("tracheal_attempts", "fps", "warnings", "left_out", "withdrawn", "after");

    private final Map<String, List<String>> parameters;
    private final List<Fault> faults = new ArrayList<>();

    private RecordListForm(Map<String, List<String>> parameters) {
        this.parameters = parameters;
    }

    /**
     * Reads the filters.
     *
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    static RecordFilter read(Map<String, List<String>> parameters, Site site) {
        return new RecordListForm(parameters).filter(site);
    }

    private RecordFilter filter(Site site) {
        RecordFilter.Attempts attempts = one("tracheal_attempts", RecordFilter.Attempts.values());
        RecordFilter.FirstPass firstPass = one("fps", RecordFilter.FirstPass.values());
        RecordFilter.Warning warning = one("warnings", RecordFilter.Warning.values());
        Measure leftOut = one("left_out", Measure::named, measures());
        boolean withdrawn = Boolean.TRUE.equals(one(
                "withdrawn",
                code -> Optional.of(true).filter(yes -> code.equals("yes")),
                List.of(new Code("yes", ""))));
        Cohort cohort = CohortForm.read(expanded(), OWN, List.of(site), faults);
        RecordFilter filter = new RecordFilter(cohort, attempts, firstPass, warning, leftOut, withdrawn);
        boolean onlyPeriod =
                filter.parts().stream().allMatch(part -> part.names().contains("from"));
        if (withdrawn && !onlyPeriod) {
            throw new Problem.Malformed(Fault.parameter(
                    "withdrawn",
                    "withdrawn.filters",
                    "Withdrawn records count nowhere, so they can be listed by period alone; leave the other filters"
                            + " out."));
        }
        return filter;
    }

    /** The group of age bands as the bands it stands for. */
    private Map<String, List<String>> expanded() {
        Map<String, List<String>> expanded = new LinkedHashMap<>(parameters);
        expanded.computeIfPresent(
                Stratum.AGE_BAND.variable(),
                (name, codes) -> codes.stream()
                        .flatMap(code -> code.equals(UNDER_A_YEAR.value()) ? BELOW_A_YEAR.stream() : Stream.of(code))
                        .toList());
        return expanded;
    }

    static List<Code> measures() {
        return Measure.ofEncounters().stream()
                .map(measure -> new Code(measure.id(), measure.title()))
                .toList();
    }

    private <C extends RecordFilter.Choice> @Nullable C one(String name, C[] choices) {
        return one(name, code -> RecordFilter.Choice.of(code, choices), RecordFilter.Choice.codes(choices));
    }

    private <T> @Nullable T one(String name, Function<String, Optional<T>> known, List<Code> codes) {
        List<String> values = parameters.getOrDefault(name, List.of()).stream()
                .filter(value -> !value.isEmpty())
                .toList();
        if (values.isEmpty()) {
            return null;
        }
        Optional<T> value = values.size() == 1 ? known.apply(values.get(0)) : Optional.empty();
        if (value.isEmpty()) {
            faults.add(Fault.parameter(
                    name,
                    "code",
                    "Send one of " + codes.stream().map(Code::value).collect(Collectors.joining(", ")) + "."));
        }
        return value.orElse(null);
    }

    /**
     * The place in the list; null for its beginning.
     *
     * @throws Problem.Malformed if it is none
     */
    static @Nullable RecordCursor after(Map<String, List<String>> parameters) {
        List<String> values = parameters.getOrDefault("after", List.of());
        if (values.isEmpty()) {
            return null;
        }
        return Optional.of(values)
                .filter(once -> once.size() == 1)
                .flatMap(once -> RecordCursor.parse(once.get(0)))
                .orElseThrow(RecordListForm::noSuchPlace);
    }

    static Problem.Malformed noSuchPlace() {
        return new Problem.Malformed(Fault.parameter(
                "after", "cursor", "This is no place in the list; leave it out to begin with the newest record."));
    }
}
