package airway.stats.oracle;

import airway.stats.Confidence;
import airway.stats.Proportion;
import airway.stats.Rate;
import airway.stats.Sample;
import airway.stats.Series;
import airway.stats.chart.Baseline;
import airway.stats.pooling.SiteEffect;
import airway.stats.regression.CovariatePatterns;
import airway.stats.sequential.AfterSignal;
import airway.stats.sequential.Outcome;
import airway.stats.sequential.PredictedCase;
import airway.stats.strata.Stratum;
import airway.stats.survival.Observation;
import java.util.ArrayList;
import java.util.List;
import java.util.function.IntPredicate;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/** The inputs of a case, read as the values that this library takes. */
record Inputs(JsonNode json) {

    boolean has(String key) {
        return json.has(key);
    }

    double number(String key) {
        return json.required(key).asDouble();
    }

    double numberOr(String key, double otherwise) {
        return has(key) && !json.required(key).isNull() ? number(key) : otherwise;
    }

    long count(String key) {
        return count(json.required(key));
    }

    int integer(String key) {
        return json.required(key).asInt();
    }

    String text(String key) {
        return json.required(key).asString();
    }

    Confidence confidence() {
        return has("conf") ? new Confidence(number("conf")) : Confidence.DEFAULT;
    }

    Proportion proportion(String x, String n) {
        return new Proportion(count(x), count(n));
    }

    /** A row of a two-by-two table: successes and failures. */
    Proportion row(String successes, String failures) {
        return row(json.required(successes), json.required(failures));
    }

    Rate rate(String events, String exposure) {
        return new Rate(count(events), number(exposure));
    }

    /** Observations, those missing left out. */
    Sample sample(String key) {
        return Sample.of(series(key).present());
    }

    /** Pairs of counts; a denominator that is missing or 0 is a gap. */
    List<Proportion> proportions() {
        List<Proportion> result = new ArrayList<>();
        for (int i = 0; i < json.required("n").size(); i++) {
            JsonNode n = json.required("n").get(i);
            JsonNode x = json.required("x").get(i);
            result.add(n.isNull() || x.isNull() ? new Proportion(0, 0) : new Proportion(count(x), count(n)));
        }
        return result;
    }

    /** Counts and exposures; an exposure that is missing or 0 is a gap. */
    List<Rate> rates() {
        List<Rate> result = new ArrayList<>();
        for (int i = 0; i < json.required("a").size(); i++) {
            JsonNode exposure = json.required("a").get(i);
            JsonNode events = json.required("c").get(i);
            result.add(
                    exposure.isNull() || events.isNull()
                            ? new Rate(0, 0)
                            : new Rate(count(events), exposure.asDouble()));
        }
        return result;
    }

    /** A list of lists of observations. */
    List<Sample> samples(String key) {
        List<Sample> result = new ArrayList<>();
        for (JsonNode group : list(key)) {
            result.add(Sample.of(group.valueStream()
                    .filter(item -> !item.isNull())
                    .mapToDouble(JsonNode::asDouble)
                    .toArray()));
        }
        return result;
    }

    /** Strata written as successes and failures of the first group and of the second. */
    List<Stratum> strata() {
        List<Stratum> result = new ArrayList<>();
        for (JsonNode cells : list("strata")) {
            result.add(new Stratum(row(cells.get(0), cells.get(1)), row(cells.get(2), cells.get(3))));
        }
        return result;
    }

    /** Strata written as successes and cases of the first group and of the second. */
    List<Stratum> namedStrata() {
        List<Stratum> result = new ArrayList<>();
        for (JsonNode stratum : list("strata")) {
            Inputs in = new Inputs(stratum);
            result.add(new Stratum(in.proportion("x1", "n1"), in.proportion("x2", "n2")));
        }
        return result;
    }

    /** For each stratum the groups. */
    List<List<Proportion>> groupsByStratum() {
        List<List<Proportion>> result = new ArrayList<>();
        for (JsonNode stratum : list("strata")) {
            result.add(stratum.valueStream()
                    .map(group -> new Inputs(group).proportion("x", "n"))
                    .toList());
        }
        return result;
    }

    /** Rows of covariates behind a column of ones, with their outcome and perhaps their number. */
    CovariatePatterns covariatePatterns() {
        return patterns(row -> true);
    }

