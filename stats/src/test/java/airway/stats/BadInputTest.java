package airway.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;
import static org.junit.jupiter.params.provider.Arguments.argumentSet;

import airway.stats.chart.Autocorrelation;
import airway.stats.chart.Baseline;
import airway.stats.chart.CChart;
import airway.stats.chart.ControlConstants;
import airway.stats.chart.GChart;
import airway.stats.chart.LaneyChart;
import airway.stats.chart.Limits;
import airway.stats.chart.LogXmrChart;
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
import airway.stats.chart.ZoneRules;
import airway.stats.compare.ChiSquare;
import airway.stats.compare.ExactTest;
import airway.stats.compare.Multiplicity;
import airway.stats.compare.RankSum;
import airway.stats.compare.Shift;
import airway.stats.compare.WelchT;
import airway.stats.interval.DifferenceInterval;
import airway.stats.interval.MeanInterval;
import airway.stats.interval.MedianInterval;
import airway.stats.interval.NumberNeededToTreat;
import airway.stats.interval.OddsRatioInterval;
import airway.stats.interval.ProportionInterval;
import airway.stats.interval.RateInterval;
import airway.stats.interval.RateRatio;
import airway.stats.interval.RatioInterval;
import airway.stats.power.TwoProportions;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.OptionalDouble;
import java.util.function.Supplier;
import java.util.stream.Stream;
import org.assertj.core.api.ThrowableAssert.ThrowingCallable;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * What each public entry answers to input that is wrong, empty or extreme: a caller's mistake with the words it is told, a
 * refusal with its reason, or a number. Mistakes and refusals are house rules; the numbers are from R 4.2.2, the call beside
 * each.
 */
class BadInputTest {

    private static final Confidence LEVEL = Confidence.DEFAULT;
    private static final long MANY = 1_000_000_000;
    private static final Proportion NONE = new Proportion(0, 0);
    private static final Proportion SOME = new Proportion(3, 9);
    private static final Proportion LARGE = new Proportion(400_000_000, MANY);
    private static final Proportion SIMILAR = new Proportion(399_950_000, MANY);
    private static final Proportion ALL = new Proportion(500, 500);
    private static final Proportion NOTHING = new Proportion(0, 500);
    private static final Sample EMPTY = Sample.of();
    private static final Sample THREE = Sample.of(1, 2, 4);
    private static final Series NO_POINTS = Series.of();
    private static final Series TEN = Series.of(1, 2, 3, 4, 5, 6, 7, 8, 9, 10);

