package airway.registry.charts;

import airway.registry.charts.Comparison.Alike;
import airway.registry.charts.Comparison.Group;
import airway.registry.charts.Comparison.Halves;
import airway.registry.charts.Comparison.Hands;
import airway.registry.charts.Comparison.Layer;
import airway.registry.charts.Comparison.Pair;
import airway.registry.charts.Comparison.Refusal;
import airway.registry.charts.Comparison.Share;
import airway.registry.charts.Comparison.Wary;
import airway.registry.charts.CountQuery.Cell;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Scheme;
import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.compare.ExactTest;
import airway.stats.compare.Multiplicity;
import airway.stats.interval.DifferenceInterval;
import airway.stats.interval.DifferenceOfDifferences;
import airway.stats.strata.LikeForLike;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** Judges counted cells: groups as recorded, the same like for like, and what a reader has to know beside. */
final class Comparing {
    /** Answers that say that nothing is known. */
    static final Set<String> NOT_KNOWN = Set.of(Stratum.BLANK.value(), "unk", "unknown");

    /** Below it, whose hands they were would tell too much. Source: the registry's table of minimum numbers. */
    private static final int FEWEST_PEOPLE = 5;

    private final List<Stratum> by;
    private final List<Stratum> allowFor;
    private final boolean usual;
    private final @Nullable Half half;
    private final List<Stratum> questions;

    /**
     * @param usual whether these are the usual variables, of which some may be passed over
     */
    Comparing(List<Stratum> by, List<Stratum> allowFor, boolean usual, @Nullable Half half) {
        this.by = by;
        this.allowFor = allowFor;
        this.usual = usual;
        this.half = half;
        this.questions = Stream.of(
                        allowFor.stream(),
                        Stream.of(Stratum.DIFFICULTY_PREDICTED, Stratum.OPERATOR_EXPERIENCE),
                        Stream.ofNullable(half).map(Half::stratum))
                .flatMap(all -> all)
                .distinct()
                .toList();
    }

    /** The questions whose answers are told apart by what is judged. */
    List<Stratum> questions() {
        return questions;
    }

    Comparison of(Measure measure, @Nullable Scheme scheme, String name, Cohort cohort, List<Cell> cells) {
        Map<String, Counted> counted = new LinkedHashMap<>();
        Map<String, String> labels = new HashMap<>();
        for (Cell cell : cells) {
            counted.merge(cell.group(), cell.counted(), Counted::plus);
            labels.putIfAbsent(cell.group(), cell.label());
        }
        List<Group> groups = counted.entrySet().stream()
                .map(one -> new Group(
                        one.getKey(),
                        labels.getOrDefault(one.getKey(), one.getKey()),
                        one.getValue(),
                        Judging.wilson(one.getValue())))
                .toList();
        List<Group> compared = groups.stream().filter(Group::comparable).toList();
        Refusal refused = refusal(compared);
        if (refused != null) {
            compared = List.of();
        }
        List<Pair> pairs = refused != null ? List.of() : asRecorded(compared);
        Alike alike = null;
        if (refused == null && !allowFor.isEmpty()) {
            Answer<Alike> like = alike(compared, cells);
            alike = like.toOptional().orElse(null);
            refused = like.fold(ok -> null, no -> refusal(no.reason()));
            if (alike != null && 2 * within(alike) < alike.cases()) {
                refused = new Refusal(
                        "TOO_LITTLE_ALIKE",
                        null,
                        "Only " + within(alike) + " of " + alike.cases()
                                + " first attempts lie in strata that every group"
                                + " met, so like for like would speak for few of them. Name two groups, or allow for"
                                + " less.");
                alike = null;
            }
        }
        Modelling.Judged model =
                pairs.isEmpty() || allowFor.isEmpty() ? new Modelling.Judged(null, null) : modelled(compared, cells);
        return new Comparison(
                measure,
                scheme,
                name,
                by.isEmpty()
                        ? "Set-up"
                        : String.join(" and ", by.stream().map(Stratum::title).toList()),
                cohort,
                groups,
                compared,
                pairs,
                alike,
                refused,
                model.modelled(),
                model.refused(),
                pairs.isEmpty() ? Wary.NOTHING : wary(compared, cells, alike),
                half == null || compared.size() != 2 ? null : halves(compared, cells, half));
    }

