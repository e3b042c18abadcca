package airway.registry.audit;

import airway.registry.access.Site;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * The filters of the list as request parameters: {@code from}, {@code to}, {@code site_id}, {@code action},
 * {@code object}, {@code actor}, {@code object_id}, and the place in the list, {@code after}.
 */
final class AuditListForm {
    private static final Set<String> NAMES =
            Set.of("from", "to", "site_id", "action", "object", "actor", "object_id", "after");

    private final Map<String, List<String>> parameters;
    private final List<Fault> faults = new ArrayList<>();

    private AuditListForm(Map<String, List<String>> parameters) {
        this.parameters = parameters;
    }

    /**
     * Reads the filters.
     *
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    static AuditFilter read(Map<String, List<String>> parameters, List<Site> sites) {
        return new AuditListForm(parameters).filter(sites);
    }

    private AuditFilter filter(List<Site> sites) {
        for (String name : parameters.keySet()) {
            if (!NAMES.contains(name)) {
                faults.add(Fault.parameter(name, "parameter.unknown", "There is no such filter; leave it out."));
            }
        }
        LocalDate from = day("from");
        LocalDate to = day("to");
        if (from != null && to != null && to.isBefore(from)) {
            faults.add(Fault.parameter("to", "period", "The last day is before the first; exchange them."));
        }
        AuditFilter filter = new AuditFilter(
                from,
                to,
                site(sites),
                word("action", AuditWords.ACTIONS.keySet()),
                word("object", AuditWords.OBJECTS.keySet()),
                actor(),
                thing());
        if (!faults.isEmpty()) {
            throw faults.size() == 1
                    ? new Problem.Malformed(faults.get(0))
                    : new Problem.Malformed("Some filters cannot be taken.", faults);
        }
        return filter;
    }

    /**
     * The place in the list, the number of the last entry on the page before; null for its beginning.
     *
     * @throws Problem.Malformed if it is none
     */
    static @Nullable Long after(Map<String, List<String>> parameters) {
        String after = one(parameters, "after");
        if (after.isEmpty()) {
            return null;
        }
        if (!after.matches("\\d{1,18}")) {
            throw new Problem.Malformed(Fault.parameter(
                    "after", "cursor", "This is no place in the list; leave it out to begin with the newest entry."));
        }
        return Long.valueOf(after);
    }

    private @Nullable LocalDate day(String name) {
        String day = one(parameters, name);
        if (day.isEmpty()) {
            return null;
        }
        try {
            LocalDate read = LocalDate.parse(day);
            if (read.getYear() >= 1900 && read.getYear() <= 9999) {
                return read;
            }
        } catch (DateTimeParseException e) {
            // Told below.
        }
        faults.add(Fault.parameter(name, "day", "Send a day, as 2026-03-14."));
        return null;
    }

    private @Nullable Site site(List<Site> sites) {
        String code = one(parameters, "site_id");
        if (code.isEmpty()) {
            return null;
        }
        Site site = sites.stream()
                .filter(known -> known.code().equals(code))
                .findFirst()
                .orElse(null);
        if (site == null) {
            faults.add(Fault.parameter("site_id", "site.unknown", "There is no such unit; leave it out for all."));
        }
        return site;
    }

    private @Nullable String word(String name, Set<String> known) {
        String word = one(parameters, name);
        if (word.isEmpty()) {
            return null;
        }
        if (!known.contains(word)) {
            faults.add(Fault.parameter(name, "code", "Send one of " + String.join(", ", known) + "."));
        }
        return word;
    }

    private @Nullable Integer actor() {
        String actor = one(parameters, "actor");
        if (actor.isEmpty()) {
            return null;
        }
        if (actor.matches("[1-9]\\d{0,8}")) {
            return Integer.valueOf(actor);
        }
        faults.add(Fault.parameter("actor", "number", "Send the number of who did it."));
        return null;
    }

    private @Nullable UUID thing() {
        String id = one(parameters, "object_id");
        if (id.isEmpty()) {
            return null;
        }
        try {
            return UUID.fromString(id);
        } catch (IllegalArgumentException e) {
            faults.add(Fault.parameter("object_id", "uuid", "Send the random id of the thing, 36 characters."));
            return null;
        }
    }

    private static String one(Map<String, List<String>> parameters, String name) {
        return String.join(",", parameters.getOrDefault(name, List.of())).strip();
    }
}