    static Stream<Arguments> mistakes() {
        return Stream.of(
                mistake("level 0", () -> new Confidence(0), "level = 0.0, must be in (0, 1)"),
                mistake("level 1", () -> new Confidence(1), "level = 1.0, must be in (0, 1)"),
                mistake("level NaN", () -> new Confidence(Double.NaN), "level = NaN, must be in (0, 1)"),
                mistake("a level that rounds to 1", () -> new Confidence(1 - 1e-300), "level = 1.0, must be in (0, 1)"),
                mistake("negative x", () -> new Proportion(-1, 3), "x = -1, must be in [0, 3]"),
                mistake("negative n", () -> new Proportion(0, -3), "n = -3, must be in [0, 1000000000]"),
                mistake("x > n", () -> new Proportion(4, 3), "x = 4, must be in [0, 3]"),
                mistake("x > n = 0", () -> new Proportion(1, 0), "x = 1, must be in [0, 0]"),
                mistake("n > 10^9", () -> new Proportion(1, MANY + 1), "n = 1000000001, must be in [0, 1000000000]"),
                mistake("negative events", () -> new Rate(-1, 1), "events = -1, must be in [0, 1000000000]"),
                mistake(
                        "events > 10^9",
                        () -> new Rate(MANY + 1, 1),
                        "events = 1000000001, must be in [0, 1000000000]"),
                mistake("negative exposure", () -> new Rate(1, -1), "exposure = -1.0, must be 0 or in [1e-9, 1e12]"),
                mistake("exposure NaN", () -> new Rate(1, Double.NaN), "exposure = NaN, must be 0 or in [1e-9, 1e12]"),
                mistake(
                        "exposure 1e-300",
                        () -> new Rate(1, 1e-300),
                        "exposure = 1.0E-300, must be 0 or in [1e-9, 1e12]"),
                mistake("observation NaN", () -> Sample.of(1, Double.NaN), "value = NaN, must be in [-1e100, 1e100]"),
                mistake(
                        "infinite observation",
                        () -> Sample.of(Double.NEGATIVE_INFINITY),
                        "value = -Infinity, must be in [-1e100, 1e100]"),
                mistake(
                        "point NaN",
                        () -> Series.of(Double.NaN),
                        "value 1 = NaN, must be missing or in [-1e100, 1e100]"),
                mistake(
                        "point of a function NaN",
                        () -> Series.numbered(2, number -> OptionalDouble.of(number / 0.0)),
                        "value 1 = Infinity, must be missing or in [-1e100, 1e100]"),
                mistake(
                        "interval upside down",
                        () -> new Interval(2, 1),
                        "lower = 2.0, upper = 1.0, must be lower <= upper"),
                mistake("estimate NaN", () -> Estimate.of(Double.NaN, 0, 1), "value = NaN, must be a number"),
                mistake("quantile of NaN", () -> THREE.quantiles(Double.NaN), "probability = NaN, must be in [0, 1]"),
                mistake("quantile of -0.1", () -> THREE.quantiles(-0.1), "probability = -0.1, must be in [0, 1]"),
                mistake(
                        "negative observed events",
                        () -> RateInterval.observedOverExpected(-1, 2, LEVEL),
                        "events = -1, must be in [0, 1000000000]"),
                mistake(
                        "expected events NaN",
                        () -> RateInterval.observedOverExpected(1, Double.NaN, LEVEL),
                        "exposure = NaN, must be 0 or in [1e-9, 1e12]"),
                mistake(
                        "Boschloo of 10^9 cases",
                        () -> ExactTest.BOSCHLOO.of(LARGE, SOME),
                        "n = 1000000000, must be in [0, 10000]"),
                mistake(
                        "p-value NaN",
                        () -> Multiplicity.HOLM.adjust(List.of(OptionalDouble.of(Double.NaN))),
                        "p-value 1 = NaN, must be in [0, 1]"),
                mistake(
                        "p-value -0.1",
                        () -> Multiplicity.BENJAMINI_HOCHBERG.adjust(List.of(p(0.2), p(-0.1))),
                        "p-value 2 = -0.1, must be in [0, 1]"),
                mistake(
                        "planned p NaN",
                        () -> new TwoProportions(Double.NaN, 0.5, LEVEL),
                        "p1 = NaN, must be in [0, 1]"),
                mistake("planned p 1.1", () -> new TwoProportions(0.5, 1.1, LEVEL), "p2 = 1.1, must be in [0, 1]"),
                mistake("power 1", () -> plan().sampleSize(1, 1), "power = 1.0, must be in (0.050000000000000044, 1)"),
                mistake("ratio of groups 0", () -> plan().sampleSize(0.8, 0), "ratio = 0.0, must be in [0.001, 1000]"),
                mistake("power of 0 cases", () -> plan().power(0), "casesPerGroup = 0, must be in [1, 1000000000]"),
                mistake(
                        "negative count",
                        () -> CChart.of(Series.of(1, -1), all(2)),
                        "count = -1.0, must be a whole number of 0 or more"),
                mistake(
                        "half a case between events",
                        () -> GChart.of(Series.of(0.5), all(1), GChart.Kind.PROBABILITY),
                        "count = 0.5, must be a whole number of 0 or more"),
                mistake(
                        "an impossible value",
                        () -> XmrChart.of(Series.of(101), all(1), new Interval(0, 100)),
                        "value = 101.0, must be in [0.0, 100.0]"),
                mistake(
                        "phases of no point",
                        () -> PhasedPChart.of(List.of(), List.of(1)),
                        "starts = [1], must be rising and in [1, 0]"),
                mistake("a baseline from 0", () -> new Baseline(0, 5), "first = 0, must be 1 or more"),
                mistake("a baseline backwards", () -> new Baseline(5, 3), "last = 3, must be 4 or more"),
                mistake(
                        "a baseline beyond the points",
                        () -> PChart.of(List.of(SOME), all(2)),
                        "last = 2, must be in [0, 1]"),
                mistake(
                        "limits upside down",
                        () -> new Limits(2, 1.5, 1),
                        "lower = 2.0, upper = 1.0, must be lower <= upper"),
                mistake("run limits of no point", () -> RunLimits.of(0), "useful = 0, must be 1 or more"),
                mistake(
                        "run counts of no point",
                        () -> RunCountLimits.of(0, 0, 0.025),
                        "above = 0, below = 0, must be 0 or more and not both 0"),
                mistake(
                        "run counts at a tail of NaN",
                        () -> RunCountLimits.of(3, 3, Double.NaN),
                        "eachTail = NaN, must be in (0, 0.5)"),
                mistake("sigma 0", () -> ZoneRules.of(TEN, 5, 0), "sigma = 0.0, must be above 0 and finite"),
                mistake("centre NaN", () -> ZoneRules.of(TEN, Double.NaN, 1), "centre = NaN, must be finite"),
                mistake("constants of groups of one", () -> ControlConstants.of(1), "n = 1, must be in [2, 100]"));
    }

