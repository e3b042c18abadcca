package airway.registry.charts;

import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Code;
import airway.stats.Estimate;
import airway.stats.sequential.LcCusum;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** What somebody's own first attempts show, and what they cannot, in sentences; and what the bands of a unit do. */
final class LearningWords {
    /** Stands beside every curve. */
    static final String CANNOT =
            "How hard the airways were, who helped and who supervised: each first attempt counts the same. It is no"
                    + " certificate and no judgement of anybody's competence, and it says nothing of the cases to come.";

    static final String ONLY_YOURS =
            "Only you see this. It holds first attempts that you wrote down and said you held the laryngoscope in; those"
                    + " that somebody else wrote down are not known to be yours.";

    private LearningWords() {}

    /** "level aimed for: first pass in 70 of 100; not enough: in 50 of 100". */
    static String levels(OwnCurve.Levels levels) {
        return "The level aimed for: " + hundred(1 - levels.acceptable()) + " succeed. The level that is not enough: "
                + hundred(1 - levels.unacceptable()) + ".";
    }

    static String hundred(double share) {
        double of100 = 100 * share;
        boolean whole = Math.abs(of100 - Math.rint(of100)) < 1e-9;
        return String.format(Locale.ROOT, whole ? "%.0f of 100" : "%.1f of 100", of100);
    }

    /** How many so far. */
    static String soFar(OwnCurve own) {
        Counted counted = own.counted();
        Estimate estimate = Judging.wilson(counted);
        return "So far " + Percent.count(counted)
                + (estimate == null || counted.n() < Percent.FEWEST
                        ? ""
                        : ", 95% interval " + Percent.interval(estimate, counted.n()))
                + (counted.leftOut() == 0 ? "." : "; left out " + ChartPages.leftOut(counted) + ".");
    }

    /** What can be said of the level, and how often that is wrong. */
    static List<String> curve(OwnCurve own) {
        List<String> sentences = new ArrayList<>();
        sentences.add(levels(own.levels()));
        own.curve()
                .fold(
                        ok -> sentences.addAll(said(own, ok.value())),
                        refused -> sentences.add(
                                "No first attempt of yours with a known answer yet, so there is nothing to draw."));
        if (own.alone() == null && own.counted().n() > 0) {
            sentences.add("Several set-ups are counted together here: one that is new can hide behind one that is not."
                    + " Choose a set-up to see it alone.");
        }
        return sentences;
    }

    private static List<String> said(OwnCurve own, LcCusum curve) {
        int known = curve.path().sums().observed();
        List<String> sentences = new ArrayList<>();
        sentences.add(
                switch (own.verdict()) {
                    case SHOWN -> {
                        int at = curve.competenceAt().orElseThrow();
                        yield "The cases show the level aimed for: the count reached its line with case " + at + " ("
                                + OneByOneWords.month(own.onCurve().get(at - 1).month()) + ").";
                    }
                    case NOT_YET_SHOWN ->
                        "Not yet shown to be at the level aimed for. That is not a finding of the opposite: more cases may"
                                + " show it.";
                    case TOO_FEW_CASES, NO_CASES ->
                        "Under " + LcCusum.FEWEST_CASES + " cases with a known answer (" + known
                                + "): the path is drawn, and nothing is concluded from it.";
                });
        sentences.add("Somebody at the level aimed for needs about " + Math.round(curve.casesNeeded())
                + " cases on average until it shows. Of 100 people at the level that is not enough, "
                + Math.round(100 * curve.falseCompetence(OwnCurve.WITHIN))
                + " would be shown to be at the level aimed for within "
                + OwnCurve.WITHIN + " cases, and "
                + Math.round(100 * curve.falseCompetence(Math.min(10_000, known))) + " within the " + known
                + " so far.");
        return sentences;
    }

    /** The picture for somebody who cannot see it. */
    static String spoken(OwnCurve own) {
        return "The count rises with a success and falls with a failure, never below 0. "
                + String.join(" ", curve(own));
    }

    /** The set-ups one has used: what stands in the list. */
    static String used(Code setup, Counted counted) {
        return setup.label() + ": " + Percent.count(counted);
    }

    /** What became of the bands of a variable, where not all are shown. */
    static String hidden(Stratum stratum, List<Bands.Band> bands) {
        long hidden = bands.stream().filter(band -> !band.shown()).count();
        String rule = "A band is shown from " + Bands.FEWEST_PEOPLE
                + " people on whose first attempts are known to be theirs, of" + " whom none made more than "
                + Math.round(100 * Bands.LARGEST_SHARE) + " of 100.";
        if (bands.isEmpty()) {
            return "No first attempts are recorded here yet.";
        } else if (hidden == bands.size()) {
            return "This unit has too few people in every band of “"
                    + stratum.title().toLowerCase(Locale.ROOT) + "” to show one without showing a person. " + rule;
        }
        return hidden == 0 ? rule : hidden + " of " + bands.size() + " bands hold too few people. " + rule;
    }
}
