package airway.stats.sequential;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.OptionalInt;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

/** Both kinds of learning curve. */
class LearningTest {

    private static final Outcome F = Outcome.FAILURE;
    private static final Outcome S = Outcome.SUCCESS;
    private static final Outcome U = Outcome.UNKNOWN;
    private static final Hypotheses ASKED = new Hypotheses(0.1, 0.2);

    @Test
    void successesAloneSignalCompetence() {
        LcCusum curve = lc(Collections.nCopies(30, S));
        // ln(0.9/0.8) is 0.118: eleven successes reach 1.25.
        assertThat(curve.competenceAt()).isEqualTo(OptionalInt.of(11));
        assertThat(curve.path().signals()).hasSize(20);
        assertThat(curve.enoughForAVerdict()).isTrue();
    }

    @Test
    void failuresAloneNeverDo() {
        LcCusum curve = lc(Collections.nCopies(30, F));
        assertThat(curve.competenceAt()).isEmpty();
        assertThat(curve.path().sums().present()).containsOnly(0);
    }

    @Test
    void givesNoVerdictBelowTwentyKnownOutcomes() {
        assertThat(lc(Collections.nCopies(19, S)).enoughForAVerdict()).isFalse();
        assertThat(lc(Collections.nCopies(20, S)).enoughForAVerdict()).isTrue();
        assertThat(lc(Stream.concat(Stream.of(U), Collections.nCopies(19, S).stream())
                                .toList())
                        .enoughForAVerdict())
                .isFalse();
    }