    @ParameterizedTest
    @MethodSource("mistakes")
    void tellsTheCallerWhatIsWrong(ThrowingCallable call, String message) {
        assertThatIllegalArgumentException().isThrownBy(call).withMessage(message);
    }

    static Stream<Arguments> refusals() {
        return Stream.of(
                        Stream.of(ProportionInterval.values())
                                .map(method -> refusal(method, () -> method.of(NONE, LEVEL), Reason.NO_DATA)),
                        Stream.of(DifferenceInterval.values())
                                .flatMap(method -> bothWays(method, method::of, Reason.ONE_GROUP_EMPTY)),
                        Stream.of(RatioInterval.values())
                                .flatMap(method -> bothWays(method, method::of, Reason.ONE_GROUP_EMPTY)),
                        bothWays("WOOLF", OddsRatioInterval.WOOLF::of, Reason.ONE_GROUP_EMPTY),
                        bothWays("CONDITIONAL_EXACT", OddsRatioInterval.CONDITIONAL_EXACT::of, Reason.NO_VARIATION),
                        bothWays("number needed to treat", NumberNeededToTreat::newcombe, Reason.ONE_GROUP_EMPTY),
                        bothWays("chi-square", (a, b, level) -> ChiSquare.of(a, b), Reason.ONE_GROUP_EMPTY),
                        Stream.of(ExactTest.values())
                                .flatMap(
                                        test -> bothWays(test, (a, b, level) -> test.of(a, b), Reason.ONE_GROUP_EMPTY)),
                        emptySamples(),
                        emptyCharts(),
                        Stream.of(
                                refusal(
                                        "zero and ratio",
                                        () -> RatioInterval.KATZ_LOG.of(SOME, NOTHING, LEVEL),
                                        Reason.ZERO_CELL),
                                refusal(
                                        "zero and odds",
                                        () -> OddsRatioInterval.WOOLF.of(ALL, SOME, LEVEL),
                                        Reason.ZERO_CELL),
                                refusal(
                                        "the same twice",
                                        () -> NumberNeededToTreat.newcombe(LARGE, LARGE, LEVEL),
                                        Reason.CI_SPANS_NULL),
                                refusal(
                                        "nothing in both",
                                        () -> ExactTest.BOSCHLOO.of(NOTHING, NOTHING),
                                        Reason.NO_VARIATION),
                                refusal("everything in both", () -> ChiSquare.of(ALL, ALL), Reason.NO_VARIATION),
                                refusal("no exposure", () -> RateInterval.exact(new Rate(0, 0), LEVEL), Reason.NO_DATA),
                                refusal(
                                        "no exposure in one group",
                                        () -> RateRatio.exact(new Rate(1, 0), new Rate(1, 1), LEVEL),
                                        Reason.ONE_GROUP_EMPTY),
                                refusal(
                                        "no events in both groups",
                                        () -> RateRatio.exact(new Rate(0, 1), new Rate(0, 1), LEVEL),
                                        Reason.NO_VARIATION),
                                refusal(
                                        "none expected",
                                        () -> RateInterval.observedOverExpected(1, 0, LEVEL),
                                        Reason.INVALID_INPUT),
                                refusal("no p-value", () -> Multiplicity.HOLM.adjust(List.of()), Reason.NO_DATA),
                                refusal(
                                        "a difference of 1e-300",
                                        () -> new TwoProportions(0, 1e-300, LEVEL).sampleSize(0.8, 1),
                                        Reason.INVALID_INPUT),
                                refusal(
                                        "a negative time",
                                        () -> TChart.of(Series.of(-1), all(1)),
                                        Reason.INVALID_INPUT),
                                refusal(
                                        "a logarithm of 0",
                                        () -> LogXmrChart.of(Series.of(0), all(1)),
                                        Reason.INVALID_INPUT),
                                refusal(
                                        "a chart of 10^9 failures",
                                        () -> PChart.of(Collections.nCopies(10, new Proportion(0, MANY))),
                                        Reason.ZERO_WIDTH_LIMITS)))
                .flatMap(rows -> rows);
    }

