package airway.registry.charts;

import airway.registry.charts.Comparison.Group;
import airway.registry.charts.Comparison.Modelled;
import airway.registry.charts.Comparison.Pair;
import airway.registry.charts.Comparison.Refusal;
import java.util.ArrayList;
import java.util.List;

/** What a model says of groups, what it takes for granted, and what it rests on, in sentences. */
final class ModelWords {
    private ModelWords() {}

    /** None where nothing was to be allowed for. */
    static List<String> of(Comparison comparison) {
        Refusal refused = comparison.unmodelled();
        Modelled modelled = comparison.modelled();
        if (refused != null) {
            return List.of("Not compared by a model. " + refused.text());
        }
        return modelled == null ? List.of() : said(comparison, modelled);
    }

    private static List<String> said(Comparison comparison, Modelled modelled) {
        List<String> sentences = new ArrayList<>();
        sentences.add("As if all " + modelled.n()
                + " first attempts had been of each group in turn, everything else as it was: "
                + ComparisonView.titles(modelled.allowedFor())
                + " allowed for at once, and that first attempts of one of the "
                + modelled.operators() + " people resemble each other.");
        for (int g = 0; g < comparison.compared().size(); g++) {
            Group group = comparison.compared().get(g);
            var estimate = modelled.result().groups().get(g);
            sentences.add(ComparisonView.quoted(group) + ": " + Percent.of(estimate.value(), modelled.n())
                    + " (95% interval " + Percent.interval(estimate, modelled.n()) + "), of all " + modelled.n() + ".");
        }
        for (Pair pair : modelled.pairs()) {
            sentences.add("By the model, " + ComparisonView.had(comparison, pair) + ". "
                    + (pair.stands()
                            ? "This is more than chance would give, if the model holds"
                            : "The data do not separate these two")
                    + " (p " + ComparisonView.p(pair.adjusted()) + ").");
        }
        long left = modelled.unanswered() + modelled.unknownHands();
        if (left > 0) {
            sentences.add(
                    "Left out are " + left + " of " + modelled.cases() + " first attempts: " + modelled.unanswered()
                            + " lack an answer, and of " + modelled.unknownHands() + " the operator is not known.");
        }
        if (modelled.filledIn() > 0) {
            sentences.add(modelled.filledIn() + " of the " + modelled.n()
                    + " are of a kind that not every group met: there the model fills in what nobody has seen.");
        }
        if (modelled.fewOperators()) {
            sentences.add("Under 40 people: the intervals tend to be too narrow.");
        }
        sentences.add(
                "A model takes a gap to be alike in all kinds of cases, which the strata may contradict. It allows for "
                        + modelled.allowedFor().size()
                        + (modelled.allowedFor().size() == 1 ? " variable" : " variables")
                        + " and for nothing that was not recorded; this is what was observed, not an experiment.");
        return sentences;
    }
}
