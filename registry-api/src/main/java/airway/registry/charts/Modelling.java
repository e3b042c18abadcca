package airway.registry.charts;

import airway.registry.charts.Comparison.Group;
import airway.registry.charts.Comparison.Modelled;
import airway.registry.charts.Comparison.Refusal;
import airway.registry.charts.CountQuery.Cell;
import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Code;
import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Confidence;
import airway.stats.Reason;
import airway.stats.regression.CovariatePatterns;
import airway.stats.regression.StandardisedGroups;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import java.util.function.BiFunction;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;

/**
 * Judges counted cells by a logistic model over operators: like for like where there is more to allow for than strata can carry.
 * Rests on first attempts with every answer and a known operator. Source: the statistical methods of the registry, section 4.
 */
final class Modelling {
    /** Of the rarer outcome, for each parameter. Source: as above. */
    static final int EVENTS_PER_PARAMETER = 10;

    /** Source: the registry's table of minimum numbers. */
    static final int FEWEST_OPERATORS = 10;

    private final List<Group> groups;
    private final List<Stratum> allowedFor;
    private final BiFunction<Cell, Stratum, String> answer;
    private final Map<Integer, List<Cell>> operators = new LinkedHashMap<>();
    private final List<Dummy> dummies = new ArrayList<>();
    private long cases;
    private long unanswered;
    private long unknownHands;

    /** A column of the model: 1 where a variable has an answer. */
    private record Dummy(Stratum stratum, String code) {}

    /** The comparison, or why there is none. */
    record Judged(@Nullable Modelled modelled, @Nullable Refusal refused) {}

    /**
     * @param cells of these groups, and maybe of others
     * @param answer of a cell to a question
     */
    Modelling(
            List<Group> groups, List<Cell> cells, List<Stratum> allowedFor, BiFunction<Cell, Stratum, String> answer) {
        this.groups = groups;
        this.allowedFor = allowedFor;
        this.answer = answer;
        cells.stream()
                .filter(cell -> group(cell) >= 0 && cell.counted().n() > 0)
                .forEach(this::sort);
        allowedFor.forEach(this::addDummies);
    }

    private int group(Cell cell) {
        return IntStream.range(0, groups.size())
                .filter(g -> groups.get(g).code().equals(cell.group()))
                .findFirst()
                .orElse(-1);
    }

    private void sort(Cell cell) {
        long n = cell.counted().n();
        Integer hands = cell.hands();
        cases += n;
        if (allowedFor.stream().anyMatch(stratum -> Comparing.NOT_KNOWN.contains(answer.apply(cell, stratum)))) {
            unanswered += n;
        } else if (hands == null) {
            unknownHands += n;
        } else {
            operators.computeIfAbsent(hands, none -> new ArrayList<>()).add(cell);
        }
    }

    /** The answer given most often is what the others are set against; which it is does not change any risk. */
    private void addDummies(Stratum stratum) {
        Map<String, Long> answers = new LinkedHashMap<>();
        stratum.codes().stream().map(Code::value).forEach(code -> answers.put(code, 0L));
        kept().forEach(cell ->
                answers.merge(answer.apply(cell, stratum), cell.counted().n(), Long::sum));
        long most = answers.values().stream().mapToLong(n -> n).max().orElse(0);
        boolean left = false;
        for (Map.Entry<String, Long> one : answers.entrySet()) {
            if (!left && one.getValue() == most) {
                left = true;
            } else if (one.getValue() > 0) {
                dummies.add(new Dummy(stratum, one.getKey()));
            }
        }
    }

    private List<Cell> kept() {
        return operators.values().stream().flatMap(List::stream).toList();
    }

    private int parameters() {
        return groups.size() - 1 + dummies.size();
    }

    Judged judge() {
        Counted all = kept().stream().map(Cell::counted).reduce(Counted.NOTHING, Counted::plus);
        Refusal refused = refusal(all);
        if (refused != null) {
            return new Judged(null, refused);
        }
        Answer<StandardisedGroups> answered = StandardisedGroups.of(
                operators.values().stream().map(this::patterns).toList(), groups.size(), Confidence.DEFAULT);
        return answered.fold(
                ok -> new Judged(modelled(ok.value(), ok.cautions().contains(Caution.FEW_CLUSTERS)), null),
                no -> new Judged(null, refusal(no.reason())));
    }

