package airway.registry.research;

import airway.registry.access.Site;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.DateTimeException;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** A request for data, as request parameters: what the outlook takes, and under what it is asked for. */
final class RequestForm {
    static final int LONGEST_PURPOSE = 500;
    static final int LONGEST_RECIPIENT = 120;
    static final int LONGEST_REFERENCE = 60;
    static final int LONGEST_REASON = 500;

    /** What the outlook does not take. */
    static final Set<String> OWN = Set.of("purpose", "recipient", "approval_reference", "approval_expires");

    private static final int LAST_YEAR = 2149;

    private RequestForm() {}

    /** Which data, and under what. */
    record Asked(Choice choice, Terms terms) {}

    /**
     * Reads it.
     *
     * @throws Problem.NeverLeaves if it names what is in no package
     * @throws Problem.Malformed if part of the choice cannot be taken; with every fault, also those of the boxes below it
     * @throws Problem.ApprovalMissing if it is not said by what it is approved, and until when; with every empty box
     * @throws Problem.Invalid if it is not said who will hold the data and what for
     */
    static Asked read(Map<String, List<String>> parameters, List<Site> sites) {
        List<Fault> faults = new ArrayList<>();
        String purpose = text(parameters, "purpose", LONGEST_PURPOSE, "Write what it is for", faults);
        String recipient = text(parameters, "recipient", LONGEST_RECIPIENT, "Write who will hold the data", faults);
        int before = faults.size();
        String reference = text(
                parameters,
                "approval_reference",
                LONGEST_REFERENCE,
                "Write the number of the approval by an ethics committee or its like",
                faults);
        LocalDate expires =
                date(OutlookForm.first(parameters, "approval_expires").strip());
        if (expires == null) {
            faults.add(Fault.at(
                    "/approval_expires", "required", "Write the last day on which the approval holds, as 2027-12-31."));
        }
        Choice choice = choice(parameters, sites, faults);
        if (expires == null || faults.size() > before) {
            throw new Problem.ApprovalMissing(faults);
        }
        if (!faults.isEmpty()) {
            throw new Problem.Invalid(faults);
        }
        return new Asked(choice, new Terms(purpose, recipient, reference, expires));
    }

    /** Which data; where it cannot be taken, what is wrong beside it is told with it. */
    private static Choice choice(Map<String, List<String>> parameters, List<Site> sites, List<Fault> beside) {
        Map<String, List<String>> chosen = new HashMap<>(parameters);
        chosen.keySet().removeAll(OWN);
        List<Fault> faults = new ArrayList<>();
        try {
            Choice choice = OutlookForm.read(chosen, sites);
            if (choice.cohort().sites().size() != 1) {
                faults.add(Fault.parameter("site_id", "site.one", "Name one unit."));
            }
            if (!choice.cohort().setups().isEmpty()) {
                faults.add(Fault.parameter(
                        "device_setup_id",
                        "parameter.unknown",
                        "Set-ups are local; name their kind, size or material."));
            }
            if (faults.isEmpty()) {
                return choice;
            }
        } catch (Problem.Malformed e) {
            faults.addAll(e.faults());
        }
        faults.addAll(beside);
        throw new Problem.Malformed("The request has parameters that cannot be taken.", faults);
    }

    /**
     * Why something is refused or withdrawn.
     *
     * @throws Problem.Invalid if it is missing or too long
     */
    static String reason(@Nullable String typed) {
        List<Fault> faults = new ArrayList<>();
        String reason = text(
                Map.of("reason", List.of(typed == null ? "" : typed)), "reason", LONGEST_REASON, "Write why", faults);
        if (!faults.isEmpty()) {
            throw new Problem.Invalid(faults);
        }
        return reason;
    }

    private static @Nullable LocalDate date(String typed) {
        try {
            LocalDate date = LocalDate.parse(typed);
            return date.getYear() > LAST_YEAR ? null : date;
        } catch (DateTimeException e) {
            return null;
        }
    }

    private static String text(
            Map<String, List<String>> parameters, String name, int longest, String mend, List<Fault> faults) {
        String text = OutlookForm.first(parameters, name).strip().replaceAll("\\R", " ");
        if (text.isEmpty() || text.length() > longest || text.chars().anyMatch(Character::isISOControl)) {
            faults.add(Fault.at(
                    "/" + name, text.isEmpty() ? "required" : "text", mend + "; " + longest + " characters at most."));
        }
        return text;
    }
}
