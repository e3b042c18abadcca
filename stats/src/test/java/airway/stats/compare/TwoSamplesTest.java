package airway.stats.compare;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Shown;
import airway.stats.numeric.RankSumLaw;
import java.util.Arrays;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import org.apache.commons.math3.distribution.NormalDistribution;
import org.apache.commons.math3.distribution.TDistribution;
import org.apache.commons.math3.stat.inference.TTest;
import org.apache.commons.math3.stat.ranking.NaturalRanking;
import org.apache.commons.math3.stat.ranking.TiesStrategy;
import org.junit.jupiter.api.Test;

class TwoSamplesTest {

    @Test
    void refusesWhenASampleIsEmpty() {
        Sample none = Sample.of();
        Sample some = Sample.of(1, 2, 3);
        Answer<Object> refused = Answer.refused(Reason.ONE_GROUP_EMPTY);
        assertThat(RankSum.of(none, some)).isEqualTo(refused);
        assertThat(RankSum.of(some, none)).isEqualTo(refused);
        assertThat(Shift.of(none, some, Confidence.DEFAULT)).isEqualTo(refused);
        assertThat(Shift.of(some, none, Confidence.DEFAULT)).isEqualTo(refused);
        assertThat(WelchT.of(none, some, Confidence.DEFAULT)).isEqualTo(refused);
        assertThat(WelchT.of(some, none, Confidence.DEFAULT)).isEqualTo(refused);
    }

    @Test
    void refusesToRankWhatIsAllAlike() {
        assertThat(RankSum.of(Sample.of(4, 4), Sample.of(4, 4, 4))).isEqualTo(Answer.refused(Reason.NO_VARIATION));
    }

    /** Tries every allocation of the observations to the groups. */
    @Test
    void countsEveryAllocationThatIsAsUnusual() {
        RandomInputs.draws(30, random -> new Sample[] {ties(random.nextInt(1, 6), random), ties(5, random)})
                .forEach(samples -> RankSum.of(samples[0], samples[1])
                        .toOptional()
                        .ifPresent(test -> {
                            double[] all = join(samples[0].sorted(), samples[1].sorted());
                            int m = samples[0].n();
                            double expected = m * (all.length - m) / 2.0;
                            int asFar = 0;
                            int allocations = 0;
                            for (int set = 0; set < 1 << all.length; set++) {
                                if (Integer.bitCount(set) == m) {
                                    allocations++;
                                    double u = pairsWon(all, set);
                                    asFar += Math.abs(u - expected) >= Math.abs(test.u() - expected) - 1e-9 ? 1 : 0;
                                }
                            }
                            assertThat(test.exact()).isTrue();
                            assertThat(test.u()).isEqualTo(pairsWon(all, (1 << m) - 1));
                            assertThat(test.p()).isCloseTo((double) asFar / allocations, within(1e-12));
                        }));
    }

    @Test
    void countsPairsTheOtherWayWhenTheSamplesChangePlaces() {
        twoSamples().forEach(samples -> {
            RankSum there = RankSum.of(samples[0], samples[1]).orElseThrow();
            RankSum back = RankSum.of(samples[1], samples[0]).orElseThrow();
            assertThat(back.u()).isEqualTo((double) samples[0].n() * samples[1].n() - there.u());
            assertThat(back.p()).isCloseTo(there.p(), within(1e-12));
        });
    }

    @Test
    void changesToTheNormalApproximationAboveAHundred() {
        Sample first = Sample.of(RandomInputs.draws(50, random -> random.nextDouble())
                .mapToDouble(value -> value)
                .toArray());
        double[] fifty = Arrays.stream(first.sorted()).map(value -> value * 1.3).toArray();
        RankSum exact = RankSum.of(first, Sample.of(fifty)).orElseThrow();
        RankSum normal =
                RankSum.of(first, Sample.of(join(fifty, new double[] {0.5}))).orElseThrow();
        assertThat(exact.exact()).isTrue();
        assertThat(normal.exact()).isFalse();
        assertThat(normal.p()).isCloseTo(exact.p(), within(0.05));
    }

