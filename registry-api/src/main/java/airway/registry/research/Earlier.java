package airway.registry.research;

import airway.stats.disclosure.DisclosedRow;
import airway.stats.disclosure.Generalisation;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;
import java.util.UUID;

/**
 * What has left the unit before. Somebody who holds several packages learns more than from each: which rows stand in which of
 * them and, where rows can be matched, all that any of them tells of a row. So rows are sorted by all of that at once, the new
 * package included, and each group that it touches must hide its children as a group of one package must.
 */
final class Earlier {
    /** Nothing has left yet. */
    static final Earlier NONE = new Earlier(List.of(), List.of());

    private final List<Gone> packages;
    private final Map<UUID, Candidate> source = new HashMap<>();
    private final Map<Promise, Together> together = new HashMap<>();

    /**
     * A package that has left, or may at any moment.
     *
     * @param choice what it was made of
     * @param approval how it was made
     * @param rows the version of each record that has a row in it
     */
    record Gone(Choice choice, Approval approval, Map<UUID, Integer> rows) {}

    /** What holds of each group: so many children, and whether rows of a child count as joined. */
    private record Promise(int k, boolean linked) {}

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

    /**
     * Whether no child stands out of data beside earlier packages, whichever of them somebody holds. One package that promises less
     * leaves no more of the promise; so for each promise those are taken together that give it or a larger one.
     */
    boolean allows(Coarsening now, Generalisation found) {
        return packages.stream()
                .map(gone -> Math.min(gone.choice().profile().k(), now.profile().k()))
                .distinct()
                .allMatch(k -> together(k, now.choice()).allow(now, found, source));
    }

    private Together together(int k, Choice now) {
        List<Gone> some = packages.stream()
                .filter(gone -> gone.choice().profile().k() >= k)
                .toList();
        boolean linked = now.pseudonymised()
                || some.stream().anyMatch(gone -> gone.choice().pseudonymised());
        return together.computeIfAbsent(new Promise(k, linked), promise -> new Together(promise, some, source));
    }

    /** What some packages tell together. */
    private static final class Together {
        private static final int NOWHERE = 0;

        private final Promise promise;

        /** By record as it is now: what is told of it, as a number; records of which the same is told have the same one. */
        private final Map<UUID, Integer> groups = new HashMap<>();

        /** By record: the same of all records of the child where they count as joined. */
        private final Map<UUID, Object> lots = new HashMap<>();

        /** By number: in which packages. */
        private final List<BitSet> places = new ArrayList<>(List.of(new BitSet()));

        /** Children whose records were told as they are no more, by the packages that did. */
        private final Map<BitSet, Set<String>> changed = new HashMap<>();

        Together(Promise promise, List<Gone> packages, Map<UUID, Candidate> source) {
            this.promise = promise;
            Map<List<?>, Integer> numbers = new HashMap<>();
            Map<List<?>, BitSet> before = new HashMap<>();
            for (int i = 0; i < packages.size(); i++) {
                add(i, packages.get(i), source, numbers, before);
            }
            before.forEach((record, places) -> {
                Candidate one = source.get(record.get(0));
                changed.computeIfAbsent(places, none -> new HashSet<>())
                        .add(one == null ? record.get(0).toString() : one.patient());
            });
            Map<String, Set<Integer>> children = new HashMap<>();
            groups.forEach((encounter, group) -> {
                Object lot = group;
                if (promise.linked()) {
                    Set<Integer> all = children.computeIfAbsent(
                            Objects.requireNonNull(source.get(encounter)).patient(), none -> new TreeSet<>());
                    all.add(group);
                    lot = all;
                }
                lots.put(encounter, lot);
            });
        }

        private void add(
                int place,
                Gone gone,
                Map<UUID, Candidate> source,
                Map<List<?>, Integer> numbers,
                Map<List<?>, BitSet> before) {
            Coarsening.Finest then =
                    new Coarsening.Finest(gone.choice(), gone.approval().rare());
            gone.rows().forEach((encounter, version) -> {
                Candidate one = source.get(encounter);
                if (one == null || one.version() != version) {
                    before.computeIfAbsent(List.of(encounter, version), none -> new BitSet())
                            .set(place);
                    return;
                }
                int group = groups.getOrDefault(encounter, NOWHERE);
                DisclosedRow row = then.of(one).at(gone.approval().levels());
                groups.put(encounter, numbers.computeIfAbsent(List.of(group, place, row.quasiIdentifiers()), none -> {
                    BitSet in = (BitSet) places.get(group).clone();
                    in.set(place);
                    places.add(in);
                    return places.size() - 1;
                }));
            });
        }

        boolean allow(Coarsening now, Generalisation found, Map<UUID, Candidate> source) {
            Set<Integer> removed = new HashSet<>(found.removed());
            Set<UUID> again = new HashSet<>();
            Set<Object> touched = new HashSet<>();
            BitSet beside = new BitSet();
            List<DisclosedRow> rows = new ArrayList<>();
            for (int i = 0; i < now.allowed().size(); i++) {
                if (removed.contains(i)) {
                    continue;
                }
                Candidate one = now.allowed().get(i);
                int group = groups.getOrDefault(one.encounter(), NOWHERE);
                if (group != NOWHERE) {
                    again.add(one.encounter());
                    touched.add(lots.get(one.encounter()));
                    beside.or(places.get(group));
                }
                DisclosedRow told = now.rows().get(i).at(found.levels());
                rows.add(row(told.patient(), told.quasiIdentifiers(), group, told.sensitive()));
            }
            groups.forEach((encounter, group) -> {
                if (!again.contains(encounter) && touched.contains(lots.get(encounter))) {
                    Candidate one = Objects.requireNonNull(source.get(encounter));
                    rows.add(row(one.patient(), List.of(), group, one.severe() ? "yes" : "no"));
                }
            });
            if (again.isEmpty()) {
                return true;
            }
            boolean changedEnough = changed.entrySet().stream()
                    .allMatch(some ->
                            !some.getKey().intersects(beside) || some.getValue().size() >= promise.k());
            return changedEnough
                    && Coarsening.demand(promise.k(), promise.linked()).holds(rows);
        }

        private static DisclosedRow row(String patient, List<String> told, int group, String sensitive) {
            List<String> all = new ArrayList<>(told);
            all.add(String.valueOf(group));
            return new DisclosedRow(patient, all, sensitive);
        }
    }
}