    private CovariatePatterns patterns(List<Cell> cells) {
        CovariatePatterns.Builder builder = CovariatePatterns.of(parameters());
        for (Cell cell : cells) {
            double[] values = new double[parameters()];
            int group = group(cell);
            if (group > 0) {
                values[group - 1] = 1;
            }
            for (int d = 0; d < dummies.size(); d++) {
                Dummy dummy = dummies.get(d);
                values[groups.size() - 1 + d] =
                        answer.apply(cell, dummy.stratum()).equals(dummy.code()) ? 1 : 0;
            }
            builder.add(Comparing.proportion(cell.counted()), values);
        }
        return builder.build();
    }

    private Modelled modelled(StandardisedGroups result, boolean fewOperators) {
        return new Modelled(
                allowedFor,
                parameters(),
                operators.size(),
                fewOperators,
                result.n(),
                cases,
                unanswered,
                unknownHands,
                filledIn(),
                result,
                Comparing.holm(result.pairs().stream()
                        .map(pair -> new Comparison.Pair(
                                groups.get(pair.first() - 1),
                                groups.get(pair.second() - 1),
                                pair.difference(),
                                pair.p(),
                                1))
                        .toList()));
    }

    /** Cases of a kind that some group has none of: there the model goes beyond what was seen. */
    private long filledIn() {
        Map<List<String>, TreeSet<Integer>> met = new LinkedHashMap<>();
        Map<List<String>, Long> numbers = new LinkedHashMap<>();
        for (Cell cell : kept()) {
            List<String> kind = allowedFor.stream()
                    .map(stratum -> answer.apply(cell, stratum))
                    .toList();
            met.computeIfAbsent(kind, none -> new TreeSet<>()).add(group(cell));
            numbers.merge(kind, cell.counted().n(), Long::sum);
        }
        return met.entrySet().stream()
                .filter(kind -> kind.getValue().size() < groups.size())
                .mapToLong(kind -> numbers.getOrDefault(kind.getKey(), 0L))
                .sum();
    }

    private @Nullable Refusal refusal(Counted all) {
        int people = Math.max(FEWEST_OPERATORS, parameters() + 2);
        if (operators.size() < people) {
            return new Refusal(
                    Reason.TOO_FEW_CLUSTERS.name(),
                    people,
                    "It needs first attempts of at least " + people + " people with every answer; "
                            + (operators.isEmpty() ? "none" : String.valueOf(operators.size()))
                            + (operators.size() == 1 ? " is" : " are")
                            + " known. A person is known where whoever writes the record held the laryngoscope.");
        } else if (2 * all.n() < cases) {
            return new Refusal(
                    "TOO_LITTLE_KNOWN",
                    null,
                    "Only " + all.n() + " of " + cases
                            + " first attempts have every answer and a known operator, so it would speak for few of them.");
        }
        for (int g = 0; g < groups.size(); g++) {
            String code = groups.get(g).code();
            long n = kept().stream()
                    .filter(cell -> cell.group().equals(code))
                    .mapToLong(cell -> cell.counted().n())
                    .sum();
            if (n < Comparison.FEWEST) {
                return new Refusal(
                        Reason.TOO_FEW_OBSERVATIONS.name(),
                        Comparison.FEWEST,
                        "It needs " + Comparison.FEWEST + " first attempts of each group with every answer and a known"
                                + " operator; “" + groups.get(g).label() + "” has " + n + ".");
            }
        }
        int needed = EVENTS_PER_PARAMETER * parameters();
        long rarer = Math.min(all.x(), all.n() - all.x());
        return rarer >= needed
                ? null
                : new Refusal(
                        Caution.LOW_EVENTS_PER_VARIABLE.name(),
                        needed,
                        "It has " + parameters() + " things to find out and needs " + needed
                                + " encounters of the rarer outcome for that; there are " + rarer + ", "
                                + (needed - rarer)
                                + " too few. Allow for less, or wait for more.");
    }

    private static Refusal refusal(Reason reason) {
        return new Refusal(
                reason.name(),
                null,
                switch (reason) {
                    case SEPARATION ->
                        "In some kind of cases everything went one way, so that no model can tell what would have been."
                                + " Allow for less.";
                    case COLLINEAR ->
                        "Two of the things to allow for say the same, so that no model can tell them apart. Allow for"
                                + " less.";
                    default -> "The cases do not vary enough for a model.";
                });
    }
}
