package airway.stats.oracle;

import static java.util.Map.entry;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Interval;
import airway.stats.Sample;
import airway.stats.Series;
import airway.stats.chart.Autocorrelation;
import airway.stats.chart.CChart;
import airway.stats.chart.ChartPoint;
import airway.stats.chart.ControlChart;
import airway.stats.chart.ControlConstants;
import airway.stats.chart.Dispersion;
import airway.stats.chart.GChart;
import airway.stats.chart.LaneyChart;
import airway.stats.chart.Limits;
import airway.stats.chart.PChart;
import airway.stats.chart.PhasedPChart;
import airway.stats.chart.RunChart;
import airway.stats.chart.RunCountLimits;
import airway.stats.chart.RunLimits;
import airway.stats.chart.SensitiveRunChart;
import airway.stats.chart.TChart;
import airway.stats.chart.UChart;
import airway.stats.chart.XbarSChart;
import airway.stats.chart.XmrChart;
import airway.stats.chart.ZoneRule;
import airway.stats.chart.ZoneRules;
import airway.stats.compare.ChiSquare;
import airway.stats.compare.ExactTest;
import airway.stats.compare.Multiplicity;
import airway.stats.compare.RankSum;
import airway.stats.compare.Shift;
import airway.stats.compare.WelchT;
import airway.stats.funnel.FunnelPlot;
import airway.stats.funnel.FunnelPoint;
import airway.stats.funnel.Overdispersion;
import airway.stats.interval.DifferenceInterval;
import airway.stats.interval.MeanInterval;
import airway.stats.interval.MedianInterval;
import airway.stats.interval.NumberNeededToTreat;
import airway.stats.interval.OddsRatioInterval;
import airway.stats.interval.ProportionInterval;
import airway.stats.interval.RateInterval;
import airway.stats.interval.RateRatio;
import airway.stats.interval.RatioInterval;
import airway.stats.pooling.PooledEffect;
import airway.stats.pooling.RandomEffects;
import airway.stats.pooling.SiteEffect;
import airway.stats.power.TwoProportions;
import airway.stats.regression.ClusterRobust;
import airway.stats.regression.Coefficient;
import airway.stats.regression.LogisticModel;
import airway.stats.regression.LogisticRegression;
import airway.stats.regression.StandardisedRisk;
import airway.stats.sequential.BernoulliCusum;
import airway.stats.sequential.ConfidenceSequence;
import airway.stats.sequential.CusumDesign;
import airway.stats.sequential.CusumPath;
import airway.stats.sequential.Ewma;
import airway.stats.sequential.EwmaDesign;
import airway.stats.sequential.Hypotheses;
import airway.stats.sequential.LcCusum;
import airway.stats.sequential.LearningCurve;
import airway.stats.sequential.RiskAdjustedCusum;
import airway.stats.sequential.TabularCusum;
import airway.stats.sequential.TabularCusumDesign;
import airway.stats.sequential.Vlad;
import airway.stats.strata.BreslowDay;
import airway.stats.strata.CochranMantelHaenszel;
import airway.stats.strata.DirectStandardisation;
import airway.stats.strata.EValue;
import airway.stats.strata.LikeForLike;
import airway.stats.strata.MantelHaenszel;
import airway.stats.strata.StandardisedDifference;
import airway.stats.survival.KaplanMeier;
import airway.stats.survival.LogRank;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.BiConsumer;
import java.util.function.Function;
import java.util.function.ToDoubleFunction;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** How this library is asked, for each method of the reference cases. */
final class Adapters {

