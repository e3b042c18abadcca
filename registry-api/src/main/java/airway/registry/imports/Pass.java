package airway.registry.imports;

import airway.registry.encounter.DeviceSetup;
import airway.registry.encounter.Encounters;
import airway.registry.encounter.Judged;
import airway.registry.problem.Problem;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.UUID;
import java.util.stream.Collectors;
import tools.jackson.databind.node.ObjectNode;

/** One way through a table: the batch that is being looked at, and the counts so far. */
final class Pass {
    private final ImportFile file;
    private final Take take;
    private final Watcher watcher;
    private final Encounters encounters;

    private final Set<String> keysSoFar = new HashSet<>();
    private final Map<String, Integer> notKnown = new TreeMap<>();
    private int fresh;
    private int before;
    private int rejected;
    private int reached;

    private final Map<Integer, RowReader.Made> made = new LinkedHashMap<>();
    private final Map<Integer, List<Complaint>> complained = new TreeMap<>();
    private final Map<Integer, Judged> good = new LinkedHashMap<>();

    Pass(ImportFile file, Take take, Watcher watcher, Encounters encounters) {
        this.file = file;
        this.take = take;
        this.watcher = watcher;
        this.encounters = encounters;
    }

    /** Reads the next batch; false when there is none. */
    boolean read(CsvRows rows, int most, Map<String, ObjectNode> setups) {
        made.clear();
        complained.clear();
        good.clear();
        while (made.size() + complained.size() < most) {
            CsvRows.Row row = rows.next();
            if (row == null) {
                break;
            }
            RowReader.Made one = RowReader.read(file.mapping(), file.columns(), row, setups);
            if (!one.complaints().isEmpty()) {
                complained.put(row.number(), one.complaints());
            } else if (firstOfItsKey(one)) {
                made.put(row.number(), one);
            } else {
                complained.put(
                        row.number(),
                        List.of(new Complaint(
                                String.join(" ", file.mapping().rowKey()),
                                "",
                                "row.key",
                                "An earlier row has the same key.")));
            }
            reached = row.number();
        }
        return !made.isEmpty() || !complained.isEmpty();
    }

    /** Rows named by their number have keys of their own. */
    private boolean firstOfItsKey(RowReader.Made one) {
        return file.mapping().rowKey().isEmpty() || keysSoFar.add(one.sourceRow());
    }

    /** The keys of the batch. */
    Set<String> keys() {
        return made.values().stream().map(RowReader.Made::sourceRow).collect(Collectors.toSet());
    }

    /** Judges each row of the batch that was not taken before. */
    void judge(Set<String> takenBefore, Map<String, DeviceSetup> setups) {
        made.forEach((row, one) -> {
            if (takenBefore.contains(one.sourceRow())) {
                before++;
                return;
            }
            try {
                good.put(
                        row,
                        encounters.judge(
                                one.body(),
                                one.sourceRow(),
                                setups,
                                file.mapping().confirm()));
                fresh++;
                one.notKnown().forEach(name -> notKnown.merge(name, 1, Integer::sum));
            } catch (Problem problem) {
                complained.put(row, complaints(problem, one));
            }
        });
        rejected += complained.size();
    }

    private static List<Complaint> complaints(Problem problem, RowReader.Made made) {
        if (problem.faults().isEmpty()) {
            return List.of(new Complaint("", "", problem.slug(), problem.detail()));
        }
        List<Complaint> complaints = new ArrayList<>();
        problem.faults()
                .forEach(fault -> complaints.add(new Complaint(
                        made.origin(fault.path()),
                        fault.path().substring(fault.path().lastIndexOf('/') + 1),
                        fault.code(),
                        fault.mend())));
        return complaints;
    }

    /** The good rows of the batch. */
    List<Judged> good() {
        return List.copyOf(good.values());
    }

    /** Tells the watcher what became of the batch. */
    void told(Map<String, UUID> kept) {
        complained.forEach(watcher::rejected);
        good.forEach((row, judged) -> {
            UUID id = kept.get(judged.sourceRow());
            if (id != null) {
                watcher.taken(row, id);
            }
        });
        watcher.reached(reached, file.rows());
    }

    int reached() {
        return reached;
    }

    ImportReport report() {
        return new ImportReport(take, fresh, before, rejected, notKnown);
    }
}
