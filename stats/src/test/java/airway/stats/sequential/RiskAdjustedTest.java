package airway.stats.sequential;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import airway.stats.Shown;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The cumulative sum and the display that allow for the risk of each case. */
class RiskAdjustedTest {

    static Stream<List<PredictedCase>> series() {
        return RandomInputs.draws(
                20,
                random -> Stream.generate(() -> new PredictedCase(
                                List.of(Outcome.values()).get(random.nextInt(3)), random.nextDouble(0.02, 0.6)))
                        .limit(50)
                        .toList());
    }

    /**
     * Steiner SH and colleagues (2000), Biostatistics 1:441-452, as remembered: a patient at 50 % risk weighs -0.41 on surviving
     * and 0.29 on dying, one at 2 % weighs -0.02 and 0.67, when doubled odds are looked for.
     */
    @ParameterizedTest
    @CsvSource({"0.5, -0.41, 0.29", "0.02, -0.02, 0.67"})
    void weighsAFailureTheMoreTheLessItWasExpected(double risk, double success, double failure) {
        RiskAdjustedCusum cusum =
                cusum(List.of(new PredictedCase(Outcome.SUCCESS, risk), new PredictedCase(Outcome.FAILURE, risk)), 2);
        assertThat(cusum.weights().at(1).getAsDouble()).isCloseTo(success, within(0.006));
        assertThat(cusum.weights().at(2).getAsDouble()).isCloseTo(failure, within(0.006));
    }

    /** With one risk for all it is the cumulative sum of single cases with odds changed by the ratio. */
    @ParameterizedTest
    @ValueSource(doubles = {2, 0.5, 3})
    void isTheUnadjustedSumWhenAllRisksAreTheSame(double oddsRatio) {
        List<Outcome> outcomes =
                series().toList().get(0).stream().map(PredictedCase::outcome).toList();
        RiskAdjustedCusum adjusted = cusum(
                outcomes.stream()
                        .map(outcome -> new PredictedCase(outcome, 0.3))
                        .toList(),
                oddsRatio);
        CusumPath plain = BernoulliCusum.of(
                        outcomes, new CusumDesign(Hypotheses.oddsChanged(0.3, oddsRatio), 2), AfterSignal.RESTART)
                .orElseThrow()
                .path();
        assertThat(adjusted.path().signals()).isEqualTo(plain.signals());
        for (int i = 1; i <= outcomes.size(); i++) {
            assertThat(adjusted.path().sums().at(i).orElse(-1))
                    .isCloseTo(plain.sums().at(i).orElse(-1), within(1e-12));
        }
    }

    @ParameterizedTest
    @ValueSource(doubles = {0, 1})
    void refusesRisksThatNothingCouldContradict(double risk) {
        List<PredictedCase> cases =
                List.of(new PredictedCase(Outcome.SUCCESS, 0.2), new PredictedCase(Outcome.FAILURE, risk));
        assertThat(RiskAdjustedCusum.of(cases, 2, 3, AfterSignal.RESTART))
                .isEqualTo(Answer.refused(Reason.INVALID_INPUT, Shown.NOTHING.withN(2)));
        assertThat(Vlad.of(cases).orElseThrow().expected()).isCloseTo(0.2 + risk, within(1e-15));
    }

    @Test
    void refusesWithoutAKnownOutcome() {
        List<PredictedCase> unknown = List.of(new PredictedCase(Outcome.UNKNOWN, 0.2));
        assertThat(RiskAdjustedCusum.of(unknown, 2, 3, AfterSignal.RESTART)).isEqualTo(Answer.refused(Reason.NO_DATA));
        assertThat(RiskAdjustedCusum.of(List.of(), 2, 3, AfterSignal.RESTART))
                .isEqualTo(Answer.refused(Reason.NO_DATA));
        assertThat(Vlad.of(unknown)).isEqualTo(Answer.refused(Reason.NO_DATA));
    }

    @Test
    void tellsTheCallerWhatCannotBe() {
        List<PredictedCase> cases = List.of(new PredictedCase(Outcome.SUCCESS, 0.2));
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new PredictedCase(Outcome.SUCCESS, Double.NaN))
                .withMessage("risk = NaN, must be in [0, 1]");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new PredictedCase(Outcome.SUCCESS, 1.01))
                .withMessage("risk = 1.01, must be in [0, 1]");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> RiskAdjustedCusum.of(cases, 1, 3, AfterSignal.RESTART))
                .withMessage("oddsRatio = 1.0, must be other than 1");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> RiskAdjustedCusum.of(cases, Double.NaN, 3, AfterSignal.RESTART))
                .withMessage("oddsRatio = NaN, must be above 0 and finite");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> RiskAdjustedCusum.of(cases, 2, -1, AfterSignal.RESTART))
                .withMessage("h = -1.0, must be in (0, 20.0]");
    }

    @ParameterizedTest
    @MethodSource("series")
    void theDisplayEndsAtExpectedLessObserved(List<PredictedCase> cases) {
        Vlad vlad = Vlad.of(cases).orElseThrow();
        double[] path = vlad.path().present();
        assertThat(path[path.length - 1]).isCloseTo(vlad.expected() - vlad.observed(), within(1e-12));
        for (int i = 0; i < cases.size(); i++) {
            assertThat(vlad.path().at(i + 1).isPresent()).isEqualTo(cases.get(i).outcome() != Outcome.UNKNOWN);
        }
    }

    private static RiskAdjustedCusum cusum(List<PredictedCase> cases, double oddsRatio) {
        return RiskAdjustedCusum.of(cases, oddsRatio, 2, AfterSignal.RESTART).orElseThrow();
    }
}
