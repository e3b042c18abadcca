package airway.stats.interval;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Interval;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import org.assertj.core.data.Offset;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class RatioIntervalTest {

    private static final Proportion NONE = new Proportion(0, 0);
    private static final Proportion SOME = new Proportion(2, 3);

    @ParameterizedTest
    @EnumSource
    void refusesARatioWhenAGroupIsEmpty(RatioInterval method) {
        assertThat(method.of(NONE, SOME, Confidence.DEFAULT)).isEqualTo(Answer.refused(Reason.ONE_GROUP_EMPTY));
        assertThat(method.of(SOME, NONE, Confidence.DEFAULT)).isEqualTo(Answer.refused(Reason.ONE_GROUP_EMPTY));
    }

    @ParameterizedTest
    @CsvSource({"0, 5", "5, 0", "0, 0"})
    void addsNothingToAZeroWithoutSayingSo(long x1, long x2) {
        var answer = RatioInterval.KATZ_LOG.of(new Proportion(x1, 9), new Proportion(x2, 9), Confidence.DEFAULT);
        assertThat(answer).isEqualTo(Answer.refused(Reason.ZERO_CELL));
    }

    @Test
    void givesNoRatioOfNothingToNothing() {
        Ratio ratio = RatioInterval.KOOPMAN
                .of(new Proportion(0, 15), new Proportion(0, 9), Confidence.DEFAULT)
                .orElseThrow();
        assertThat(ratio.value()).isEmpty();
        assertThat(ratio.interval()).isEqualTo(new Interval(0, Double.POSITIVE_INFINITY));
    }

    @Test
    void runsToInfinityWithNothingBelow() {
        Ratio ratio = koopman(4, 8, 0, 9);
        assertThat(ratio.value()).hasValue(Double.POSITIVE_INFINITY);
        assertThat(ratio.interval().upper()).isInfinite();
        assertThat(ratio.interval().lower()).isGreaterThan(0.5).isLessThan(4);
    }

    @Test
    void seeksTheLowerLimitBeyondOneWhenThereIsNothingBelow() {
        double lower = koopman(30, 30, 0, 40).interval().lower();
        ConstrainedPair pair = ConstrainedPair.withRatio(new Proportion(30, 30), new Proportion(0, 40), lower);
        assertThat(lower).isGreaterThan(5);
        assertThat(pearson(new Proportion(30, 30), pair.p1()) + pearson(new Proportion(0, 40), pair.p2()))
                .isCloseTo(Math.pow(Confidence.DEFAULT.z(), 2), within(1e-9));
    }

    @Test
    void closesUponInfinityAtALevelOfNearlyNothing() {
        Ratio ratio = RatioInterval.KOOPMAN
                .of(new Proportion(3, 9), new Proportion(0, 9), new Confidence(1e-20))
                .orElseThrow();
        assertThat(ratio.interval()).isEqualTo(new Interval(Double.POSITIVE_INFINITY, Double.POSITIVE_INFINITY));
    }

    @Test
    void startsAtZeroWithNothingAbove() {
        Ratio ratio = koopman(0, 9, 4, 8);
        assertThat(ratio.value()).hasValue(0);
        assertThat(ratio.interval().lower()).isZero();
        assertThat(ratio.interval().upper())
                .isCloseTo(1 / koopman(4, 8, 0, 9).interval().lower(), within(1e-12));
    }

    @ParameterizedTest
    @EnumSource
    void turnsUpsideDownWhenTheGroupsChangePlaces(RatioInterval method) {
        RandomInputs.twoGroups().forEach(in -> {
            var there = method.of(in.first(), in.second(), in.confidence()).toOptional();
            var back = method.of(in.second(), in.first(), in.confidence()).toOptional();
            assertThat(there.isPresent()).isEqualTo(back.isPresent());
            there.ifPresent(ratio -> {
                assertThat(1 / ratio.interval().lower())
                        .as("%s", in)
                        .isCloseTo(
                                back.orElseThrow().interval().upper(),
                                relative(ratio.interval().lower()));
                assertThat(ratio.interval().contains(ratio.value().orElse(1)))
                        .as("%s", in)
                        .isTrue();
            });
        });
    }

    /** At a score limit the statistic of Pearson, with the constrained proportions expected, equals z². */
    @Test
    void makesTheScoreEqualToTheCriticalValueAtItsLimits() {
        RandomInputs.twoGroups()
                .filter(in -> in.first().x() > 0 && in.second().x() > 0)
                .forEach(in -> {
                    double lower = RatioInterval.KOOPMAN
                            .of(in.first(), in.second(), in.confidence())
                            .orElseThrow()
                            .interval()
                            .lower();
                    ConstrainedPair pair = ConstrainedPair.withRatio(in.first(), in.second(), lower);
                    double z2 = Math.pow(in.confidence().z(), 2);
                    assertThat(pair.p1() / pair.p2()).as("%s", in).isCloseTo(lower, within(1e-9 * lower));
                    assertThat(pearson(in.first(), pair.p1()) + pearson(in.second(), pair.p2()))
                            .as("%s", in)
                            .isCloseTo(z2, within(1e-6 * Math.max(1, z2)));
                });
    }

    @ParameterizedTest
    @EnumSource
    void refusesAnOddsRatioThatNothingCanBeSaidAbout(OddsRatioInterval method) {
        Reason empty = method == OddsRatioInterval.WOOLF ? Reason.ONE_GROUP_EMPTY : Reason.NO_VARIATION;
        Reason alike = method == OddsRatioInterval.WOOLF ? Reason.ZERO_CELL : Reason.NO_VARIATION;
        assertThat(method.of(NONE, SOME, Confidence.DEFAULT)).isEqualTo(Answer.refused(empty));
        assertThat(method.of(SOME, NONE, Confidence.DEFAULT)).isEqualTo(Answer.refused(empty));
        assertThat(method.of(new Proportion(0, 4), new Proportion(0, 6), Confidence.DEFAULT))
                .isEqualTo(Answer.refused(alike));
        assertThat(method.of(new Proportion(4, 4), new Proportion(6, 6), Confidence.DEFAULT))
                .isEqualTo(Answer.refused(alike));
    }

    @ParameterizedTest
    @CsvSource({"0, 5", "9, 5", "5, 0", "5, 9"})
    void refusesWoolfsIntervalWhenAnyCellIsZero(long x1, long x2) {
        var answer = OddsRatioInterval.WOOLF.of(new Proportion(x1, 9), new Proportion(x2, 9), Confidence.DEFAULT);
        assertThat(answer).isEqualTo(Answer.refused(Reason.ZERO_CELL));
    }

    @Test
    void putsTheExactOddsRatioAtTheEndWhenTheTableIsAtItsEnd() {
        Estimate least = conditional(0, 8, 3, 11);
        assertThat(least.value()).isZero();
        assertThat(least.lower()).isZero();
        assertThat(least.upper()).isFinite().isGreaterThan(1);
        Estimate most = conditional(3, 11, 0, 8);
        assertThat(most.value()).isInfinite();
        assertThat(most.upper()).isInfinite();
        assertThat(most.lower()).isCloseTo(1 / least.upper(), within(1e-12));
        assertThat(conditional(8, 8, 3, 11).upper()).isInfinite();
    }

    @Test
    void turnsTheExactOddsRatioUpsideDownWhenFailuresAreCounted() {
        RandomInputs.twoGroups().limit(60).forEach(in -> {
            var successes = OddsRatioInterval.CONDITIONAL_EXACT
                    .of(in.first(), in.second(), in.confidence())
                    .toOptional();
            var failures = OddsRatioInterval.CONDITIONAL_EXACT
                    .of(in.first().complement(), in.second().complement(), in.confidence())
                    .toOptional();
            successes.ifPresent(ratio -> {
                assertThat(ratio.interval().contains(ratio.value()))
                        .as("%s", in)
                        .isTrue();
                assertThat(1 / failures.orElseThrow().upper())
                        .as("%s", in)
                        .isCloseTo(ratio.lower(), relative(1 / ratio.lower()));
                assertThat(1 / failures.orElseThrow().value())
                        .as("%s", in)
                        .isCloseTo(ratio.value(), relative(1 / ratio.value()));
            });
        });
    }

    @Test
    void agreesWithWoolfWhenCountsAreLarge() {
        Proportion first = new Proportion(3_000_000, 10_000_000);
        Proportion second = new Proportion(2_990_000, 10_000_000);
        Estimate exact = OddsRatioInterval.CONDITIONAL_EXACT
                .of(first, second, Confidence.DEFAULT)
                .orElseThrow();
        Estimate woolf =
                OddsRatioInterval.WOOLF.of(first, second, Confidence.DEFAULT).orElseThrow();
        assertThat(exact.value()).isCloseTo(woolf.value(), within(1e-6));
        assertThat(exact.lower()).isCloseTo(woolf.lower(), within(1e-6));
        assertThat(exact.upper()).isCloseTo(woolf.upper(), within(1e-6));
    }

    @Test
    void countsTheCasesInWhichOneMoreSuccessIsExpected() {
        Estimate more = nnt(18, 25, 11, 27);
        assertThat(more.value()).isCloseTo(1 / (18.0 / 25 - 11.0 / 27), within(1e-12));
        assertThat(more.lower()).isPositive().isLessThan(more.value());
        assertThat(more.upper()).isGreaterThan(more.value());
        Estimate fewer = nnt(11, 27, 18, 25);
        assertThat(fewer.value()).isEqualTo(-more.value());
        assertThat(fewer.lower()).isCloseTo(-more.upper(), within(1e-9));
        assertThat(fewer.upper()).isCloseTo(-more.lower(), within(1e-9));
    }

    @Test
    void countsNoCasesWhenTheDifferenceMayBeNothing() {
        assertThat(NumberNeededToTreat.newcombe(new Proportion(41, 52), new Proportion(60, 66), Confidence.DEFAULT))
                .isEqualTo(Answer.refused(Reason.CI_SPANS_NULL));
        assertThat(NumberNeededToTreat.newcombe(NONE, SOME, Confidence.DEFAULT))
                .isEqualTo(Answer.refused(Reason.ONE_GROUP_EMPTY));
    }

    private static Offset<Double> relative(double value) {
        return Double.isInfinite(value) || value == 0 ? within(0.0) : within(1e-8 * Math.max(1, Math.abs(1 / value)));
    }

    private static double pearson(Proportion group, double p) {
        double distance = group.x() - group.n() * p;
        return distance == 0 ? 0 : distance * distance / (group.n() * p * (1 - p));
    }

    private static Ratio koopman(long x1, long n1, long x2, long n2) {
        return RatioInterval.KOOPMAN
                .of(new Proportion(x1, n1), new Proportion(x2, n2), Confidence.DEFAULT)
                .orElseThrow();
    }

    private static Estimate conditional(long x1, long n1, long x2, long n2) {
        return OddsRatioInterval.CONDITIONAL_EXACT
                .of(new Proportion(x1, n1), new Proportion(x2, n2), Confidence.DEFAULT)
                .orElseThrow();
    }

    private static Estimate nnt(long x1, long n1, long x2, long n2) {
        return NumberNeededToTreat.newcombe(new Proportion(x1, n1), new Proportion(x2, n2), Confidence.DEFAULT)
                .orElseThrow();
    }
}
