package airway.registry.charts;

import airway.registry.charts.OneByOne.Case;
import airway.registry.charts.OneByOne.Watch;
import airway.registry.cohort.Measure;
import airway.stats.Estimate;
import airway.stats.Reason;
import airway.stats.power.TwoPeriods;
import airway.stats.sequential.Hypotheses;
import java.time.YearMonth;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** What a small unit's numbers show, and what they cannot, in sentences made from the numbers. */
final class OneByOneWords {
    private static final DateTimeFormatter MONTH = DateTimeFormatter.ofPattern("MMM yyyy", Locale.ENGLISH);

    private final OneByOne small;
    private final Question question;

    OneByOneWords(OneByOne small) {
        this.small = small;
        this.question = small.question();
    }

    static String month(YearMonth month) {
        return MONTH.format(month);
    }

    /** A year of the strip: "The last 12 months: Dec 2025 to Nov 2026". */
    String last() {
        return "The last 12 months: " + month(small.turn()) + " to " + month(small.until());
    }

    String before() {
        return "The 12 months before: " + month(small.turn().minusMonths(OneByOne.MONTHS)) + " to "
                + month(small.turn().minusMonths(1));
    }

    /** What stands in the upper row, and what in the lower. */
    String rows() {
        return switch (question.measure().direction()) {
            case HIGHER -> "Upper row: " + lower(question.title()) + ". Lower row: not.";
            case LOWER -> "Lower row: " + lower(question.title()) + ". Upper row: without.";
            case NONE -> "Upper row: " + lower(question.title()) + ". Lower row: not.";
        };
    }

    private static String lower(String title) {
        return title.substring(0, 1).toLowerCase(Locale.ROOT) + title.substring(1);
    }

    /** The picture for somebody who cannot see it. */
    String spoken() {
        return "Each mark is one intubation, in order. " + years() + " The numbers by month are in the table.";
    }

    /** Both years with their counts. */
    String years() {
        return "In the last 12 months " + count(small.last()) + "; in the 12 months before " + count(small.before())
                + ".";
    }

    private static String count(Counted counted) {
        Estimate estimate = Judging.wilson(counted);
        return Percent.count(counted)
                + (estimate == null || counted.n() < Percent.FEWEST
                        ? ""
                        : ", 95% interval " + Percent.interval(estimate, counted.n()));
    }

    /** Whether the years differ by more than chance. */
    String gap() {
        Estimate gap = small.gap();
        if (gap == null || small.last().n() < Percent.FEWEST || small.before().n() < Percent.FEWEST) {
            return "There are too few intubations to set one year against the other.";
        }
        String difference = "The difference is " + signed(gap.value()) + " points (95% interval " + signed(gap.lower())
                + " to " + signed(gap.upper()) + ").";
        return gap.lower() <= 0 && gap.upper() >= 0
                ? difference + " That holds 0: it does not settle whether anything changed."
                : difference
                        + " More than chance usually gives. Why, the numbers cannot tell: other things changed too.";
    }

    private static String signed(double fraction) {
        String points = String.format(Locale.ROOT, "%.0f", 100 * fraction);
        return points.equals("-0") ? "0" : points.replace("-", "−");
    }

    /** The running count: what it watches for, how it stands, and how often it errs. */
    List<String> watch() {
        return small.watch().fold(ok -> watching(ok.value()), refused -> List.of(unwatched(refused.reason())));
    }

    private List<String> watching(Watch watch) {
        Hypotheses odds = watch.design().hypotheses();
        long n = watch.baseline().n();
        List<String> sentences = new ArrayList<>();
        sentences.add("A running count over the last 12 months looks for the odds of " + unwanted() + " doubled: from "
                + Percent.of(odds.p0(), n) + ", as in the 12 months before, to " + Percent.of(odds.p1(), n) + ".");
        Case signal = watch.signal().orElse(null);
        sentences.add(
                signal == null
                        ? "It has not signalled. That is not proof that nothing changed."
                        : "It signalled in " + month(signal.month())
                                + ". A question, not an answer: look at the cases, and ask what was different.");
        double perMonth = (double) n / OneByOne.MONTHS;
        sentences.add("If nothing changes, it signals by chance about every "
                + Math.round(watch.design().inControl())
                + " intubations, here about " + span(watch.design().inControl() / perMonth)
                + ". If the odds did double, it needs about "
                + Math.round(watch.design().outOfControl())
                + " intubations on average, about " + span(watch.design().outOfControl() / perMonth)
                + ". The rate before is taken as if it were known for sure.");
        return sentences;
    }

    /** Months up to two years, then years. */
    private static String span(double months) {
        return months < 24
                ? Math.max(1, Math.round(months)) + (Math.round(months) <= 1 ? " month" : " months")
                : Math.round(months / 12) + " years";
    }

    private String unwanted() {
        return question.measure().direction() == Measure.Direction.HIGHER
                ? "not having " + lower(question.title())
                : lower(question.title());
    }

    private static String unwatched(Reason reason) {
        return reason == Reason.INVALID_INPUT
                ? "No running count: this measure describes; neither answer is the unwanted one."
                : "No running count: it takes " + OneByOne.FEWEST_OF_EACH
                        + " intubations of either outcome in the 12 months before to set the rate that it watches against.";
    }

    /** The change that a year against a year would show. */
    String sees() {
        TwoPeriods.SmallestChange sees = small.sees();
        if (sees == null) {
            return "Without intubations in both years there is nothing to see a change by.";
        }
        Counted before = small.before();
        String start = "With " + before.n() + " intubations before and "
                + small.last().n() + " now, a year against a year would show, four times in five, ";
        List<String> changes = new ArrayList<>();
        sees.rise().ifPresent(rise -> changes.add("a rise to " + percent(Math.ceil(100 * rise - 1e-6)) + " or more"));
        sees.fall().ifPresent(fall -> changes.add("a fall to " + percent(Math.floor(100 * fall + 1e-6)) + " or less"));
        return (changes.isEmpty()
                        ? start.replace(
                                "would show, four times in five, ", "would show no change whatever four times in five.")
                        : start + String.join(", or ", changes) + ".")
                + " Smaller changes can be there and not show.";
    }

    private static String percent(double percent) {
        return String.format(Locale.ROOT, "%.0f%%", percent);
    }

    /** What is left out of both years, or null. */
    @Nullable
    String leftOut() {
        Counted both = small.before().plus(small.last());
        return both.leftOut() == 0
                ? null
                : both.leftOut() + " left out of both years together"
                        + (both.unknown() == 0
                                ? ", by definition."
                                : "; in " + both.unknown() + " of them the answer is not known.");
    }

    /** Why this page opens instead of a chart of points. */
    String why() {
        double each = (double) small.before().plus(small.last()).n() / (2 * OneByOne.MONTHS);
        return "About " + (each < 1 ? "one intubation a month or fewer" : Math.round(each) + " intubations a month")
                + ", so they are shown one by one: points of so few move by chance more than by anything else.";
    }
}