    @ParameterizedTest
    @CsvSource({
        "0.2, 0.1, 1, 'acceptable = 0.2, must be below unacceptable = 0.1'",
        "0.2, 0.2, 1, 'acceptable = 0.2, must be below unacceptable = 0.2'",
        "NaN, 0.2, 1, 'acceptable = NaN, must be below unacceptable = 0.2'",
        "0,   0.2, 1, 'p1 = 0.0, must be in [0.001, 0.999]'",
        "0.1, 0.2, 0, 'h = 0.0, must be in (0, 20.0]'"
    })
    void tellsTheCallerThatItCannotBeAskedSo(double acceptable, double unacceptable, double h, String message) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> LcCusum.of(List.of(S), acceptable, unacceptable, h))
                .withMessage(message);
    }

    /**
     * The lowest limits in steps of 0.01, and the chances that belong to them: R 4.2, a recursion of our own over the values of the
     * sum (base R only), which keeps every value apart instead of counting steps up and down.
     */
    @ParameterizedTest
    @CsvSource({
        "0.3,  0.5,  100, 0.1,  3.90, 0.099987107936, 0.977497258102",
        "0.2,  0.4,  100, 0.1,  4.06, 0.099902644138, 0.985850746799",
        "0.1,  0.2,  50,  0.2,  2.03, 0.197723903208, 0.773708873725",
        "0.1,  0.6,  100, 0.05, 6.32, 0.044552460684, 0.999999999965",
        "0.15, 0.35, 60,  0.1,  3.63, 0.098155994248, 0.947518627984"
    })
    void findsTheLowestLimitAtWhichFalseSignalsAreRareEnough(
            double acceptable, double unacceptable, int cases, double most, double h, double wrongly, double rightly) {
        LcCusum curve =
                LcCusum.of(List.of(S), acceptable, unacceptable, cases, most).orElseThrow();
        assertThat(curve.design().h()).isCloseTo(h, within(1e-9));
        assertThat(curve.falseCompetence(cases)).isCloseTo(wrongly, within(1e-10));
        assertThat(curve.design().signalWithin(cases, acceptable)).isCloseTo(rightly, within(1e-10));
        assertThat(curve.casesNeeded()).isEqualTo(curve.design().runLength(acceptable));
    }

    @ParameterizedTest
    @CsvSource({
        "0.2, 0.1, 100, 0.1, 'acceptable = 0.2, must be below unacceptable = 0.1'",
        "0.1, 0.2, 0, 0.1, 'cases = 0, must be in [1, 1000]'",
        "0.1, 0.2, 100, 0.6, 'most = 0.6, must be in [0.001, 0.5]'",
        "0.1, 0.2, 100, NaN, 'most = NaN, must be in [0.001, 0.5]'"
    })
    void tellsTheCallerThatNoLimitCanBeFound(
            double acceptable, double unacceptable, int cases, double most, String message) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> LcCusum.of(List.of(S), acceptable, unacceptable, cases, most))
                .withMessage(message);
    }

    @Test
    void refusesWithoutAKnownOutcome() {
        assertThat(LcCusum.of(List.of(U), 0.1, 0.2, 1)).isEqualTo(Answer.refused(Reason.NO_DATA));
        assertThat(LearningCurve.of(List.of(), ASKED, 0.1, 0.1)).isEqualTo(Answer.refused(Reason.NO_DATA));
    }

    /** Competence is signalled where nothing was learned as often as in 4 000 series drawn with a fixed seed. */
    @ParameterizedTest
    @CsvSource({"50, 1.25", "100, 2", "100, 3"})
    void knowsHowOftenItCertifiesWronglyByChance(int cases, double h) {
        SplittableRandom random = new SplittableRandom(21);
        int wrong = 0;
        for (int i = 0; i < 4_000; i++) {
            List<Outcome> outcomes = Stream.generate(() -> random.nextDouble() < 0.2 ? F : S)
                    .limit(cases)
                    .toList();
            wrong += LcCusum.of(outcomes, 0.1, 0.2, h)
                            .orElseThrow()
                            .competenceAt()
                            .isPresent()
                    ? 1
                    : 0;
        }
        LcCusum curve = LcCusum.of(List.of(S), 0.1, 0.2, h).orElseThrow();
        assertThat(curve.falseCompetence(cases)).isCloseTo(wrong / 4_000.0, within(0.025));
    }

    @Test
    void theCurveOfTheSequentialTestRisesWithFailuresAndFallsWithSuccesses() {
        LearningCurve curve =
                LearningCurve.of(List.of(F, S, U, S), ASKED, 0.1, 0.1).orElseThrow();
        double s = curve.step();
        // Printed tables give s 0.145 for 10 and 20 % (from memory).
        assertThat(s).isCloseTo(0.145, within(0.0005));
        assertThat(curve.path().at(1).getAsDouble()).isCloseTo(1 - s, within(1e-12));
        assertThat(curve.path().at(2).getAsDouble()).isCloseTo(1 - 2 * s, within(1e-12));
        assertThat(curve.path().at(3)).isEmpty();
        assertThat(curve.path().at(4).getAsDouble()).isCloseTo(1 - 3 * s, within(1e-12));
        assertThat(curve.acceptLine()).isCloseTo(curve.rejectLine(), within(1e-12));
    }

    @Test
    void theLinesMoveApartWithTheErrorsThatAreNotAccepted() {
        LearningCurve strict = LearningCurve.of(List.of(F), ASKED, 0.01, 0.2).orElseThrow();
        LearningCurve lax = LearningCurve.of(List.of(F), ASKED, 0.2, 0.2).orElseThrow();
        assertThat(strict.rejectLine()).isGreaterThan(lax.rejectLine());
        assertThat(strict.acceptLine()).isGreaterThan(lax.acceptLine());
    }

    @ParameterizedTest
    @CsvSource({
        "0,   0.1, 'alpha = 0.0, must be in (0, 0.5)'",
        "0.5, 0.1, 'alpha = 0.5, must be in (0, 0.5)'",
        "0.1, NaN, 'beta = NaN, must be in (0, 0.5)'"
    })
    void tellsTheCallerThatErrorsCannotBe(double alpha, double beta, String message) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> LearningCurve.of(List.of(F), ASKED, alpha, beta))
                .withMessage(message);
    }

    @Test
    void tellsTheCallerThatTheUnacceptableMustBeTheWorse() {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> LearningCurve.of(List.of(F), new Hypotheses(0.2, 0.1), 0.1, 0.1))
                .withMessage("p1 = 0.1, must be above p0 = 0.2");
    }

    static Stream<List<Outcome>> series() {
        return RandomInputs.draws(
                20,
                random -> Stream.generate(() -> random.nextInt(5) == 0 ? F : S)
                        .limit(60)
                        .toList());
    }

    /** One more success in place of a failure never takes competence away. */
    @ParameterizedTest
    @MethodSource("series")
    void aSuccessInPlaceOfAFailureNeverDelaysCompetence(List<Outcome> outcomes) {
        int first = outcomes.indexOf(F);
        if (first < 0) {
            return;
        }
        var better = new ArrayList<>(outcomes);
        better.set(first, S);
        int before = lc(outcomes).competenceAt().orElse(Integer.MAX_VALUE);
        assertThat(lc(better).competenceAt().orElse(Integer.MAX_VALUE)).isLessThanOrEqualTo(before);
    }

    private static LcCusum lc(List<Outcome> outcomes) {
        return LcCusum.of(outcomes, 0.1, 0.2, 1.25).orElseThrow();
    }
}
