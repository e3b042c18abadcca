package airway.registry.charts;

import airway.registry.cohort.Measure;
import airway.stats.chart.ControlChart;
import airway.stats.chart.RunChart;
import java.util.ArrayList;
import java.util.List;

/** How the lines of a chart are worked out, in words. */
final class Method {
    private static final String FROM_POINTS =
            "; from " + ControlChart.FEWEST_POINTS + " complete points on, firm from " + ControlChart.FIRM_POINTS + ".";

    private Method() {}

    /** A name and what it means. */
    public record Line(String name, String meaning) {}

    static List<Line> of(ChartRequest request) {
        List<Line> lines = new ArrayList<>();
        Quantity quantity = request.quantity();
        lines.add(new Line(
                quantity.isMedian()
                        ? "Value"
                        : quantity == Quantity.RATE || quantity == Quantity.COUNT ? "Events" : "Counted as yes",
                request.measure().numerator()));
        lines.add(new Line("Counted at all", request.measure().denominator()));
        if (quantity.isMedian()) {
            lines.add(new Line(
                    "Point",
                    quantity == Quantity.DAYS
                            ? "When half of them were over, by the curve of Kaplan and Meier; never a mean. Times are read in"
                                    + " whole hours."
                            : "The median of its values, half way between the two in the middle; never a mean."));
        }
        lines.add(centre(request.kind(), quantity));
        lines.add(limits(request.kind(), quantity));
        lines.add(new Line(
                "Runs",
                "Points on one side of the median in a row, and how often the line crosses it (Anhøj). Points on the median"
                        + " do not count. From " + RunChart.FEWEST_USEFUL_POINTS
                        + " points off the median on; about one chart in twenty signals by chance alone."));
        lines.add(new Line(
                "After a change",
                "A change of the unit that cuts the chart begins a new phase at the first point that begins on its day or"
                        + " later; a "
                        + (request.kind().grouped() ? request.grouping().noun() : "stretch")
                        + " in which it lies counts as before. Each phase is judged by itself, or by the average kept from"
                        + " before: as it was counted on the day it was kept, whatever becomes of its records."));
        lines.add(
                request.kind().grouped()
                        ? new Line(
                                "Interval of a point",
                                interval(quantity, request.measure().cases()))
                        : new Line(
                                "Interval of the average",
                                request.kind() == ChartKind.G
                                        ? "Exact for the number of intubations that so many took, 95%, if every intubation"
                                                + " carries the same risk."
                                        : "Student\u2019s on the scale on which the days are nearly normal, 95%, if no"
                                                + " stretch depends on the one before."));
        lines.add(new Line("Left out", request.measure().leftOut()));
        return lines;
    }

    private static String interval(Quantity quantity, Measure.Cases cases) {
        return switch (quantity) {
            case PROPORTION -> "Wilson, 95%. Under 5 " + cases.many() + " only the count is told.";
            case RATE, COUNT -> "Exact for a Poisson count, 95%. Under 5 intubations only the count is told.";
            case SATURATION, SECONDS ->
                "Between two of the values, from the binomial law; 95% or more. From 6 intubations on.";
            case DAYS ->
                "From the limits of the curve on the scale of ln(−ln S), 95%; an upper limit is not known while too many"
                        + " are away.";
        };
    }

    private static boolean logarithms(Quantity quantity) {
        return quantity == Quantity.SECONDS || quantity == Quantity.DAYS;
    }

    private static Line centre(ChartKind kind, Quantity quantity) {
        return switch (kind) {
            case U, U_PRIME ->
                new Line(
                        "Average",
                        "All events of the complete points over all encounters that count; points are never averaged.");
            case C -> new Line("Average", "The mean number of events in the complete groups.");
            case P, P_PRIME ->
                new Line(
                        "Average",
                        "All yes answers of the complete points over all that count; points are never averaged.");
            case RUN -> new Line("Median", "The middle of the complete points.");
            case EWMA ->
                new Line(
                        "Average",
                        "That of all yes answers before the first change; each point is a fifth of its own proportion and"
                                + " four fifths of the point before.");
            case XMR ->
                new Line(
                        "Average",
                        (logarithms(quantity) ? "The geometric mean" : "The mean")
                                + " of the complete points, each counting the same.");
            case G -> new Line("Average", "The mean number of intubations from one to the next.");
            case T ->
                new Line(
                        "Average",
                        "The mean of the days after they are made nearly normal (power 1/3.6), set back; of events that"
                                + " come at random it lies near the median.");
        };
    }

    private static Line limits(ChartKind kind, Quantity quantity) {
        return switch (kind) {
            case U ->
                new Line(
                        "Limits",
                        "Average ± 3 standard errors of a rate (Poisson), for each point by its own n" + FROM_POINTS
                                + " A point signals only when it lies beyond them.");
            case C ->
                new Line(
                        "Limits",
                        "Average ± 3 times its square root (Poisson): the groups are of one size" + FROM_POINTS
                                + " A point signals only when it lies beyond them.");
            case U_PRIME ->
                new Line(
                        "Limits",
                        "As for a rate, times how much wider the points really scatter (Laney)" + FROM_POINTS);
            case P ->
                new Line(
                        "Limits",
                        "Average ± 3 standard errors of a proportion, for each point by its own n" + FROM_POINTS
                                + " A point signals only when it lies beyond them.");
            case P_PRIME ->
                new Line(
                        "Limits",
                        "As for a proportion, times how much wider the points really scatter (Laney)" + FROM_POINTS);
            case RUN -> new Line("Limits", "None.");
            case EWMA ->
                new Line(
                        "Limits",
                        "Average ± 2.86 standard errors of the moving average; only for points after the change.");
            case XMR ->
                new Line(
                        "Limits",
                        "Average ± 2.66 times the mean distance of neighbouring points"
                                + (logarithms(quantity) ? ", worked out on the logarithms and set back" : "")
                                + FROM_POINTS);
            case G ->
                new Line(
                        "Limits",
                        "Passed by chance by one point in 740 on each side, if every intubation carries the same risk"
                                + FROM_POINTS
                                + " The lower one is close to 0: the chart cannot show that they come closer.");
            case T ->
                new Line("Limits", "Average ± 3 standard deviations of the transformed days, set back" + FROM_POINTS);
        };
    }
}
