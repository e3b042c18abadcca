package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.cohort.Measure;
import airway.stats.Estimate;
import java.time.Instant;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jooq.DSLContext;

/** Draws a measure of one unit over the two years up to a month, for other rooms that print it. */
public final class Pictures {
    private Pictures() {}

    /**
     * By month with limits, or every intubation by itself where a month holds few.
     *
     * @param measure a share of encounters
     * @param until the last month
     * @param now points whose month is not over by then are drawn as not complete
     * @param name tells the drawing from others on its page
     */
    public static Picture twoYears(
            DSLContext dsl, Site site, Measure measure, YearMonth until, Instant now, String name) {
        YearMonth from = until.minusMonths(2 * OneByOne.MONTHS - 1);
        ChartRequest request = ChartRequest.read(
                measure.id(),
                Map.of(
                        "site_id", List.of(site.code()),
                        "chart", List.of(ChartKind.P.id()),
                        "from", List.of(from.toString()),
                        "to", List.of(until.toString())),
                List.of(site));
        Chart chart = Charts.draw(dsl, request, now);
        return Proposal.few(chart) || chart.total().n() == 0
                ? oneByOne(dsl, request.question(), from, until, name)
                : byMonth(chart, name);
    }

    private static Picture byMonth(Chart chart, String name) {
        ChartWords words = new ChartWords(chart);
        List<String> remarks = new ArrayList<>(words.signals());
        String quiet = words.quiet();
        if (quiet != null) {
            remarks.add(quiet);
        }
        remarks.addAll(words.limits());
        remarks.addAll(words.cautions());
        return new Picture(
                words.heading(),
                words.shows(),
                remarks,
                ChartSvg.draw(chart, ChartSvg.Size.PANEL, name),
                ChartSvg.draw(chart, ChartSvg.Size.PHONE, name));
    }

    private static Picture oneByOne(DSLContext dsl, Question question, YearMonth from, YearMonth until, String name) {
        OneByOne small = OneByOne.of(
                question,
                until,
                new CountQuery(dsl, question.measure(), question.scheme(), question.cohort()).cases(from, until));
        OneByOneWords words = new OneByOneWords(small);
        List<String> remarks = new ArrayList<>(List.of(words.rows(), words.sees()));
        String leftOut = words.leftOut();
        if (leftOut != null) {
            remarks.add(leftOut);
        }
        if (small.nominal()) {
            remarks.add(ChartWords.NOMINAL);
        }
        return new Picture(
                question.title() + ", one by one",
                words.years(),
                remarks,
                StripSvg.cases(small, StripSvg.Size.DESKTOP, name),
                StripSvg.cases(small, StripSvg.Size.PHONE, name));
    }

    /**
     * Two stretches beside each other, each with its interval; for readers who may see no single month.
     *
     * @param says what it shows, in a sentence
     */
    public static Picture beside(Measure measure, String says, List<Stretch> stretches, String name) {
        return new Picture(
                measure.title() + ", a year beside the year before",
                says,
                List.of("Dot: what was counted. Line: its 95% interval."),
                StretchSvg.draw(measure.title(), says, stretches, StretchSvg.Size.WIDE, name),
                StretchSvg.draw(measure.title(), says, stretches, StretchSvg.Size.PHONE, name));
    }

    /**
     * A stretch of time as {@link #beside} draws it.
     *
     * @param count its count in words
     */
    public record Stretch(String label, String count, Estimate estimate) {}
}
