package airway.registry.verify;

import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * One thing that should hold and does not.
 *
 * @param object the kind of thing it is about, a word of audit.entry, or tally
 * @param id of the thing; null of a tally
 * @param version null of a thing that has none
 * @param code what it is, a word of audit.findings
 * @param detail more about it, or null
 */
record Finding(
        String unit,
        String object,
        @Nullable UUID id,
        @Nullable Integer version,
        String code,
        @Nullable String detail) {

    /** The finding as a sentence, with the place it was found at. */
    String words() {
        String thing = switch (object) {
            case "encounter" -> "record";
            case "review" -> "review of record";
            case "kept_average" -> "kept average";
            case "identity" -> "hospital number of record";
            case "tally" -> "tallies for charts";
            default -> object;
        };
        String which = version == null ? "" : ", version " + version;
        return "Unit " + unit + ", " + thing + (id == null ? "" : " " + id) + which + ": " + what();
    }

    private String what() {
        return switch (code) {
            case "versions_gap" -> "its versions are not numbered from 1 without a gap.";
            case "no_version" -> "there is no version of it.";
            case "not_newest" -> "this one counts, but version " + detail + " is the newest.";
            case "no_patient" -> "the part about the patient is missing.";
            case "attempts_gap" -> "its attempts are not numbered from 1 without a gap.";
            case "courses_gap" -> "its courses are not numbered from 1 without a gap.";
            case "no_audit" -> "the audit has no row about it.";
            case "audit_twice" -> "the audit has more than one row about it.";
            case "audit_alone" -> "the audit has a row about it, but it is not there.";
            case "audit_hash" -> "it was changed after it was written: the audit's hash does not fit.";
            case "audit_action" -> "what was done, or who did it, differs between record and audit.";
            case "no_fact" -> "it counts, but no figure is made from it: its fact row is missing.";
            case "fact_alone" -> "figures are made from it, but it does not count: its fact row should not be there.";
            case "fact_differs" -> "figures are made from other answers than it has: " + detail + ".";
            case "tally_differs" -> detail + " are not what its records give.";
            case "alone" -> "it is kept, but there is no such record.";
            case "unknown_key" -> "it is sealed with key " + detail + ", which this database does not know.";
            default -> code + (detail == null ? "." : ": " + detail + ".");
        };
    }
}
