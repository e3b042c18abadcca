package airway.registry.charts;

import airway.registry.charts.Chart.Mark;
import airway.registry.charts.Chart.Phase;
import airway.registry.charts.Chart.Point;
import airway.registry.charts.Chart.Rule;
import airway.registry.charts.Chart.Run;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import airway.registry.dictionary.Scheme;
import airway.stats.Caution;
import airway.stats.Estimate;
import airway.stats.chart.Limits;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** A chart as numbers: fractions from 0 to 1, saturations in %, times in s; null where there is none. */
final class ChartJson {
    private static final JsonMapper JSON = new JsonMapper();

    private ChartJson() {}

    static ObjectNode of(Chart chart) {
        ObjectNode out = JSON.createObjectNode();
        measure(out, chart.request().measure(), chart.request().scheme());
        out.put("chart", chart.request().kind().id());
        out.put("by", chart.request().grouping().toString());
        period(out, chart.request().cohort(), chart);
        filters(out.putObject("filters"), chart.request().cohort());
        Quantity quantity = chart.request().quantity();
        counted(out, quantity, chart.total());
        estimate(out, chart.overall());
        out.put("value", Quantity.of(chart.request().measure()).value(chart.total()));
        judged(out, chart.latest());
        out.put("average", chart.request().average().id());
        if (chart.kept() == null) {
            out.putNull("kept_average");
        } else {
            kept(out.putObject("kept_average"), chart.request(), chart.kept());
        }
        ArrayNode points = out.putArray("points");
        chart.points().forEach(point -> point(points.addObject(), quantity, point));
        signals(out.putArray("signals"), chart);
        ArrayNode phases = out.putArray("phases");
        chart.phases().forEach(phase -> phase(phases.addObject(), chart, phase));
        PhaseGap.of(chart).ifPresentOrElse(gap -> gap(out.putObject("gap"), gap), () -> out.putNull("gap"));
        ArrayNode notes = out.putArray("notes");
        notes(notes, chart.nominal(), chart.request().cohort());
        for (Mark mark : chart.marks()) {
            notes.addObject()
                    .put("code", "change")
                    .put("text", mark.name())
                    .put("letter", mark.letter())
                    .put("changed_on", mark.on().toString())
                    .put("cuts_chart", mark.cuts() ? "yes" : "no");
        }
        cautions(out.putArray("cautions"), chart.cautions());
        return out;
    }

    private static void kept(ObjectNode out, ChartRequest request, Chart.Kept kept) {
        out.setAll(KeptAverageJson.of(kept.average()));
        OptionalDouble then =
                request.kind().centre(request.quantity(), kept.average().points(request.kind()));
        out.put("centre", then.isPresent() ? (Double) then.getAsDouble() : null);
        estimate(
                out,
                request.kind()
                        .together(request.measure(), kept.average().points(request.kind()))
                        .toOptional()
                        .orElse(null));
        ObjectNode since = out.putObject("since");
        since.put("changed", kept.since().changed());
        since.put("added", kept.since().added());
        since.put("gone", kept.since().gone());
        since.put("n", kept.total().n());
        since.put("centre", kept.today());
    }

    /** A chart for each code of a variable. */
    static ObjectNode of(Panels panels) {
        ObjectNode out = JSON.createObjectNode();
        measure(out, panels.request().measure(), panels.request().scheme());
        out.put("split", panels.variable());
        ArrayNode all = out.putArray("panels");
        for (Panels.Panel panel : panels.panels()) {
            ObjectNode one = all.addObject().put("code", panel.code()).put("label", panel.label());
            one.set("chart", of(panel.chart()));
        }
        ArrayNode notes = out.putArray("notes");
        if (panels.panels().size() == 1) {
            notes.addObject().put("code", "one_group").put("text", ChartWords.ONE_GROUP);
        }
        return out;
    }

    /** What is counted, in which stretch of time, and which scheme decides what is severe. */
    static void measure(ObjectNode out, Measure measure, @Nullable Scheme scheme) {
        out.put("measure", measure.id());
        out.put("definition", measure.definition());
        out.put("window", measure.window());
        if (scheme == null) {
            out.putNull("scheme");
        } else {
            scheme(out.putObject("scheme"), scheme);
        }
    }

    static void scheme(ObjectNode out, Scheme scheme) {
        out.put("name", scheme.name()).put("version", scheme.version()).put("source", scheme.source());
    }

    /** What a reader must know of the records behind the numbers. */
    static void notes(ArrayNode out, boolean nominal, Cohort cohort) {
        if (nominal) {
            out.addObject().put("code", "nominal_dates").put("text", ChartWords.NOMINAL);
        }
        if (cohort.mixesKinds()) {
            out.addObject().put("code", "mixed_units").put("text", ChartWords.MIXED);
        }
    }

