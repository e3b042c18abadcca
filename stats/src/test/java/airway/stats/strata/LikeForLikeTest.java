package airway.stats.strata;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.interval.DifferenceInterval;
import airway.stats.interval.ProportionInterval;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Direct standardisation. */
class LikeForLikeTest {

    private static final Confidence LEVEL = Confidence.DEFAULT;

    /** Groups by strata, with a level. */
    record Draw(List<List<Proportion>> strata, Confidence confidence) {}

    static Stream<Draw> draws() {
        return RandomInputs.draws(150, random -> {
            int groups = random.nextInt(2, 5);
            List<List<Proportion>> strata = new ArrayList<>();
            for (int k = random.nextInt(1, 7); k > 0; k--) {
                strata.add(IntStream.range(0, groups)
                        .mapToObj(g -> RandomInputs.proportion(random))
                        .toList());
            }
            return new Draw(strata, RandomInputs.confidence(random));
        });
    }

    @Test
    void withOneStratumIsNewcombesInterval() {
        RandomInputs.twoGroups().forEach(in -> {
            LikeForLike like = LikeForLike.ofTwo(List.of(new Stratum(in.first(), in.second())), in.confidence())
                    .orElseThrow();
            assertSame(
                    like.pairs().get(0).difference(),
                    DifferenceInterval.NEWCOMBE
                            .of(in.first(), in.second(), in.confidence())
                            .orElseThrow());
            assertSame(
                    like.groups().get(0).standardised(),
                    ProportionInterval.WILSON.of(in.first(), in.confidence()).orElseThrow());
        });
    }

    @Test
    void doesNotDependOnTheOrderOfStrataOrGroups() {
        draws().forEach(in -> {
            LikeForLike as = of(in.strata(), in.confidence());
            List<List<Proportion>> turned = new ArrayList<>();
            for (List<Proportion> groups : in.strata()) {
                List<Proportion> backwards = new ArrayList<>(groups);
                Collections.reverse(backwards);
                turned.add(0, backwards);
            }
            LikeForLike other = of(turned, in.confidence());
            int number = as.groups().size();
            for (int g = 0; g < number; g++) {
                assertSame(
                        other.groups().get(number - 1 - g).standardised(),
                        as.groups().get(g).standardised());
            }
            LikeForLike.Pair there = as.pairs().get(as.pairs().size() - 1);
            LikeForLike.Pair back = other.pairs().get(0);
            Estimate mirrored = back.difference();
            assertSame(there.difference(), Estimate.of(-mirrored.value(), -mirrored.upper(), -mirrored.lower()));
            assertThat(back.p()).isCloseTo(there.p(), within(1e-9));
            assertThat(back.recorded()).isEqualTo(-there.recorded());
        });
    }

    @Test
    void mirrorsWhenFailuresAreCounted() {
        draws().forEach(in -> {
            LikeForLike successes = of(in.strata(), in.confidence());
            LikeForLike failures = of(
                    in.strata().stream()
                            .map(groups ->
                                    groups.stream().map(Proportion::complement).toList())
                            .toList(),
                    in.confidence());
            Estimate difference = failures.pairs().get(0).difference();
            assertSame(
                    successes.pairs().get(0).difference(),
                    Estimate.of(-difference.value(), -difference.upper(), -difference.lower()));
        });
    }

    @Test
    void widensWithTheLevelAndStaysInRange() {
        draws().forEach(in -> {
            LikeForLike narrow = of(in.strata(), in.confidence());
            LikeForLike wide =
                    of(in.strata(), new Confidence((1 + in.confidence().level()) / 2));
            for (int i = 0; i < narrow.pairs().size(); i++) {
                Estimate inner = narrow.pairs().get(i).difference();
                Estimate outer = wide.pairs().get(i).difference();
                assertThat(outer.lower()).isBetween(-1.0, inner.lower());
                assertThat(outer.upper()).isBetween(inner.upper(), 1.0);
                assertThat(inner.interval().contains(inner.value())).isTrue();
            }
            narrow.groups().forEach(group -> {
                assertThat(group.standardised().lower())
                        .isBetween(0.0, group.standardised().value());
                assertThat(group.standardised().upper())
                        .isBetween(group.standardised().value(), 1.0);
            });
        });
    }

