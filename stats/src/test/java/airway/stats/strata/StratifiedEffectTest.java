package airway.stats.strata;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Confidence;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import airway.stats.compare.ChiSquare;
import airway.stats.interval.OddsRatioInterval;
import airway.stats.interval.RatioInterval;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.function.UnaryOperator;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/** Mantel-Haenszel, its test, and the test of equal odds ratios. */
class StratifiedEffectTest {

    private static final Confidence LEVEL = Confidence.DEFAULT;

    static Stream<List<Stratum>> draws() {
        return RandomInputs.draws(200, random -> {
            List<Stratum> strata = new ArrayList<>();
            for (int k = random.nextInt(1, 9); k > 0; k--) {
                strata.add(new Stratum(RandomInputs.proportion(random), RandomInputs.proportion(random)));
            }
            return strata;
        });
    }

    /** Two strata of a paper on kidney stones (1986) and one invented, of few cases and unequal groups. */
    private static final List<Stratum> UNEQUAL = List.of(
            new Stratum(new Proportion(81, 87), new Proportion(234, 270)),
            new Stratum(new Proportion(192, 263), new Proportion(55, 80)),
            new Stratum(new Proportion(4, 15), new Proportion(9, 12)));

    /** R 4.2.2: {@code mantelhaen.test} for the odds ratio, the published variances written out for the two others. */
    @ParameterizedTest
    @CsvSource({
        "RISK_DIFFERENCE, 0.0270720206892, -0.0393576048, 0.0935016461, 0.0338932888532",
        "RISK_RATIO, 1.03476485535, 0.952190528184, 1.12450005977, 0.042431564165",
        "ODDS_RATIO, 1.19081057859, 0.773702823905, 1.83278358341, 0.220004890"
    })
    void poolsUnequalStrataAsComputedElsewhere(
            MantelHaenszel method, double value, double lower, double upper, double standardError) {
        StratifiedEffect effect = method.of(UNEQUAL, LEVEL).orElseThrow();
        assertThat(effect.estimate().value()).isCloseTo(value, within(1e-9));
        assertThat(effect.estimate().lower()).isCloseTo(lower, within(1e-8));
        assertThat(effect.estimate().upper()).isCloseTo(upper, within(1e-8));
        assertThat(effect.standardError()).isCloseTo(standardError, within(1e-8));
    }

    /** R 4.2.2: {@code mantelhaen.test}; Breslow and Day's sums, and Tarone's correction, from the roots of {@code uniroot}. */
    @Test
    void testsUnequalStrataAsComputedElsewhere() {
        CochranMantelHaenszel same = CochranMantelHaenszel.of(UNEQUAL).orElseThrow();
        assertThat(same.chi2()).isCloseTo(0.625525600707, within(1e-9));
        assertThat(same.corrected()).isCloseTo(0.464760709849, within(1e-9));
        List<Stratum> withEmpty = new ArrayList<>(UNEQUAL);
        withEmpty.add(new Stratum(new Proportion(0, 0), new Proportion(3, 4)));
        assertThat(CochranMantelHaenszel.of(withEmpty).orElseThrow().strataLeftOut())
                .isEqualTo(1);
        assertThat(MantelHaenszel.ODDS_RATIO.of(withEmpty, LEVEL).orElseThrow().strataLeftOut())
                .isEqualTo(1);
        BreslowDay apart = BreslowDay.of(UNEQUAL).orElseThrow();
        assertThat(apart.chi2()).isCloseTo(8.94447614707, within(1e-8));
        assertThat(apart.tarone()).isCloseTo(8.94445668022, within(1e-8));
        assertThat(apart.taroneP()).isCloseTo(0.0114218357372, within(1e-9));
    }

    /** The weighted proportions and their binomial variances in R 4.2.2. */
    @Test
    void standardisesUnequalStrataAsComputedElsewhere() {
        DirectStandardisation standardised =
                DirectStandardisation.of(UNEQUAL, LEVEL).orElseThrow();
        assertThat(standardised.first()).isCloseTo(0.811530058005, within(1e-10));
        assertThat(standardised.second()).isCloseTo(0.77780261348, within(1e-10));
        assertThat(standardised.standardError()).isCloseTo(0.0329440083942, within(1e-10));
        double half = 1.95996398454 * 0.0329440083942;
        assertThat(standardised.difference().lower()).isCloseTo(0.0337274445253 - half, within(1e-9));
        assertThat(standardised.difference().upper()).isCloseTo(0.0337274445253 + half, within(1e-9));
    }

    @ParameterizedTest
    @EnumSource
    void turnsRoundWhenTheGroupsAreExchanged(MantelHaenszel method) {
        draws().forEach(strata -> {
            Optional<StratifiedEffect> there = method.of(strata, LEVEL).toOptional();
            Optional<StratifiedEffect> back =
                    method.of(exchanged(strata), LEVEL).toOptional();
            assertThat(back.isPresent()).as("%s", strata).isEqualTo(there.isPresent());
            there.ifPresent(effect -> {
                UnaryOperator<Double> turn = method == MantelHaenszel.RISK_DIFFERENCE ? x -> -x : x -> 1 / x;
                StratifiedEffect other = back.orElseThrow();
                assertClose(
                        other.estimate().value(), turn.apply(effect.estimate().value()));
                assertClose(
                        other.estimate().lower(), turn.apply(effect.estimate().upper()));
                assertClose(
                        other.estimate().upper(), turn.apply(effect.estimate().lower()));
            });
        });
    }

