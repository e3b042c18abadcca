package airway.registry.reports;

import airway.registry.charts.Percent;
import airway.registry.cohort.Measure;
import airway.registry.dictionary.Scheme;
import airway.registry.quality.Completeness;
import airway.registry.reports.Figures.Figure;
import airway.registry.reviews.Reviewed;
import airway.stats.Estimate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;

/** What the numbers of a quarter say, in plain words; every figure in a sentence is one of the counts, or made from them by stats. */
final class Sentences {
    static final String HIDDEN = "not printed outside the unit (a count under " + Readers.SMALLEST_CELL + ")";

    static final String GIVES_AWAY = "not printed outside the unit (beside what was told before, a count under "
            + Readers.SMALLEST_CELL + " could be worked out)";

    private final Figures figures;
    private final Readers readers;

    Sentences(Figures figures, Readers readers) {
        this.figures = figures;
        this.readers = readers;
    }

    /** A measure of the first page: the quarter, the year beside the year before, and whether that settles anything. */
    String headline(Figure figure) {
        List<String> sentences = new ArrayList<>();
        if (readers.seeSpansUnderAYear()) {
            sentences.add(quarter(figure));
        }
        sentences.add(years(figure));
        sentences.add(change(figure));
        return String.join(" ", sentences);
    }

    String quarter(Figure figure) {
        return title(figure.measure()) + (figures.over() ? " in the quarter: " : " so far in the quarter: ")
                + count(figure.measure(), figure.quarter()) + ".";
    }

    String years(Figure figure) {
        return (readers.seeSpansUnderAYear() ? "Over" : title(figure.measure()) + " over") + " the 12 months to "
                + figures.quarter().end() + (figures.over() ? "" : ", which are not over") + ": "
                + count(figure.measure(), figure.year()) + ", against "
                + count(figure.measure(), figure.before()) + " in the 12 months before.";
    }

    /** Whether the years differ by more than chance usually gives, or that it cannot be told. */
    String change(Figure figure) {
        if (!mayCompare(figure)) {
            return "The difference is " + hidden(figure.year(), figure.before()) + ".";
        }
        if (!figure.year().bearsPercentage() || !figure.before().bearsPercentage()) {
            return "There are too few intubations to set one year against the other.";
        }
        return figure.year()
                .less(figure.before())
                .map(Sentences::change)
                .orElse("There are too few intubations to set one year against the other.");
    }

    private static String change(Estimate difference) {
        String told = "The difference is " + Percent.points(difference);
        return settles(difference)
                ? told + ". That is more than chance usually gives; why, the numbers cannot tell."
                : told + ". That holds 0: these numbers do not settle whether anything changed.";
    }

    /** Whether the interval of a difference leaves 0 out. */
    static boolean settles(Estimate difference) {
        return difference.lower() > 0 || difference.upper() < 0;
    }

    boolean mayCompare(Figure figure) {
        return readers.mayPrint(figure.measure(), figure.year()) && readers.mayPrint(figure.measure(), figure.before());
    }

    /** A count with its percentage and interval, as far as the numbers bear them and the readers may see them. */
    String count(Measure measure, Tally tally) {
        return readers.mayPrint(measure, tally) ? tally.words() : hidden(tally);
    }

    private static String hidden(Tally... tallies) {
        return Arrays.stream(tallies).anyMatch(Tally::givesAway) ? GIVES_AWAY : HIDDEN;
    }

    /** The difference for a cell of a table. */
    String differenceAlone(Figure figure) {
        if (!mayCompare(figure)) {
            return hidden(figure.year(), figure.before());
        }
        if (!figure.year().bearsPercentage() || !figure.before().bearsPercentage()) {
            return "too few to compare";
        }
        return figure.year()
                .less(figure.before())
                .map(difference ->
                        Percent.points(difference) + (settles(difference) ? ": more than chance" : ": not settled"))
                .orElse("too few to compare");
    }

    /** What does not count, and why. */
    String leftOut(Tally tally) {
        return readers.number(tally.outside()) + " by definition, " + readers.number(tally.unknown()) + " not known";
    }

    /** How much was answered. */
    List<String> completeness() {
        Completeness data = figures.completeness();
        return List.of(
                "First questions answered: " + part(data.first()) + ".",
                "Of the first questions, answered with something other than \u201cnot known\u201d: "
                        + part(data.known()) + ".",
                "Further questions answered: " + part(data.details()) + ".");
    }

    /** Answers are counted, not intubations: a part has no interval, since all of them were looked at. */
    private static String part(Completeness.Part part) {
        if (part.n() == 0) {
            return "no value: nothing was asked";
        }
        String count = part.x() + " of " + part.n();
        return part.n() < Percent.FEWEST
                ? count
                : count + " (" + Percent.of((double) part.x() / part.n(), part.n()) + ")";
    }

    /** How many intubations another source knows of, as far as one was entered. */
    List<String> capture() {
        Completeness data = figures.completeness();
        List<String> sentences = new ArrayList<>();
        if (data.monthsListed() > 0) {
            Tally found = new Tally(data.captured().x(), data.captured().n(), 0, 0);
            boolean shown = readers.mayPrint(found.x()) && readers.mayPrint(found.n() - found.x());
            sentences.add("Found on the lists of another source and recorded here, " + months(data.monthsListed())
                    + ": " + (shown ? found.words() : HIDDEN) + ".");
        }
        if (data.monthsCounted() > 0) {
            Completeness.Part beside = data.besideCount();
            sentences.add("Counted by another source, " + months(data.monthsCounted()) + ": "
                    + readers.number(beside.n()) + "; recorded here in these months: " + readers.number(beside.x())
                    + ". They were not matched, so no share can be told.");
        }
        if (data.monthsUnknown() > 0) {
            sentences.add("How many intubations there were is not known for " + months(data.monthsUnknown())
                    + ": no list and no count of another source was entered. What was never recorded is in no figure of"
                    + " this report.");
        }
        return sentences;
    }

    /** How far the case reviews have come, and what they name; of cases, never of people. */
    List<String> reviews() {
        Reviewed reviewed = figures.reviewed();
        int all = reviewed.waiting() + reviewed.done();
        if (all == 0) {
            return List.of(
                    "No record of the quarter has a severe adverse event or three or more attempts: no review was opened.");
        }
        List<String> sentences = new ArrayList<>();
        sentences.add("Cases of the quarter with a severe adverse event, or three or more attempts: " + all
                + ". Reviews done: " + reviewed.done() + " of " + all + ".");
        if (!reviewed.contributed().isEmpty()) {
            sentences.add("Named in reviews as having contributed, several in one case: "
                    + reviewed.contributed().stream()
                            .map(named -> named.what() + " (" + named.cases() + ")")
                            .collect(Collectors.joining(", "))
                    + ". What is named is the opinion of those who looked.");
        }
        return sentences;
    }

    private static String months(int months) {
        return months + (months == 1 ? " month" : " months") + " of the quarter";
    }

    static String title(Measure measure) {
        return measure.bySeverity() ? measure.title(Scheme.DEFAULT) : measure.title();
    }

    static String lower(String title) {
        return title.substring(0, 1).toLowerCase(Locale.ROOT) + title.substring(1);
    }
}