    /** At confidence 1 - p the interval ends at 0. */
    @Test
    void givesThePValueThatTheIntervalGives() {
        draws().forEach(in -> of(in.strata(), LEVEL).pairs().forEach(pair -> {
            if (pair.p() > 1e-12 && pair.p() < 1) {
                Estimate atP = of(in.strata(), new Confidence(1 - pair.p())).pairs().stream()
                        .filter(same -> same.first() == pair.first() && same.second() == pair.second())
                        .findFirst()
                        .orElseThrow()
                        .difference();
                assertThat(Math.min(Math.abs(atP.lower()), Math.abs(atP.upper())))
                        .isCloseTo(0, within(1e-7));
            }
            assertThat(pair.p() < 0.05)
                    .isNotEqualTo(pair.difference().interval().contains(0));
        }));
    }

    @Test
    void hasNoPAtAllWhenNothingIsDifferent() {
        LikeForLike same = LikeForLike.ofTwo(List.of(new Stratum(new Proportion(1, 3), new Proportion(2, 6))), LEVEL)
                .orElseThrow();
        assertThat(same.pairs().get(0).p()).isEqualTo(1);
        LikeForLike apart = LikeForLike.ofTwo(
                        Collections.nCopies(2000, new Stratum(new Proportion(9, 9), new Proportion(0, 9))), LEVEL)
                .orElseThrow();
        assertThat(apart.pairs().get(0).p()).isZero();
    }

    @Test
    void namesTheStrataThatItLeavesOut() {
        LikeForLike like = LikeForLike.ofTwo(
                        List.of(
                                new Stratum(new Proportion(3, 3), new Proportion(0, 0)),
                                new Stratum(new Proportion(5, 9), new Proportion(4, 8)),
                                new Stratum(new Proportion(0, 0), new Proportion(0, 0))),
                        LEVEL)
                .orElseThrow();
        assertThat(like.strataUsed()).containsExactly(2);
        assertThat(like.strataLeftOut()).containsExactly(1, 3);
        assertThat(like.groups().get(0).recorded()).isEqualTo(new Proportion(8, 12));
        assertThat(like.groups().get(0).standardised().value()).isEqualTo(5.0 / 9);
    }

    /** Counts from memory of Charig CR and others (1986), BMJ 292:879-882: the order turns round in both strata. */
    @Test
    void saysWhenTheOrderAsRecordedTurnsRound() {
        var strata = List.of(
                new Stratum(new Proportion(81, 87), new Proportion(234, 270)),
                new Stratum(new Proportion(192, 263), new Proportion(55, 80)));
        Answer<LikeForLike> answer = LikeForLike.ofTwo(strata, LEVEL);
        assertThat(cautions(answer)).containsExactly(Caution.REVERSAL);
        LikeForLike.Pair pair = answer.orElseThrow().pairs().get(0);
        assertThat(pair.recorded()).isNegative();
        assertThat(pair.difference().value()).isPositive();
        assertThat(pair.reversal()).isTrue();
        assertThat(pair.strataAgainst()).isEqualTo(2);
        assertThat(List.of(pair.first(), pair.second())).containsExactly(1, 2);
        assertThat(cautions(DirectStandardisation.of(strata, LEVEL))).containsExactly(Caution.REVERSAL);
    }