    private static Stream<Arguments> emptySamples() {
        return Stream.of(
                refusal("mean of none", () -> MeanInterval.student(EMPTY, LEVEL), Reason.NO_DATA),
                refusal("mean of one", () -> MeanInterval.student(Sample.of(1), LEVEL), Reason.TOO_FEW_OBSERVATIONS),
                refusal("mean of alike", () -> MeanInterval.student(Sample.of(1, 1), LEVEL), Reason.NO_VARIATION),
                refusal("median of none", () -> MedianInterval.of(EMPTY, LEVEL), Reason.NO_DATA),
                refusal("median of three", () -> MedianInterval.of(THREE, LEVEL), Reason.TOO_FEW_OBSERVATIONS),
                refusal("quantiles of none", () -> EMPTY.quantiles(0.5), Reason.NO_DATA),
                refusal("Welch, first empty", () -> WelchT.of(EMPTY, THREE, LEVEL), Reason.ONE_GROUP_EMPTY),
                refusal("Welch, second empty", () -> WelchT.of(THREE, EMPTY, LEVEL), Reason.ONE_GROUP_EMPTY),
                refusal("ranks, first empty", () -> RankSum.of(EMPTY, THREE), Reason.ONE_GROUP_EMPTY),
                refusal("ranks, second empty", () -> RankSum.of(THREE, EMPTY), Reason.ONE_GROUP_EMPTY),
                refusal("shift, first empty", () -> Shift.of(EMPTY, THREE, LEVEL), Reason.ONE_GROUP_EMPTY),
                refusal("shift, second empty", () -> Shift.of(THREE, EMPTY, LEVEL), Reason.ONE_GROUP_EMPTY));
    }

