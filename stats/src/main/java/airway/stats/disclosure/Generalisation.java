package airway.stats.disclosure;

import airway.stats.disclosure.EquivalenceClasses.EquivalenceClass;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Predicate;

/**
 * Rows made so coarse that no patient stands out, with as little lost as may be. Each thing that could be known has levels from
 * fine to coarse, and all of them are judged together: one at a time they tell nothing. Of the choices of levels that hold after
 * few enough rows are left out, the one with the smallest sum of levels is taken; among equals the one that keeps what was named
 * first the finest.
 *
 * @param levels the level of each, from 0
 * @param removed numbers of the rows that are left out, from 0
 * @param classes classes of the rows that are left, which are numbered as they were
 */
public record Generalisation(List<Integer> levels, List<Integer> removed, EquivalenceClasses classes) {

    /** What was found, as it cannot change. */
    public Generalisation {
        levels = List.copyOf(levels);
        removed = List.copyOf(removed);
    }

    /**
     * A row before it is made coarser.
     *
     * @param patient whose it is
     * @param levels for each thing that could be known its value from the finest level to the coarsest
     * @param sensitive what must not be learnt from it
     */
    public record Fine(String patient, List<List<String>> levels, String sensitive) {

        /** A row; rows with the same levels may share them, as lists that do not change. */
        public Fine {
            levels = List.copyOf(levels);
        }

        /** The row with each thing at a level. */
        public DisclosedRow at(List<Integer> chosen) {
            List<String> values = new ArrayList<>();
            for (int i = 0; i < chosen.size(); i++) {
                values.add(levels.get(i).get(chosen.get(i)));
            }
            return new DisclosedRow(patient, values, sensitive);
        }
    }

    /**
     * What must hold of every class.
     *
     * @param k patients, 1 or more
     * @param distinct different secrets, 1 or more
     * @param entropy effective number of secrets, 1 or more
     * @param closeness largest distance of its secrets, without an order, from those of all, in [0, 1]
     * @param linked whether rows of one patient can be joined
     * @param mostRemoved largest share of rows that may be left out, in [0, 1]
     */
    public record Demand(int k, int distinct, double entropy, double closeness, boolean linked, double mostRemoved) {

        private static final double TINY = 1e-12;

        /**
         * A demand.
         *
         * @throws IllegalArgumentException if a number is out of range or not a number
         */
        public Demand {
            if (k < 1
                    || distinct < 1
                    || !(entropy >= 1)
                    || !(closeness >= 0 && closeness <= 1)
                    || !(mostRemoved >= 0 && mostRemoved <= 1)) {
                throw new IllegalArgumentException("k = " + k + ", distinct = " + distinct + ", entropy = " + entropy
                        + ", closeness = " + closeness + ", mostRemoved = " + mostRemoved
                        + ", must be 1 or more, and in [0, 1]");
            }
        }

        /** Whether it holds of rows as they are, with none left out. */
        public boolean holds(List<DisclosedRow> rows) {
            EquivalenceClasses classes = EquivalenceClasses.of(rows, linked);
            Map<String, Long> all = sensitive(classes);
            return classes.all().stream().allMatch(one -> holds(one, all));
        }

        boolean holds(EquivalenceClass one, Map<String, Long> all) {
            List<Long> secrets = List.copyOf(one.sensitive().values());
            return one.size() >= k
                    && Diversity.distinct(secrets) >= distinct
                    && Diversity.entropy(secrets) + TINY >= entropy
                    && (closeness == 1 || distance(one, all) <= closeness + TINY);
        }

        private static double distance(EquivalenceClass one, Map<String, Long> all) {
            List<Long> some = all.keySet().stream()
                    .map(value -> one.sensitive().getOrDefault(value, 0L))
                    .toList();
            return Closeness.UNORDERED.of(some, List.copyOf(all.values()));
        }
    }

    /**
     * The choice of levels that loses least.
     *
     * @param rows each with as many levels of each thing as the others
     * @return empty where no choice holds
     * @throws IllegalArgumentException if rows differ in their levels, or a value of a level has two of the next
     */
    public static Optional<Generalisation> of(List<Fine> rows, Demand demand) {
        return of(rows, demand, found -> true);
    }