    static final Map<String, Function<Inputs, Reply>> TABLE = Map.ofEntries(
            entry("prop.wilson", proportion(ProportionInterval.WILSON)),
            entry("prop.wilson_cc", proportion(ProportionInterval.WILSON_CC)),
            entry("prop.clopper_pearson", proportion(ProportionInterval.CLOPPER_PEARSON)),
            entry("prop.jeffreys", proportion(ProportionInterval.JEFFREYS)),
            entry("prop.agresti_coull", proportion(ProportionInterval.AGRESTI_COULL)),
            entry("rd.newcombe", difference(DifferenceInterval.NEWCOMBE)),
            entry("rd.newcombe_cc", difference(DifferenceInterval.NEWCOMBE_CC)),
            entry("rate.poisson_exact", in -> Reply.of(RateInterval.exact(in.rate("x", "exposure"), in.confidence()))),
            entry("rate.ratio_exact", Adapters::rateRatio),
            entry(
                    "smr.exact",
                    in -> Reply.of(RateInterval.observedOverExpected(
                            in.count("observed"), in.number("expected"), in.confidence()))),
            entry("mean.t_ci", Adapters::mean),
            entry("median.ci", Adapters::median),
            entry("quantile.type7", Adapters::quantiles),
            entry("hodges_lehmann.shift", Adapters::shift),
            entry("rd.agresti_caffo", difference(DifferenceInterval.AGRESTI_CAFFO)),
            entry("rd.miettinen_nurminen", difference(DifferenceInterval.MIETTINEN_NURMINEN)),
            entry("rd.mee", difference(DifferenceInterval.MEE)),
            entry("rr.katz_log", ratio(RatioInterval.KATZ_LOG)),
            entry("rr.koopman", ratio(RatioInterval.KOOPMAN)),
            entry("or.conditional_exact", oddsRatio(OddsRatioInterval.CONDITIONAL_EXACT)),
            entry("or.woolf", oddsRatio(OddsRatioInterval.WOOLF)),
            entry(
                    "nnt.newcombe",
                    in -> Reply.of(NumberNeededToTreat.newcombe(
                            in.proportion("x1", "n1"), in.proportion("x2", "n2"), in.confidence()))),
            entry("test.chi2", Adapters::chiSquare),
            entry("test.fisher", exact(ExactTest.FISHER)),
            entry("test.fisher_midp", exact(ExactTest.FISHER_MIDP)),
            entry("test.boschloo", exact(ExactTest.BOSCHLOO)),
            entry("test.mann_whitney", Adapters::rankSum),
            entry("test.welch_t", Adapters::welch),
            entry("multiplicity.holm", adjusted(Multiplicity.HOLM)),
            entry("multiplicity.bh", adjusted(Multiplicity.BENJAMINI_HOCHBERG)),
            entry("power.two_proportions_n", Adapters::sampleSize),
            entry("power.two_proportions_power", Adapters::power),
            entry("seq.ewma", Adapters::ewma),
            entry("seq.ewma_proportion", Adapters::ewmaOfProportions),
            entry("seq.cusum", Adapters::tabularCusum),
            entry("seq.lc_cusum", Adapters::lcCusum),
            entry("seq.learning_cusum", Adapters::learningCurve),
            entry("seq.ra_cusum", Adapters::riskAdjustedCusum),
            entry("seq.vlad", Adapters::vlad),
            entry(
                    "seq.confidence_sequence",
                    in -> Reply.of(ConfidenceSequence.of(in.proportion("x", "n"), in.confidence()))),
            entry("funnel.binomial", Adapters::funnel),
            entry("funnel.overdispersion", Adapters::overdispersion),
            entry("arl.zone_rules", Adapters::zoneRunLength),
            entry("arl.ewma", in -> Reply.ok().put("arl", ewmaDesign(in).runLength(in.number("shift")))),
            entry(
                    "arl.cusum",
                    in -> Reply.ok()
                            .put(
                                    "arl",
                                    new TabularCusumDesign(in.number("k"), in.number("h"))
                                            .runLength(in.number("shift"), 1))),
            entry("seq.bernoulli_cusum", Adapters::bernoulliCusum),
            entry("seq.bernoulli_cusum_arl", Adapters::bernoulliCusumRunLengths),
            entry("chart.p", Adapters::pChart),
            entry("chart.p_phases", Adapters::pPhases),
            entry("chart.p_prime", Adapters::pPrimeChart),
            entry("chart.u", Adapters::uChart),
            entry("chart.u_prime", Adapters::uPrimeChart),
            entry("chart.c", Adapters::cChart),
            entry("chart.xbar_s", Adapters::xbarSChart),
            entry("chart.xmr", Adapters::xmrChart),
            entry("chart.g", Adapters::gChart),
            entry("chart.t", Adapters::tChart),
            entry("rules.zones", Adapters::zoneRules),
            entry("spc.constants", Adapters::constants),
            entry("diag.autocorrelation", Adapters::autocorrelation),
            entry("run.anhoej", Adapters::runChart),
            entry("run.anhoej_limits", Adapters::runLimits),
            entry("run.perla", Adapters::sensitiveRunChart),
            entry("run.swed_eisenhart", Adapters::runCountLimits),
            entry("standardised.direct_mover", Adapters::likeForLikeOfTwo),
            entry("standardised.direct_mover_multi", Adapters::likeForLike),
            entry("standardised.direct", Adapters::directStandardisation),
            entry("mh.odds_ratio", Adapters::oddsRatioOverStrata),
            entry("mh.risk_ratio", in -> stratified(MantelHaenszel.RISK_RATIO, in)),
            entry("mh.risk_difference", in -> stratified(MantelHaenszel.RISK_DIFFERENCE, in)),
            entry("breslow_day", Adapters::breslowDay),
            entry(
                    "balance.smd_binary",
                    in -> balance(StandardisedDifference.ofProportions(
                            in.proportion("x1", "n1"), in.proportion("x2", "n2")))),
            entry(
                    "balance.smd_continuous",
                    in -> balance(StandardisedDifference.ofMeans(in.sample("x"), in.sample("y")))),
            entry("sens.e_value", Adapters::eValue),
            entry("logit.ml", Adapters::maximumLikelihood),
            entry("logit.ml_profile_ci", logistic(LogisticRegression.PROFILE)),
            entry("logit.firth", logistic(LogisticRegression.FIRTH)),
            entry("logit.cluster_robust", Adapters::clusterRobust),
            entry("logit.standardised_risk", Adapters::standardisedRisk),
            entry("meta.logit_transform", Adapters::logitTransform),
            entry("meta.dersimonian_laird", pooled(RandomEffects.DERSIMONIAN_LAIRD)),
            entry("meta.reml", pooled(RandomEffects.REML)),
            entry("meta.hartung_knapp", Adapters::hartungKnapp),
            entry("km.curve", Adapters::kaplanMeier),
            entry("km.logrank", Adapters::logRank));