    /** The variance of a rank sum is mn/(N(N - 1)) times the squared distances of the ranks from their mean. */
    @Test
    void correctsTheNormalApproximationForTies() {
        RandomInputs.draws(10, random -> new Sample[] {
                    Sample.of(random.ints(60, 0, 7).asDoubleStream().toArray()),
                    Sample.of(random.ints(75, 0, 8).asDoubleStream().toArray())
                })
                .forEach(samples -> {
                    RankSum test = RankSum.of(samples[0], samples[1]).orElseThrow();
                    double[] ranks = new NaturalRanking(TiesStrategy.AVERAGE)
                            .rank(join(samples[0].sorted(), samples[1].sorted()));
                    double squares =
                            Arrays.stream(ranks).map(r -> (r - 68) * (r - 68)).sum();
                    double z =
                            (Math.abs(test.u() - 60 * 75 / 2.0) - 0.5) / Math.sqrt(60.0 * 75 / (135 * 134) * squares);
                    assertThat(test.p())
                            .isCloseTo(2 * new NormalDistribution().cumulativeProbability(-z), within(1e-12));
                });
    }

    @Test
    void findsNothingUnusualInASampleThatLiesInTheMiddle() {
        double[] hundred = RandomInputs.draws(100, random -> random.nextDouble(-1, 1))
                .mapToDouble(value -> value)
                .toArray();
        double[] mirrored =
                join(hundred, Arrays.stream(hundred).map(value -> -value).toArray());
        assertThat(RankSum.of(Sample.of(0.0), Sample.of(mirrored)).orElseThrow().p())
                .isEqualTo(1);
    }

    @Test
    void needsEnoughPairsForAShiftWithAnInterval() {
        Answer<Shift> answer = Shift.of(Sample.of(1, 2, 3), Sample.of(4, 5, 7), Confidence.DEFAULT);
        assertThat(answer)
                .isEqualTo(Answer.refused(
                        Reason.TOO_FEW_OBSERVATIONS,
                        Shown.NOTHING.withN(6).withEstimate(-3).withP(0.1)));
    }

    /** Lists the differences and takes them by rank. */
    @Test
    void takesItsLimitsFromTheSortedDifferences() {
        twoSamples().forEach(samples -> {
            double[] differences = Arrays.stream(samples[0].sorted())
                    .flatMap(x -> Arrays.stream(samples[1].sorted()).map(y -> x - y))
                    .sorted()
                    .toArray();
            int pairs = differences.length;
            Shift shift = Shift.of(samples[0], samples[1], new Confidence(0.8)).orElseThrow();
            assertThat(shift.estimate().value())
                    .isCloseTo((differences[(pairs - 1) / 2] + differences[pairs / 2]) / 2, within(1e-12));
            int rank = Arrays.binarySearch(differences, shift.estimate().lower());
            assertThat(rank).isNotNegative();
            assertThat(shift.estimate().upper()).isEqualTo(differences[pairs - 1 - rank]);
            assertThat(shift.achieved()).isBetween(0.8, 1.0);
            assertThat(shift.p())
                    .isEqualTo(RankSum.of(samples[0], samples[1]).orElseThrow().p());
            assertThat(shift.conservative()).isFalse();
        });
    }

    @Test
    void changesItsSignWhenTheSamplesChangePlaces() {
        twoSamples().forEach(samples -> {
            Estimate there = Shift.of(samples[0], samples[1], new Confidence(0.8))
                    .orElseThrow()
                    .estimate();
            Estimate back = Shift.of(samples[1], samples[0], new Confidence(0.8))
                    .orElseThrow()
                    .estimate();
            assertThat(back.value()).isEqualTo(-there.value());
            assertThat(back.lower()).isEqualTo(-there.upper());
        });
    }

