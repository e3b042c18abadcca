package airway.stats;

import static org.assertj.core.api.Assertions.assertThat;

import airway.stats.chart.Autocorrelation;
import airway.stats.chart.Baseline;
import airway.stats.chart.CChart;
import airway.stats.chart.GChart;
import airway.stats.chart.LaneyChart;
import airway.stats.chart.LogXmrChart;
import airway.stats.chart.PChart;
import airway.stats.chart.PhasedPChart;
import airway.stats.chart.RunChart;
import airway.stats.chart.SensitiveRunChart;
import airway.stats.chart.TChart;
import airway.stats.chart.UChart;
import airway.stats.chart.XbarSChart;
import airway.stats.chart.XmrChart;
import airway.stats.chart.ZoneRule;
import airway.stats.compare.ChiSquare;
import airway.stats.compare.ExactTest;
import airway.stats.compare.Multiplicity;
import airway.stats.compare.RankSum;
import airway.stats.compare.Shift;
import airway.stats.compare.WelchT;
import airway.stats.funnel.FunnelPlot;
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
import airway.stats.pooling.RandomEffects;
import airway.stats.pooling.SiteEffect;
import airway.stats.power.TwoPeriods;
import airway.stats.power.TwoProportions;
import airway.stats.regression.ClusterRobust;
import airway.stats.regression.CovariatePatterns;
import airway.stats.regression.LogisticRegression;
import airway.stats.regression.StandardisedRisk;
import airway.stats.sequential.AfterSignal;
import airway.stats.sequential.BernoulliCusum;
import airway.stats.sequential.ConfidenceSequence;
import airway.stats.sequential.CusumDesign;
import airway.stats.sequential.Ewma;
import airway.stats.sequential.EwmaDesign;
import airway.stats.sequential.Hypotheses;
import airway.stats.sequential.LcCusum;
import airway.stats.sequential.LearningCurve;
import airway.stats.sequential.Outcome;
import airway.stats.sequential.PredictedCase;
import airway.stats.sequential.RiskAdjustedCusum;
import airway.stats.sequential.TabularCusum;
import airway.stats.sequential.TabularCusumDesign;
import airway.stats.sequential.Vlad;
import airway.stats.sequential.Watch;
import airway.stats.strata.BreslowDay;
import airway.stats.strata.CochranMantelHaenszel;
import airway.stats.strata.DirectStandardisation;
import airway.stats.strata.EValue;
import airway.stats.strata.LikeForLike;
import airway.stats.strata.MantelHaenszel;
import airway.stats.strata.StandardisedDifference;
import airway.stats.strata.Stratum;
import airway.stats.survival.KaplanMeier;
import airway.stats.survival.LogRank;
import airway.stats.survival.Observation;
import java.lang.reflect.Method;
import java.lang.reflect.RecordComponent;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.function.Function;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Odd inputs, drawn with a fixed seed: no method throws anything but {@link IllegalArgumentException}, and no number in an
 * answer is NaN.
 */
class SoundnessTest {

    private static final double[] ODD = {
        0, 1, -1, 0.5, 1e-9, 1e-300, 1e9, 1e15, -1e99, 1e100, 2e100, Double.NaN, Double.POSITIVE_INFINITY, 100, 3.6
    };
    private static final long[] COUNTS = {0, 1, 2, 3, 7, 20, 100, 999, 1_000_000, 1_000_000_000, -1};
    private static final double[] LEVELS = {1e-20, 1e-9, 0.5, 0.8, 0.95, 0.99, 0.999999, 1 - 1e-16, 1, Double.NaN};