    private Adapters() {}

    private static Function<Inputs, Reply> proportion(ProportionInterval method) {
        return in -> Reply.of(method.of(in.proportion("x", "n"), in.confidence()));
    }

    private static Function<Inputs, Reply> difference(DifferenceInterval method) {
        return in -> Reply.of(method.of(in.proportion("x1", "n1"), in.proportion("x2", "n2"), in.confidence()));
    }

    private static Reply rateRatio(Inputs in) {
        return Reply.of(
                RateRatio.exact(in.rate("x1", "t1"), in.rate("x2", "t2"), in.confidence()),
                (reply, ratio) -> reply.put(ratio.estimate()).put("p", ratio.p()));
    }

    private static Reply mean(Inputs in) {
        Sample sample = in.sample("values");
        return Reply.of(
                MeanInterval.student(sample, in.confidence()),
                (reply, mean) -> reply.put(mean).put("sd", sample.sd()));
    }

    private static Reply median(Inputs in) {
        return Reply.of(
                MedianInterval.of(in.sample("values"), in.confidence()),
                (reply, median) -> reply.put(median.estimate())
                        .put("n", median.n())
                        .put("achieved", median.achieved())
                        .put("rank_lower", median.lowerRank())
                        .put("rank_upper", median.upperRank()));
    }

    private static Reply quantiles(Inputs in) {
        return Reply.of(
                in.sample("values").quantiles(in.numbers("probs")),
                (reply, quantiles) -> reply.put("quantiles", quantiles));
    }

    private static Reply shift(Inputs in) {
        return Reply.of(
                Shift.of(in.sample("x"), in.sample("y"), in.confidence()),
                (reply, shift) -> reply.put(shift.estimate())
                        .put("achieved", shift.achieved())
                        .put("p", shift.p()));
    }

    private static Function<Inputs, Reply> ratio(RatioInterval method) {
        return in -> Reply.of(
                method.of(in.proportion("x1", "n1"), in.proportion("x2", "n2"), in.confidence()),
                (reply, ratio) -> reply.put("estimate", Reply.number(ratio.value()))
                        .put("lower", ratio.interval().lower())
                        .put("upper", ratio.interval().upper()));
    }

    private static Function<Inputs, Reply> oddsRatio(OddsRatioInterval method) {
        return in -> Reply.of(method.of(in.row("a", "b"), in.row("c", "d"), in.confidence()));
    }

    private static Reply chiSquare(Inputs in) {
        return Reply.of(
                ChiSquare.of(in.row("a", "b"), in.row("c", "d")),
                (reply, test) -> reply.put("chi2", test.chi2())
                        .put("df", test.df())
                        .put("p", test.p())
                        .put("min_expected", test.minExpected())
                        .put("small_expected", test.smallExpected()));
    }

    private static Function<Inputs, Reply> exact(ExactTest test) {
        return in -> Reply.of(test.of(in.row("a", "b"), in.row("c", "d")), (reply, p) -> reply.put("p", p));
    }

    private static Reply rankSum(Inputs in) {
        return Reply.of(
                RankSum.of(in.sample("x"), in.sample("y")),
                (reply, test) -> reply.put("p", test.p()).put("u", test.u()));
    }

    private static Reply welch(Inputs in) {
        return Reply.of(
                WelchT.of(in.sample("x"), in.sample("y"), in.confidence()),
                (reply, test) -> reply.put(test.difference())
                        .put("t", test.t())
                        .put("df", test.df())
                        .put("p", test.p()));
    }

    private static Function<Inputs, Reply> adjusted(Multiplicity method) {
        return in -> Reply.of(
                method.adjust(in.series("p").values()),
                (reply, adjusted) -> reply.put("adjusted", Reply.numbers(adjusted.stream())));
    }

    private static Reply sampleSize(Inputs in) {
        return Reply.of(
                new TwoProportions(in.number("p1"), in.number("p2"), new Confidence(1 - in.number("alpha")))
                        .sampleSize(in.number("power"), in.number("ratio")),
                (reply, size) -> reply.put("n1_exact", size.exact())
                        .put("n1", size.n1())
                        .put("n2", size.n2())
                        .put("n1_cc_exact", size.correctedExact())
                        .put("n1_cc", size.correctedN1())
                        .put("n2_cc", size.correctedN2()));
    }

    private static Reply power(Inputs in) {
        var plan = new TwoProportions(in.number("p1"), in.number("p2"), new Confidence(1 - in.number("alpha")));
        return Reply.ok().put("power", plan.power(in.count("n_per_group")));
    }

    private static Reply ewma(Inputs in) {
        var width = in.flag("asymptotic") ? Ewma.Width.FINAL : Ewma.Width.EXACT;
        return Reply.of(
                Ewma.of(in.series("values"), in.number("target"), in.number("sigma"), ewmaDesign(in), width),
                Adapters::putEwma);
    }