    /** The same, one table for each cluster. */
    List<CovariatePatterns> clusters() {
        List<Integer> clusters = integers("cluster");
        return clusters.stream()
                .distinct()
                .map(cluster -> patterns(row -> clusters.get(row).equals(cluster)))
                .toList();
    }

    private CovariatePatterns patterns(IntPredicate wanted) {
        List<JsonNode> rows = list("X");
        double[] outcomes = numbers("y");
        var patterns = CovariatePatterns.of(rows.get(0).size() - 1);
        for (int i = 0; i < rows.size(); i++) {
            if (wanted.test(i)) {
                long cases = has("weights") ? count(list("weights").get(i)) : 1;
                patterns.add(
                        new Proportion(outcomes[i] > 0 ? cases : 0, cases),
                        rows.get(i)
                                .valueStream()
                                .skip(1)
                                .mapToDouble(JsonNode::asDouble)
                                .toArray());
            }
        }
        return patterns.build();
    }

    /** Effects and variances of sites. */
    List<SiteEffect> siteEffects() {
        double[] effects = numbers("yi");
        double[] variances = numbers("vi");
        List<SiteEffect> result = new ArrayList<>();
        for (int i = 0; i < effects.length; i++) {
            result.add(new SiteEffect(effects[i], variances[i]));
        }
        return result;
    }

    /** Times with or without event, of the rows wanted. */
    List<Observation> observations(IntPredicate wanted) {
        double[] times = numbers("time");
        double[] events = numbers("event");
        List<Observation> result = new ArrayList<>();
        for (int i = 0; i < times.length; i++) {
            if (wanted.test(i)) {
                result.add(new Observation(times[i], events[i] > 0));
            }
        }
        return result;
    }

    Baseline baseline(int points) {
        if (!has("baseline") || json.required("baseline").isNull()) {
            return Baseline.all(points);
        }
        JsonNode ends = json.required("baseline");
        return new Baseline(ends.get(0).asInt(), ends.get(1).asInt());
    }

    List<Integer> integers(String key) {
        List<Integer> result = new ArrayList<>();
        list(key).forEach(item -> result.add(item.asInt()));
        return result;
    }

    /** Numbers, of which none may be missing. */
    double[] numbers(String key) {
        return list(key).stream().mapToDouble(JsonNode::asDouble).toArray();
    }

    /** Numbers, of which some may be missing. */
    List<@Nullable Double> numbersOrGaps(String key) {
        List<@Nullable Double> result = new ArrayList<>();
        for (JsonNode item : list(key)) {
            result.add(item.isNull() ? null : (Double) item.asDouble());
        }
        return result;
    }

    Series series(String key) {
        return Series.withGaps(numbersOrGaps(key));
    }

    /** Single cases: 1 for a failure, 0 for a success, null for an unknown outcome. */
    List<Outcome> outcomes(String key) {
        return list(key).stream()
                .map(item -> item.isNull() ? Outcome.UNKNOWN : count(item) == 1 ? Outcome.FAILURE : Outcome.SUCCESS)
                .toList();
    }

    /** Single cases with the risk that a model gave them. */
    List<PredictedCase> predictedCases() {
        List<Outcome> outcomes = outcomes("failures");
        double[] risks = numbers("risk");
        List<PredictedCase> result = new ArrayList<>();
        for (int i = 0; i < risks.length; i++) {
            result.add(new PredictedCase(outcomes.get(i), risks[i]));
        }
        return result;
    }

    boolean flag(String key) {
        return json.required(key).asBoolean();
    }

    AfterSignal afterSignal(String key) {
        return flag(key) ? AfterSignal.RESTART : AfterSignal.CONTINUE;
    }

    List<JsonNode> list(String key) {
        JsonNode node = json.required(key);
        return node.isArray() ? node.valueStream().toList() : List.of(node);
    }

    private static Proportion row(JsonNode successes, JsonNode failures) {
        return new Proportion(count(successes), Math.addExact(count(successes), count(failures)));
    }

    private static long count(JsonNode node) {
        if (!node.isNumber() || node.asDouble() != Math.rint(node.asDouble())) {
            throw new IllegalArgumentException("count = " + node + ", must be an integer");
        }
        return node.asLong();
    }
}
