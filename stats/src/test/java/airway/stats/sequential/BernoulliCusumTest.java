package airway.stats.sequential;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import airway.stats.Series;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.MethodSource;

class BernoulliCusumTest {

    private static final Outcome F = Outcome.FAILURE;
    private static final Outcome S = Outcome.SUCCESS;
    private static final Outcome U = Outcome.UNKNOWN;

    /** A failure adds ln 2, a success takes ln 1.25. */
    private static final Hypotheses DOUBLED = new Hypotheses(1 / 9.0, 2 / 9.0);

    @Test
    void addsUpFailuresAndNeverFallsBelowNothing() {
        BernoulliCusum cusum = of(List.of(S, F, S, F, S, S, S, S, S, S, S, F), 5, AfterSignal.RESTART);
        double up = Math.log(2);
        double down = Math.log(8 / 7.0);
        double[] sums = cusum.path().sums().present();
        assertThat(sums[0]).isZero();
        assertThat(sums[1]).isCloseTo(up, within(1e-15));
        assertThat(sums[2]).isCloseTo(up - down, within(1e-15));
        assertThat(sums[9]).isCloseTo(2 * up - 7 * down, within(1e-14));
        assertThat(sums[10]).isCloseTo(2 * up - 8 * down, within(1e-14));
        assertThat(cusum.path().firstSignal()).isEmpty();
    }

    @Test
    void signalsWhereTheSumReachesTheLimitExactly() {
        double twoFailures = 2 * DOUBLED.failureScore();
        assertThat(of(List.of(F, F, F), twoFailures, AfterSignal.RESTART).path().signals())
                .containsExactly(2);
        assertThat(of(List.of(F, F, F), twoFailures + 1e-8, AfterSignal.RESTART)
                        .path()
                        .signals())
                .containsExactly(3);
    }

    @Test
    void startsAgainAfterASignalOrGoesOn() {
        List<Outcome> failures = Collections.nCopies(6, F);
        double h = 1.5 * DOUBLED.failureScore();
        CusumPath restarted = of(failures, h, AfterSignal.RESTART).path();
        assertThat(restarted.signals()).containsExactly(2, 4, 6);
        assertThat(restarted.sums().at(3).getAsDouble()).isCloseTo(DOUBLED.failureScore(), within(1e-15));
        CusumPath continued = of(failures, h, AfterSignal.CONTINUE).path();
        assertThat(continued.signals()).containsExactly(2, 3, 4, 5, 6);
        assertThat(continued.firstSignal()).isEqualTo(OptionalInt.of(2));
        assertThat(continued.sums().at(6).getAsDouble()).isCloseTo(6 * DOUBLED.failureScore(), within(1e-14));
    }

    @Test
    void leavesTheSumAsItIsWhereTheOutcomeIsUnknown() {
        CusumPath path = of(List.of(F, U, F), 1.3, AfterSignal.RESTART).path();
        assertThat(path.sums().at(2)).isEqualTo(OptionalDouble.empty());
        assertThat(path.sums().at(3).getAsDouble()).isCloseTo(2 * Math.log(2), within(1e-15));
        assertThat(path.signals()).containsExactly(3);
    }

    @ParameterizedTest
    @EnumSource(AfterSignal.class)
    void refusesWithoutAKnownOutcome(AfterSignal afterSignal) {
        var design = new CusumDesign(DOUBLED, 3);
        assertThat(BernoulliCusum.of(List.of(), design, afterSignal)).isEqualTo(Answer.refused(Reason.NO_DATA));
        assertThat(BernoulliCusum.of(List.of(U, U), design, afterSignal)).isEqualTo(Answer.refused(Reason.NO_DATA));
    }

    /** Adding up and the lowest sum so far: S after n cases is the plain sum less its minimum, 0 included. */
    @ParameterizedTest
    @MethodSource("series")
    void isTheDistanceOfAPlainSumFromItsMinimum(List<Outcome> outcomes) {
        Series sums = of(outcomes, 20, AfterSignal.CONTINUE).path().sums();
        double plain = 0;
        double lowest = 0;
        for (int i = 1; i <= outcomes.size(); i++) {
            plain += DOUBLED.score(outcomes.get(i - 1)).orElse(0);
            lowest = Math.min(lowest, plain);
            if (sums.at(i).isPresent()) {
                assertThat(sums.at(i).getAsDouble()).isCloseTo(plain - lowest, within(1e-9));
            }
        }
    }

    @ParameterizedTest
    @MethodSource("series")
    void judgesACaseByWhatCameBeforeAlone(List<Outcome> outcomes) {
        CusumPath whole = of(outcomes, 2, AfterSignal.RESTART).path();
        List<Outcome> begun = new ArrayList<>(outcomes.subList(0, 40));
        CusumPath part = of(begun, 2, AfterSignal.RESTART).path();
        assertThat(part.sums().values()).isEqualTo(whole.sums().values().subList(0, 40));
        assertThat(part.signals())
                .isEqualTo(whole.signals().stream().filter(i -> i <= 40).toList());
    }

    static Stream<List<Outcome>> series() {
        return RandomInputs.draws(
                30,
                random -> Stream.generate(() -> random.nextInt(10))
                        .limit(80)
                        .map(draw -> draw == 0 ? U : draw < 4 ? F : S)
                        .toList());
    }

    private static BernoulliCusum of(List<Outcome> outcomes, double h, AfterSignal afterSignal) {
        return BernoulliCusum.of(outcomes, new CusumDesign(DOUBLED, h), afterSignal)
                .orElseThrow();
    }
}