    private static Reply ewmaOfProportions(Inputs in) {
        return Reply.of(Ewma.ofProportions(in.proportions(), in.number("p0"), ewmaDesign(in)), Adapters::putEwma);
    }

    private static EwmaDesign ewmaDesign(Inputs in) {
        return new EwmaDesign(in.number("lambda"), in.number("L"));
    }

    private static void putEwma(Reply reply, Ewma ewma) {
        reply.put("z", values(ewma.points()))
                .put("lcl", limits(ewma.points(), Limits::lower))
                .put("ucl", limits(ewma.points(), Limits::upper))
                .put("signals", ewma.signals());
    }

    private static Reply tabularCusum(Inputs in) {
        var design = new TabularCusumDesign(in.number("k"), in.number("h"), in.numberOr("head_start", 0));
        return Reply.of(
                TabularCusum.of(in.series("values"), in.number("target"), design),
                (reply, cusum) -> reply.put("s_hi", Reply.numbers(cusum.above().values().stream()))
                        .put("s_lo", Reply.numbers(cusum.below().values().stream()))
                        .put("signals", cusum.signals())
                        .put("first_signal", Reply.integer(cusum.firstSignal())));
    }

    private static Reply bernoulliCusum(Inputs in) {
        Hypotheses hypotheses = new Hypotheses(in.number("p0"), in.number("p1"));
        return Reply.of(
                BernoulliCusum.of(
                        in.outcomes("failures"), new CusumDesign(hypotheses, in.number("h")), in.afterSignal("reset")),
                (reply, cusum) -> putPath(reply, cusum.path())
                        .put("weight_failure", hypotheses.failureScore())
                        .put("weight_success", hypotheses.successScore()));
    }

    private static Reply bernoulliCusumRunLengths(Inputs in) {
        var design = new CusumDesign(new Hypotheses(in.number("p0"), in.number("p1")), in.number("h"));
        return Reply.ok().put("arl0", design.inControl()).put("arl1", design.outOfControl());
    }

    private static Reply lcCusum(Inputs in) {
        return Reply.of(
                LcCusum.of(
                        in.outcomes("failures"),
                        in.number("p_acceptable"),
                        in.number("p_unacceptable"),
                        in.number("h")),
                (reply, curve) -> putPath(reply, curve.path())
                        .put("weight_failure", curve.design().hypotheses().failureScore())
                        .put("weight_success", curve.design().hypotheses().successScore())
                        .put("competence_at", Reply.integer(curve.competenceAt())));
    }

    private static Reply learningCurve(Inputs in) {
        return Reply.of(
                LearningCurve.of(
                        in.outcomes("failures"),
                        new Hypotheses(in.number("p0"), in.number("p1")),
                        in.number("alpha"),
                        in.number("beta")),
                (reply, curve) -> reply.put("s", curve.step())
                        .put("h0", curve.acceptLine())
                        .put("h1", curve.rejectLine())
                        .put("path", Reply.numbers(curve.path().values().stream())));
    }

    private static Reply riskAdjustedCusum(Inputs in) {
        return Reply.of(
                RiskAdjustedCusum.of(
                        in.predictedCases(), in.number("odds_ratio"), in.number("h"), in.afterSignal("reset")),
                (reply, cusum) ->
                        putPath(reply, cusum.path()).put("weights", Reply.numbers(cusum.weights().values().stream())));
    }

    private static Reply vlad(Inputs in) {
        return Reply.of(
                Vlad.of(in.predictedCases()),
                (reply, vlad) -> reply.put("path", Reply.numbers(vlad.path().values().stream()))
                        .put("observed", vlad.observed())
                        .put("expected", vlad.expected()));
    }

    private static Reply funnel(Inputs in) {
        var units = in.proportions();
        return Reply.of(
                in.has("target") ? FunnelPlot.of(units, in.number("target")) : FunnelPlot.of(units),
                (reply, funnel) -> reply.put("target", funnel.target())
                        .put(
                                "points",
                                funnel.points().stream()
                                        .map(FunnelPoint::counts)
                                        .map(unit -> unit.isEmpty() ? null : (Double) unit.value())
                                        .collect(Collectors.toList()))
                        .put("lower95", each(funnel.points(), FunnelPoint::usual, Limits::lower))
                        .put("upper95", each(funnel.points(), FunnelPoint::usual, Limits::upper))
                        .put("lower998", each(funnel.points(), FunnelPoint::far, Limits::lower))
                        .put("upper998", each(funnel.points(), FunnelPoint::far, Limits::upper))
                        .put("outside95", funnel.outsideUsual())
                        .put("outside998", funnel.outsideFar()));
    }

    private static Reply overdispersion(Inputs in) {
        return Reply.of(
                Overdispersion.of(in.proportions(), in.number("winsorise")),
                (reply, scatter) -> reply.put("target", scatter.target())
                        .put("z", Reply.numbers(scatter.z().stream()))
                        .put("phi", scatter.phi())
                        .put("tau2", scatter.tau2())
                        .put("p", scatter.p())
                        .put("multiplicative_upper998", each(scatter.multiplicative(), limits -> limits, Limits::upper))
                        .put("additive_upper998", each(scatter.additive(), limits -> limits, Limits::upper)));
    }

