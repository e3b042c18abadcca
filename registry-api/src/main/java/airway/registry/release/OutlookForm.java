package airway.registry.release;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortForm;
import airway.registry.dictionary.Dictionary;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** What a researcher would like to have, as request parameters. */
final class OutlookForm {
    private static final Set<String> OWN = Set.of("profile", "variables");

    /** No direct identifiers of the dictionary, and in no package either. */
    private static final Set<String> NEVER = Set.of(
            "hospital_number",
            "birth_date",
            "encounter_id",
            "patient_code",
            "operator_id",
            "site_id",
            "recorded_at",
            "footage_reference",
            "kit_labels",
            "reason_text",
            "tracking_label");

    private OutlookForm() {}

    /** Who will hold it, which answers, which records. */
    record Asked(Profile profile, List<KnownVariable> variables, Cohort cohort) {}

    /**
     * Reads it.
     *
     * @throws Problem.NeverLeaves if it names what is in no package
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    static Asked read(Map<String, List<String>> parameters, List<Site> sites) {
        List<Fault> faults = new ArrayList<>();
        String named = TableForm.first(parameters, "profile");
        Profile profile = Profile.named(named.isEmpty() ? Profile.CONTROLLED.code() : named)
                .orElse(null);
        if (profile == null) {
            faults.add(Fault.parameter("profile", "code", "Send public or controlled."));
            profile = Profile.CONTROLLED;
        }
        List<KnownVariable> variables = new ArrayList<>();
        for (String values : parameters.getOrDefault("variables", List.of())) {
            for (String name : values.split(",", -1)) {
                if (name.isEmpty()) {
                    continue;
                }
                if (neverLeaves(name)) {
                    throw new Problem.NeverLeaves();
                }
                KnownVariable variable = KnownVariable.named(name).orElse(null);
                if (variable == null || variables.contains(variable)) {
                    faults.add(Fault.parameter(
                            "variables", "variable.not_offered", "Send variables that are offered, each once."));
                } else {
                    variables.add(variable);
                }
            }
        }
        if (variables.isEmpty() && faults.isEmpty()) {
            faults.add(Fault.parameter("variables", "required", "Name one variable at least."));
        }
        return new Asked(profile, List.copyOf(variables), CohortForm.read(parameters, OWN, sites, faults));
    }

    /** Whether it is a direct identifier, a number of the record itself, or typed text. */
    private static boolean neverLeaves(String name) {
        Dictionary dictionary = Dictionary.current();
        return NEVER.contains(name)
                || (dictionary.contains(name)
                        && dictionary.variable(name).privacy().equals("direct_identifier"));
    }
}