    @ParameterizedTest
    @EnumSource
    void isNotChangedByStrataThatSayNothingOrByTheirOrder(MantelHaenszel method) {
        draws().forEach(strata -> {
            List<Stratum> more = new ArrayList<>(strata);
            Collections.reverse(more);
            more.add(1, new Stratum(new Proportion(0, 0), new Proportion(3, 7)));
            more.add(0, new Stratum(new Proportion(4, 7), new Proportion(0, 0)));
            Optional<StratifiedEffect> plain = method.of(strata, LEVEL).toOptional();
            Optional<StratifiedEffect> with = method.of(more, LEVEL).toOptional();
            assertThat(with.isPresent()).isEqualTo(plain.isPresent());
            plain.ifPresent(effect -> {
                assertClose(
                        with.orElseThrow().estimate().lower(), effect.estimate().lower());
                assertThat(with.orElseThrow().strataUsed()).isEqualTo(effect.strataUsed());
                assertThat(with.orElseThrow().strataLeftOut()).isEqualTo(effect.strataLeftOut() + 2);
            });
        });
    }

    @ParameterizedTest
    @EnumSource
    void widensWithTheLevel(MantelHaenszel method) {
        draws().forEach(strata -> method.of(strata, LEVEL).toOptional().ifPresent(narrow -> {
            StratifiedEffect wide = method.of(strata, new Confidence(0.99)).orElseThrow();
            assertThat(wide.estimate().lower())
                    .isLessThanOrEqualTo(narrow.estimate().lower());
            assertThat(wide.estimate().upper())
                    .isGreaterThanOrEqualTo(narrow.estimate().upper());
            assertThat(narrow.estimate().interval().contains(narrow.estimate().value()))
                    .isTrue();
            assertThat(narrow.standardError()).isPositive();
        }));
    }

    /** With one stratum the variances of the ratios are those of Woolf and of Katz, and the test is (N - 1)/N of Pearson's. */
    @Test
    void isTheMethodForOneTableWhenThereIsOneStratum() {
        RandomInputs.twoGroups().forEach(in -> {
            List<Stratum> one = List.of(new Stratum(in.first(), in.second()));
            OddsRatioInterval.WOOLF
                    .of(in.first(), in.second(), in.confidence())
                    .toOptional()
                    .ifPresent(woolf -> {
                        var odds = MantelHaenszel.ODDS_RATIO
                                .of(one, in.confidence())
                                .orElseThrow();
                        assertClose(odds.estimate().value(), woolf.value());
                        assertClose(odds.estimate().lower(), woolf.lower());
                    });
            MantelHaenszel.RISK_RATIO
                    .of(one, in.confidence())
                    .toOptional()
                    .ifPresent(risk -> assertClose(
                            risk.estimate().upper(),
                            RatioInterval.KATZ_LOG
                                    .of(in.first(), in.second(), in.confidence())
                                    .orElseThrow()
                                    .interval()
                                    .upper()));
            ChiSquare.of(in.first(), in.second()).toOptional().ifPresent(pearson -> {
                double n = in.first().n() + in.second().n();
                assertClose(CochranMantelHaenszel.of(one).orElseThrow().chi2(), pearson.chi2() * (n - 1) / n);
            });
        });
    }

    @Test
    void correctsTheTestForContinuityDownToZero() {
        draws().forEach(strata -> CochranMantelHaenszel.of(strata).toOptional().ifPresent(test -> {
            assertThat(test.corrected()).isBetween(0.0, test.chi2());
            assertThat(test.correctedP()).isBetween(test.p(), 1.0);
            assertThat(test.df()).isEqualTo(1);
            assertThat(test.strataUsed() + test.strataLeftOut()).isEqualTo(strata.size());
        }));
        var even = new Stratum(new Proportion(2, 4), new Proportion(2, 4));
        assertThat(CochranMantelHaenszel.of(List.of(even)).orElseThrow().correctedP())
                .isEqualTo(1);
    }

    @Test
    void findsNothingToTellStrataApartWhenTheyAreAlike() {
        var stratum = new Stratum(new Proportion(12, 17), new Proportion(9, 20));
        var test = BreslowDay.of(List.of(stratum, stratum, stratum)).orElseThrow();
        assertThat(test.chi2()).isCloseTo(0, within(1e-12));
        assertThat(test.tarone()).isCloseTo(0, within(1e-12));
        assertThat(test.taroneP()).isCloseTo(1, within(1e-9));
        assertThat(test.df()).isEqualTo(2);
    }

