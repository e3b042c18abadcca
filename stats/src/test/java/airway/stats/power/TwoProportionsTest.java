package airway.stats.power;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Reason;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class TwoProportionsTest {

    private static final TwoProportions PLAN = new TwoProportions(0.7, 0.85, Confidence.DEFAULT);

    @ParameterizedTest
    @CsvSource({"-0.1, 0.5, p1 = -0.1", "NaN, 0.5, p1 = NaN", "0.5, 1.1, p2 = 1.1"})
    void refusesWhatIsNotAProportion(double p1, double p2, String start) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new TwoProportions(p1, p2, Confidence.DEFAULT))
                .withMessage(start + ", must be in [0, 1]");
    }

    @ParameterizedTest
    @ValueSource(doubles = {0.05, 0.050000000000000044, 1, Double.NaN})
    void refusesAPowerThatCannotBe(double power) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> PLAN.sampleSize(power, 1))
                .withMessageStartingWith("power = " + power + ", must be in (0.05");
    }

    @ParameterizedTest
    @ValueSource(doubles = {0, 0.0009, 1001, Double.NaN})
    void refusesARatioOutOfRange(double ratio) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> PLAN.sampleSize(0.8, ratio))
                .withMessage("ratio = " + ratio + ", must be in [0.001, 1000]");
    }

    @Test
    void plansForRatiosAtTheEnds() {
        assertThat(PLAN.sampleSize(0.8, 0.001).orElseThrow().n2()).isLessThan(100);
        assertThat(PLAN.sampleSize(0.8, 1000).orElseThrow().n1()).isLessThan(100);
    }

    @Test
    void refusesToPlanForNoDifference() {
        assertThat(new TwoProportions(0.4, 0.4, Confidence.DEFAULT).sampleSize(0.8, 1))
                .isEqualTo(Answer.refused(Reason.INVALID_INPUT));
        assertThat(new TwoProportions(0.4, 0.4 + 1e-8, Confidence.DEFAULT)
                        .sampleSize(0.8, 1)
                        .toOptional())
                .isPresent();
    }

    /** The example of the help page: 70 % to 85 % with 80 % power needs 121 in each group. */
    @Test
    void roundsTheCasesUp() {
        TwoProportions.SampleSize size = PLAN.sampleSize(0.8, 1).orElseThrow();
        assertThat(size.n1()).isEqualTo(121);
        assertThat(size.n2()).isEqualTo(121);
        assertThat(size.exact()).isBetween(120.0, 121.0);
        assertThat(size.correctedN1()).isEqualTo(134);
    }

    /** Fleiss's formula in R 4.2.2. */
    @ParameterizedTest
    @CsvSource({
        "0.5, 0.75, 0.9, 1.0,  76.7069284517774,  77,  77,  84.5176188116697,  85,  85",
        "0.8, 0.90, 0.8, 2.0, 143.294856852550,  144, 287, 157.938706030413,  158, 316",
        "0.7, 0.85, 0.8, 0.5, 185.664633676657,  186,  93, 205.177250207491,  206, 103"
    })
    void agreesWithTheFormulaComputedElsewhere(
            double p1,
            double p2,
            double power,
            double ratio,
            double exact,
            long n1,
            long n2,
            double correctedExact,
            long correctedN1,
            long correctedN2) {
        TwoProportions.SampleSize size = new TwoProportions(p1, p2, Confidence.DEFAULT)
                .sampleSize(power, ratio)
                .orElseThrow();
        assertThat(size.exact()).isCloseTo(exact, within(1e-9));
        assertThat(size.correctedExact()).isCloseTo(correctedExact, within(1e-9));
        assertThat(new long[] {size.n1(), size.n2(), size.correctedN1(), size.correctedN2()})
                .containsExactly(n1, n2, correctedN1, correctedN2);
    }

    /** {@code power.prop.test} of R 4.2.2. */
    @Test
    void agreesWithThePowerComputedElsewhere() {
        assertThat(PLAN.power(40)).isCloseTo(0.359659487603, within(1e-10));
        assertThat(PLAN.power(1_000_000_000)).isEqualTo(1);
    }

    @Test
    void givesThePowerThatTheCasesWereFoundFor() {
        TwoProportions.SampleSize size = PLAN.sampleSize(0.9, 1).orElseThrow();
        assertThat(PLAN.power(size.n1())).isGreaterThanOrEqualTo(0.9);
        assertThat(PLAN.power(size.n1() - 1)).isLessThan(0.9);
    }

    @Test
    void doesNotMindWhichGroupIsTheBetter() {
        TwoProportions reversed = new TwoProportions(0.85, 0.7, Confidence.DEFAULT);
        assertThat(reversed.power(100)).isEqualTo(PLAN.power(100));
        // Twice as many in the second group is half as many in the first.
        assertThat(reversed.sampleSize(0.8, 2).orElseThrow().exact() * 2)
                .isCloseTo(PLAN.sampleSize(0.8, 0.5).orElseThrow().exact(), within(1e-9));
        assertThat(reversed.sampleSize(0.8, 1).orElseThrow().exact())
                .isCloseTo(PLAN.sampleSize(0.8, 1).orElseThrow().exact(), within(1e-9));
    }

    @Test
    void knowsThePowerWithoutChance() {
        TwoProportions certain = new TwoProportions(0, 1, Confidence.DEFAULT);
        assertThat(certain.power(1)).isZero();
        assertThat(certain.power(2)).isEqualTo(1);
        assertThat(new TwoProportions(0, 0, Confidence.DEFAULT).power(50)).isCloseTo(0.025, within(1e-15));
        assertThat(new TwoProportions(0.4, 0.4, Confidence.DEFAULT).power(50)).isCloseTo(0.025, within(1e-12));
    }

    @ParameterizedTest
    @ValueSource(longs = {0, -1, 1_000_000_001})
    void refusesCasesOutOfRange(long cases) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> PLAN.power(cases))
                .withMessage("casesPerGroup = " + cases + ", must be in [1, 1000000000]");
    }
}