    private static <T> List<@Nullable Double> each(
            List<T> points, Function<T, Optional<Limits>> limits, ToDoubleFunction<Limits> side) {
        return points.stream()
                .map(limits)
                .map(its -> its.isPresent() ? (Double) side.applyAsDouble(its.get()) : null)
                .collect(Collectors.toList());
    }

    private static Reply zoneRunLength(Inputs in) {
        Set<ZoneRule> rules = in.integers("rules").stream()
                .map(number -> List.of(ZoneRule.values()).get(number - 1))
                .collect(Collectors.toSet());
        return Reply.ok().put("arl", ZoneRule.runLength(rules, in.number("shift")));
    }

    private static Reply putPath(Reply reply, CusumPath path) {
        return reply.put("path", Reply.numbers(path.sums().values().stream()))
                .put("signals", path.signals())
                .put("first_signal", Reply.integer(path.firstSignal()));
    }

    private static Reply pChart(Inputs in) {
        var subgroups = in.proportions();
        return Reply.of(
                PChart.of(subgroups, in.baseline(subgroups.size())),
                (reply, chart) -> putChart(reply, chart.chart())
                        .put("small_denominators", chart.smallDenominators())
                        .put("dispersion", dispersion(chart.dispersion())),
                "n_baseline",
                "centre");
    }

    private static Reply pPhases(Inputs in) {
        var phased = PhasedPChart.of(in.proportions(), in.integers("phase_starts"));
        return phased.refusal()
                .map(Reply::refused)
                .orElseGet(() -> Reply.ok()
                        .put(
                                "phases",
                                phased.phases().stream()
                                        .map(phase -> putChart(
                                                        Reply.ok(),
                                                        phase.answer()
                                                                .orElseThrow()
                                                                .chart())
                                                .put("first", phase.first())
                                                .put("last", phase.last())
                                                .keys())
                                        .toList()));
    }

    private static Reply pPrimeChart(Inputs in) {
        var points = in.proportions();
        return laney(LaneyChart.ofProportions(points, in.baseline(points.size())));
    }

    private static Reply uPrimeChart(Inputs in) {
        var points = in.rates();
        return laney(LaneyChart.ofRates(points, in.baseline(points.size())));
    }

    private static Reply laney(Answer<LaneyChart> answer) {
        return chart(answer, (reply, laney) -> putChart(reply, laney.chart()).put("sigma_z", laney.sigmaZ()));
    }

    private static Reply uChart(Inputs in) {
        var points = in.rates();
        return chart(
                UChart.of(points, in.baseline(points.size())),
                (reply, u) -> putChart(reply, u.chart()).put("dispersion", dispersion(u.dispersion())));
    }

    private static Reply cChart(Inputs in) {
        Series counts = in.series("c");
        return chart(CChart.of(counts, in.baseline(counts.size())), (reply, c) -> putLevelChart(reply, c.chart()));
    }

    private static Reply xbarSChart(Inputs in) {
        List<Sample> groups = in.samples("groups");
        return chart(
                XbarSChart.of(groups, in.baseline(groups.size())),
                (reply, xbar) -> putChart(reply, xbar.means())
                        .put("means", values(xbar.means().points()))
                        .put("sigma", xbar.sigma())
                        .put("sds", values(xbar.deviations()))
                        .put("s_lcl", limits(xbar.deviations(), Limits::lower))
                        .put("s_centre", limits(xbar.deviations(), Limits::centre))
                        .put("s_ucl", limits(xbar.deviations(), Limits::upper))
                        .put("signals_s", xbar.deviationSignals()));
    }

    private static Reply xmrChart(Inputs in) {
        Series values = in.series("values");
        Interval possible = new Interval(
                in.numberOr("lower_bound", Double.NEGATIVE_INFINITY),
                in.numberOr("upper_bound", Double.POSITIVE_INFINITY));
        return chart(
                XmrChart.of(values, in.baseline(values.size()), possible),
                (reply, xmr) -> putLevelChart(reply, xmr.chart())
                        .put("mr", values(xmr.ranges()))
                        .put("mr_bar", xmr.meanRange())
                        .put("sigma", xmr.sigma())
                        .put("ucl_mr", level(xmr.ranges(), Limits::upper))
                        .put("signals_mr", xmr.rangeSignals()));
    }

    private static Reply gChart(Inputs in) {
        Series gaps = in.series("gaps");
        var kind = in.text("limits").equals("sigma3") ? GChart.Kind.THREE_SIGMA : GChart.Kind.PROBABILITY;
        return chart(
                GChart.of(gaps, in.baseline(gaps.size()), kind),
                (reply, g) -> putLevelChart(reply, g.chart()).put("median", g.median()));
    }

    private static Reply tChart(Inputs in) {
        Series times = in.series("times");
        return chart(
                TChart.of(times, in.baseline(times.size())),
                (reply, t) -> putLevelChart(reply, t.chart())
                        .put("y_centre", t.transformedCentre())
                        .put("y_mr_bar", t.transformedMeanRange()));
    }

