package airway.registry.charts;

import airway.registry.charts.Chart.Point;
import airway.stats.Caution;
import airway.stats.Estimate;
import airway.stats.Reason;
import airway.stats.chart.ControlChart;
import airway.stats.chart.Limits;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** What a chart shows, and what it does not, in sentences made from its numbers. */
final class ChartWords {
    static final String NOMINAL =
            "The dates of these records are made up for order only: the chart shows their order, not time.";

    static final String MIXED =
            "Units of several kinds are counted together here; their patients differ. Choose one with site_id.";

    private final Chart chart;

    ChartWords(Chart chart) {
        this.chart = chart;
    }

    /** The one sentence of the whole chart, with the count and its interval. */
    String shows() {
        Counted total = chart.total();
        Estimate overall = chart.overall();
        if (overall == null || chart.points().isEmpty()) {
            return "No intubation counts here" + leftOut() + ".";
        }
        String period = chart.points().size() == 1
                ? "In " + chart.points().get(0).words()
                : (chart.request().grouping().calendar() ? "From " : "In intubations ")
                        + chart.points().get(0).words() + " to "
                        + chart.points().get(chart.points().size() - 1).words();
        String interval = total.n() < Percent.FEWEST ? "" : "; 95% interval " + Percent.interval(overall, total.n());
        return period + ": " + lower(chart.request().title()) + " in " + Percent.count(total) + interval + leftOut()
                + ".";
    }

    /** A title inside a sentence. */
    private static String lower(String title) {
        return title.substring(0, 1).toLowerCase(java.util.Locale.ROOT) + title.substring(1);
    }

    /** The average that the limits stand around, with its count and interval; null when there is none. */
    @Nullable
    String average() {
        Counted judged = chart.judged();
        Estimate estimate = Charts.wilson(judged);
        return chart.centre() == null || estimate == null
                ? null
                : "The average is that of the complete points: " + Percent.count(judged) + "; 95% interval "
                        + Percent.interval(estimate, judged.n()) + ".";
    }

    private String leftOut() {
        Counted total = chart.total();
        if (total.leftOut() == 0) {
            return ", none left out";
        }
        long defined = total.leftOut() - total.unknown();
        String all = ", " + total.leftOut() + " left out";
        if (total.unknown() == 0) {
            return all + " by definition";
        }
        return defined == 0
                ? all + " because the answer is not known"
                : all + " (" + defined + " by definition, " + total.unknown() + " because the answer is not known)";
    }

    /** One sentence for each signal, with the count and the limit it passed. */
    List<String> signals() {
        List<String> sentences = new ArrayList<>();
        for (Point point : chart.signals()) {
            Limits limits = point.limits();
            Estimate estimate = point.estimate();
            if (limits != null && estimate != null) {
                long n = point.counted().n();
                boolean above = estimate.value() > limits.upper();
                sentences.add(point.words() + ": " + (above ? "more" : "fewer") + " than chance usually gives. "
                        + Percent.count(point.counted()) + "; with " + n + " intubations the "
                        + (above ? "upper" : "lower") + " limit is "
                        + Percent.of(above ? limits.upper() : limits.lower(), n)
                        + ". A question, not an answer: ask what was different.");
            }
        }
        return sentences;
    }

    /** Why there are no limits, or why they may still move; null when they stand. */
    @Nullable
    String limits() {
        Reason refusal = chart.refusal();
        long points = chart.withData().stream().filter(Point::complete).count();
        String noun = chart.request().grouping().noun();
        if (refusal == Reason.NO_DATA) {
            return null;
        } else if (refusal == Reason.TOO_FEW_POINTS) {
            return "No limits: there are " + points + " complete points with intubations, and limits need "
                    + ControlChart.FEWEST_POINTS + ". The points are shown without them.";
        } else if (refusal == Reason.ZERO_WIDTH_LIMITS) {
            return "No limits: every intubation had the same outcome, so there is nothing to set them by.";
        } else if (refusal != null) {
            return "No limits can be worked out from these numbers.";
        }
        return chart.provisional()
                ? "Provisional: the limits rest on " + points + " points, under " + ControlChart.FIRM_POINTS
                        + ", one for each " + noun + ", so they may still move."
                : null;
    }

    /** Which limits can never be passed, and what would be needed; empty when all can. */
    List<String> reach() {
        List<String> sentences = new ArrayList<>();
        Double centre = chart.centre();
        if (centre == null || chart.refusal() != null) {
            return sentences;
        }
        long judged =
                chart.points().stream().filter(point -> point.limits() != null).count();
        String each = " of " + judged + " points";
        long most = chart.withData().stream()
                .mapToLong(point -> point.counted().n())
                .max()
                .orElse(0);
        long judgedCases = chart.judged().n();
        Chart.Reach reach = chart.reach();
        if (reach.upper() > 0) {
            sentences.add("Can't reach the upper limit at " + reach.upper() + each + ": with an average of "
                    + Percent.of(centre, judgedCases) + " a point needs " + reach.casesForUpper()
                    + " or more intubations for an upper limit under 100%; the largest has " + most
                    + ". A rise there cannot show as a point beyond its limit.");
        }
        if (reach.lower() > 0) {
            sentences.add("Can't reach the lower limit at " + reach.lower() + each + ": with an average of "
                    + Percent.of(centre, judgedCases) + " a point needs " + reach.casesForLower()
                    + " or more intubations for a lower limit over 0%; the largest has " + most
                    + ". A fall there cannot show as a point beyond its limit.");
        }
        return sentences;
    }

    /** Further cautions in words. */
    List<String> cautions() {
        List<String> sentences = new ArrayList<>();
        if (chart.nominal()) {
            sentences.add(NOMINAL);
        }
        if (chart.cautions().contains(Caution.SMALL_DENOMINATORS)) {
            sentences.add("Few intubations a point: more than a quarter of the points hold so few that the limits are"
                    + " only rough. Longer spans make it steadier.");
        }
        if (chart.cautions().contains(Caution.OVERDISPERSED)) {
            sentences.add(
                    "The points scatter more than chance alone gives: look first for mixed kinds of cases or units.");
        }
        if (chart.cautions().contains(Caution.MISSING_HIGH)) {
            Counted total = chart.total();
            long asked = total.n() + total.unknown();
            sentences.add("The answer is not known in " + total.unknown() + " of " + asked
                    + ". Had it been no in all of these it would be "
                    + Percent.of((double) total.x() / asked, asked) + ", had it been yes in all "
                    + Percent.of((double) (total.x() + total.unknown()) / asked, asked) + ".");
        }
        if (chart.points().stream().anyMatch(point -> !point.complete())) {
            sentences.add(
                    "A hollow point is not complete: its span still runs, or is cut by the period chosen. It is not"
                            + " judged.");
        }
        return sentences;
    }

    /** What the chart does not show. */
    String doesNotShow() {
        return "Why it is so, or who. These figures describe what happened; they do not rank people, teams or units."
                + " Other things change too, and a unit that records less can look safer.";
    }
}
