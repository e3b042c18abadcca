package airway.registry.charts;

import airway.registry.charts.OneByOne.Case;
import airway.registry.charts.OneByOne.Watch;
import airway.stats.Estimate;
import airway.stats.Series;
import airway.stats.power.TwoPeriods;
import java.util.List;
import java.util.Set;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Single intubations as numbers: one point each, the years beside each other, the running count. */
final class OneByOneJson {
    private OneByOneJson() {}

    static ObjectNode of(OneByOne small) {
        Question question = small.question();
        ObjectNode out = new JsonMapper().createObjectNode();
        ChartJson.measure(out, question.measure(), question.scheme());
        out.put("chart", "strip");
        out.put("by", "case");
        out.put("from", small.turn().minusMonths(OneByOne.MONTHS).toString());
        out.put("to", small.until().toString());
        ChartJson.filters(out.putObject("filters"), question.cohort());
        Counted all = small.before().plus(small.last());
        ChartJson.counted(out, all);
        ChartJson.estimate(out, Judging.wilson(all));
        out.putNull("centre");
        out.putObject("limits").put("status", "none").putNull("reason").put("provisional", false);
        ArrayNode points = out.putArray("points");
        small.cases().forEach(one -> point(points.addObject(), one));
        out.putArray("signals");
        out.putArray("phases");
        ObjectNode years = out.putObject("years");
        year(years.putObject("before"), small.before());
        year(years.putObject("last"), small.last());
        Estimate gap = small.gap();
        ChartJson.estimate(years.putObject("difference"), gap);
        TwoPeriods.SmallestChange sees = small.sees();
        ObjectNode shows = years.putObject("would_show");
        shows.put("power", OneByOne.POWER);
        shows.put(
                "rise_to",
                sees == null || sees.rise().isEmpty()
                        ? null
                        : (Double) sees.rise().getAsDouble());
        shows.put(
                "fall_to",
                sees == null || sees.fall().isEmpty()
                        ? null
                        : (Double) sees.fall().getAsDouble());
        cusum(out.putObject("cusum"), small);
        ChartJson.notes(out.putArray("notes"), small.nominal(), question.cohort());
        ChartJson.cautions(out.putArray("cautions"), Set.of());
        return out;
    }

    private static void point(ObjectNode out, Case one) {
        Short answer = one.answer();
        out.put("period", one.month().toString());
        out.put("x", answer != null && answer == 1 ? 1 : 0);
        out.put("n", one.counts() ? 1 : 0);
        out.put("left_out", one.counts() ? 0 : 1);
        out.put("left_out_unknown", answer != null && answer < 0 ? 1 : 0);
        out.put("value", one.counts() && answer != null ? (Integer) answer.intValue() : null);
    }

    private static void year(ObjectNode out, Counted counted) {
        ChartJson.counted(out, counted);
        ChartJson.estimate(out, Judging.wilson(counted));
    }

    private static void cusum(ObjectNode out, OneByOne small) {
        small.watch()
                .fold(
                        ok -> watched(out, ok.value()),
                        refused -> out.put("status", "refused")
                                .put("reason", refused.reason().name()));
    }

    private static ObjectNode watched(ObjectNode out, Watch watch) {
        out.put("status", "ok").putNull("reason");
        out.put("p0", watch.design().hypotheses().p0());
        out.put("p1", watch.design().hypotheses().p1());
        out.put("h", watch.design().h());
        out.put("cases_between_false_alarms", watch.design().inControl());
        out.put("cases_until_signal", watch.design().outOfControl());
        Series sums = watch.cusum().path().sums();
        ArrayNode path = out.putArray("path");
        for (int i = 1; i <= sums.size(); i++) {
            path.addObject()
                    .put("period", watch.cases().get(i - 1).month().toString())
                    .put("value", sums.at(i).isPresent() ? (Double) sums.at(i).getAsDouble() : null);
        }
        ArrayNode signals = out.putArray("signals");
        List<Integer> numbers = watch.cusum().path().signals();
        numbers.forEach(signals::add);
        return out;
    }
}
