package airway.registry.imports;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * What became of the rows of a table.
 *
 * @param take what was to be done
 * @param fresh how many rows are new records, or would be
 * @param before how many rows had been taken before
 * @param rejected how many rows need mending
 * @param notKnown in how many new records each variable is left "not known"
 */
public record ImportReport(Take take, int fresh, int before, int rejected, Map<String, Integer> notKnown) {

    public ImportReport {
        notKnown = new TreeMap<>(notKnown);
    }

    public int rows() {
        return fresh + before + rejected;
    }

    /** Whether the new records are kept. */
    public boolean stored() {
        return take == Take.GOOD_ROWS || (take == Take.ALL_OR_NOTHING && rejected == 0);
    }

    /** Words for a person: the count, then what is left "not known". */
    public List<String> words() {
        List<String> lines = new ArrayList<>();
        String count = "%d %s: %d new, %d taken before, %d rejected"
                .formatted(rows(), rows() == 1 ? "row" : "rows", fresh, before, rejected);
        lines.add(
                stored() ? count : count + (take == Take.CHECK_ONLY ? "; only checked" : "") + "; nothing was stored");
        if (!notKnown.isEmpty()) {
            List<String> counts = new ArrayList<>();
            notKnown.forEach((variable, records) -> counts.add(variable + " " + records));
            lines.add("left not known, in new records: " + String.join(", ", counts));
        }
        return lines;
    }
}
