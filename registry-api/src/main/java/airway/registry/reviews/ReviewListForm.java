package airway.registry.reviews;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortForm;
import airway.registry.cohort.Measure;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** The filters of the list as request parameters: unit and period, {@code why}, {@code done}, and the place, {@code after}. */
final class ReviewListForm {
    private static final Set<String> NAMES = Set.of("site_id", "from", "to", "why", "done", "after");

    private ReviewListForm() {}

    /**
     * Reads the filters.
     *
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    static ReviewFilter read(Map<String, List<String>> parameters, Site site) {
        List<Fault> faults = new ArrayList<>();
        for (String name : parameters.keySet()) {
            if (!NAMES.contains(name)) {
                faults.add(Fault.parameter(name, "parameter.unknown", "There is no such filter; leave it out."));
            }
        }
        String why = one(parameters, "why");
        Measure measure = Case.OPENING.stream()
                .filter(known -> known.id().equals(why))
                .findFirst()
                .orElse(null);
        if (!why.isEmpty() && measure == null) {
            faults.add(Fault.parameter("why", "code", "Send one of ae_severe, attempts_3plus."));
        }
        String done = one(parameters, "done");
        if (!Set.of("", "yes", "no").contains(done)) {
            faults.add(Fault.parameter("done", "code", "Send yes or no."));
        }
        Cohort period = CohortForm.read(parameters, parameters.keySet(), List.of(site), faults);
        return new ReviewFilter(period.from(), period.to(), measure, done.isEmpty() ? null : done.equals("yes"));
    }

    /**
     * The place in the list; null for its beginning.
     *
     * @throws Problem.Malformed if it is none
     */
    static @Nullable ReviewCursor after(Map<String, List<String>> parameters) {
        String after = one(parameters, "after");
        return after.isEmpty()
                ? null
                : Optional.of(after).flatMap(ReviewCursor::parse).orElseThrow(ReviewListForm::noSuchPlace);
    }

    static Problem.Malformed noSuchPlace() {
        return new Problem.Malformed(Fault.parameter(
                "after", "cursor", "This is no place in the list; leave it out to begin with the first case."));
    }

    private static String one(Map<String, List<String>> parameters, String name) {
        List<String> values = parameters.getOrDefault(name, List.of());
        return values.isEmpty() ? "" : String.join(",", values);
    }
}