    private static Stream<Arguments> emptyCharts() {
        return Stream.of(
                refusal("p chart", () -> PChart.of(List.of()), Reason.NO_DATA),
                refusal("p chart of gaps", () -> PChart.of(Collections.nCopies(12, NONE)), Reason.NO_DATA),
                refusal("p chart of one", () -> PChart.of(List.of(SOME)), Reason.TOO_FEW_POINTS),
                refusal("p′ chart", () -> LaneyChart.ofProportions(List.of(), all(0)), Reason.NO_DATA),
                refusal("u chart", () -> UChart.of(List.of()), Reason.NO_DATA),
                refusal("u′ chart", () -> LaneyChart.ofRates(List.of(), all(0)), Reason.NO_DATA),
                refusal("c chart", () -> CChart.of(NO_POINTS, all(0)), Reason.NO_DATA),
                refusal("g chart", () -> GChart.of(NO_POINTS, all(0), GChart.Kind.THREE_SIGMA), Reason.NO_DATA),
                refusal("t chart", () -> TChart.of(NO_POINTS, all(0)), Reason.NO_DATA),
                refusal("logarithms", () -> LogXmrChart.of(NO_POINTS, all(0)), Reason.NO_DATA),
                refusal("individuals", () -> XmrChart.of(NO_POINTS, all(0), XmrChart.UNBOUNDED), Reason.NO_DATA),
                refusal("means", () -> XbarSChart.of(List.of(), all(0)), Reason.NO_DATA),
                refusal("means of nothing", () -> XbarSChart.of(List.of(EMPTY, EMPTY), all(2)), Reason.NO_DATA),
                refusal("run chart", () -> RunChart.of(NO_POINTS), Reason.NO_DATA),
                refusal(
                        "run chart of alike",
                        () -> RunChart.of(Series.of(new double[20])),
                        Reason.TOO_FEW_USEFUL_POINTS),
                refusal("sensitive run chart", () -> SensitiveRunChart.of(NO_POINTS), Reason.NO_DATA),
                refusal("autocorrelation", () -> Autocorrelation.of(NO_POINTS), Reason.NO_DATA),
                refusal(
                        "autocorrelation of alike",
                        () -> Autocorrelation.of(Series.of(new double[10])),
                        Reason.NO_VARIATION));
    }

    @ParameterizedTest
    @MethodSource("refusals")
    void refusesWithTheReason(Supplier<Answer<?>> question, Reason reason) {
        assertThat(question.get())
                .isInstanceOfSatisfying(
                        Answer.Refused.class,
                        refused -> assertThat(refused.reason()).isEqualTo(reason));
    }

