package airway.registry.charts;

import airway.registry.charts.Comparison.Alike;
import airway.registry.charts.Comparison.Group;
import airway.registry.charts.Comparison.Halves;
import airway.registry.charts.Comparison.Hands;
import airway.registry.charts.Comparison.Layer;
import airway.registry.charts.Comparison.Pair;
import airway.registry.charts.Comparison.Share;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.interval.DifferenceInterval;
import airway.stats.interval.MissingBounds;
import airway.stats.interval.RatioInterval;
import airway.stats.power.TwoProportions;
import airway.stats.sequential.ConfidenceSequence;
import airway.stats.strata.EValue;
import airway.stats.strata.MantelHaenszel;
import airway.stats.strata.StandardisedDifference;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.springframework.ui.Model;

/** A comparison as sentences, lines and tables. It says which group had more, and never which is better. */
final class ComparisonView {
    /** Strata with so few cases in a group make the intervals too narrow near one half. Source: simulated, see the topic. */
    private static final int FEW_IN_STRATUM = 5;

    /** More pairs than these are told in the table alone. */
    private static final int MOST_TOLD = 3;

    /** The gap, in percentage points, that the sentence on power is about; our own choice. */
    private static final int GAP = 15;

    private static final double POWER = 0.8;

    static final String COVERAGE =
            "How far to trust these intervals: where about half of the cases have the outcome and a stratum holds only"
                    + " 2 to 5 cases of a group, an interval called 95% is right in only 84 to 90% of comparisons. Wider"
                    + " strata help.";

    private final Comparison comparison;
    private final @Nullable Alike alike;

    private ComparisonView(Comparison comparison) {
        this.comparison = comparison;
        this.alike = comparison.alike();
    }

    static ComparisonView of(Comparison comparison) {
        return new ComparisonView(comparison);
    }

    /** A group: its words and its place on the line from 0 to 100, as recorded and like for like. */
    public record Line(
            String label,
            String count,
            String interval,
            String leftOut,
            String remark,
            String svg,
            String alike,
            String alikeSvg) {}

    /** A pair in words, with what was recorded below it. */
    public record Reading(String sentence, String below) {}

    /** A row of numbers under a name. */
    public record Row(String name, List<String> cells) {}

    void addTo(Model model) {
        model.addAttribute("lines", lines());
        model.addAttribute("axis", IntervalSvg.axis());
        model.addAttribute("by", comparison.title());
        model.addAttribute("measureTitle", comparison.measure().title(comparison.scheme()));
        model.addAttribute("window", comparison.measure().window());
        model.addAttribute("definition", comparison.measure().definition());
        model.addAttribute("comparable", comparison.comparable());
        model.addAttribute("refused", comparison.refused());
        model.addAttribute("nominal", comparison.nominal() ? ChartWords.NOMINAL : null);
        model.addAttribute("readings", readings());
        model.addAttribute("across", across());
        model.addAttribute("basis", basis());
        model.addAttribute("coverage", alike == null ? null : COVERAGE);
        model.addAttribute("warnings", warnings());
        model.addAttribute("power", power());
        model.addAttribute("modelWords", ModelWords.of(comparison));
        model.addAttribute("missing", missing());
        model.addAttribute(
                "names", comparison.compared().stream().map(Group::label).toList());
        model.addAttribute("strata", strata());
        model.addAttribute("pairs", pairs());
        model.addAttribute("sequences", sequences());
    }

    /** The same without drawings and the researcher's table. */
    SetupsBeside printed() {
        List<SetupsBeside.Group> groups = lines().stream()
                .map(line -> new SetupsBeside.Group(
                        line.label(),
                        line.count()
                                + (line.remark().isEmpty()
                                        ? ", 95% interval " + line.interval()
                                        : "; " + line.remark()),
                        line.alike().isEmpty() ? SetupsBeside.NOTHING : line.alike()))
                .toList();
        List<String> says = new ArrayList<>();
        if (comparison.refused() != null) {
            says.add((comparison.comparable() ? "Not like for like: " : "Not compared: ")
                    + comparison.refused().text());
        }
        for (Reading reading : shown().size() <= MOST_TOLD ? readings() : List.<Reading>of()) {
            says.add(reading.sentence());
            if (!reading.below().isEmpty()) {
                says.add(reading.below());
            }
        }
        if (shown().size() > MOST_TOLD) {
            says.add(shown().size()
                    + " pairs are too many to print: the page on which set-ups are compared tells each.");
        }
        says.addAll(basis());
        List<String> cautions = new ArrayList<>(warnings());
        cautions.addAll(missing());
        if (alike != null) {
            cautions.add(COVERAGE);
        }
        return new SetupsBeside(groups, says, cautions);
    }