    static Stream<Arguments> methods() {
        return Stream.of(
                method(60, random -> ask(ProportionInterval.values(), m -> m.of(proportion(random), level(random)))),
                method(60, random -> {
                    Proportion first = proportion(random);
                    Proportion second = proportion(random);
                    Confidence level = level(random);
                    return List.of(
                            ask(DifferenceInterval.values(), m -> m.of(first, second, level)),
                            ask(RatioInterval.values(), m -> m.of(first, second, level)),
                            NumberNeededToTreat.newcombe(first, second, level),
                            ChiSquare.of(first, second),
                            ExactTest.FISHER.of(first, second),
                            ExactTest.FISHER_MIDP.of(first, second),
                            OddsRatioInterval.WOOLF.of(first, second, level));
                }),
                method(80, random -> {
                    Proportion first = small(random);
                    Proportion second = small(random);
                    return List.of(
                            OddsRatioInterval.CONDITIONAL_EXACT.of(first, second, level(random)),
                            ExactTest.BOSCHLOO.of(first, second));
                }),
                method(300, random -> {
                    Rate first = rate(random);
                    Rate second = rate(random);
                    return List.of(
                            RateInterval.exact(first, level(random)),
                            RateRatio.exact(first, second, level(random)),
                            RateInterval.observedOverExpected(count(random), odd(random), level(random)));
                }),
                method(300, random -> {
                    Sample first = sample(random);
                    Sample second = sample(random);
                    return List.of(
                            MeanInterval.student(first, level(random)),
                            MedianInterval.of(first, level(random)),
                            first.quantiles(0, random.nextDouble(), 1),
                            WelchT.of(first, second, level(random)),
                            RankSum.of(first, second),
                            Shift.of(first, second, level(random)));
                }),
                method(300, random -> {
                    List<OptionalDouble> p = new ArrayList<>();
                    for (int i = random.nextInt(6); i > 0; i--) {
                        p.add(random.nextBoolean() ? OptionalDouble.of(random.nextDouble()) : OptionalDouble.empty());
                    }
                    return ask(Multiplicity.values(), m -> m.adjust(p));
                }),
                method(300, random -> {
                    var plan = new TwoProportions(odd(random) / 2, random.nextDouble(), level(random));
                    return List.of(plan.power(count(random)), plan.sampleSize(random.nextDouble(), odd(random)));
                }),
                method(200, random -> {
                    List<Proportion> points = draw(random, SoundnessTest::proportion);
                    return List.of(
                            PChart.of(points),
                            PChart.of(points, baseline(random)),
                            LaneyChart.ofProportions(points, baseline(random)),
                            PhasedPChart.of(points, List.of(1, 1 + random.nextInt(30))));
                }),
                method(200, random -> {
                    List<Rate> points = draw(random, SoundnessTest::rate);
                    return List.of(UChart.of(points), LaneyChart.ofRates(points, Baseline.all(points.size())));
                }),
                method(300, random -> {
                    Series values = series(random);
                    Baseline all = Baseline.all(values.size());
                    return List.of(
                            XmrChart.of(values, all, XmrChart.UNBOUNDED),
                            RunChart.of(values),
                            SensitiveRunChart.of(values),
                            Autocorrelation.of(values),
                            TChart.of(values, all),
                            LogXmrChart.of(values, all));
                }),
                method(200, random -> {
                    Series counts = counts(random);
                    Baseline all = Baseline.all(counts.size());
                    return List.of(
                            CChart.of(counts, all),
                            GChart.of(counts, all, GChart.Kind.PROBABILITY),
                            GChart.of(counts, all, GChart.Kind.THREE_SIGMA));
                }),
                method(300, random -> {
                    var hypotheses = new Hypotheses(
                            random.nextInt(4) == 0 ? odd(random) : random.nextDouble(), random.nextDouble());
                    var design = new CusumDesign(hypotheses, 10 * random.nextDouble());
                    List<Outcome> outcomes = outcomes(random);
                    return List.of(
                            design.inControl(),
                            design.outOfControl(),
                            design.runLength(0),
                            design.signalWithin(random.nextInt(50), random.nextDouble()),
                            ask(AfterSignal.values(), after -> BernoulliCusum.of(outcomes, design, after)),
                            LearningCurve.of(
                                    outcomes,
                                    Hypotheses.oddsChanged(0.1, 2),
                                    random.nextInt(4) == 0 ? odd(random) : 0.1,
                                    0.1));
                }),
                method(300, random -> {
                    List<PredictedCase> cases =
                            draw(random, one -> new PredictedCase(outcome(one), one.nextInt(5) == 0 ? odd(one) : 0.3));
                    return List.of(
                            Vlad.of(cases),
                            RiskAdjustedCusum.of(cases, odd(random), 3, AfterSignal.RESTART),
                            LcCusum.of(outcomes(random), 0.1, 0.2 + odd(random), odd(random)));
                }),
                method(400, random -> {
                    Series values = series(random);
                    return List.of(
                            TabularCusum.of(
                                    values, odd(random), new TabularCusumDesign(random.nextDouble(), odd(random))),
                            Ewma.of(values, odd(random), odd(random), EwmaDesign.DEFAULT, Ewma.Width.EXACT));
                }),
                method(
                        60,
                        random -> List.of(
                                new TabularCusumDesign(5 * random.nextDouble(), 5 * random.nextDouble())
                                        .runLength(odd(random), 1),
                                new EwmaDesign(random.nextDouble(), 5 * random.nextDouble()).runLength(odd(random)),
                                ZoneRule.runLength(Set.of(ZoneRule.TWO_OF_THREE), odd(random)))),
                method(200, random -> {
                    List<Proportion> units = draw(random, SoundnessTest::proportion);
                    return List.of(
                            FunnelPlot.of(units),
                            FunnelPlot.of(units, random.nextDouble()),
                            Overdispersion.of(units, 0.1),
                            Ewma.ofProportions(units, random.nextDouble(), EwmaDesign.DEFAULT),
                            ConfidenceSequence.of(proportion(random), level(random)));
                }),
                method(60, random -> {
                    var periods = new TwoPeriods(
                            count(random) % 1_000, random.nextInt(60), random.nextInt(5) / 4.0, Confidence.DEFAULT);
                    var watch =
                            new Watch(random.nextInt(300), new Hypotheses(random.nextDouble(), random.nextDouble()));
                    return List.of(
                            periods.smallestChange(random.nextDouble(0.5, 1)),
                            watch.cusum(),
                            watch.pChart(),
                            watch.ewma(EwmaDesign.DEFAULT));
                }),
                method(200, random -> {
                    List<Sample> groups = draw(random, SoundnessTest::sample);
                    return XbarSChart.of(groups, Baseline.all(groups.size()));
                }),
                method(200, random -> {
                    List<Stratum> strata = draw(random, r -> new Stratum(proportion(r), proportion(r)));
                    Confidence level = level(random);
                    return List.of(
                            ask(MantelHaenszel.values(), m -> m.of(strata, level)),
                            DirectStandardisation.of(strata, level),
                            LikeForLike.ofTwo(strata, level),
                            CochranMantelHaenszel.of(strata),
                            BreslowDay.of(strata));
                }),
                method(200, random -> {
                    return List.of(
                            StandardisedDifference.ofProportions(proportion(random), proportion(random)),
                            StandardisedDifference.ofMeans(sample(random), sample(random)),
                            EValue.of(Estimate.of(Math.abs(odd(random)), 0, Math.abs(odd(random)))));
                }),
                method(150, random -> {
                    int covariates = random.nextInt(4);
                    List<CovariatePatterns> tables = new ArrayList<>();
                    for (int g = random.nextInt(1, 15); g > 0; g--) {
                        tables.add(patterns(covariates, random));
                    }
                    Confidence level = level(random);
                    return List.of(
                            ask(LogisticRegression.values(), m -> m.of(tables.get(0), level)),
                            ClusterRobust.of(tables, level));
                }),
                method(150, random -> StandardisedRisk.of(patterns(2, random), 1, level(random))),
                method(300, random -> {
                    List<SiteEffect> sites =
                            draw(random, r -> new SiteEffect(Math.min(1e6, odd(r)), Math.min(1e12, odd(r))));
                    Confidence level = level(random);
                    return ask(RandomEffects.values(), m -> m.of(sites, level));
                }),
                method(300, random -> {
                    List<Observation> first = draw(random, SoundnessTest::observation);
                    List<Observation> second = draw(random, SoundnessTest::observation);
                    return List.of(KaplanMeier.of(first, level(random)), LogRank.of(first, second));
                }));
    }