    /** The centre and what became of the limits, or of the rules of a run chart. */
    private static void judged(ObjectNode out, Phase phase) {
        out.put("centre", phase.centre());
        ObjectNode limits = out.putObject("limits");
        limits.put("status", phase.refusal() == null ? "ok" : "refused");
        limits.put("reason", phase.refusal() == null ? null : phase.refusal().name());
        limits.put("provisional", phase.provisional());
    }

    private static void phase(ObjectNode out, Chart chart, Phase phase) {
        List<Point> points = chart.points(phase);
        out.put("from", points.isEmpty() ? null : points.get(0).period());
        out.put("to", points.isEmpty() ? null : points.get(points.size() - 1).period());
        counted(out, chart.request().quantity(), chart.judged(phase));
        estimate(out, chart.together(phase));
        judged(out, phase);
        out.put("kept", phase.kept());
    }

    private static void gap(ObjectNode out, PhaseGap gap) {
        out.put("of", gap.scale().code());
        estimate(out, gap.estimate());
        if (Double.isInfinite(gap.estimate().value())) {
            out.putNull("value");
        }
    }

    private static void signals(ArrayNode out, Chart chart) {
        for (Point point : chart.beyond()) {
            out.addObject().put("rule", Rule.BEYOND_LIMITS.code()).put("period", point.period());
        }
        for (Phase phase : chart.phases()) {
            Run run = phase.run();
            if (run != null && run.isLong()) {
                out.addObject()
                        .put("rule", Rule.LONG_RUN.code())
                        .put("period", chart.points().get(run.first()).period())
                        .put("to", chart.points().get(run.last()).period())
                        .put("points", run.points())
                        .put("most_by_chance", run.mostByChance());
            }
            if (run != null && run.crossesSeldom()) {
                out.addObject()
                        .put("rule", Rule.FEW_CROSSINGS.code())
                        .put("period", chart.points().get(phase.first()).period())
                        .put("to", chart.points().get(phase.end() - 1).period())
                        .put("crossings", run.crossings())
                        .put("fewest_by_chance", run.fewestByChance());
            }
        }
    }

    private static void period(ObjectNode out, Cohort cohort, Chart chart) {
        boolean calendar = chart.request().kind().grouped()
                && chart.request().grouping().calendar()
                && !chart.points().isEmpty();
        out.put(
                "from",
                cohort.from() != null
                        ? cohort.from().toString()
                        : calendar ? chart.points().get(0).period() : null);
        out.put(
                "to",
                cohort.to() != null
                        ? cohort.to().toString()
                        : calendar
                                ? chart.points().get(chart.points().size() - 1).period()
                                : null);
    }

    /** The filters in force, units included. */
    static void filters(ObjectNode out, Cohort cohort) {
        ArrayNode sites = out.putArray("site_id");
        cohort.sites().forEach(site -> sites.add(site.code()));
        cohort.filters().forEach((stratum, codes) -> {
            ArrayNode values = out.putArray(stratum.variable());
            codes.forEach(values::add);
        });
        if (!cohort.setups().isEmpty()) {
            ArrayNode values = out.putArray("device_setup_id");
            cohort.setups().forEach(values::add);
        }
    }

    static void cautions(ArrayNode out, Set<Caution> cautions) {
        cautions.stream().sorted().forEach(caution -> out.add(caution.name()));
    }

    static void counted(ObjectNode out, Counted counted) {
        out.put("x", counted.x());
        out.put("n", counted.n());
        out.put("left_out", counted.leftOut());
        out.put("left_out_unknown", counted.unknown());
    }

    /** Values have no count beside n. */
    private static void counted(ObjectNode out, Quantity quantity, Counted counted) {
        counted(out, counted);
        if (!quantity.hasEvents()) {
            out.putNull("x");
        }
    }

    static void estimate(ObjectNode out, @Nullable Estimate estimate) {
        out.put("value", estimate == null ? null : (Double) estimate.value());
        out.put("lower", estimate == null ? null : (Double) estimate.lower());
        out.put("upper", estimate == null || Double.isInfinite(estimate.upper()) ? null : (Double) estimate.upper());
    }

    private static void point(ObjectNode out, Quantity quantity, Point point) {
        out.put("period", point.period());
        counted(out, quantity, point.counted());
        estimate(out, point.estimate());
        out.put("value", point.value());
        Limits limits = point.limits();
        out.put("lcl", limits == null ? null : (Double) limits.lower());
        out.put("ucl", limits == null ? null : (Double) limits.upper());
        out.put("complete", point.complete());
        ArrayNode signals = out.putArray("signals");
        point.signals().forEach(rule -> signals.add(rule.code()));
    }
}