    private List<Line> lines() {
        List<Line> lines = new ArrayList<>();
        for (Group group : comparison.groups()) {
            Counted counted = group.counted();
            Estimate drawn = group.comparable() ? group.estimate() : null;
            int place = comparison.compared().indexOf(group);
            Estimate like = alike == null || place < 0
                    ? null
                    : alike.result().groups().get(place).standardised();
            lines.add(new Line(
                    group.label(),
                    group.comparable() || group.countsOnly()
                            ? Percent.count(counted)
                            : counted.x() + " of " + counted.n(),
                    drawn == null ? "–" : Percent.interval(drawn, counted.n()),
                    ChartPages.leftOut(counted),
                    group.comparable()
                            ? ""
                            : counted.n() >= Comparison.FEWEST
                                    ? "not a group of its own: the answer is missing"
                                    : "too few to compare (" + counted.n() + ")",
                    drawn == null
                            ? ""
                            : IntervalSvg.draw(group.label() + ", as recorded", drawn, counted.n(), like == null),
                    like == null
                            ? ""
                            : Percent.of(like.value(), counted.n()) + " (" + Percent.interval(like, counted.n()) + ")",
                    like == null ? "" : IntervalSvg.draw(group.label() + ", like for like", like, counted.n(), true)));
        }
        return lines;
    }

    private List<Pair> shown() {
        return alike == null ? comparison.pairs() : alike.pairs();
    }

    private List<Reading> readings() {
        List<Reading> readings = new ArrayList<>();
        for (int i = 0; i < shown().size(); i++) {
            Pair pair = shown().get(i);
            String verdict =
                    pair.stands() ? "This is more than chance would give" : "The data do not separate these two";
            int number = shown().size();
            readings.add(new Reading(
                    (alike == null ? "As recorded, " : "Like for like, ") + had(pair) + ". " + verdict
                            + (number > 1 ? ", the " + number + " pairs being allowed for" : "") + " (p "
                            + p(pair.adjusted()) + ").",
                    alike == null
                            ? ""
                            : "As recorded, " + had(comparison.pairs().get(i)) + "."));
        }
        return readings;
    }

    /** "A had more first passes than B: 9 points more (95% interval 0 fewer to 17 more)". */
    private String had(Pair pair) {
        return had(comparison, pair);
    }

    static String had(Comparison comparison, Pair pair) {
        boolean first = pair.difference().value() >= 0;
        Group more = first ? pair.first() : pair.second();
        Group less = first ? pair.second() : pair.first();
        Estimate difference = first ? pair.difference() : turned(pair.difference());
        String interval = " (95% interval " + side(difference.lower()) + " to " + side(difference.upper()) + ")";
        return points(difference.value()).equals("0")
                ? quoted(more) + " and " + quoted(less) + " had " + what(comparison) + " equally often, to the point"
                        + interval
                : quoted(more) + " had more " + what(comparison) + " than " + quoted(less) + ": "
                        + unit(difference.value()) + " more" + interval;
    }

    private String what() {
        return what(comparison);
    }

    private static String what(Comparison comparison) {
        return comparison.measure() == Measure.FPS
                ? "first passes"
                : "of “" + comparison.measure().title(comparison.scheme()) + "”";
    }

    static String quoted(Group group) {
        return "“" + group.label() + "”";
    }

    private static Estimate turned(Estimate estimate) {
        return Estimate.of(-estimate.value(), -estimate.upper(), -estimate.lower());
    }

    private static String points(double fraction) {
        return String.format(Locale.ROOT, "%.0f", Math.abs(100 * fraction));
    }

    private static String unit(double fraction) {
        return points(fraction) + (points(fraction).equals("1") ? " point" : " points");
    }

    private static String side(double fraction) {
        return points(fraction).equals("0") ? "0" : points(fraction) + (fraction < 0 ? " fewer" : " more");
    }

    private static String exact(double fraction) {
        return String.format(Locale.ROOT, "%.2f", 100 * fraction);
    }

    private static String exact(Estimate estimate) {
        return exact(estimate.value()) + " (" + exact(estimate.lower()) + " to " + exact(estimate.upper()) + ")";
    }

