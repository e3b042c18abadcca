package airway.stats.chart;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer.Refused;
import airway.stats.Reason;
import airway.stats.Series;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class PatternsTest {

    @Test
    void takesAPointOnALineForWithinIt() {
        ZoneRules rules = ZoneRules.of(Series.of(3, 2, 2, 1, 1, 1, 1, 0, 3.01, -3.01), 0, 1);
        assertThat(rules.beyondThree()).containsExactly(9, 10);
        assertThat(rules.twoOfThree()).isEmpty();
        assertThat(rules.fourOfFive()).isEmpty();
        assertThat(rules.eightOnOneSide()).isEmpty();
    }

    @Test
    void findsTwoOfThreeBeyondTwoSigmaOnTheSameSide() {
        assertThat(ZoneRules.of(Series.of(0, 2.1, 0, 2.1), 0, 1).twoOfThree()).containsExactly(4);
        assertThat(ZoneRules.of(Series.of(2.1, 0, 0, 2.1), 0, 1).twoOfThree()).isEmpty();
        assertThat(ZoneRules.of(Series.of(0, 2.1, -2.1, 0), 0, 1).twoOfThree()).isEmpty();
        assertThat(ZoneRules.of(Series.of(-2.1, -2.1, 0), 0, 1).twoOfThree()).containsExactly(2);
        assertThat(ZoneRules.of(Series.of(20.2, 20.2), 10, 5).twoOfThree()).containsExactly(2);
    }

    @Test
    void findsFourOfFiveBeyondOneSigmaOnTheSameSide() {
        assertThat(ZoneRules.of(Series.of(1.1, 1.1, 0, 1.1, 1.1), 0, 1).fourOfFive())
                .containsExactly(5);
        assertThat(ZoneRules.of(Series.of(1.1, 1.1, 0, 0, 1.1, 1.1), 0, 1).fourOfFive())
                .isEmpty();
        assertThat(ZoneRules.of(Series.of(-1.1, -1.1, -1.1, -1.1, 0), 0, 1).fourOfFive())
                .containsExactly(4);
    }

    @Test
    void findsEightOnOneSideAndPassesOverGaps() {
        Series nine = Series.withGaps(Arrays.asList(.1, .1, .1, .1, null, .1, .1, .1, .1, .1, -.1));
        assertThat(ZoneRules.of(nine, 0, 1).eightOnOneSide()).containsExactly(9, 10);
        assertThat(ZoneRules.of(Series.of(.1, .1, .1, .1, 0, .1, .1, .1, .1), 0, 1)
                        .eightOnOneSide())
                .isEmpty();
    }

    @ParameterizedTest
    @CsvSource({"0, 0", "0, -1", "0, NaN", "0, Infinity", "NaN, 1", "Infinity, 1"})
    void refusesZonesWithoutWidth(double centre, double sigma) {
        assertThatIllegalArgumentException().isThrownBy(() -> ZoneRules.of(Series.of(1), centre, sigma));
    }

    @Test
    void correlatesEachPointWithTheNext() {
        Autocorrelation alternating =
                Autocorrelation.of(Series.of(1, 2, 1, 2, 1, 2, 1, 2, 1, 2)).orElseThrow();
        assertThat(alternating.r1()).isCloseTo(-0.9, within(1e-12));
        assertThat(alternating.bound()).isCloseTo(1.959963984540054 / Math.sqrt(10), within(1e-12));
        assertThat(alternating.flagged()).isTrue();
        Autocorrelation steps =
                Autocorrelation.of(Series.of(1, 1, 1, 1, 1, 2, 2, 2, 2, 2)).orElseThrow();
        assertThat(steps.r1()).isCloseTo(0.7, within(1e-12));
        assertThat(steps.flagged()).isTrue();
    }

    @Test
    void correlatesNothingAcrossAGap() {
        Series gapped = Series.withGaps(Arrays.asList(1.0, null, 2.0, 1.0, null, 2.0, 1.0, 2.0, 1.0, 2.0, 1.0, 2.0));
        Autocorrelation correlation = Autocorrelation.of(gapped).orElseThrow();
        assertThat(correlation.r1()).isCloseTo(-0.7, within(1e-12));
    }

    @Test
    void doesNotFlagWhatChanceExplains() {
        assertThat(new Autocorrelation(0.3, 0.3).flagged()).isFalse();
        assertThat(new Autocorrelation(-0.31, 0.3).flagged()).isTrue();
    }

    @Test
    void refusesACorrelationOfTooLittle() {
        assertThat(Autocorrelation.of(Series.of())).isInstanceOfSatisfying(Refused.class, refused -> {
            assertThat(refused.reason()).isEqualTo(Reason.NO_DATA);
            assertThat(refused.shown().n()).hasValue(0);
        });
        assertThat(Autocorrelation.of(Series.of(1, 2, 3, 4, 5, 6, 7, 8, 9)))
                .isInstanceOfSatisfying(Refused.class, refused -> {
                    assertThat(refused.reason()).isEqualTo(Reason.TOO_FEW_POINTS);
                    assertThat(refused.shown().n()).hasValue(9);
                });
        assertThat(Autocorrelation.of(Series.withGaps(Collections.nCopies(10, 0.1))))
                .isInstanceOfSatisfying(Refused.class, refused -> {
                    assertThat(refused.reason()).isEqualTo(Reason.NO_VARIATION);
                    assertThat(refused.shown().n()).hasValue(10);
                });
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 0, 101})
    void refusesConstantsForGroupsOutOfRange(int n) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> ControlConstants.of(n))
                .withMessage("n = " + n + ", must be in [2, 100]");
    }

    /** Factors for groups of 2, 5 and 10 as printed in textbooks, from memory, confirmed by integration. */
    @ParameterizedTest
    @CsvSource({
        " 2, 1.128, 0.853, 0.7979, 1.880, 2.659, 0.000, 3.267, 0.000, 2.606, 0.000, 3.267",
        " 5, 2.326, 0.864, 0.9400, 0.577, 1.427, 0.000, 2.089, 0.000, 1.964, 0.000, 2.114",
        "10, 3.078, 0.797, 0.9727, 0.308, 0.975, 0.284, 1.716, 0.276, 1.669, 0.223, 1.777"
    })
    void knowsTheFactorsOfTheTextbooks(
            int n,
            double d2,
            double d3,
            double c4,
            double a2,
            double a3,
            double b3,
            double b4,
            double b5,
            double b6,
            double lowerRange,
            double upperRange) {
        ControlConstants constants = ControlConstants.of(n);
        assertThat(new double[] {
                    constants.d2(),
                    constants.d3(),
                    constants.c4(),
                    constants.a2(),
                    constants.a3(),
                    constants.b3(),
                    constants.b4(),
                    constants.b5(),
                    constants.b6(),
                    constants.rangeFactorLower(),
                    constants.rangeFactorUpper()
                })
                .containsExactly(
                        new double[] {d2, d3, c4, a2, a3, b3, b4, b5, b6, lowerRange, upperRange}, within(0.0007));
    }

    @Test
    void countsThePointsOnEachSideApart() {
        Runs runs = Runs.about(5, Series.of(6, 7, 4, 5, 5 + 0.9e-9, 8, 5 + 3e-9, 1));
        assertThat(runs.above()).isEqualTo(4);
        assertThat(runs.below()).isEqualTo(2);
        assertThat(runs.useful()).isEqualTo(6);
        assertThat(runs.runs()).containsExactly(List.of(1, 2), List.of(3), List.of(6, 7), List.of(8));
        assertThat(runs.longest()).containsExactly(1, 2);
    }

    @Test
    void measuresZonesInSigmasFromTheCentre() {
        ZoneRules narrow = ZoneRules.of(Series.of(10.5, 10.9, 10.9, 11.4, 11.6), 10, 0.5);
        assertThat(narrow.beyondThree()).containsExactly(5);
        assertThat(narrow.twoOfThree()).containsExactly(5);
        assertThat(narrow.fourOfFive()).containsExactly(5);
        ZoneRules wide = ZoneRules.of(Series.of(15, 19, 19, 24, 26), 10, 5);
        assertThat(wide).isEqualTo(narrow);
    }

    /** Values of printed tables, from memory. */
    @Test
    void knowsTheConstantsOfTheLargestGroups() {
        assertThat(ControlConstants.of(25).d2()).isCloseTo(3.931, within(0.0005));
        assertThat(ControlConstants.of(25).d3()).isCloseTo(0.708, within(0.0005));
        assertThat(ControlConstants.of(25).c4()).isCloseTo(0.9896, within(0.00005));
        assertThat(ControlConstants.of(100).d2()).isCloseTo(5.015, within(0.0005));
    }

    /** For n = 3, d2 = 3/√π and E(W²) = 2 + 3√3/π. */
    @Test
    void integratesToSevenFigures() {
        ControlConstants three = ControlConstants.of(3);
        assertThat(three.d2()).isCloseTo(3 / Math.sqrt(Math.PI), within(1e-9));
        assertThat(three.d3() * three.d3() + three.d2() * three.d2())
                .isCloseTo(2 + 3 * Math.sqrt(3) / Math.PI, within(1e-7));
    }
}
