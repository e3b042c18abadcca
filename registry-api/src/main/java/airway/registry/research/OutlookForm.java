package airway.registry.research;

import airway.registry.access.Site;
import airway.registry.cohort.CohortForm;
import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Dictionary;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** What a researcher would like to have, as request parameters. */
final class OutlookForm {
    private static final Set<String> OWN = Set.of("profile", "safe_harbor", "variables", "about");

    private static final Pattern YEAR = Pattern.compile("\\d{4}");

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

    /**
     * Reads it.
     *
     * @throws Problem.NeverLeaves if it names what is in no package
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    static Choice read(Map<String, List<String>> parameters, List<Site> sites) {
        List<Fault> faults = new ArrayList<>();
        String named = first(parameters, "profile");
        Profile profile = Profile.named(named.isEmpty() ? Profile.CONTROLLED.code() : named)
                .orElse(null);
        if (profile == null) {
            faults.add(Fault.parameter("profile", "code", "Send public, controlled or internal-pseudonymised."));
            profile = Profile.CONTROLLED;
        }
        List<KnownVariable> variables = new ArrayList<>();
        List<Answer> answers = new ArrayList<>();
        for (String values : parameters.getOrDefault("variables", List.of())) {
            for (String name : values.split(",", -1)) {
                if (name.isEmpty()) {
                    continue;
                }
                if (neverLeaves(name)) {
                    throw new Problem.NeverLeaves();
                }
                if (!added(variables, KnownVariable.named(name)) && !added(answers, Answer.named(name))) {
                    faults.add(Fault.parameter(
                            "variables", "variable.not_offered", "Send variables that are offered, each once."));
                }
            }
        }
        if (variables.isEmpty() && answers.isEmpty() && faults.isEmpty()) {
            faults.add(Fault.parameter("variables", "required", "Name one variable at least."));
        }
        Group about = about(first(parameters, "about"), faults);
        boolean safeHarbor = safeHarbor(parameters, faults);
        return new Choice(
                profile,
                safeHarbor,
                List.copyOf(variables),
                List.copyOf(answers),
                CohortForm.read(parameters, OWN, sites, faults),
                about);
    }

    /** Where nothing finer than a year may leave, the period tells no month either. */
    private static boolean safeHarbor(Map<String, List<String>> parameters, List<Fault> faults) {
        String sent = first(parameters, "safe_harbor");
        if (!Set.of("", "true", "false").contains(sent)) {
            faults.add(Fault.parameter("safe_harbor", "boolean", "Send true or false."));
        }
        if (!sent.equals("true")) {
            return false;
        }
        for (String name : List.of("from", "to")) {
            String period = first(parameters, name);
            if (!period.isEmpty() && !YEAR.matcher(period).matches()) {
                faults.add(Fault.parameter(
                        name,
                        "period.years",
                        "Name whole years: the package says which, and nothing finer may leave."));
            }
        }
        return true;
    }

    private static <T> boolean added(List<T> list, Optional<T> one) {
        return one.isPresent() && !list.contains(one.get()) && list.add(one.get());
    }

    private static @Nullable Group about(String named, List<Fault> faults) {
        if (named.isEmpty()) {
            return null;
        }
        String[] parts = named.split(":", 2);
        Stratum variable = Stratum.named(parts[0]).orElse(null);
        if (variable == null || parts.length < 2 || !variable.has(parts[1])) {
            faults.add(Fault.parameter(
                    "about",
                    "about.form",
                    "Name a coded variable and one of its codes, as limited_mouth_opening:yes."));
            return null;
        }
        return new Group(variable, parts[1]);
    }

    /** Whether it is a direct identifier, a number of the record itself, or typed text. */
    private static boolean neverLeaves(String name) {
        Dictionary dictionary = Dictionary.current();
        return NEVER.contains(name)
                || (dictionary.contains(name)
                        && dictionary.variable(name).privacy().equals("direct_identifier"));
    }

    /** The first value of a parameter; empty where there is none. */
    static String first(Map<String, List<String>> parameters, String name) {
        List<@Nullable String> values = List.copyOf(parameters.getOrDefault(name, List.of()));
        return values.isEmpty() ? "" : Objects.requireNonNullElse(values.get(0), "");
    }
}