    /** Two significant figures, and never 0. */
    static String p(double p) {
        return p < 0.001 ? "<0.001" : String.format(Locale.ROOT, p < 0.1 ? "%.2g" : "%.2f", p);
    }

    /** The same pair in two kinds of cases. */
    private @Nullable String across() {
        Halves halves = comparison.halves();
        if (halves == null) {
            return null;
        }
        return quoted(halves.a()) + " against " + quoted(halves.b()) + ": for " + halves.first() + " "
                + against(halves.inFirst(), halves.firstA(), halves.firstB()) + ", for " + halves.second() + " "
                + against(halves.inSecond(), halves.secondA(), halves.secondB()) + ". These two differ by "
                + unit(halves.between().value()) + " (95% interval "
                + side(halves.between().lower()) + " to "
                + side(halves.between().upper()) + "). As recorded. "
                + (halves.between().interval().contains(0)
                        ? "The data do not tell whether it matters more for one than for the other."
                        : "That is more than chance would give.");
    }

    private static String against(Estimate difference, Counted a, Counted b) {
        return (points(difference.value()).equals("0") ? "0 points" : side(difference.value()) + " in 100") + " ("
                + Percent.count(a) + " against " + Percent.count(b) + ")";
    }

    /** What is allowed for and on how many records it rests. */
    private List<String> basis() {
        if (alike == null) {
            return List.of();
        }
        List<String> sentences = new ArrayList<>();
        sentences.add("Like for like: as if each group had met the same mix of " + titles(alike.allowedFor()) + ". "
                + alike.used() + " of " + alike.cases() + " first attempts, in "
                + alike.result().strataUsed().size()
                + (alike.result().strataUsed().size() == 1 ? " stratum." : " strata."));
        alike.passedOver()
                .forEach((stratum, known) -> sentences.add("Not allowed for: "
                        + stratum.title().toLowerCase(Locale.ROOT) + ", known in only " + known + " of "
                        + alike.cases() + "."));
        if (alike.unanswered() > 0) {
            sentences.add(alike.unanswered() + " first attempts are left out of it because an answer is missing ("
                    + alike.unansweredOf().entrySet().stream()
                            .filter(one -> one.getValue() > 0)
                            .map(one -> one.getKey().title().toLowerCase(Locale.ROOT) + ": " + one.getValue())
                            .collect(Collectors.joining(", "))
                    + ").");
        }
        return sentences;
    }

    static String titles(List<Stratum> strata) {
        return String.join(
                " and ",
                strata.stream()
                        .map(stratum -> stratum.title().toLowerCase(Locale.ROOT))
                        .toList());
    }

    /** How far the shares and their differences could lie for what nobody wrote down. */
    private List<String> missing() {
        List<String> sentences = new ArrayList<>();
        for (Group group : comparison.groups()) {
            MissingBounds bounds = group.missing();
            if (bounds != null) {
                sentences.add(
                        quoted(group) + ": the outcome is not known in " + bounds.missing() + " of " + bounds.asked()
                                + ". If all unknown had been " + with() + ", " + ofAsked(bounds.most(), bounds)
                                + "; if none, " + ofAsked(bounds.least(), bounds) + ".");
            }
        }
        for (Pair pair : comparison.pairs().size() <= MOST_TOLD ? comparison.pairs() : List.<Pair>of()) {
            if (pair.first().missing() != null || pair.second().missing() != null) {
                sentences.add("The difference of " + quoted(pair.first()) + " to " + quoted(pair.second())
                        + " as recorded could so lie anywhere from " + side(pair.least()) + " to " + side(pair.most())
                        + " in 100, before any chance.");
            }
        }
        if (alike != null && alike.muchUnanswered()) {
            sentences.add("Like for like leaves out " + alike.unanswered() + " of " + alike.cases()
                    + " first attempts for a missing answer: it is about the others alone, who need not be like them.");
        }
        return sentences;
    }

    private String with() {
        return comparison.measure() == Measure.FPS
                ? "first passes"
                : "“" + comparison.measure().title(comparison.scheme()) + "”";
    }

    private static String ofAsked(double share, MissingBounds bounds) {
        return Math.round(share * bounds.asked()) + " of " + bounds.asked()
                + (bounds.asked() < Percent.FEWEST ? "" : " (" + Percent.of(share, bounds.asked()) + ")");
    }

