package airway.stats.disclosure;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;

/**
 * Rows that an outsider cannot tell apart, counted in patients: the patient is who must not be recognised, however many rows
 * there are. Where rows of one patient can be joined, what tells patients apart is the whole of what could be known of all their
 * rows; else it is the row.
 *
 * @param all the classes, in the order in which they first appear
 */
public record EquivalenceClasses(List<EquivalenceClass> all) {

    /** The classes, as they cannot change. */
    public EquivalenceClasses {
        all = List.copyOf(all);
    }

    /**
     * One class.
     *
     * @param rows numbers of its rows, from 0
     * @param patients its patients
     * @param sensitive how many of its patients have each secret; one with two secrets counts for both
     */
    public record EquivalenceClass(List<Integer> rows, Set<String> patients, Map<String, Long> sensitive) {

        /** A class, as it cannot change. */
        public EquivalenceClass {
            rows = List.copyOf(rows);
            patients = Set.copyOf(patients);
            sensitive = Map.copyOf(sensitive);
        }

        /** Number of patients. */
        public int size() {
            return patients.size();
        }
    }

    /**
     * Sorts rows into classes.
     *
     * @param linked whether rows of one patient can be joined
     */
    public static EquivalenceClasses of(List<DisclosedRow> rows, boolean linked) {
        Map<String, List<List<String>>> signatures = new HashMap<>();
        for (DisclosedRow row : linked ? rows : List.<DisclosedRow>of()) {
            signatures.computeIfAbsent(row.patient(), none -> new ArrayList<>()).add(row.quasiIdentifiers());
        }
        signatures.values().forEach(signature -> signature.sort(Comparator.comparing(List::toString)));
        Map<List<?>, List<Integer>> members = new LinkedHashMap<>();
        for (int i = 0; i < rows.size(); i++) {
            DisclosedRow row = rows.get(i);
            members.computeIfAbsent(
                            linked ? signatures.getOrDefault(row.patient(), List.of()) : row.quasiIdentifiers(),
                            none -> new ArrayList<>())
                    .add(i);
        }
        return new EquivalenceClasses(
                members.values().stream().map(some -> of(rows, some)).toList());
    }

    private static EquivalenceClass of(List<DisclosedRow> rows, List<Integer> members) {
        Map<String, Set<String>> patients = new TreeMap<>();
        Set<String> all = new LinkedHashSet<>();
        for (int member : members) {
            DisclosedRow row = rows.get(member);
            all.add(row.patient());
            patients.computeIfAbsent(row.sensitive(), none -> new LinkedHashSet<>())
                    .add(row.patient());
        }
        Map<String, Long> sensitive = new TreeMap<>();
        patients.forEach((value, some) -> sensitive.put(value, (long) some.size()));
        return new EquivalenceClass(members, all, sensitive);
    }

    /** Patients of the smallest class; 0 without rows. */
    public int k() {
        return all.stream().mapToInt(EquivalenceClass::size).min().orElse(0);
    }

    /** Number of different patients. */
    public long patients() {
        return all.stream().flatMap(one -> one.patients().stream()).distinct().count();
    }

    /** Patients in a class of fewer than so many. */
    public long patientsBelow(int k) {
        return all.stream()
                .filter(one -> one.size() < k)
                .flatMap(one -> one.patients().stream())
                .distinct()
                .count();
    }
}
