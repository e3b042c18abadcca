package airway.stats.interval;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.RandomInputs;
import airway.stats.Rate;
import airway.stats.Reason;
import org.apache.commons.math3.distribution.PoissonDistribution;
import org.junit.jupiter.api.Test;

class RateIntervalTest {

    @Test
    void refusesWithoutExposure() {
        assertThat(RateInterval.exact(new Rate(3, 0), Confidence.DEFAULT)).isEqualTo(Answer.refused(Reason.NO_DATA));
        Rate some = new Rate(3, 10);
        Rate none = new Rate(0, 0);
        assertThat(RateRatio.exact(some, none, Confidence.DEFAULT)).isEqualTo(Answer.refused(Reason.ONE_GROUP_EMPTY));
        assertThat(RateRatio.exact(none, some, Confidence.DEFAULT)).isEqualTo(Answer.refused(Reason.ONE_GROUP_EMPTY));
    }

    /** The upper limit of no events in 100 at 95 %, both tails, is -ln(0.025)/100. */
    @Test
    void startsAtZeroWithoutEvents() {
        Estimate none = exact(0, 100, Confidence.DEFAULT);
        assertThat(none.value()).isZero();
        assertThat(none.lower()).isZero();
        assertThat(none.upper()).isCloseTo(-Math.log(0.025) / 100, within(1e-14));
    }

    /** Each limit leaves one half of alpha in its tail; the Poisson distribution is that of commons-math. */
    @Test
    void leavesHalfOfAlphaInEachTail() {
        RandomInputs.draws(60, random -> random.nextInt(1, 200)).forEach(x -> {
            Confidence confidence = new Confidence(0.9);
            Estimate estimate = exact(x, 1, confidence);
            assertThat(1 - new PoissonDistribution(estimate.lower()).cumulativeProbability(x - 1))
                    .isCloseTo(0.05, within(1e-9));
            assertThat(new PoissonDistribution(estimate.upper()).cumulativeProbability(x))
                    .isCloseTo(0.05, within(1e-9));
            assertThat(exact(x, 4, confidence).upper()).isCloseTo(estimate.upper() / 4, within(1e-12));
        });
    }

    @Test
    void staysSoundAtAThousandMillionEvents() {
        Estimate estimate = exact(1_000_000_000, 1e9, Confidence.DEFAULT);
        assertThat(estimate.value()).isEqualTo(1);
        assertThat(estimate.lower()).isCloseTo(1 - 1.96 / Math.sqrt(1e9), within(1e-8));
        assertThat(estimate.upper()).isCloseTo(1 + 1.96 / Math.sqrt(1e9), within(1e-8));
    }

    @Test
    void dividesTheObservedByTheExpected() {
        Estimate ratio =
                RateInterval.observedOverExpected(14, 9.3, Confidence.DEFAULT).orElseThrow();
        assertThat(ratio).isEqualTo(exact(14, 9.3, Confidence.DEFAULT));
        assertThat(ratio.value()).isEqualTo(14 / 9.3);
        assertThat(RateInterval.observedOverExpected(2, 0, Confidence.DEFAULT))
                .isEqualTo(Answer.refused(Reason.INVALID_INPUT));
        assertThat(RateInterval.observedOverExpected(2, -1, Confidence.DEFAULT))
                .isEqualTo(Answer.refused(Reason.INVALID_INPUT));
        assertThatIllegalArgumentException()
                .isThrownBy(() -> RateInterval.observedOverExpected(-1, 2, Confidence.DEFAULT));
        assertThatIllegalArgumentException()
                .isThrownBy(() -> RateInterval.observedOverExpected(1, Double.NaN, Confidence.DEFAULT));
    }

    @Test
    void hasNoRatioOfNothingToNothing() {
        assertThat(RateRatio.exact(new Rate(0, 5), new Rate(0, 6), Confidence.DEFAULT))
                .isEqualTo(Answer.refused(Reason.NO_VARIATION));
    }

    @Test
    void turnsTheRatioUpsideDownWhenTheGroupsChangePlaces() {
        RandomInputs.draws(80, random -> new Rate[] {
                    new Rate(random.nextInt(0, 40), random.nextDouble(1, 9)),
                    new Rate(random.nextInt(1, 40), random.nextDouble(1, 9))
                })
                .forEach(rates -> {
                    RateRatio there = ratio(rates[0], rates[1]);
                    RateRatio back = ratio(rates[1], rates[0]);
                    assertThat(back.p()).isCloseTo(there.p(), within(1e-12));
                    assertThat(1 / back.estimate().upper())
                            .isCloseTo(there.estimate().lower(), within(1e-9));
                    assertThat(there.estimate()
                                    .interval()
                                    .contains(there.estimate().value()))
                            .isTrue();
                });
    }

    @Test
    void runsToInfinityWithNothingBelow() {
        RateRatio ratio = ratio(new Rate(4, 60), new Rate(0, 50));
        assertThat(ratio.estimate().value()).isInfinite();
        assertThat(ratio.estimate().upper()).isInfinite();
        assertThat(ratio.estimate().lower()).isCloseTo(1 / 1.81784023123904, within(1e-9));
    }

    /** With equal exposures the p-value is that of the sign test: 2 P(X <= 2), X binomial with 10 trials of one half. */
    @Test
    void countsAllOutcomesThatAreNoMoreProbable() {
        assertThat(ratio(new Rate(2, 7), new Rate(8, 7)).p()).isCloseTo(112.0 / 1024, within(1e-12));
        assertThat(ratio(new Rate(8, 7), new Rate(2, 7)).p()).isCloseTo(112.0 / 1024, within(1e-12));
        assertThat(ratio(new Rate(5, 7), new Rate(5, 7)).p()).isEqualTo(1);
        assertThat(ratio(new Rate(4, 7), new Rate(5, 7)).p()).isCloseTo(1, within(1e-12));
        assertThat(ratio(new Rate(0, 1), new Rate(3, 2)).p()).isCloseTo(15.0 / 27, within(1e-12));
    }

    private static Estimate exact(long events, double exposure, Confidence confidence) {
        return RateInterval.exact(new Rate(events, exposure), confidence).orElseThrow();
    }

    private static RateRatio ratio(Rate first, Rate second) {
        return RateRatio.exact(first, second, Confidence.DEFAULT).orElseThrow();
    }
}