    /** Up to twenty patterns; at times with values far apart. */
    private static CovariatePatterns patterns(int covariates, SplittableRandom random) {
        var patterns = CovariatePatterns.of(covariates);
        boolean tame = random.nextInt(4) > 0;
        for (int i = random.nextInt(20); i > 0; i--) {
            patterns.add(
                    tame ? small(random) : proportion(random),
                    random.doubles(covariates)
                            .map(u -> tame ? Math.rint(2 * u) / 2 : Math.min(1e9, ODD[(int) (u * 8)]))
                            .toArray());
        }
        return patterns.build();
    }

    private static Observation observation(SplittableRandom random) {
        boolean tame = random.nextInt(4) > 0;
        return new Observation(tame ? random.nextInt(9) : Math.min(1e12, odd(random)), random.nextBoolean());
    }

    @ParameterizedTest
    @MethodSource("methods")
    void answersOddInputsWithNumbersOrNotAtAll(int draws, Function<SplittableRandom, Object> question) {
        SplittableRandom random = new SplittableRandom(7);
        int answered = 0;
        for (int i = 0; i < draws; i++) {
            Object answer;
            try {
                answer = question.apply(random);
            } catch (IllegalArgumentException e) {
                assertThat(e).hasMessageContaining("must be");
                continue;
            }
            answered++;
            assertThat(numbers(answer)).as("%s", answer).doesNotContain(Double.NaN);
        }
        assertThat(answered).isGreaterThan(draws / 50);
    }

