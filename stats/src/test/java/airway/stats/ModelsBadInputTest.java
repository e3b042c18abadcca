package airway.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;
import static org.junit.jupiter.params.provider.Arguments.argumentSet;

import airway.stats.pooling.RandomEffects;
import airway.stats.pooling.SiteEffect;
import airway.stats.regression.ClusterRobust;
import airway.stats.regression.CovariatePatterns;
import airway.stats.regression.LogisticRegression;
import airway.stats.regression.StandardisedRisk;
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
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.function.Supplier;
import java.util.stream.Stream;
import org.assertj.core.api.ThrowableAssert.ThrowingCallable;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * What the entries for strata, models, pooling and survival answer to input that is wrong, empty or extreme. Mistakes and
 * refusals are house rules; where a number comes from stands beside it.
 */
class ModelsBadInputTest {

    private static final Confidence LEVEL = Confidence.DEFAULT;
    private static final Proportion NONE = new Proportion(0, 0);
    private static final Proportion SOME = new Proportion(3, 9);
    private static final Proportion ALL = new Proportion(9, 9);
    private static final Proportion NOTHING = new Proportion(0, 9);
    private static final Stratum HALF_EMPTY = new Stratum(SOME, NONE);
    private static final List<Observation> LOST = List.of(new Observation(1, false), new Observation(2, false));
    private static final Sample THREE = Sample.of(1, 2, 4);

    static Stream<Arguments> mistakes() {
        return Stream.of(
                mistake(
                        "strata of different groups",
                        () -> LikeForLike.of(List.of(List.of(SOME, SOME), List.of(SOME)), LEVEL),
                        "groups of stratum 2 = 1, must be 2"),
                mistake(
                        "a negative ratio",
                        () -> EValue.of(Estimate.of(-1, -2, 2)),
                        "riskRatio = -1.0, -2.0 to 2.0, must be in [0, Infinity]"),
                mistake(
                        "a negative limit of a ratio",
                        () -> EValue.of(Estimate.of(1, -2, 2)),
                        "riskRatio = 1.0, -2.0 to 2.0, must be in [0, Infinity]"),
                mistake("-1 covariates", () -> CovariatePatterns.of(-1), "covariates = -1, must be in [0, 100]"),
                mistake("a covariate too few", () -> CovariatePatterns.of(2).add(true, 1), "covariates = 1, must be 2"),
                mistake(
                        "a covariate of NaN",
                        () -> CovariatePatterns.of(2).add(true, 1, Double.NaN),
                        "covariate 2 = NaN, must be in [-1e9, 1e9]"),
                mistake(
                        "an infinite covariate without cases",
                        () -> CovariatePatterns.of(1).add(NONE, Double.NEGATIVE_INFINITY),
                        "covariate 1 = -Infinity, must be in [-1e9, 1e9]"),
                mistake(
                        "clusters of different covariates",
                        () -> ClusterRobust.of(
                                List.of(
                                        CovariatePatterns.of(1).build(),
                                        CovariatePatterns.of(2).build()),
                                LEVEL),
                        "covariates of cluster 2 = 2, must be 1"),
                mistake(
                        "an exposure that is not there",
                        () -> StandardisedRisk.of(CovariatePatterns.of(1).build(), 2, LEVEL),
                        "exposure = 2, must be in [1, 1]"),
                mistake(
                        "an exposure of 2",
                        () -> StandardisedRisk.of(
                                CovariatePatterns.of(1).add(true, 2).build(), 1, LEVEL),
                        "exposure = 2.0, must be 0 or 1"),
                mistake(
                        "an effect of NaN",
                        () -> new SiteEffect(Double.NaN, 1),
                        "effect = NaN, must be in [-1e6, 1e6]"),
                mistake(
                        "an effect without variance",
                        () -> new SiteEffect(1, 0),
                        "variance = 0.0, must be in [1e-12, 1e12]"),
                mistake(
                        "a negative variance",
                        () -> new SiteEffect(1, -1),
                        "variance = -1.0, must be in [1e-12, 1e12]"),
                mistake("a negative time", () -> new Observation(-1, true), "time = -1.0, must be in [0, 1e12]"),
                mistake("a time of NaN", () -> new Observation(Double.NaN, false), "time = NaN, must be in [0, 1e12]"));
    }

    @ParameterizedTest
    @MethodSource("mistakes")
    void tellsTheCallerWhatIsWrong(ThrowingCallable call, String message) {
        assertThatIllegalArgumentException().isThrownBy(call).withMessage(message);
    }

