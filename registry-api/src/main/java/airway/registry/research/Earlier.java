package airway.registry.research;

import airway.stats.disclosure.DisclosedRow;
import airway.stats.disclosure.Generalisation;
import airway.stats.disclosure.Generalisation.Demand;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.UUID;

/**
 * What has left the unit before. Somebody who holds two packages learns more than from each: which rows stand in one alone, and,
 * where rows can be matched, how fine a thing is told in either. So the rows in one alone, and the rows in both with all that
 * either tells, are each judged as a package. Packages are held against each other by twos; three at once are not.
 */
final class Earlier {
    /** Nothing has left yet. */
    static final Earlier NONE = new Earlier(List.of(), List.of());

    private final List<Gone> packages;
    private final Map<UUID, Candidate> source = new HashMap<>();

    /**
     * A package that has left, or may at any moment.
     *
     * @param choice what it was made of
     * @param approval how it was made
     * @param rows the version of each record that has a row in it
     */
    record Gone(Choice choice, Approval approval, Map<UUID, Integer> rows) {}

    /**
     * What has left.
     *
     * @param source all records of the unit as they are now
     */
    Earlier(List<Gone> packages, List<Candidate> source) {
        this.packages = packages;
        if (!packages.isEmpty()) {
            source.forEach(one -> this.source.put(one.encounter(), one));
        }
    }

    /** How many packages. */
    int size() {
        return packages.size();
    }

    /** Whether no child stands out of data beside any one earlier package. */
    boolean allows(Coarsening now, Generalisation found) {
        return packages.stream().allMatch(gone -> allows(now, found, gone));
    }

    private boolean allows(Coarsening now, Generalisation found, Gone gone) {
        Coarsening.Finest then =
                new Coarsening.Finest(gone.choice(), gone.approval().rare());
        List<Integer> levels = gone.approval().levels();
        Set<Integer> removed = new HashSet<>(found.removed());
        Set<UUID> kept = new HashSet<>();
        List<DisclosedRow> both = new ArrayList<>();
        List<DisclosedRow> added = new ArrayList<>();
        for (int i = 0; i < now.allowed().size(); i++) {
            if (removed.contains(i)) {
                continue;
            }
            Candidate one = now.allowed().get(i);
            DisclosedRow told = now.rows().get(i).at(found.levels());
            Integer version = gone.rows().get(one.encounter());
            if (version != null && version == one.version()) {
                kept.add(one.encounter());
                both.add(joined(told, then.of(one).at(levels)));
            } else {
                added.add(told);
            }
        }
        if (kept.isEmpty()) {
            return true;
        }
        List<DisclosedRow> dropped = new ArrayList<>();
        Set<String> changed = new HashSet<>();
        gone.rows().forEach((encounter, version) -> {
            Candidate one = source.get(encounter);
            if (one != null && one.version() == version) {
                if (!kept.contains(encounter)) {
                    dropped.add(then.of(one).at(levels));
                }
            } else {
                changed.add(one == null ? encounter.toString() : one.patient());
            }
        });
        // Who holds both was promised no more than the weaker of the two.
        int k = Math.min(now.profile().k(), gone.choice().profile().k());
        Demand demand = Coarsening.demand(
                k, now.choice().pseudonymised() || gone.choice().pseudonymised());
        return demand.holds(both)
                && demand.holds(added)
                && demand.holds(dropped)
                && (changed.isEmpty() || changed.size() >= k);
    }

    private static DisclosedRow joined(DisclosedRow one, DisclosedRow other) {
        List<String> told = new ArrayList<>(one.quasiIdentifiers());
        told.addAll(other.quasiIdentifiers());
        return new DisclosedRow(one.patient(), told, one.sensitive());
    }
}