    private static Reply zoneRules(Inputs in) {
        ZoneRules rules = ZoneRules.of(in.series("values"), in.number("centre"), in.number("sigma"));
        return Reply.ok()
                .put("beyond3", rules.beyondThree())
                .put("two_of_three", rules.twoOfThree())
                .put("four_of_five", rules.fourOfFive())
                .put("eight_same_side", rules.eightOnOneSide());
    }

    private static Reply constants(Inputs in) {
        ControlConstants constants = ControlConstants.of(in.integer("n"));
        return Reply.ok()
                .put("d2", constants.d2())
                .put("d3", constants.d3())
                .put("c4", constants.c4())
                .put("A2", constants.a2())
                .put("A3", constants.a3())
                .put("B3", constants.b3())
                .put("B4", constants.b4())
                .put("B5", constants.b5())
                .put("B6", constants.b6())
                .put("D3", constants.rangeFactorLower())
                .put("D4", constants.rangeFactorUpper());
    }

    private static Reply autocorrelation(Inputs in) {
        return Reply.of(
                Autocorrelation.of(in.series("values")),
                (reply, r) -> reply.put("r1", r.r1()).put("bound", r.bound()).put("flagged", r.flagged()));
    }

    private static Reply runChart(Inputs in) {
        Series values = in.series("values");
        return Reply.of(
                        RunChart.of(values, in.baseline(values.size())),
                        (reply, chart) -> reply.put("median", chart.median())
                                .put("n_obs", chart.observed())
                                .put("n_useful", chart.useful())
                                .put("n_runs", chart.runs())
                                .put("n_crossings", chart.crossings())
                                .put("longest_run", chart.longestRun().size())
                                .put("longest_run_limit", chart.limits().longestRun())
                                .put("crossings_limit", chart.limits().crossings())
                                .put("longest_run_points", chart.longestRun())
                                .put("signal_longest_run", chart.signalsByLongestRun())
                                .put("signal_crossings", chart.signalsByCrossings()),
                        "n_useful",
                        "median")
                .putIfAbsent("n_obs", values.observed());
    }

    private static Reply runLimits(Inputs in) {
        RunLimits limits = RunLimits.of(in.integer("n_useful"));
        return Reply.ok().put("longest_run_limit", limits.longestRun()).put("crossings_limit", limits.crossings());
    }

    private static Reply sensitiveRunChart(Inputs in) {
        return Reply.of(
                SensitiveRunChart.of(in.series("values")),
                (reply, chart) -> reply.put("median", chart.median())
                        .put("n_useful", chart.useful())
                        .put("n_above", chart.above())
                        .put("n_below", chart.below())
                        .put("n_runs", chart.runs())
                        .put("runs_lower", chart.limits().lower())
                        .put("runs_upper", chart.limits().upper())
                        .put("signal_too_few_runs", chart.signalsByTooFewRuns())
                        .put("signal_too_many_runs", chart.signalsByTooManyRuns())
                        .put(
                                "shifts",
                                chart.shifts().stream()
                                        .map(shift -> List.of(shift.first(), shift.last()))
                                        .toList())
                        .put("signal_shift", chart.signalsByShift())
                        .put("longest_trend", chart.longestTrend())
                        .put("signal_trend", chart.signalsByTrend()),
                "n_useful",
                "median");
    }

    private static Reply runCountLimits(Inputs in) {
        RunCountLimits limits =
                RunCountLimits.of(in.integer("n_above"), in.integer("n_below"), in.number("alpha_each_tail"));
        return Reply.ok()
                .put("runs_lower", limits.lower())
                .put("runs_upper", limits.upper())
                .put("p_at_most_lower_minus_1", limits.belowLower())
                .put("p_at_least_upper_plus_1", limits.aboveUpper());
    }

    private static <T> Reply chart(Answer<T> answer, BiConsumer<Reply, T> whenOk) {
        return Reply.of(answer, whenOk, "n_baseline", "centre");
    }

    /** A chart whose limits are the same at every point, each written once. */
    private static Reply putLevelChart(Reply reply, ControlChart chart) {
        return putChart(reply, chart)
                .put("lcl", level(chart.points(), Limits::lower))
                .put("ucl", level(chart.points(), Limits::upper));
    }

    private static @Nullable Double level(List<ChartPoint> points, ToDoubleFunction<Limits> side) {
        List<@Nullable Double> different = limits(points, side).stream()
                .filter(Objects::nonNull)
                .distinct()
                .toList();
        return different.size() == 1 ? different.get(0) : null;
    }

    private static List<@Nullable Double> values(List<ChartPoint> points) {
        return Reply.numbers(points.stream().map(ChartPoint::value));
    }

    private static Reply putChart(Reply reply, ControlChart chart) {
        return reply.put("centre", chart.centre())
                .put("points", Reply.numbers(chart.points().stream().map(ChartPoint::value)))
                .put("lcl", limits(chart.points(), Limits::lower))
                .put("ucl", limits(chart.points(), Limits::upper))
                .put("signals_beyond", chart.signals())
                .put("provisional", chart.provisional())
                .put("n_baseline", chart.baselinePoints());
    }