    /**
     * The same where something else must hold too.
     *
     * @param also asked of each choice that holds, from the one that loses least on
     */
    public static Optional<Generalisation> of(List<Fine> rows, Demand demand, Predicate<Generalisation> also) {
        if (rows.isEmpty()) {
            return Optional.empty();
        }
        checkNested(rows);
        List<List<Integer>> choices = new ArrayList<>();
        choices(rows.get(0).levels(), new ArrayList<>(), choices);
        choices.sort(Comparator.comparingInt(
                levels -> levels.stream().mapToInt(Integer::intValue).sum()));
        Coded coded = new Coded(rows);
        for (List<Integer> levels : choices) {
            if (coded.fewestRemoved(levels, demand) > demand.mostRemoved * rows.size()) {
                continue;
            }
            Generalisation found = at(rows, demand, levels);
            if (found.removed.size() < rows.size()
                    && found.removed.size() <= demand.mostRemoved * rows.size()
                    && also.test(found)) {
                return Optional.of(found);
            }
        }
        return Optional.empty();
    }

    /**
     * The values as small numbers, each combination once: most choices are turned down by counting rows, which are never fewer
     * than patients.
     */
    private static final class Coded {
        private final List<int[][]> codes = new ArrayList<>();
        private final List<int[]> rows = new ArrayList<>();
        private final List<long[]> secrets = new ArrayList<>();

        Coded(List<Fine> all) {
            List<Map<String, Integer>> known = new ArrayList<>();
            Map<String, Integer> secret = new HashMap<>();
            Map<List<List<String>>, Integer> combinations = new HashMap<>();
            for (Fine row : all) {
                int number = combinations.computeIfAbsent(row.levels(), levels -> {
                    codes.add(codes(levels, known));
                    rows.add(new int[1]);
                    secrets.add(new long[1]);
                    return combinations.size();
                });
                rows.get(number)[0]++;
                int held = secret.computeIfAbsent(row.sensitive(), none -> secret.size());
                secrets.get(number)[0] |= 1L << Math.min(held, Long.SIZE - 1);
            }
        }

        private static int[][] codes(List<List<String>> levels, List<Map<String, Integer>> known) {
            int[][] codes = new int[levels.size()][];
            for (int i = 0; i < codes.length; i++) {
                if (known.size() == i) {
                    known.add(new HashMap<>());
                }
                Map<String, Integer> numbers = known.get(i);
                codes[i] = levels.get(i).stream()
                        .mapToInt(value -> numbers.computeIfAbsent(value, none -> numbers.size()))
                        .toArray();
            }
            return codes;
        }

        /**
         * Rows in classes that fail already by their number of rows or of secrets; secrets from the 64th on count as one. Where
         * rows of a patient can be joined, classes are smaller still, but hold the secrets of other rows.
         */
        int fewestRemoved(List<Integer> levels, Demand demand) {
            int[] classes = new int[codes.size()];
            int number = 1;
            for (int i = 0; i < levels.size(); i++) {
                Map<Long, Integer> numbers = new HashMap<>();
                for (int one = 0; one < classes.length; one++) {
                    long key = ((long) classes[one] << Integer.SIZE) + codes.get(one)[i][levels.get(i)];
                    classes[one] = numbers.computeIfAbsent(key, none -> numbers.size());
                }
                number = numbers.size();
            }
            int[] sizes = new int[number];
            long[] held = new long[number];
            for (int one = 0; one < classes.length; one++) {
                sizes[classes[one]] += rows.get(one)[0];
                held[classes[one]] |= secrets.get(one)[0];
            }
            int distinct = demand.linked ? 1 : Math.min(demand.distinct, 2);
            int removed = 0;
            for (int one = 0; one < number; one++) {
                removed += sizes[one] < demand.k || Long.bitCount(held[one]) < distinct ? sizes[one] : 0;
            }
            return removed;
        }
    }