    private List<String> warnings() {
        List<String> warnings = new ArrayList<>();
        turnsRound(warnings);
        if (alike != null) {
            for (Pair pair : alike.unevenPairs()) {
                warnings.add("The difference of " + quoted(pair.first()) + " and " + quoted(pair.second())
                        + " is not the same in every stratum: read the strata below, one number says too little.");
            }
            for (Layer layer : alike.layers()) {
                if (!layer.used()) {
                    warnings.add("A stratum is empty for one side and left out: " + layer.label() + " (" + layer.cases()
                            + " first attempts). Nothing like stands beside it.");
                }
            }
            if (alike.layers().stream()
                    .filter(Layer::used)
                    .flatMap(layer -> layer.groups().stream())
                    .anyMatch(counted -> counted.n() <= FEW_IN_STRATUM)) {
                warnings.add("Some strata hold " + FEW_IN_STRATUM
                        + " cases of a group or fewer: the intervals may be too narrow.");
            }
        }
        harder(warnings);
        late(warnings);
        hands(warnings);
        return warnings;
    }

    private void turnsRound(List<String> warnings) {
        if (alike == null) {
            return;
        }
        for (int i = 0; i < alike.pairs().size(); i++) {
            var result = alike.result().pairs().get(i);
            if (result.reversal()) {
                Pair pair = alike.pairs().get(i);
                Group recorded = result.recorded() > 0 ? pair.first() : pair.second();
                Group like = result.recorded() > 0 ? pair.second() : pair.first();
                warnings.add("The order turns round: as recorded " + quoted(recorded) + " had more " + what()
                        + ", like for like " + quoted(like) + " did, also in " + result.strataAgainst() + " of "
                        + alike.result().strataUsed().size() + " strata. The reason is who got which.");
            }
        }
    }

    /** Groups that met other cases, as far as that is known. */
    private void harder(List<String> warnings) {
        for (String what :
                comparison.wary().shares().stream().map(Share::what).distinct().toList()) {
            List<Share> shares = comparison.wary().shares().stream()
                    .filter(share ->
                            share.what().equals(what) && share.counted().n() > 0)
                    .toList();
            boolean apart = IntStream.range(0, shares.size())
                    .anyMatch(a -> IntStream.range(a + 1, shares.size())
                            .anyMatch(b -> StandardisedDifference.ofProportions(
                                            Comparing.proportion(shares.get(a).counted()),
                                            Comparing.proportion(shares.get(b).counted()))
                                    .toOptional()
                                    .filter(StandardisedDifference::imbalanced)
                                    .isPresent()));
            if (apart) {
                warnings.add("The groups differ in " + what + ": "
                        + shares.stream()
                                .map(share -> quoted(share.group()) + " " + Percent.count(share.counted()))
                                .collect(Collectors.joining(", "))
                        + ", where that is known.");
            }
        }
    }

    private void late(List<String> warnings) {
        long late = comparison.wary().late();
        if (late == 0 || alike == null) {
            return;
        }
        List<Pair> without = comparison.wary().withoutLate();
        String told =
                "In " + late + " first attempts the expectation of difficulty was written down afterwards, when the"
                        + " outcome was known. ";
        if (without.isEmpty()) {
            warnings.add(told + "Without them the groups cannot be compared like for like.");
        } else if (without.size() <= MOST_TOLD) {
            for (int i = 0; i < without.size(); i++) {
                warnings.add(told + "With them, " + had(alike.pairs().get(i)) + "; without them, " + had(without.get(i))
                        + ".");
            }
        } else {
            warnings.add(told + "Choose two groups to see the difference with and without them.");
        }
    }

    private void hands(List<String> warnings) {
        Hands hands = comparison.wary().hands();
        if (hands == null || shown().size() > MOST_TOLD) {
            return;
        }
        String held = IntStream.range(0, comparison.compared().size())
                .filter(g -> hands.known().get(g) > 0)
                .mapToObj(g -> {
                    Group group = comparison.compared().get(g);
                    return hands.most().get(g) + " of the " + hands.known().get(g) + " known with " + quoted(group)
                            + " (" + group.counted().n() + " in all)";
                })
                .collect(Collectors.joining(", "));
        for (int i = 0; i < shown().size(); i++) {
            Pair pair = shown().get(i);
            warnings.add("Whose hands? Of " + hands.people() + " people known, the one with the most held " + held
                    + ". Leaving out one person at a time, the difference of "
                    + quoted(pair.first()) + " to " + quoted(pair.second()) + " runs from "
                    + side(hands.smallest().get(i)) + " to "
                    + side(hands.largest().get(i)) + " in 100.");
        }
    }