    private static List<@Nullable Double> limits(List<ChartPoint> points, ToDoubleFunction<Limits> side) {
        List<@Nullable Double> result = new ArrayList<>();
        for (ChartPoint point : points) {
            result.add(Reply.number(point.limits()
                    .map(limits -> OptionalDouble.of(side.applyAsDouble(limits)))
                    .orElse(OptionalDouble.empty())));
        }
        return result;
    }

    private static Map<String, Object> dispersion(Dispersion d) {
        return Map.of("chi2", d.chi2(), "df", d.df(), "p", d.p(), "phi", d.phi());
    }

    private static Reply likeForLikeOfTwo(Inputs in) {
        return Reply.of(LikeForLike.ofTwo(in.namedStrata(), in.confidence()), (reply, like) -> {
            Estimate first = like.groups().get(0).standardised();
            Estimate second = like.groups().get(1).standardised();
            Estimate difference = like.pairs().get(0).difference();
            reply.put("standardised1", first.value())
                    .put("lower1", first.lower())
                    .put("upper1", first.upper())
                    .put("standardised2", second.value())
                    .put("lower2", second.lower())
                    .put("upper2", second.upper())
                    .put("difference", difference.value())
                    .put("lower", difference.lower())
                    .put("upper", difference.upper())
                    .put("strata_used", like.strataUsed().size());
        });
    }

    private static Reply likeForLike(Inputs in) {
        return Reply.of(
                LikeForLike.of(in.groupsByStratum(), in.confidence()),
                (reply, like) -> reply.put(
                                "arms",
                                like.groups().stream()
                                        .map(group -> Map.of(
                                                "standardised",
                                                        group.standardised().value(),
                                                "lower", group.standardised().lower(),
                                                "upper", group.standardised().upper()))
                                        .toList())
                        .put(
                                "pairs",
                                like.pairs().stream()
                                        .map(pair -> Map.of(
                                                "a", pair.first(),
                                                "b", pair.second(),
                                                "difference", pair.difference().value(),
                                                "lower", pair.difference().lower(),
                                                "upper", pair.difference().upper(),
                                                "p", pair.p()))
                                        .toList())
                        .put("strata_used", like.strataUsed().size()));
    }

    private static Reply directStandardisation(Inputs in) {
        return Reply.of(
                DirectStandardisation.of(in.strata(), in.confidence()),
                (reply, direct) -> reply.put("crude1", direct.recordedFirst().value())
                        .put("crude2", direct.recordedSecond().value())
                        .put("crude_difference", direct.recordedDifference())
                        .put("standardised1", direct.first())
                        .put("standardised2", direct.second())
                        .put("difference", direct.difference().value())
                        .put("lower", direct.difference().lower())
                        .put("upper", direct.difference().upper())
                        .put("reversal", direct.reversal())
                        .put("se", direct.standardError()));
    }

    private static Reply oddsRatioOverStrata(Inputs in) {
        return Reply.of(
                MantelHaenszel.ODDS_RATIO
                        .of(in.strata(), in.confidence())
                        .then(effect -> CochranMantelHaenszel.of(in.strata()).map(test -> Map.entry(effect, test))),
                (reply, both) -> reply.put(both.getKey().estimate())
                        .put("log_se", both.getKey().standardError())
                        .put("informative_strata", both.getKey().strataUsed())
                        .put("cmh_chi2", both.getValue().chi2())
                        .put("cmh_p", both.getValue().p())
                        .put("cmh_chi2_cc", both.getValue().corrected()));
    }

    private static Reply stratified(MantelHaenszel method, Inputs in) {
        return Reply.of(
                method.of(in.strata(), in.confidence()),
                (reply, effect) -> reply.put(effect.estimate()).put("se", effect.standardError()));
    }

    private static Reply breslowDay(Inputs in) {
        return Reply.of(
                BreslowDay.of(in.strata()),
                (reply, test) -> reply.put("chi2", test.chi2())
                        .put("p", test.p())
                        .put("tarone_chi2", test.tarone())
                        .put("tarone_p", test.taroneP())
                        .put("df", test.df()));
    }

    private static Reply balance(Answer<StandardisedDifference> answer) {
        return Reply.of(
                answer,
                (reply, difference) -> reply.put("smd", difference.value()).put("imbalanced", difference.imbalanced()));
    }

    private static Reply eValue(Inputs in) {
        EValue value = EValue.of(Estimate.of(in.number("rr"), in.number("lower"), in.number("upper")));
        return Reply.ok().put("estimate", value.estimate()).put("limit", value.limit());
    }

    private static Function<Inputs, Reply> logistic(LogisticRegression method) {
        return in -> Reply.of(
                method.of(in.covariatePatterns(), in.confidence()),
                (reply, model) -> putCoefficients(reply, model)
                        .put("se", each(model, Coefficient::standardError))
                        .put("penalised_loglik", model.logLikelihood()));
    }

    private static Reply maximumLikelihood(Inputs in) {
        return Reply.of(
                LogisticRegression.WALD.of(in.covariatePatterns(), in.confidence()),
                (reply, model) -> putCoefficients(reply, model)
                        .put("se", each(model, Coefficient::standardError))
                        .put("loglik", model.logLikelihood())
                        .put("wald_lower", each(model, c -> c.estimate().lower()))
                        .put("wald_upper", each(model, c -> c.estimate().upper())));
    }