    /** {@code wilcox.test} of R 4.2.2, exact. */
    @Test
    void cutsOffAsManyDifferencesAsTheExactDistributionAllows() {
        Shift shift = Shift.of(Sample.of(31, 42, 28, 55, 61), Sample.of(44, 70, 52, 83, 47, 66), Confidence.DEFAULT)
                .orElseThrow();
        assertThat(shift.estimate()).isEqualTo(Estimate.of(-16, -41, 9));
        assertThat(shift.achieved()).isCloseTo(0.96969696969697, within(1e-12));
        assertThat(shift.p()).isCloseTo(0.125541125541126, within(1e-12));
        Shift other = Shift.of(
                        Sample.of(88.1, 92.3, 75.2, 97.4, 84.5, 90.6, 95.7),
                        Sample.of(80.8, 71.9, 86.11, 78.12, 69.13),
                        Confidence.DEFAULT)
                .orElseThrow();
        assertThat(other.estimate().lower()).isCloseTo(3.3, within(1e-9));
        assertThat(other.estimate().upper()).isCloseTo(21.47, within(1e-9));
        assertThat(other.achieved()).isCloseTo(0.952020202020202, within(1e-12));
    }

    @Test
    void saysThatTiesMakeTheIntervalConservative() {
        Sample first = Sample.of(1, 2, 3, 4, 5);
        assertThat(Shift.of(first, Sample.of(1, 6, 7, 8, 9), Confidence.DEFAULT)
                        .orElseThrow()
                        .conservative())
                .isTrue();
        assertThat(Shift.of(first, Sample.of(6, 7, 8, 9, 9), Confidence.DEFAULT)
                        .orElseThrow()
                        .conservative())
                .isFalse();
    }

    @Test
    void shiftsWhatIsAllAlikeByNothing() {
        Shift shift = Shift.of(Sample.of(4, 4, 4, 4, 4), Sample.of(4, 4, 4, 4, 4), Confidence.DEFAULT)
                .orElseThrow();
        assertThat(shift.estimate()).isEqualTo(Estimate.of(0, 0, 0));
        assertThat(shift.p()).isEqualTo(1);
    }

    /** 10 000 pairs are still exact, more are normal: the two agree at this size. */
    @Test
    void shiftsTheSameWhereverTheScaleBegins() {
        Shift positive = Shift.of(Sample.of(5, 6, 9, 12), Sample.of(1, 2, 4, 7), Confidence.DEFAULT)
                .orElseThrow();
        Shift negative = Shift.of(Sample.of(-95, -94, -91, -88), Sample.of(-99, -98, -96, -93), Confidence.DEFAULT)
                .orElseThrow();
        assertThat(negative).isEqualTo(positive);
    }

    @Test
    void changesToTheNormalApproximationAboveTenThousandPairs() {
        double[] first = RandomInputs.draws(100, random -> random.nextDouble(10))
                .mapToDouble(value -> value)
                .toArray();
        double[] second = RandomInputs.draws(200, random -> random.nextDouble(10))
                .skip(100)
                .mapToDouble(value -> value + 1)
                .toArray();
        Shift exact = Shift.of(Sample.of(first), Sample.of(second), Confidence.DEFAULT)
                .orElseThrow();
        Shift normal = Shift.of(Sample.of(first), Sample.of(join(second, new double[] {6})), Confidence.DEFAULT)
                .orElseThrow();
        double rank = Math.floor(100 * 101 / 2.0 - Confidence.DEFAULT.z() * Math.sqrt(100.0 * 101 * 202 / 12));
        assertThat(normal.achieved())
                .isCloseTo(1 - 2 * below(RankSumLaw.lowerHalf(100, 101), (int) rank), within(2e-4));
        double[] law = RankSumLaw.lowerHalf(100, 100);
        int exactRank = 0;
        while (below(law, exactRank + 1) < 0.025) {
            exactRank++;
        }
        assertThat(exact.achieved()).isCloseTo(1 - 2 * below(law, exactRank), within(1e-12));
        double[] differences = Arrays.stream(first)
                .flatMap(x -> Arrays.stream(join(second, new double[] {6})).map(y -> x - y))
                .sorted()
                .toArray();
        assertThat(normal.estimate().lower()).isEqualTo(differences[(int) rank - 1]);
        assertThat(normal.estimate().upper()).isEqualTo(differences[100 * 101 - (int) rank]);
        assertThat(normal.estimate().lower()).isCloseTo(exact.estimate().lower(), within(0.02));
        assertThat(normal.estimate().upper()).isCloseTo(exact.estimate().upper(), within(0.02));
    }