    /** One choice of levels, whatever it loses. */
    public static Generalisation at(List<Fine> rows, Demand demand, List<Integer> levels) {
        Map<List<String>, List<String>> shared = new HashMap<>();
        List<DisclosedRow> coarse = new ArrayList<>(rows.size());
        for (Fine row : rows) {
            DisclosedRow told = row.at(levels);
            List<String> same = shared.putIfAbsent(told.quasiIdentifiers(), told.quasiIdentifiers());
            coarse.add(same == null ? told : new DisclosedRow(told.patient(), same, told.sensitive()));
        }
        List<Integer> left = new ArrayList<>();
        for (int i = 0; i < rows.size(); i++) {
            left.add(i);
        }
        while (true) {
            EquivalenceClasses classes =
                    EquivalenceClasses.of(left.stream().map(coarse::get).toList(), demand.linked);
            Map<String, Long> all = sensitive(classes);
            Set<Integer> failing = new HashSet<>();
            for (EquivalenceClass one : classes.all()) {
                if (!demand.holds(one, all)) {
                    one.rows().forEach(row -> failing.add(left.get(row)));
                }
            }
            if (failing.isEmpty()) {
                Set<Integer> kept = new HashSet<>(left);
                List<Integer> removed = new ArrayList<>();
                for (int i = 0; i < rows.size(); i++) {
                    if (!kept.contains(i)) {
                        removed.add(i);
                    }
                }
                return new Generalisation(levels, removed, numberedAsBefore(classes, left));
            }
            // What is left out changes what all is, so the rest is judged again.
            left.removeAll(failing);
        }
    }

    /** How many rows of each secret are left out: else a list hides the worst outcomes, which cluster in rare patients. */
    public Map<String, Loss> lost(List<Fine> rows) {
        Set<Integer> out = new HashSet<>(removed);
        Map<String, Loss> lost = new TreeMap<>();
        for (int i = 0; i < rows.size(); i++) {
            lost.merge(rows.get(i).sensitive(), new Loss(out.contains(i) ? 1 : 0, 1), Loss::plus);
        }
        return lost;
    }

    /**
     * What a group loses.
     *
     * @param removed rows left out
     * @param all rows in all
     */
    public record Loss(long removed, long all) {

        /** Whether it is more than a tenth. */
        public boolean overATenth() {
            return removed * 10 > all;
        }

        private Loss plus(Loss other) {
            return new Loss(removed + other.removed, all + other.all);
        }
    }

    private static EquivalenceClasses numberedAsBefore(EquivalenceClasses classes, List<Integer> left) {
        return new EquivalenceClasses(classes.all().stream()
                .map(one -> new EquivalenceClass(
                        one.rows().stream().map(left::get).toList(), one.patients(), one.sensitive()))
                .toList());
    }

    private static Map<String, Long> sensitive(EquivalenceClasses classes) {
        Map<String, Long> all = new TreeMap<>();
        classes.all().forEach(one -> one.sensitive().forEach((value, count) -> all.merge(value, count, Long::sum)));
        return all;
    }

    private static void choices(List<List<String>> levels, List<Integer> chosen, List<List<Integer>> choices) {
        if (chosen.size() == levels.size()) {
            choices.add(List.copyOf(chosen));
            return;
        }
        for (int level = 0; level < levels.get(chosen.size()).size(); level++) {
            chosen.add(level);
            choices(levels, chosen, choices);
            chosen.remove(chosen.size() - 1);
        }
    }

    private static void checkNested(List<Fine> rows) {
        List<Integer> shape = rows.get(0).levels().stream().map(List::size).toList();
        List<List<List<String>>> different =
                rows.stream().map(Fine::levels).distinct().toList();
        for (List<List<String>> levels : different) {
            if (!levels.stream().map(List::size).toList().equals(shape)) {
                throw new IllegalArgumentException("rows differ in their levels");
            }
        }
        for (int i = 0; i < shape.size(); i++) {
            for (int level = 0; level < shape.get(i) - 1; level++) {
                Map<String, String> parents = new HashMap<>();
                for (List<List<String>> levels : different) {
                    String parent = levels.get(i).get(level + 1);
                    String before = parents.put(levels.get(i).get(level), parent);
                    if (before != null && !before.equals(parent)) {
                        throw new IllegalArgumentException("a value of level " + level + " has two of the next");
                    }
                }
            }
        }
    }
}