    @Test
    void staysSilentWhenTheOrderStaysOrNothingDiffers() {
        var same = List.of(
                new Stratum(new Proportion(9, 10), new Proportion(7, 10)),
                new Stratum(new Proportion(1, 3), new Proportion(1, 3)));
        Answer<LikeForLike> answer = LikeForLike.ofTwo(same, LEVEL);
        assertThat(cautions(answer)).isEmpty();
        assertThat(answer.orElseThrow().pairs().get(0).strataAgainst()).isZero();
        assertThat(cautions(DirectStandardisation.of(same, LEVEL))).isEmpty();
        var worse = List.of(
                new Stratum(new Proportion(7, 10), new Proportion(9, 10)),
                new Stratum(new Proportion(2, 5), new Proportion(4, 5)));
        assertThat(LikeForLike.ofTwo(worse, LEVEL).orElseThrow().pairs().get(0).strataAgainst())
                .isZero();
        // As recorded no difference at all: nothing that could turn round.
        var balanced = List.of(
                new Stratum(new Proportion(5, 10), new Proportion(1, 4)),
                new Stratum(new Proportion(1, 2), new Proportion(5, 8)));
        assertThat(cautions(LikeForLike.ofTwo(balanced, LEVEL))).isEmpty();
    }

    @Test
    void standardisesToTheSameAsTheNormalMethodWhereBothAnswer() {
        draws().filter(in -> in.strata().get(0).size() == 2).forEach(in -> {
            List<Stratum> strata = in.strata().stream()
                    .map(groups -> new Stratum(groups.get(0), groups.get(1)))
                    .toList();
            DirectStandardisation.of(strata, in.confidence()).toOptional().ifPresent(direct -> {
                LikeForLike like = of(in.strata(), in.confidence());
                assertThat(direct.difference().value())
                        .isEqualTo(like.pairs().get(0).difference().value());
                assertThat(direct.recordedDifference())
                        .isEqualTo(like.pairs().get(0).recorded());
                assertThat(direct.difference().lower())
                        .isGreaterThanOrEqualTo(-1)
                        .isLessThan(direct.difference().value());
            });
        });
    }

    /**
     * Coverage at 95 % in six strata of 2 to 20 cases a group. The written specification of these methods claims 93.6 to 95.9 %;
     * near one half it is less, near 1 it is more.
     */
    @ParameterizedTest
    @CsvSource({"0.60, 0.95, 0.930, 0.975", "0.30, 0.70, 0.905, 0.940", "0.85, 0.98, 0.970, 0.998"})
    void coversCloseToItsLevel(double lowest, double highest, double atLeast, double atMost) {
        SplittableRandom random = new SplittableRandom(5);
        int strata = 6;
        int[] cases = random.ints(2L * strata, 2, 21).toArray();
        double[] p = random.doubles(2L * strata, lowest, highest).toArray();
        double all = IntStream.of(cases).sum();
        double truth = 0;
        for (int k = 0; k < strata; k++) {
            truth += (cases[2 * k] + cases[2 * k + 1]) / all * (p[2 * k] - p[2 * k + 1]);
        }
        int covered = 0;
        int series = 4000;
        for (int i = 0; i < series; i++) {
            List<Stratum> drawn = IntStream.range(0, strata)
                    .mapToObj(k -> new Stratum(
                            binomial(cases[2 * k], p[2 * k], random), binomial(cases[2 * k + 1], p[2 * k + 1], random)))
                    .toList();
            covered += LikeForLike.ofTwo(drawn, LEVEL)
                            .orElseThrow()
                            .pairs()
                            .get(0)
                            .difference()
                            .interval()
                            .contains(truth)
                    ? 1
                    : 0;
        }
        assertThat(covered / (double) series).isBetween(atLeast, atMost);
    }

    private static Proportion binomial(int n, double p, SplittableRandom random) {
        return new Proportion(random.doubles(n).filter(u -> u < p).count(), n);
    }

    private static LikeForLike of(List<List<Proportion>> strata, Confidence confidence) {
        return LikeForLike.of(strata, confidence).orElseThrow();
    }

    private static Set<Caution> cautions(Answer<?> answer) {
        return answer.fold(Answer.Ok::cautions, no -> Set.of());
    }

    private static void assertSame(Estimate one, Estimate other) {
        assertThat(one.value()).isCloseTo(other.value(), within(1e-12));
        assertThat(one.lower()).isCloseTo(other.lower(), within(1e-12));
        assertThat(one.upper()).isCloseTo(other.upper(), within(1e-12));
    }
}