    static Stream<Arguments> refusals() {
        return Stream.of(
                refusal("no strata", () -> LikeForLike.of(List.of(), LEVEL), Reason.NO_INFORMATIVE_STRATA),
                refusal("one group", () -> LikeForLike.of(List.of(List.of(SOME)), LEVEL), Reason.SINGLE_GROUP),
                refusal("no groups", () -> LikeForLike.of(List.of(List.of()), LEVEL), Reason.SINGLE_GROUP),
                refusal(
                        "no stratum with both",
                        () -> LikeForLike.ofTwo(List.of(HALF_EMPTY, new Stratum(NONE, SOME)), LEVEL),
                        Reason.NO_INFORMATIVE_STRATA),
                refusal(
                        "direct, no strata",
                        () -> DirectStandardisation.of(List.of(), LEVEL),
                        Reason.NO_INFORMATIVE_STRATA),
                refusal(
                        "direct, empty stratum",
                        () -> DirectStandardisation.of(List.of(new Stratum(NONE, NONE)), LEVEL),
                        Reason.NO_INFORMATIVE_STRATA),
                refusal(
                        "direct, half a stratum",
                        () -> DirectStandardisation.of(List.of(HALF_EMPTY, new Stratum(SOME, SOME)), LEVEL),
                        Reason.ONE_GROUP_EMPTY),
                refusal(
                        "direct, all against none",
                        () -> DirectStandardisation.of(List.of(new Stratum(ALL, NOTHING)), LEVEL),
                        Reason.NO_VARIATION),
                refusal(
                        "risk difference, no strata",
                        () -> MantelHaenszel.RISK_DIFFERENCE.of(List.of(), LEVEL),
                        Reason.NO_INFORMATIVE_STRATA),
                refusal(
                        "risk ratio, half a stratum",
                        () -> MantelHaenszel.RISK_RATIO.of(List.of(HALF_EMPTY), LEVEL),
                        Reason.NO_INFORMATIVE_STRATA),
                refusal(
                        "odds ratio, half a stratum",
                        () -> MantelHaenszel.ODDS_RATIO.of(List.of(HALF_EMPTY), LEVEL),
                        Reason.NO_INFORMATIVE_STRATA),
                refusal(
                        "test, nothing but successes",
                        () -> CochranMantelHaenszel.of(List.of(new Stratum(ALL, ALL))),
                        Reason.NO_INFORMATIVE_STRATA),
                refusal(
                        "equal odds, one stratum",
                        () -> BreslowDay.of(List.of(new Stratum(SOME, SOME), HALF_EMPTY)),
                        Reason.NO_INFORMATIVE_STRATA),
                refusal(
                        "equal odds, none at all",
                        () -> BreslowDay.of(Collections.nCopies(3, new Stratum(SOME, NOTHING))),
                        Reason.ZERO_CELL),
                refusal(
                        "balance, first empty",
                        () -> StandardisedDifference.ofProportions(NONE, SOME),
                        Reason.ONE_GROUP_EMPTY),
                refusal(
                        "balance, second empty",
                        () -> StandardisedDifference.ofMeans(THREE, Sample.of()),
                        Reason.ONE_GROUP_EMPTY),
                refusal(
                        "balance of one",
                        () -> StandardisedDifference.ofMeans(THREE, Sample.of(1)),
                        Reason.TOO_FEW_OBSERVATIONS),
                refusal(
                        "model of nothing",
                        () -> LogisticRegression.WALD.of(CovariatePatterns.of(3).build(), LEVEL),
                        Reason.NO_DATA),
                refusal(
                        "model of successes",
                        () -> LogisticRegression.FIRTH.of(pattern(ALL, ALL), LEVEL),
                        Reason.NO_VARIATION),
                refusal(
                        "model of failures",
                        () -> LogisticRegression.WALD.of(pattern(NOTHING, NOTHING), LEVEL),
                        Reason.NO_VARIATION),
                refusal(
                        "model with a constant covariate",
                        () -> LogisticRegression.FIRTH.of(
                                CovariatePatterns.of(1).add(SOME, 2026).build(), LEVEL),
                        Reason.COLLINEAR),
                refusal(
                        "complete separation",
                        () -> LogisticRegression.WALD.of(pattern(ALL, NOTHING), LEVEL),
                        Reason.SEPARATION),
                refusal(
                        "quasi-complete separation",
                        () -> LogisticRegression.PROFILE.of(pattern(ALL, SOME), LEVEL),
                        Reason.SEPARATION),
                refusal(
                        "risks under separation",
                        () -> StandardisedRisk.of(pattern(ALL, SOME), 1, LEVEL),
                        Reason.SEPARATION),
                refusal("no clusters", () -> ClusterRobust.of(List.of(), LEVEL), Reason.NO_DATA),
                refusal(
                        "one cluster",
                        () -> ClusterRobust.of(List.of(pattern(SOME, SOME)), LEVEL),
                        Reason.TOO_FEW_CLUSTERS),
                refusal(
                        "clusters under separation",
                        () -> ClusterRobust.of(Collections.nCopies(12, pattern(ALL, SOME)), LEVEL),
                        Reason.SEPARATION),
                refusal("log odds of no cases", () -> SiteEffect.logit(NONE), Reason.NO_DATA),
                refusal("no sites", () -> RandomEffects.HARTUNG_KNAPP.of(List.of(), LEVEL), Reason.NO_DATA),
                refusal(
                        "one site",
                        () -> RandomEffects.DERSIMONIAN_LAIRD.of(List.of(new SiteEffect(1, 1)), LEVEL),
                        Reason.SINGLE_UNIT),
                refusal("no times", () -> KaplanMeier.of(List.of(), LEVEL), Reason.NO_DATA),
                refusal("no events", () -> KaplanMeier.of(LOST, LEVEL), Reason.NO_EVENTS),
                refusal("no times in two groups", () -> LogRank.of(List.of(), List.of()), Reason.NO_DATA),
                refusal("times in one group", () -> LogRank.of(LOST, List.of()), Reason.SINGLE_GROUP),
                refusal("no events in two groups", () -> LogRank.of(LOST, LOST), Reason.NO_EVENTS));
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
                // A million strata alike: limits a thousandth as far away as those of one, 0.2000, -0.2017 to 0.5261
                // (Newcombe's
                // formula typed into Python).
                extreme(
                        "like for like of 10^6 strata",
                        () -> {
                            var like = LikeForLike.ofTwo(million(), LEVEL).orElseThrow();
                            var difference = like.pairs().get(0).difference();
                            return numbers(
                                    difference.value(),
                                    difference.lower(),
                                    difference.upper(),
                                    like.strataUsed().size());
                        },
                        0.2,
                        0.19959834505876,
                        0.200326078819998,
                        1e6),
                extreme(
                        "Mantel-Haenszel of 10^6 strata",
                        () -> {
                            var odds = MantelHaenszel.ODDS_RATIO
                                    .of(million(), LEVEL)
                                    .orElseThrow();
                            return numbers(odds.estimate().value(), odds.strataUsed());
                        },
                        7.0 * 5 / (3 * 5),
                        1e6),
                // ln of 4e8/6e8 over 3e8/7e8, and Woolf's standard error
                extreme(
                        "model of 2 10^9 cases",
                        () -> {
                            var slope = LogisticRegression.PROFILE
                                    .of(
                                            pattern(
                                                    new Proportion(400_000_000, 1_000_000_000),
                                                    new Proportion(300_000_000, 1_000_000_000)),
                                            LEVEL)
                                    .orElseThrow()
                                    .coefficients()
                                    .get(0);
                            return numbers(slope.estimate().value(), slope.standardError());
                        },
                        Math.log(14 / 9.0),
                        Math.sqrt(1 / 4e8 + 1 / 6e8 + 1 / 3e8 + 1 / 7e8)),
                // Two sites 2e6 apart: the mean, and half their squared distance as variance.
                extreme(
                        "sites as far apart as can be",
                        () -> {
                            var pooled = RandomEffects.REML
                                    .of(List.of(new SiteEffect(-1e6, 1e-12), new SiteEffect(1e6 - 2, 1e-12)), LEVEL)
                                    .orElseThrow();
                            return numbers(pooled.estimate().value(), pooled.tau2());
                        },
                        -1,
                        2 * (1e6 - 1) * (1e6 - 1)),
                // 10^6 times without a tie: the last but one step leaves one in a million.
                extreme(
                        "10^6 times",
                        () -> {
                            List<Observation> times = new ArrayList<>();
                            for (int i = 0; i < 1_000_000; i++) {
                                times.add(new Observation(i, true));
                            }
                            var curve = KaplanMeier.of(times, LEVEL).orElseThrow();
                            return numbers(
                                    curve.steps().get(999_998).survival(),
                                    curve.median().orElseThrow());
                        },
                        1e-6,
                        499_999.5));
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

    private static CovariatePatterns pattern(Proportion exposed, Proportion unexposed) {
        return CovariatePatterns.of(1).add(exposed, 1).add(unexposed, 0).build();
    }

    private static List<Stratum> million() {
        return Collections.nCopies(1_000_000, new Stratum(new Proportion(7, 10), new Proportion(5, 10)));
    }

    private static Arguments mistake(String name, ThrowingCallable call, String message) {
        return argumentSet(name, call, message);
    }

    private static Arguments refusal(String name, Supplier<Answer<?>> question, Reason reason) {
        return argumentSet(name, question, reason);
    }

    private static Arguments extreme(String name, Supplier<double[]> question, double... expected) {
        return argumentSet(name, question, expected);
    }

    private static double[] numbers(double... numbers) {
        return numbers;
    }
}