    @Test
    void warnsWhenTheEffectDiffersBetweenStrata() {
        var there = new Stratum(new Proportion(18, 20), new Proportion(8, 20));
        var opposite = new Stratum(new Proportion(8, 20), new Proportion(18, 20));
        var empty = new Stratum(new Proportion(0, 3), new Proportion(0, 2));
        Answer<BreslowDay> differs = BreslowDay.of(List.of(there, opposite, empty));
        assertThat(differs.<Set<Caution>>fold(Answer.Ok::cautions, no -> Set.of()))
                .containsExactly(Caution.HETEROGENEOUS);
        assertThat(differs.orElseThrow().strataLeftOut()).isEqualTo(1);
        Answer<BreslowDay> same = BreslowDay.of(List.of(there, there));
        assertThat(same.<Set<Caution>>fold(Answer.Ok::cautions, no -> Set.of())).isEmpty();
    }

    /** The expected counts keep the margins and have the pooled odds ratio: swapping groups or outcomes changes nothing. */
    @Test
    void givesTheSameTestOfEqualOddsHoweverTheTableIsTurned() {
        draws().forEach(strata -> BreslowDay.of(strata).toOptional().ifPresent(test -> {
            List<Stratum> failures = strata.stream()
                    .map(s -> new Stratum(s.first().complement(), s.second().complement()))
                    .toList();
            for (List<Stratum> turned : List.of(exchanged(strata), failures)) {
                BreslowDay other = BreslowDay.of(turned).orElseThrow();
                assertThat(other.chi2()).isCloseTo(test.chi2(), within(1e-6 * (1 + test.chi2())));
                assertThat(other.tarone()).isCloseTo(test.tarone(), within(1e-6 * (1 + test.chi2())));
            }
        }));
    }

    /** Coverage at 95 % in twenty strata of 4 to 10 cases with an odds ratio of 3 in each. */
    @Test
    void coversTheCommonOddsRatioInManySmallStrata() {
        SplittableRandom random = new SplittableRandom(11);
        int covered = 0;
        int answered = 0;
        for (int series = 0; series < 2000; series++) {
            List<Stratum> strata = IntStream.range(0, 20)
                    .mapToObj(k -> {
                        double odds = 0.3 + 0.1 * k;
                        return new Stratum(
                                binomial(2 + k % 4, 3 * odds / (1 + 3 * odds), random),
                                binomial(5 - k % 4, odds / (1 + odds), random));
                    })
                    .toList();
            Optional<StratifiedEffect> effect =
                    MantelHaenszel.ODDS_RATIO.of(strata, LEVEL).toOptional();
            answered += effect.isPresent() ? 1 : 0;
            covered += effect.filter(e -> e.estimate().interval().contains(3)).isPresent() ? 1 : 0;
        }
        assertThat(answered).isGreaterThan(1950);
        assertThat((double) covered / answered).isBetween(0.935, 0.975);
    }

    @Test
    void refusesWhatHasNoInterval() {
        Proportion all = new Proportion(5, 5);
        Proportion none = new Proportion(0, 5);
        Proportion some = new Proportion(2, 5);
        assertRefused(MantelHaenszel.RISK_DIFFERENCE, all, none, Reason.NO_VARIATION, OptionalDouble.of(1));
        assertRefused(MantelHaenszel.RISK_DIFFERENCE, all, all, Reason.NO_VARIATION, OptionalDouble.of(0));
        assertRefused(MantelHaenszel.RISK_RATIO, all, all, Reason.NO_VARIATION, OptionalDouble.of(1));
        assertRefused(MantelHaenszel.RISK_RATIO, some, none, Reason.ZERO_CELL, OptionalDouble.empty());
        assertRefused(MantelHaenszel.RISK_RATIO, none, some, Reason.ZERO_CELL, OptionalDouble.empty());
        assertRefused(MantelHaenszel.RISK_RATIO, none, none, Reason.NO_INFORMATIVE_STRATA, OptionalDouble.empty());
        assertRefused(MantelHaenszel.ODDS_RATIO, all, some, Reason.ZERO_CELL, OptionalDouble.empty());
        assertRefused(MantelHaenszel.ODDS_RATIO, none, some, Reason.ZERO_CELL, OptionalDouble.empty());
        assertRefused(MantelHaenszel.ODDS_RATIO, all, all, Reason.NO_INFORMATIVE_STRATA, OptionalDouble.empty());
    }

    private static void assertRefused(
            MantelHaenszel method, Proportion first, Proportion second, Reason reason, OptionalDouble shown) {
        assertThat(method.of(List.of(new Stratum(first, second)), LEVEL))
                .isInstanceOfSatisfying(Answer.Refused.class, no -> {
                    assertThat(no.reason()).isEqualTo(reason);
                    assertThat(no.shown().estimate()).isEqualTo(shown);
                });
    }

    private static List<Stratum> exchanged(List<Stratum> strata) {
        return strata.stream()
                .map(s -> new Stratum(/* first= */ s.second(), /* second= */ s.first()))
                .toList();
    }

    private static Proportion binomial(int n, double p, SplittableRandom random) {
        return new Proportion(random.doubles(n).filter(u -> u < p).count(), n);
    }

    private static void assertClose(double got, double expected) {
        assertThat(got).isCloseTo(expected, within(1e-9 * Math.max(1, Math.abs(expected))));
    }
}