    @Test
    void refusesWelchsTestWithoutSpread() {
        Sample three = Sample.of(1, 2, 6);
        assertThat(WelchT.of(three, Sample.of(5), Confidence.DEFAULT))
                .isEqualTo(Answer.refused(
                        Reason.TOO_FEW_OBSERVATIONS, Shown.NOTHING.withN(4).withEstimate(-2)));
        assertThat(WelchT.of(Sample.of(5), three, Confidence.DEFAULT))
                .isEqualTo(Answer.refused(
                        Reason.TOO_FEW_OBSERVATIONS, Shown.NOTHING.withN(4).withEstimate(2)));
        assertThat(WelchT.of(Sample.of(5, 5), Sample.of(4, 4), Confidence.DEFAULT))
                .isEqualTo(Answer.refused(
                        Reason.NO_VARIATION, Shown.NOTHING.withN(4).withEstimate(1)));
    }

    @Test
    void agreesWithTheTTestOfCommonsMath() {
        twoSamples().forEach(samples -> {
            WelchT test = WelchT.of(samples[0], samples[1], Confidence.DEFAULT).orElseThrow();
            double[] x = samples[0].sorted();
            double[] y = samples[1].sorted();
            assertThat(test.t()).isCloseTo(new TTest().t(x, y), within(1e-12));
            assertThat(test.p()).isCloseTo(new TTest().tTest(x, y), within(1e-10));
            double half = new TDistribution(null, test.df(), 1e-13).inverseCumulativeProbability(0.975)
                    * test.difference().value()
                    / test.t();
            assertThat(test.difference().upper()).isCloseTo(test.difference().value() + half, within(1e-9));
            assertThat(test.difference().lower()).isCloseTo(test.difference().value() - half, within(1e-9));
        });
    }

    @Test
    void comparesASampleWithAFixedOne() {
        WelchT test = WelchT.of(Sample.of(1, 2, 3, 6), Sample.of(5, 5, 5), Confidence.DEFAULT)
                .orElseThrow();
        assertThat(test.df()).isCloseTo(3, within(1e-12));
        assertThat(test.difference().value()).isEqualTo(-2);
    }

    private static Stream<Sample[]> twoSamples() {
        return RandomInputs.draws(25, random ->
                new Sample[] {spread(random.nextInt(4, 15), random), spread(random.nextInt(4, 15), random)});
    }

    private static Sample spread(int n, SplittableRandom random) {
        return Sample.of(random.doubles(n, 0, 10).toArray());
    }

    private static Sample ties(int n, SplittableRandom random) {
        return Sample.of(random.ints(n, 0, 4).asDoubleStream().toArray());
    }

    private static double below(double[] law, int w) {
        return Arrays.stream(law).limit(w).sum();
    }

    private static double[] join(double[] some, double[] more) {
        double[] all = Arrays.copyOf(some, some.length + more.length);
        System.arraycopy(more, 0, all, some.length, more.length);
        return all;
    }

    /** Pairs of one observation in the set and one outside in which the first is the larger, ties counting one half. */
    private static double pairsWon(double[] all, int set) {
        double won = 0;
        for (int i = 0; i < all.length; i++) {
            for (int j = 0; j < all.length; j++) {
                if ((set >> i & 1) == 1 && (set >> j & 1) == 0) {
                    won += all[i] > all[j] ? 1 : all[i] == all[j] ? 0.5 : 0;
                }
            }
        }
        return won;
    }
}
