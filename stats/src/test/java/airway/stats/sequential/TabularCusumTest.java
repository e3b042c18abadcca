package airway.stats.sequential;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.Series;
import airway.stats.numeric.NormalLaw;
import java.util.Arrays;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class TabularCusumTest {

    private static final TabularCusumDesign DESIGN = new TabularCusumDesign(0.5, 4);

    @ParameterizedTest
    @CsvSource({
        "-0.1, 4,    0,   'k = -0.1, must be in [0, 1e100]'",
        "NaN,  4,    0,   'k = NaN, must be in [0, 1e100]'",
        "0.5,  0,    0,   'h = 0.0, must be in (0, 1e100]'",
        "0.5,  -1,   0,   'h = -1.0, must be in (0, 1e100]'",
        "0.5,  NaN,  0,   'h = NaN, must be in (0, 1e100]'",
        "0.5,  4,    2.1, 'headStart = 2.1, must be in [0, 2.0]'",
        "0.5,  4,    NaN, 'headStart = NaN, must be in [0, 2.0]'"
    })
    void tellsTheCallerThatADesignCannotBe(double k, double h, double headStart, String message) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new TabularCusumDesign(k, h, headStart))
                .withMessage(message);
    }

    @Test
    void tellsTheCallerWhatCannotBeAsked() {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> DESIGN.runLength(0, 0))
                .withMessage("sigma = 0.0, must be above 0, finite and at least 0.2");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> DESIGN.runLength(0, 0.19))
                .withMessage("sigma = 0.19, must be above 0, finite and at least 0.2");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> DESIGN.runLength(11, 1))
                .withMessage("shift = 11.0, must be in [-10, 10]");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> TabularCusum.of(Series.of(1), Double.NaN, DESIGN))
                .withMessage("target = NaN, must be in [-1e100, 1e100]");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> TabularCusum.of(Series.of(1e100, 1e100), 0, DESIGN))
                .withMessageStartingWith("value 2 = 2.0E100");
    }

    @Test
    void refusesWithoutData() {
        assertThat(TabularCusum.of(Series.of(), 0, DESIGN)).isEqualTo(Answer.refused(Reason.NO_DATA));
    }

    @Test
    void aSumOnTheLimitIsNotASignalAndOneAboveIs() {
        assertThat(TabularCusum.of(Series.of(4.5, 0.5), 0, DESIGN).orElseThrow().signals())
                .isEmpty();
        assertThat(TabularCusum.of(Series.of(-4.5, -0.51), 0, DESIGN)
                        .orElseThrow()
                        .signals())
                .containsExactly(2);
    }

    @Test
    void startsAtTheHeadStartOnBothSides() {
        TabularCusum cusum = TabularCusum.of(Series.of(0, 0), 0, new TabularCusumDesign(0.5, 4, 2))
                .orElseThrow();
        assertThat(cusum.above()).isEqualTo(Series.of(1.5, 1)).isEqualTo(cusum.below());
    }

    @Test
    void leavesTheSumsAsTheyAreAtAGap() {
        TabularCusum cusum = TabularCusum.of(Series.withGaps(Arrays.asList(2.0, null, 1.0)), 0, DESIGN)
                .orElseThrow();
        assertThat(cusum.above()).isEqualTo(Series.withGaps(Arrays.asList(1.5, null, 2.0)));
    }

    @Test
    void countsInTheUnitOfTheData() {
        double plain = DESIGN.runLength(0.7, 1);
        assertThat(new TabularCusumDesign(5, 40).runLength(7, 10)).isCloseTo(plain, withinPercentage(1e-9));
        assertThat(DESIGN.runLength(-0.7, 1)).isCloseTo(plain, withinPercentage(1e-9));
    }

    /** From {@code xcusum.arl(k, h, shift, r = 100)} of the R package spc 0.6.7, of either side: 1/(1/A₁ + 1/A₂). */
    @ParameterizedTest
    @CsvSource({
        "0.5, 4, 0, 167.683788814",
        "0.5, 5, 0.5, 37.9961431894",
        "0.25, 8, 0, 368.393873265",
        "1, 2.5, 1.5, 5.422755474",
        "0, 3, 0, 8.67525828488",
        "0.75, 3.34, 1, 10.8836176006"
    })
    void hasTheRunLengthsOfAnotherProgram(double k, double h, double shift, double runLength) {
        assertThat(new TabularCusumDesign(k, h).runLength(shift, 1)).isCloseTo(runLength, withinPercentage(1e-7));
    }

    /** The chance of leaving at the first point, when the limit is out of all reach but the allowance is nothing. */
    @Test
    void knowsRunLengthsThatAreShortAndThoseThatAreBeyondNumbers() {
        assertThat(new TabularCusumDesign(0, 1e-9).runLength(0, 1)).isCloseTo(1, within(1e-6));
        assertThat(new TabularCusumDesign(10, 20).runLength(0, 1)).isGreaterThan(1e60);
        assertThat(new TabularCusumDesign(0.5, 5, 2.5).runLength(10, 1)).isCloseTo(1, within(1e-6));
    }

    @ParameterizedTest
    @CsvSource({"0.5, 3, 0, 0", "0.5, 4, 0, 0.5", "0.25, 5, 2.5, 0.25"})
    void simulatedSeriesSignalWhenTheRunLengthSays(double k, double h, double headStart, double shift) {
        SplittableRandom random = new SplittableRandom(8);
        double total = 0;
        int series = 5_000;
        for (int i = 0; i < series; i++) {
            double above = headStart;
            double below = headStart;
            do {
                double x = shift + NormalLaw.upperQuantile(random.nextDouble());
                above = Math.max(0, above + x - k);
                below = Math.max(0, below - x - k);
                total++;
            } while (above <= h && below <= h);
        }
        assertThat(new TabularCusumDesign(k, h, headStart).runLength(shift, 1))
                .isCloseTo(total / series, withinPercentage(5));
    }
}