    static Stream<Arguments> extremes() {
        return Stream.of(
                // prop.test(4e8, 1e9, correct = FALSE)
                limits(
                        "Wilson of 10^9",
                        () -> ProportionInterval.WILSON.of(LARGE, LEVEL),
                        0.4,
                        0.3999696367527,
                        0.4000303640156),
                // Newcombe 1998a, method 4, typed into R
                limits(
                        "corrected Wilson of 10^9",
                        () -> ProportionInterval.WILSON_CC.of(LARGE, LEVEL),
                        0.4,
                        0.3999696362527,
                        0.4000303645156),
                // binom.test(4e8, 1e9)
                limits(
                        "exact interval of 10^9",
                        () -> ProportionInterval.CLOPPER_PEARSON.of(LARGE, LEVEL),
                        0.4,
                        0.399969636158,
                        0.4000303644209),
                // qbeta(c(.025, .975), 4e8 + .5, 6e8 + .5)
                limits(
                        "Jeffreys of 10^9",
                        () -> ProportionInterval.JEFFREYS.of(LARGE, LEVEL),
                        0.4,
                        0.399969636658,
                        0.4000303639209),
                // -expm1(log(.025) / 1e9)
                limits(
                        "exact interval of 0 of 10^9",
                        () -> ProportionInterval.CLOPPER_PEARSON.of(new Proportion(0, MANY), LEVEL),
                        0,
                        0,
                        3.68887944731e-09),
                // The Wilson limits of prop.test, combined by squares
                limits(
                        "Newcombe of 10^9",
                        () -> DifferenceInterval.NEWCOMBE.of(LARGE, SIMILAR, LEVEL),
                        5e-5,
                        7.059787908894e-06,
                        9.294021183079e-05),
                // exp(log(x / y) + c(-1, 1) * z * sqrt(1/x - 1/n + 1/y - 1/n))
                extreme(
                        "ratio of 10^9",
                        () -> {
                            var ratio = RatioInterval.KATZ_LOG
                                    .of(LARGE, SIMILAR, LEVEL)
                                    .orElseThrow();
                            return numbers(
                                    ratio.value().orElseThrow(),
                                    ratio.interval().lower(),
                                    ratio.interval().upper());
                        },
                        1.000125015627,
                        1.000017650729,
                        1.000232392052),
                limits(
                        "odds ratio of 10^9",
                        () -> OddsRatioInterval.WOOLF.of(LARGE, SIMILAR, LEVEL),
                        1.000208359378,
                        1.000029416828,
                        1.000387333948),
                limits(
                        "number needed to treat of 10^9",
                        () -> NumberNeededToTreat.newcombe(LARGE, SIMILAR, LEVEL),
                        20_000,
                        1 / 9.294021183079e-05,
                        1 / 7.059787908894e-06),
                // chisq.test(correct = FALSE)
                extreme(
                        "chi-square of 10^9",
                        () -> {
                            var test = ChiSquare.of(LARGE, SIMILAR).orElseThrow();
                            return numbers(test.chi2(), test.p());
                        },
                        5.208441856102,
                        0.02247747025429),
                // poisson.test(1e9, 1)
                limits(
                        "rate of 10^9 events",
                        () -> RateInterval.exact(new Rate(MANY, 1), LEVEL),
                        1e9,
                        999938021.4439,
                        1000061981.45),
                // b <- binom.test(1e9, 2e9)$conf.int; b / (1 - b)
                extreme(
                        "ratio of rates of 10^9 events",
                        () -> {
                            var rates = new Rate(MANY, 1);
                            var ratio = RateRatio.exact(rates, rates, LEVEL).orElseThrow();
                            return numbers(
                                    ratio.estimate().lower(), ratio.estimate().upper(), ratio.p());
                        },
                        0.9999123505874,
                        1.000087657096,
                        1),
                // t.test(c(-1e100, 0, 1e100))
                limits(
                        "mean of 1e100",
                        () -> MeanInterval.student(Sample.of(-1e100, 0, 1e100), LEVEL),
                        0,
                        -2.48413771175e+100,
                        2.48413771175e+100),
                // 2 / choose(1000, 500): only this table and its mirror image are as extreme.
                extreme(
                        "Fisher near 1e-300",
                        () -> numbers(ExactTest.FISHER.of(ALL, NOTHING).orElseThrow()),
                        7.399507995629e-300),
                extreme(
                        "mid-p near 1e-300",
                        () -> numbers(ExactTest.FISHER_MIDP.of(ALL, NOTHING).orElseThrow()),
                        7.399507995629e-300 * 3 / 4),
                // The same two tables at p = 1/2: 2 (1/2)^1000.
                extreme(
                        "Boschloo near 1e-300",
                        () -> numbers(ExactTest.BOSCHLOO.of(ALL, NOTHING).orElseThrow()),
                        Math.pow(2, -999)),
                // pchisq(1000, 1, lower.tail = FALSE)
                extreme(
                        "chi-square of 1000",
                        () -> numbers(ChiSquare.of(ALL, NOTHING).orElseThrow().p()),
                        1.795832784801e-219),
                // Two-sided: 2 (1/2)^1000.
                extreme(
                        "rates that differ at 1e-300",
                        () -> numbers(RateRatio.exact(new Rate(1000, 1), new Rate(0, 1), LEVEL)
                                .orElseThrow()
                                .p()),
                        Math.pow(2, -999)),
                // p.adjust(c(1e-300, .5), "holm") and "BH"
                extreme("Holm at 1e-300", () -> adjusted(Multiplicity.HOLM), 2e-300, 0.5),
                extreme("Benjamini-Hochberg at 1e-300", () -> adjusted(Multiplicity.BENJAMINI_HOCHBERG), 2e-300, 0.5),
                // pnorm((sqrt(1e9) * 1e-4 - z * sqrt(2 * .50005 * .49995)) / sqrt(.25 + .5001 * .4999))
                extreme(
                        "power of 10^9 cases",
                        () -> numbers(new TwoProportions(0.5, 0.5001, LEVEL).power(MANY)),
                        0.9940004705797),
                // The formula of Fleiss typed into R
                extreme(
                        "cases for a proportion of 1e-300",
                        () -> numbers(new TwoProportions(1e-300, 0.1, LEVEL)
                                .sampleSize(0.8, 1)
                                .orElseThrow()
                                .exact()),
                        73.3742730467),
                // t.test(c(1e9, 1e9 + 1, 1e9 + 2), c(0, 1, 2))
                extreme(
                        "Welch of 10^9",
                        () -> {
                            var test = WelchT.of(Sample.of(1e9, 1e9 + 1, 1e9 + 2), Sample.of(0, 1, 2), LEVEL)
                                    .orElseThrow();
                            return numbers(
                                    test.t(),
                                    test.df(),
                                    test.p(),
                                    test.difference().lower(),
                                    test.difference().upper());
                        },
                        1224744871.392,
                        4,
                        2.666666666667e-36,
                        999999997.733,
                        1000000002.267),
                // sqrt(.4 * .6 / 1e9): ten points alike
                extreme(
                        "p chart of 10^9",
                        () -> {
                            var limits = PChart.of(Collections.nCopies(10, LARGE))
                                    .orElseThrow()
                                    .chart()
                                    .points()
                                    .get(0)
                                    .limits()
                                    .orElseThrow();
                            return numbers(limits.lower(), limits.centre(), limits.upper());
                        },
                        0.4 - 3 * 1.549193338483e-05,
                        0.4,
                        0.4 + 3 * 1.549193338483e-05),
                // 1e9 - 3 sqrt(1e9) and 1e9 + 3 sqrt(1e9)
                extreme(
                        "c chart of 10^9",
                        () -> {
                            double[] counts = new double[10];
                            Arrays.fill(counts, 1e9);
                            var limits = CChart.of(Series.of(counts), all(10))
                                    .orElseThrow()
                                    .chart()
                                    .points()
                                    .get(0)
                                    .limits()
                                    .orElseThrow();
                            return numbers(limits.lower(), limits.upper());
                        },
                        1e9 - 94868.32980505,
                        1e9 + 94868.32980505));
    }

