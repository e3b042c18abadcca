package airway.registry.charts;

import airway.registry.charts.OneByOne.Case;
import airway.stats.sequential.LcCusum;
import java.util.List;
import java.util.Locale;
import java.util.OptionalInt;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** First attempts by who made them, as numbers. */
final class LearningJson {
    private LearningJson() {}

    static ObjectNode of(OwnCurve own) {
        ObjectNode out = new JsonMapper().createObjectNode();
        ChartJson.measure(out, own.measure(), null);
        ChartJson.filters(out.putObject("filters"), own.question().cohort());
        ChartJson.counted(out, own.counted());
        ChartJson.estimate(out, Judging.wilson(own.counted()));
        ArrayNode setups = out.putArray("setups");
        own.setups()
                .forEach((setup, counted) -> ChartJson.counted(
                        setups.addObject().put("code", setup.value()).put("label", setup.label()), counted));
        curve(out.putObject("lc_cusum"), own);
        cases(out.putArray("cases"), own.cases());
        out.set("run", ChartJson.of(own.run()));
        ChartJson.notes(
                out.putArray("notes"),
                own.counted().nominal() > 0,
                own.question().cohort());
        out.put("does_not_show", LearningWords.CANNOT);
        return out;
    }

    private static void curve(ObjectNode out, OwnCurve own) {
        out.put("method", "seq.lc_cusum")
                .put("acceptable", own.levels().acceptable())
                .put("unacceptable", own.levels().unacceptable())
                .put("status", own.verdict().name().toLowerCase(Locale.ROOT));
        LcCusum curve = own.curve().toOptional().orElse(null);
        OptionalInt shown = curve == null || !curve.enoughForAVerdict() ? OptionalInt.empty() : curve.competenceAt();
        out.put("shown_at", shown.isPresent() ? (Integer) shown.getAsInt() : null);
        out.put("limit", curve == null ? null : (Double) curve.design().h());
        out.put("cases_needed", curve == null ? null : (Double) curve.casesNeeded());
        out.put("false_within", OwnCurve.WITHIN);
        out.put("false_chance", curve == null ? null : (Double) curve.falseCompetence(OwnCurve.WITHIN));
        ArrayNode path = out.putArray("path");
        if (curve != null) {
            curve.path().sums().values().forEach(sum -> {
                if (sum.isPresent()) {
                    path.add(sum.getAsDouble());
                } else {
                    path.addNull();
                }
            });
        }
        out.put("text", String.join(" ", LearningWords.curve(own)));
    }

    private static void cases(ArrayNode out, List<Case> cases) {
        for (Case one : cases) {
            Short answer = one.answer();
            out.addObject()
                    .put("period", one.month().toString())
                    .put("answer", answer == null ? "left_out" : answer < 0 ? "unk" : answer == 1 ? "yes" : "no");
        }
    }

    /** A band that is hidden is told without any number. */
    static ObjectNode of(Bands bands) {
        ObjectNode out = new JsonMapper().createObjectNode();
        ChartJson.measure(out, bands.question().measure(), null);
        ChartJson.filters(out.putObject("filters"), bands.question().cohort());
        out.put("fewest_people", Bands.FEWEST_PEOPLE);
        ObjectNode by = out.putObject("by");
        bands.of().forEach((stratum, all) -> {
            ObjectNode node = by.putObject(stratum.variable());
            node.put("text", LearningWords.hidden(stratum, all));
            ArrayNode array = node.putArray("bands");
            for (Bands.Band band : all) {
                ObjectNode one = array.addObject()
                        .put("code", band.code())
                        .put("label", band.label())
                        .put("hidden", !band.shown());
                if (band.shown()) {
                    one.put("people", band.people());
                    ChartJson.counted(one, band.counted());
                    ChartJson.estimate(one, Judging.wilson(band.counted()));
                }
            }
        });
        ChartJson.notes(out.putArray("notes"), false, bands.question().cohort());
        return out;
    }
}