    private static @Nullable Refusal refusal(List<Group> compared) {
        if (compared.size() < 2) {
            return new Refusal(
                    Reason.TOO_FEW_OBSERVATIONS.name(),
                    Comparison.FEWEST,
                    "Two groups with at least " + Comparison.FEWEST + " first attempts each are needed.");
        } else if (compared.size() > Comparison.MOST_GROUPS) {
            return new Refusal(
                    "TOO_MANY_GROUPS",
                    Comparison.MOST_GROUPS,
                    compared.size() + " groups make more pairs than can be read: name at most " + Comparison.MOST_GROUPS
                            + " of them in groups.");
        }
        Counted all = compared.stream().map(Group::counted).reduce(Counted.NOTHING, Counted::plus);
        if (Math.min(all.x(), all.n() - all.x()) < Comparison.FEWEST_OUTCOMES) {
            return new Refusal(
                    (all.x() == 0 || all.x() == all.n() ? Reason.NO_VARIATION : Reason.NO_EVENTS).name(),
                    Comparison.FEWEST_OUTCOMES,
                    "At least " + Comparison.FEWEST_OUTCOMES + " encounters with the outcome and as many without it are"
                            + " needed in all; there are " + all.x() + " and " + (all.n() - all.x()) + ".");
        }
        return null;
    }

    /** Cases in the strata used. Under half of all, the rest is not spoken for: common practice, no source. */
    private static long within(Alike alike) {
        return alike.layers().stream()
                .filter(Layer::used)
                .mapToLong(Layer::cases)
                .sum();
    }

    private static Refusal refusal(Reason reason) {
        return reason == Reason.NO_DATA
                ? new Refusal(
                        reason.name(),
                        null,
                        "None of what is to be allowed for is known in enough of these records. The answers are needed, or"
                                + " another choice.")
                : new Refusal(
                        reason.name(),
                        1,
                        "No stratum holds cases of every group, so nothing like stands beside anything like. Fewer"
                                + " groups, or allowing for fewer things, may leave some.");
    }

    private static List<Pair> asRecorded(List<Group> groups) {
        List<Pair> pairs = new ArrayList<>();
        for (int a = 0; a < groups.size(); a++) {
            for (int b = a + 1; b < groups.size(); b++) {
                Group first = groups.get(a);
                Group second = groups.get(b);
                Proportion one = proportion(first.counted());
                Proportion two = proportion(second.counted());
                pairs.add(new Pair(
                        first,
                        second,
                        DifferenceInterval.NEWCOMBE
                                .of(one, two, Confidence.DEFAULT)
                                .orElseThrow(),
                        // Nothing but successes, or nothing but failures, in both: the data say nothing against
                        // equality.
                        ExactTest.FISHER.of(one, two).toOptional().orElse(1.0),
                        1));
            }
        }
        return holm(pairs);
    }

    static List<Pair> holm(List<Pair> pairs) {
        List<OptionalDouble> adjusted = Multiplicity.HOLM
                .adjust(pairs.stream().map(pair -> OptionalDouble.of(pair.p())).toList())
                .orElseThrow();
        return IntStream.range(0, pairs.size())
                .mapToObj(i -> new Pair(
                        pairs.get(i).first(),
                        pairs.get(i).second(),
                        pairs.get(i).difference(),
                        pairs.get(i).p(),
                        adjusted.get(i).orElseThrow()))
                .toList();
    }

    static Proportion proportion(Counted counted) {
        return new Proportion(counted.x(), counted.n());
    }

    /**
     * What can be allowed for.
     *
     * @param used the variables; none where nothing can be
     * @param passedOver usual variables that too few records answer, with the number of cases that do
     * @param unansweredOf cases without an answer to each variable that is used
     */
    private record Known(
            List<Stratum> used, Map<Stratum, Long> passedOver, Map<Stratum, Long> unansweredOf, long cases) {}

    private Known known(List<Cell> ours) {
        long cases = ours.stream().mapToLong(cell -> cell.counted().n()).sum();
        List<Stratum> used = new ArrayList<>();
        Map<Stratum, Long> passedOver = new LinkedHashMap<>();
        Map<Stratum, Long> unansweredOf = new LinkedHashMap<>();
        for (Stratum stratum : allowFor) {
            long unknown = ours.stream()
                    .filter(cell -> NOT_KNOWN.contains(answer(cell, stratum)))
                    .mapToLong(cell -> cell.counted().n())
                    .sum();
            if (unknown == cases || (usual && 2 * unknown > cases)) {
                passedOver.put(stratum, cases - unknown);
            } else {
                used.add(stratum);
                unansweredOf.put(stratum, unknown);
            }
        }
        return new Known(
                !usual && !passedOver.isEmpty() ? List.of() : List.copyOf(used), passedOver, unansweredOf, cases);
    }

    private static List<Cell> of(List<Group> groups, List<Cell> cells) {
        return cells.stream()
                .filter(cell -> groups.stream().anyMatch(group -> group.code().equals(cell.group())))
                .toList();
    }