    /** Figures agree to eight digits. */
    @ParameterizedTest
    @MethodSource("extremes")
    void givesTheNumberOfAnExtreme(Supplier<double[]> question, double[] expected) {
        double[] answer = question.get();
        assertThat(answer).hasSameSizeAs(expected);
        for (int i = 0; i < answer.length; i++) {
            assertThat(answer[i]).isCloseTo(expected[i], within(1e-8 * Math.abs(expected[i])));
        }
    }

    private interface TwoGroups {
        Answer<?> of(Proportion first, Proportion second, Confidence level);
    }

    private static Stream<Arguments> bothWays(Object method, TwoGroups question, Reason reason) {
        return Stream.of(
                refusal(method + ", first empty", () -> question.of(NONE, SOME, LEVEL), reason),
                refusal(method + ", second empty", () -> question.of(SOME, NONE, LEVEL), reason));
    }

    private static Arguments mistake(String name, ThrowingCallable call, String message) {
        return argumentSet(name, call, message);
    }

    private static Arguments refusal(Object name, Supplier<Answer<?>> question, Reason reason) {
        return argumentSet(name.toString(), question, reason);
    }

    private static Arguments limits(String name, Supplier<Answer<Estimate>> question, double... expected) {
        return extreme(
                name,
                () -> {
                    Estimate estimate = question.get().orElseThrow();
                    return numbers(estimate.value(), estimate.lower(), estimate.upper());
                },
                expected);
    }

    private static Arguments extreme(String name, Supplier<double[]> question, double... expected) {
        return argumentSet(name, question, expected);
    }

    private static double[] numbers(double... numbers) {
        return numbers;
    }

    private static double[] adjusted(Multiplicity method) {
        return method.adjust(List.of(p(1e-300), p(0.5))).orElseThrow().stream()
                .mapToDouble(OptionalDouble::orElseThrow)
                .toArray();
    }

    private static OptionalDouble p(double value) {
        return OptionalDouble.of(value);
    }

    private static Baseline all(int points) {
        return Baseline.all(points);
    }

    private static TwoProportions plan() {
        return new TwoProportions(0.7, 0.85, LEVEL);
    }
}
