package airway.registry.release;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortForm;
import airway.registry.cohort.Measure;
import airway.registry.dictionary.Scheme;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/** A table that somebody wants to tell, as request parameters. */
final class TableForm {
    static final int LONGEST_RECIPIENT = 120;
    static final int LONGEST_PURPOSE = 500;

    private static final Set<String> OWN = Set.of("measure", "scheme", "by", "audience", "recipient", "purpose");

    private TableForm() {}

    /** What is to be counted, and for whom. */
    record Asked(TableSpec spec, Audience audience) {}

    /** Who is told, and what for. */
    record Told(String recipient, String purpose) {}

    /**
     * Reads what is to be counted.
     *
     * @param now the present month in the zone of the unit
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    static Asked read(Map<String, List<String>> parameters, List<Site> sites, YearMonth now) {
        List<Fault> faults = new ArrayList<>();
        Measure measure = Measure.named(first(parameters, "measure")).orElse(null);
        if (measure == null || !Measure.proportions().contains(measure)) {
            faults.add(Fault.parameter(
                    "measure",
                    "measure.not_told",
                    "Send a share of encounters: "
                            + Measure.proportions().stream().map(Measure::id).collect(Collectors.joining(", "))
                            + "."));
            measure = Measure.FPS;
        }
        String named = first(parameters, "scheme");
        Scheme scheme = measure.scheme(named.isEmpty() ? null : named, faults);
        Lines lines = Lines.named(first(parameters, "by")).orElse(null);
        if (lines == null) {
            faults.add(
                    Fault.parameter("by", "by.form", "Send quarter, year, or a coded variable of the first attempt."));
        }
        Audience audience = Audience.named(first(parameters, "audience")).orElse(null);
        if (audience == null) {
            faults.add(Fault.parameter(
                    "audience", "code", "Send inside if it stays in the organisation, outside if it leaves it."));
        }
        if (!parameters.getOrDefault("device_setup_id", List.of()).stream().allMatch(String::isEmpty)) {
            faults.add(Fault.parameter(
                    "device_setup_id", "parameter.unknown", "Set-ups are local; name their kind, size or material."));
        }
        for (String end : List.of("from", "to")) {
            if (first(parameters, end).isEmpty()) {
                faults.add(Fault.parameter(end, "required", "Send the month, quarter or year, as 2025."));
            }
        }
        Cohort cohort = CohortForm.read(parameters, OWN, sites, faults);
        YearMonth from = Objects.requireNonNull(cohort.from());
        YearMonth to = Objects.requireNonNull(cohort.to());
        if (cohort.sites().size() != 1) {
            faults.add(Fault.parameter("site_id", "site.one", "Name one unit."));
        }
        if (!to.isBefore(now)) {
            faults.add(Fault.parameter(
                    "to", "period.open", "Choose an end that is past: a month that goes on would change the table."));
        }
        if (!faults.isEmpty()) {
            throw new Problem.Malformed("The request has parameters that cannot be taken.", faults);
        }
        return new Asked(
                new TableSpec(
                        cohort.sites().get(0),
                        new Counting(measure, scheme),
                        Objects.requireNonNull(lines),
                        from,
                        to,
                        cohort.filters()),
                Objects.requireNonNull(audience));
    }

    /**
     * Reads who is told and what for.
     *
     * @throws Problem.Invalid with what is missing or too long
     */
    static Told told(Map<String, List<String>> parameters) {
        List<Fault> faults = new ArrayList<>();
        String recipient = text(
                parameters,
                "recipient",
                LONGEST_RECIPIENT,
                "Write who is told: the board, a meeting, another organisation",
                faults);
        String purpose = text(parameters, "purpose", LONGEST_PURPOSE, "Write what it is for", faults);
        if (!faults.isEmpty()) {
            throw new Problem.Invalid(faults);
        }
        return new Told(recipient, purpose);
    }

    private static String text(
            Map<String, List<String>> parameters, String name, int longest, String mend, List<Fault> faults) {
        String text = first(parameters, name).strip().replaceAll("\\R", " ");
        if (text.isEmpty() || text.length() > longest || text.chars().anyMatch(Character::isISOControl)) {
            faults.add(Fault.at(
                    "/" + name, text.isEmpty() ? "required" : "text", mend + "; " + longest + " characters at most."));
        }
        return text;
    }

    static String first(Map<String, List<String>> parameters, String name) {
        List<@Nullable String> values = List.copyOf(parameters.getOrDefault(name, List.of()));
        return values.isEmpty() ? "" : Objects.requireNonNullElse(values.get(0), "");
    }
}