    private Modelling.Judged modelled(List<Group> groups, List<Cell> cells) {
        List<Stratum> used = known(of(groups, cells)).used();
        return used.isEmpty()
                ? new Modelling.Judged(null, refusal(Reason.NO_DATA))
                : new Modelling(groups, cells, used, this::answer).judge();
    }

    private Answer<Alike> alike(List<Group> groups, List<Cell> cells) {
        List<Cell> ours = of(groups, cells);
        Known known = known(ours);
        List<Stratum> used = known.used();
        if (used.isEmpty()) {
            return Answer.refused(Reason.NO_DATA);
        }
        Map<List<String>, List<Counted>> strata = strata(groups, ours, used);
        long answered = strata.values().stream()
                .flatMap(List::stream)
                .mapToLong(Counted::n)
                .sum();
        return standardised(strata)
                .map(result -> new Alike(
                        used,
                        known.passedOver(),
                        layers(used, strata, result),
                        known.cases(),
                        known.cases() - answered,
                        known.unansweredOf(),
                        result,
                        pairs(groups, result)));
    }

    private static List<Layer> layers(List<Stratum> used, Map<List<String>, List<Counted>> strata, LikeForLike result) {
        List<Layer> layers = new ArrayList<>();
        strata.forEach((codes, counted) -> layers.add(new Layer(
                codes,
                String.join(
                        "; ",
                        IntStream.range(0, used.size())
                                .mapToObj(i ->
                                        used.get(i).title() + ": " + used.get(i).label(codes.get(i)))
                                .toList()),
                counted,
                result.strataUsed().contains(layers.size() + 1))));
        return List.copyOf(layers);
    }

    /** The counts of each group within each combination of known answers. */
    private Map<List<String>, List<Counted>> strata(List<Group> groups, List<Cell> cells, List<Stratum> used) {
        Map<List<String>, List<Counted>> strata = new LinkedHashMap<>();
        for (Cell cell : cells) {
            List<String> codes =
                    used.stream().map(stratum -> answer(cell, stratum)).toList();
            if (codes.stream().noneMatch(NOT_KNOWN::contains) && cell.counted().n() > 0) {
                List<Counted> counts = strata.computeIfAbsent(
                        codes,
                        none -> new ArrayList<>(
                                groups.stream().map(group -> Counted.NOTHING).toList()));
                for (int g = 0; g < groups.size(); g++) {
                    if (groups.get(g).code().equals(cell.group())) {
                        counts.set(g, counts.get(g).plus(cell.counted()));
                    }
                }
            }
        }
        List<List<String>> sorted = new ArrayList<>(strata.keySet());
        sorted.sort((one, two) -> {
            for (int i = 0; i < used.size(); i++) {
                int order = Integer.compare(place(used.get(i), one.get(i)), place(used.get(i), two.get(i)));
                if (order != 0) {
                    return order;
                }
            }
            return 0;
        });
        Map<List<String>, List<Counted>> ordered = new LinkedHashMap<>();
        sorted.forEach(codes -> ordered.put(codes, Objects.requireNonNull(strata.get(codes))));
        return ordered;
    }

    private static int place(Stratum stratum, String code) {
        return stratum.codes().stream().map(known -> known.value()).toList().indexOf(code);
    }

    private String answer(Cell cell, Stratum stratum) {
        return cell.answers().get(questions.indexOf(stratum));
    }

    private static Answer<LikeForLike> standardised(Map<List<String>, List<Counted>> strata) {
        return LikeForLike.of(
                strata.values().stream()
                        .map(counts ->
                                counts.stream().map(Comparing::proportion).toList())
                        .toList(),
                Confidence.DEFAULT);
    }

    private static List<Pair> pairs(List<Group> groups, LikeForLike result) {
        return holm(result.pairs().stream()
                .map(pair -> new Pair(
                        groups.get(pair.first() - 1), groups.get(pair.second() - 1), pair.difference(), pair.p(), 1))
                .toList());
    }