    private static Arguments method(int draws, Function<SplittableRandom, Object> question) {
        return Arguments.of(draws, question);
    }

    private static <M> List<Object> ask(M[] methods, Function<M, Object> question) {
        return Stream.of(methods).map(question).toList();
    }

    /** Every number anywhere in an answer. */
    private static List<Double> numbers(@Nullable Object answer) {
        List<Double> found = new ArrayList<>();
        if (answer instanceof Double number) {
            found.add(number);
        } else if (answer instanceof OptionalDouble number) {
            number.ifPresent(found::add);
        } else if (answer instanceof Optional<?> optional) {
            optional.ifPresent(value -> found.addAll(numbers(value)));
        } else if (answer instanceof Iterable<?> items) {
            items.forEach(item -> found.addAll(numbers(item)));
        } else if (answer instanceof Series series) {
            found.addAll(numbers(series.values()));
        } else if (answer instanceof Record) {
            for (RecordComponent component : answer.getClass().getRecordComponents()) {
                found.addAll(numbers(read(answer, component.getAccessor())));
            }
        }
        return found;
    }

    private static Object read(Object record, Method accessor) {
        try {
            accessor.setAccessible(true);
            return accessor.invoke(record);
        } catch (ReflectiveOperationException e) {
            throw new LinkageError(e.getMessage(), e);
        }
    }

    private static double odd(SplittableRandom random) {
        return ODD[random.nextInt(ODD.length)];
    }

    private static long count(SplittableRandom random) {
        return COUNTS[random.nextInt(COUNTS.length)];
    }

    private static Confidence level(SplittableRandom random) {
        return new Confidence(LEVELS[random.nextInt(LEVELS.length)]);
    }

    private static Proportion proportion(SplittableRandom random) {
        long n = random.nextInt(8) == 0 ? 0 : count(random);
        return switch (random.nextInt(4)) {
            case 0 -> new Proportion(0, n);
            case 1 -> new Proportion(n, n);
            default -> new Proportion(n <= 0 ? n : random.nextLong(n), n);
        };
    }

    private static Proportion small(SplittableRandom random) {
        int n = random.nextInt(60);
        return new Proportion(random.nextInt(n + 1), n);
    }

    private static Rate rate(SplittableRandom random) {
        return new Rate(Math.max(0, count(random)), Math.min(1e12, Math.abs(odd(random))));
    }

    private static Sample sample(SplittableRandom random) {
        double[] values = new double[random.nextInt(9)];
        boolean tame = random.nextInt(4) > 0;
        for (int i = 0; i < values.length; i++) {
            values[i] = tame ? random.nextInt(5) : odd(random);
        }
        return Sample.of(values);
    }

    private static Series series(SplittableRandom random) {
        List<@Nullable Double> values = new ArrayList<>();
        boolean tame = random.nextInt(3) > 0;
        for (int i = random.nextInt(30); i > 0; i--) {
            values.add(random.nextInt(6) == 0 ? null : (Double) (tame ? random.nextInt(4) : ODD[random.nextInt(10)]));
        }
        return Series.withGaps(values);
    }

    private static Outcome outcome(SplittableRandom random) {
        return List.of(Outcome.values()).get(random.nextInt(3));
    }

    private static List<Outcome> outcomes(SplittableRandom random) {
        return Stream.generate(() -> outcome(random)).limit(random.nextInt(30)).toList();
    }

    private static Series counts(SplittableRandom random) {
        List<@Nullable Double> values = new ArrayList<>();
        int most = 1 + random.nextInt(20);
        for (int i = random.nextInt(30); i > 0; i--) {
            values.add(
                    random.nextInt(6) == 0 ? null : (Double) (random.nextInt(20) == 0 ? 1e15 : random.nextInt(most)));
        }
        return Series.withGaps(values);
    }

    private static Baseline baseline(SplittableRandom random) {
        return new Baseline(1 + random.nextInt(3), 10 + random.nextInt(10));
    }

    /** Up to 30 things, of which those that cannot be are left out. */
    private static <T> List<T> draw(SplittableRandom random, Function<SplittableRandom, T> one) {
        List<T> things = new ArrayList<>();
        for (int i = random.nextInt(40); i > 0; i--) {
            try {
                things.add(one.apply(random));
            } catch (IllegalArgumentException e) {
                assertThat(e).hasMessageContaining("must be");
            }
        }
        return things;
    }
}