    /** What would be needed to see a gap that matters. */
    private @Nullable String power() {
        if (!comparison.comparable() || shown().stream().allMatch(Pair::stands)) {
            return null;
        }
        Counted all = comparison.compared().stream().map(Group::counted).reduce(Counted.NOTHING, Counted::plus);
        double half = GAP / 200.0;
        double middle = Math.min(1 - half, Math.max(half, (double) all.x() / all.n()));
        long fewest = comparison.compared().stream()
                .mapToLong(group -> group.counted().n())
                .min()
                .orElse(0);
        return new TwoProportions(middle + half, middle - half, Confidence.DEFAULT)
                .sampleSize(POWER, 1)
                .map(size -> size.n1() <= fewest
                        ? "Each group holds enough first attempts to show a gap of " + GAP
                                + " points in 80 of 100 cases."
                        : "About " + (size.n1() - fewest) + " more first attempts on each side would show a gap of "
                                + GAP + " points in 80 of 100 cases; two groups alone, as recorded.")
                .toOptional()
                .orElse(null);
    }

    private List<Row> strata() {
        return alike == null
                ? List.of()
                : alike.layers().stream()
                        .map(layer -> new Row(
                                layer.label() + (layer.used() ? "" : " (left out)"),
                                layer.groups().stream().map(Percent::count).toList()))
                        .toList();
    }

    /** The researcher's table. */
    private List<Row> pairs() {
        List<Row> rows = new ArrayList<>();
        for (int i = 0; i < comparison.pairs().size(); i++) {
            Pair pair = comparison.pairs().get(i);
            Pair like = alike == null ? null : alike.pairs().get(i);
            Proportion one = Comparing.proportion(pair.first().counted());
            Proportion two = Comparing.proportion(pair.second().counted());
            rows.add(new Row(
                    pair.first().label() + " less " + pair.second().label(),
                    List.of(
                            exact(pair.difference()),
                            DifferenceInterval.MIETTINEN_NURMINEN
                                    .of(one, two, Confidence.DEFAULT)
                                    .fold(ok -> exact(ok.value()), no -> "–"),
                            p(pair.p()) + ", " + p(pair.adjusted()),
                            like == null ? "–" : exact(like.difference()),
                            like == null ? "–" : p(like.p()) + ", " + p(like.adjusted()),
                            pooled(pair),
                            strength(one, two))));
        }
        return rows;
    }

    /** The difference by Mantel and Haenszel, over the strata in which both have cases. */
    private String pooled(Pair pair) {
        if (alike == null) {
            return "–";
        }
        int first = comparison.compared().indexOf(pair.first());
        int second = comparison.compared().indexOf(pair.second());
        return MantelHaenszel.RISK_DIFFERENCE
                .of(
                        alike.layers().stream()
                                .map(layer -> new airway.stats.strata.Stratum(
                                        Comparing.proportion(layer.groups().get(first)),
                                        Comparing.proportion(layer.groups().get(second))))
                                .toList(),
                        Confidence.DEFAULT)
                .fold(ok -> exact(ok.value().estimate()), no -> "–");
    }

    /** The E-value of the ratio of the unwanted outcome; not told when the interval holds 1. */
    private String strength(Proportion one, Proportion two) {
        boolean turn = comparison.measure().unwanted() == 0;
        return RatioInterval.KOOPMAN
                .of(turn ? one.complement() : one, turn ? two.complement() : two, Confidence.DEFAULT)
                .toOptional()
                .filter(ratio -> ratio.value().isPresent()
                        && !Double.isInfinite(ratio.value().getAsDouble()))
                .map(ratio -> EValue.of(new Estimate(ratio.value().getAsDouble(), ratio.interval())))
                .filter(value -> value.limit() > 1)
                .map(value -> Double.isInfinite(value.estimate())
                        ? "–"
                        : String.format(Locale.ROOT, "%.2f (limit %.2f)", value.estimate(), value.limit()))
                .orElse("–");
    }

    private List<Row> sequences() {
        return comparison.compared().stream()
                .map(group -> new Row(
                        group.label(),
                        List.of(
                                Percent.count(group.counted()),
                                ConfidenceSequence.of(Comparing.proportion(group.counted()), Confidence.DEFAULT)
                                        .fold(
                                                ok -> Percent.interval(
                                                        ok.value(),
                                                        group.counted().n()),
                                                no -> "–"))))
                .toList();
    }
}