    private Wary wary(List<Group> groups, List<Cell> cells, @Nullable Alike alike) {
        List<Share> shares = new ArrayList<>();
        for (Half what : List.of(Half.DIFFICULTY, Half.EXPERIENCE)) {
            for (Group group : by.contains(what.stratum()) ? List.<Group>of() : groups) {
                long n = 0;
                long x = 0;
                for (Cell cell : cells) {
                    Boolean first = what.inFirst(answer(cell, what.stratum()));
                    if (cell.group().equals(group.code()) && first != null) {
                        n += cell.counted().n();
                        x += first ? cell.counted().n() : 0;
                    }
                }
                shares.add(new Share(
                        what.first(), group, new Counted(x, n, group.counted().n() - n, 0, 0)));
            }
        }
        long late = 0;
        List<Pair> withoutLate = List.of();
        if (alike != null && alike.allowedFor().contains(Stratum.DIFFICULTY_PREDICTED)) {
            late = cells.stream()
                    .filter(cell -> cell.afterwards()
                            && groups.stream().anyMatch(group -> group.code().equals(cell.group())))
                    .mapToLong(cell -> cell.counted().n())
                    .sum();
            if (late > 0) {
                withoutLate = standardised(strata(
                                groups,
                                cells.stream()
                                        .filter(cell -> !cell.afterwards())
                                        .toList(),
                                alike.allowedFor()))
                        .map(result -> pairs(groups, result))
                        .toOptional()
                        .orElse(List.of());
            }
        }
        return new Wary(shares, late, withoutLate, hands(groups, cells, alike));
    }

    private @Nullable Hands hands(List<Group> groups, List<Cell> cells, @Nullable Alike alike) {
        Map<Integer, List<Counted>> people = new HashMap<>();
        for (Cell cell : cells) {
            Integer hands = cell.hands();
            for (int g = 0; g < groups.size(); g++) {
                if (hands != null
                        && groups.get(g).code().equals(cell.group())
                        && cell.counted().n() > 0) {
                    List<Counted> counts = people.computeIfAbsent(
                            hands,
                            none -> new ArrayList<>(groups.stream()
                                    .map(group -> Counted.NOTHING)
                                    .toList()));
                    counts.set(g, counts.get(g).plus(cell.counted()));
                }
            }
        }
        if (people.size() < FEWEST_PEOPLE) {
            return null;
        }
        List<Long> known = new ArrayList<>();
        List<Long> most = new ArrayList<>();
        for (int g = 0; g < groups.size(); g++) {
            int group = g;
            known.add(people.values().stream()
                    .mapToLong(counts -> counts.get(group).n())
                    .sum());
            most.add(people.values().stream()
                    .mapToLong(counts -> counts.get(group).n())
                    .max()
                    .orElse(0));
        }
        List<List<Double>> without = new ArrayList<>();
        for (Integer person : people.keySet()) {
            differences(groups, cells, alike, cell -> !person.equals(cell.hands()))
                    .ifPresent(without::add);
        }
        if (without.isEmpty()) {
            return null;
        }
        List<Double> smallest = new ArrayList<>();
        List<Double> largest = new ArrayList<>();
        for (int pair = 0; pair < without.get(0).size(); pair++) {
            int number = pair;
            var all = without.stream()
                    .mapToDouble(differences -> differences.get(number))
                    .summaryStatistics();
            smallest.add(all.getMin());
            largest.add(all.getMax());
        }
        return new Hands(people.size(), known, most, smallest, largest);
    }

    /** The differences of all pairs among some cells, like for like where that is what is shown. */
    private Optional<List<Double>> differences(
            List<Group> groups, List<Cell> cells, @Nullable Alike alike, Predicate<Cell> which) {
        List<Cell> left = cells.stream().filter(which).toList();
        Map<List<String>, List<Counted>> strata = strata(groups, left, alike == null ? List.of() : alike.allowedFor());
        return standardised(strata)
                .map(result -> result.pairs().stream()
                        .map(pair -> pair.difference().value())
                        .toList())
                .toOptional();
    }

    private @Nullable Halves halves(List<Group> groups, List<Cell> cells, Half halved) {
        Counted[] counts = new Counted[4];
        for (int i = 0; i < counts.length; i++) {
            boolean first = i < 2;
            String group = groups.get(i % 2).code();
            counts[i] = cells.stream()
                    .filter(cell -> cell.group().equals(group)
                            && Boolean.valueOf(first).equals(halved.inFirst(answer(cell, halved.stratum()))))
                    .map(Cell::counted)
                    .reduce(Counted.NOTHING, Counted::plus);
            if (counts[i].n() < Percent.FEWEST) {
                return null;
            }
        }
        Proportion a = proportion(counts[0]);
        Proportion b = proportion(counts[1]);
        Proportion c = proportion(counts[2]);
        Proportion d = proportion(counts[3]);
        return new Halves(
                groups.get(0),
                groups.get(1),
                halved.first(),
                halved.second(),
                counts[0],
                counts[1],
                counts[2],
                counts[3],
                DifferenceInterval.NEWCOMBE.of(a, b, Confidence.DEFAULT).orElseThrow(),
                DifferenceInterval.NEWCOMBE.of(c, d, Confidence.DEFAULT).orElseThrow(),
                DifferenceOfDifferences.of(a, b, c, d, Confidence.DEFAULT).orElseThrow());
    }
}