    private static Reply clusterRobust(Inputs in) {
        return Reply.of(
                ClusterRobust.of(in.clusters(), in.confidence()),
                (reply, robust) -> putCoefficients(reply, robust.model())
                        .put("robust_se", each(robust.model(), Coefficient::standardError))
                        .put("clusters", robust.clusters()));
    }

    private static Reply standardisedRisk(Inputs in) {
        // The reference cases count the intercept as column 1.
        return Reply.of(
                StandardisedRisk.of(in.covariatePatterns(), in.integer("exposure_column") - 1, in.confidence()),
                (reply, risk) -> reply.put("risk1", risk.exposed().value())
                        .put("risk0", risk.unexposed().value())
                        .put("difference", risk.difference().value())
                        .put("lower", risk.difference().lower())
                        .put("upper", risk.difference().upper())
                        .put("se", risk.standardError()));
    }

    private static Reply putCoefficients(Reply reply, LogisticModel model) {
        return reply.put("coef", each(model, c -> c.estimate().value()))
                .put("lower", each(model, c -> c.estimate().lower()))
                .put("upper", each(model, c -> c.estimate().upper()))
                .put("p", each(model, Coefficient::p));
    }

    /** A figure of the intercept and of every covariate. */
    private static List<Double> each(LogisticModel model, ToDoubleFunction<Coefficient> figure) {
        return Stream.concat(Stream.of(model.intercept()), model.coefficients().stream())
                .map(coefficient -> figure.applyAsDouble(coefficient))
                .toList();
    }

    private static Reply logitTransform(Inputs in) {
        List<SiteEffect> sites = in.proportions().stream()
                .map(proportion -> SiteEffect.logit(proportion).orElseThrow())
                .toList();
        return Reply.ok()
                .put("yi", sites.stream().map(SiteEffect::effect).toList())
                .put("vi", sites.stream().map(SiteEffect::variance).toList());
    }

    private static Function<Inputs, Reply> pooled(RandomEffects method) {
        return in -> Reply.of(
                method.of(in.siteEffects(), in.confidence()),
                (reply, pooled) -> reply.put(pooled.estimate())
                        .put("se", pooled.standardError())
                        .put("tau2", pooled.tau2())
                        .put("q", pooled.q())
                        .put("q_p", pooled.qP())
                        .put("i2", pooled.i2()));
    }

    private static Reply hartungKnapp(Inputs in) {
        Answer<PooledEffect> shown = RandomEffects.HARTUNG_KNAPP.of(in.siteEffects(), in.confidence());
        return Reply.of(RandomEffects.HARTUNG_KNAPP_PLAIN.of(in.siteEffects(), in.confidence()), (reply, plain) -> {
            PooledEffect adhoc = shown.orElseThrow();
            reply.put(plain.estimate())
                    .put("se", plain.standardError())
                    .put("adhoc_se", adhoc.standardError())
                    .put("adhoc_lower", adhoc.estimate().lower())
                    .put("adhoc_upper", adhoc.estimate().upper())
                    .put("predict_lower", side(adhoc.prediction(), Interval::lower))
                    .put("predict_upper", side(adhoc.prediction(), Interval::upper));
        });
    }

    private static Reply kaplanMeier(Inputs in) {
        return Reply.of(
                KaplanMeier.of(in.observations(row -> true), in.confidence()),
                (reply, curve) -> reply.put("times", each(curve, KaplanMeier.Step::time))
                        .put("at_risk", each(curve, KaplanMeier.Step::atRisk))
                        .put("events", each(curve, KaplanMeier.Step::events))
                        .put("survival", each(curve, KaplanMeier.Step::survival))
                        .put("std_err", each(curve, KaplanMeier.Step::standardError))
                        .put("lower", each(curve, step -> side(step.limits(), Interval::lower)))
                        .put("upper", each(curve, step -> side(step.limits(), Interval::upper)))
                        .put("median", Reply.number(curve.median()))
                        .put("median_lower", Reply.number(curve.medianLower()))
                        .put("median_upper", Reply.number(curve.medianUpper())));
    }

    private static Reply logRank(Inputs in) {
        List<Integer> groups = in.integers("group");
        return Reply.of(
                LogRank.of(in.observations(row -> groups.get(row) == 1), in.observations(row -> groups.get(row) == 2)),
                (reply, test) -> reply.put("chi2", test.chi2())
                        .put("df", test.df())
                        .put("p", test.p())
                        .put("observed", List.of(test.observedFirst(), test.observedSecond()))
                        .put("expected", List.of(test.expectedFirst(), test.expectedSecond())));
    }

    private static List<@Nullable Object> each(
            KaplanMeier curve, Function<KaplanMeier.Step, ? extends @Nullable Object> figure) {
        List<@Nullable Object> result = new ArrayList<>();
        curve.steps().forEach(step -> result.add(figure.apply(step)));
        return result;
    }

    private static @Nullable Double side(Optional<Interval> interval, ToDoubleFunction<Interval> side) {
        return interval.isEmpty() ? null : (Double) side.applyAsDouble(interval.get());
    }
}
