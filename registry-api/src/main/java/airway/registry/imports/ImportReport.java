package airway.registry.imports;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.UUID;

/**
 * What became of each row.
 *
 * @param taken keys of the new records by row
 * @param before how many rows had been taken before
 * @param rejected what is to be mended, by row
 * @param notKnown in how many new records each variable was left "not known"
 */
public record ImportReport(
        Map<Integer, UUID> taken, int before, Map<Integer, List<Complaint>> rejected, Map<String, Integer> notKnown) {

    public ImportReport {
        taken = new TreeMap<>(taken);
        rejected = new TreeMap<>(rejected);
        notKnown = new TreeMap<>(notKnown);
    }

    /** Words for a person: each rejected row with what to mend, then the count, then what is left "not known". */
    public List<String> words() {
        List<String> lines = new ArrayList<>();
        rejected.forEach((row, complaints) -> complaints.forEach(complaint -> lines.add("row " + row
                + (complaint.column().isEmpty() ? "" : ", " + complaint.column())
                + ": " + complaint.code() + ": " + complaint.mend())));
        lines.add(rows() + (rows() == 1 ? " row: " : " rows: ") + taken.size() + " new, " + before + " taken before, "
                + rejected.size() + " rejected");
        if (!notKnown.isEmpty()) {
            List<String> counts = new ArrayList<>();
            notKnown.forEach((variable, records) -> counts.add(variable + " " + records));
            lines.add("left not known, in new records: " + String.join(", ", counts));
        }
        return lines;
    }

    /** Data for a program: which record each row became. */
    public List<String> data() {
        List<String> lines = new ArrayList<>(List.of("row,encounter_id"));
        taken.forEach((row, id) -> lines.add(row + "," + id));
        return lines;
    }

    private int rows() {
        return taken.size() + before + rejected.size();
    }
}
