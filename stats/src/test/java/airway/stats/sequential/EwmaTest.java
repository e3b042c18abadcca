package airway.stats.sequential;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import airway.stats.Series;
import airway.stats.chart.Limits;
import airway.stats.numeric.NormalLaw;
import java.util.Collections;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

class EwmaTest {

    private static final EwmaDesign DESIGN = EwmaDesign.DEFAULT;
    private static final Proportion GAP = new Proportion(0, 0);

    @ParameterizedTest
    @ValueSource(doubles = {0, 0.0199, 1.01, Double.NaN})
    void tellsTheCallerThatAWeightCannotBe(double lambda) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new EwmaDesign(lambda, 3))
                .withMessage("lambda = " + lambda + ", must be in [0.02, 1]");
    }

    @ParameterizedTest
    @ValueSource(doubles = {0, -1, 5.01, Double.NaN})
    void tellsTheCallerThatAWidthCannotBe(double width) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new EwmaDesign(0.2, width))
                .withMessage("width = " + width + ", must be in (0, 5]");
    }

    @ParameterizedTest
    @ValueSource(doubles = {10.1, Double.NaN, Double.NEGATIVE_INFINITY})
    void tellsTheCallerThatAShiftCannotBe(double shift) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> DESIGN.runLength(shift))
                .withMessage("shift = " + shift + ", must be in [-10, 10]");
    }

    @ParameterizedTest
    @ValueSource(doubles = {0, 1, -0.2, Double.NaN})
    void tellsTheCallerThatAProportionCannotBeATarget(double p0) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Ewma.ofProportions(List.of(new Proportion(1, 2)), p0, DESIGN))
                .withMessage("p0 = " + p0 + ", must be in (0, 1)");
    }

    @Test
    void tellsTheCallerThatTargetOrSpreadCannotBe() {
        Series values = Series.of(1, 2);
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Ewma.of(values, Double.NaN, 1, DESIGN, Ewma.Width.EXACT))
                .withMessage("target = NaN, must be in [-1e100, 1e100]");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Ewma.of(values, 1, 0, DESIGN, Ewma.Width.EXACT))
                .withMessage("sigma = 0.0, must be in (0, 1e100]");
    }

    @Test
    void refusesWithoutData() {
        assertThat(Ewma.of(Series.of(), 1, 1, DESIGN, Ewma.Width.EXACT)).isEqualTo(Answer.refused(Reason.NO_DATA));
        assertThat(Ewma.ofProportions(List.of(), 0.5, DESIGN)).isEqualTo(Answer.refused(Reason.NO_DATA));
        assertThat(Ewma.ofProportions(List.of(GAP, GAP), 0.5, DESIGN)).isEqualTo(Answer.refused(Reason.NO_DATA));
    }

    @Test
    void limitsOfTheNarrowKindGrowToThoseOfTheFinalKind() {
        Series values = Series.of(new double[60]);
        Ewma exact = Ewma.of(values, 0, 2, DESIGN, Ewma.Width.EXACT).orElseThrow();
        Ewma whole = Ewma.of(values, 0, 2, DESIGN, Ewma.Width.FINAL).orElseThrow();
        // The first average has a fifth of the spread of a point.
        assertThat(upper(exact, 1)).isCloseTo(2.86 * 0.2 * 2, within(1e-12));
        assertThat(upper(exact, 60)).isCloseTo(upper(whole, 60), within(1e-8));
        assertThat(upper(whole, 1)).isCloseTo(2.86 * 2 / 3, within(1e-12));
        for (int i = 2; i <= 60; i++) {
            assertThat(upper(exact, i)).isGreaterThanOrEqualTo(upper(exact, i - 1));
        }
    }

    @Test
    void aPointOnTheLimitIsNotASignal() {
        var shewhart = new EwmaDesign(1, 2);
        assertThat(Ewma.of(Series.of(2, -2, 2.001, -2.001), 0, 1, shewhart, Ewma.Width.FINAL)
                        .orElseThrow()
                        .signals())
                .containsExactly(3, 4);
    }

    @Test
    void saysWhenALimitOfAProportionIsOutOfReach() {
        List<Proportion> few = Collections.nCopies(3, new Proportion(1, 2));
        List<Proportion> many = Collections.nCopies(3, new Proportion(400, 500));
        assertThat(cautions(Ewma.ofProportions(few, 0.85, DESIGN))).containsExactly(Caution.LIMIT_UNREACHABLE);
        assertThat(cautions(Ewma.ofProportions(few, 0.15, DESIGN))).containsExactly(Caution.LIMIT_UNREACHABLE);
        assertThat(cautions(Ewma.ofProportions(many, 0.85, DESIGN))).isEmpty();
    }

    /** Proportions of equal n are values of equal spread. */
    @ParameterizedTest
    @MethodSource("proportions")
    void takesProportionsOfEqualSizeAsValues(List<Proportion> points) {
        double p0 = 0.4;
        Ewma ofProportions = Ewma.ofProportions(points, p0, DESIGN).orElseThrow();
        Series values = Series.withGaps(points.stream()
                .map(point -> point.isEmpty() ? null : (Double) point.value())
                .toList());
        Ewma ofValues = Ewma.of(values, p0, Math.sqrt(p0 * (1 - p0) / 50), DESIGN, Ewma.Width.EXACT)
                .orElseThrow();
        assertThat(ofProportions.signals()).isEqualTo(ofValues.signals());
        for (int i = 0; i < points.size(); i++) {
            assertThat(ofProportions.points().get(i).isGap())
                    .isEqualTo(points.get(i).isEmpty());
            assertThat(ofProportions.points().get(i).value())
                    .isEqualTo(ofValues.points().get(i).value());
        }
    }

    /** Failures instead of successes turn the chart over. */
    @ParameterizedTest
    @MethodSource("proportions")
    void turnsOverWhenSuccessesAndFailuresChangePlaces(List<Proportion> points) {
        Ewma successes = Ewma.ofProportions(points, 0.4, DESIGN).orElseThrow();
        Ewma failures = Ewma.ofProportions(
                        points.stream().map(Proportion::complement).toList(), 0.6, DESIGN)
                .orElseThrow();
        assertThat(failures.signals()).isEqualTo(successes.signals());
    }

    static Stream<List<Proportion>> proportions() {
        return RandomInputs.draws(
                30,
                random -> Stream.generate(
                                () -> random.nextInt(8) == 0 ? GAP : new Proportion(random.nextInt(5, 40), 50))
                        .limit(30)
                        .toList());
    }

    /** From {@code xewma.arl(lambda, width, shift, sided = "two", r = 120)} of the R package spc 0.6.7. */
    @ParameterizedTest
    @CsvSource({
        "0.2, 2.86, 0, 371.10330425",
        "0.05, 2.615, 0.25, 84.0058617263",
        "0.1, 2.7, 0.5, 28.1905396205",
        "0.5, 3.07, 1, 17.4503882919",
        "0.9, 3, 2, 5.16997890517",
        "0.03, 2.437, 0, 499.859156632"
    })
    void hasTheRunLengthsOfAnotherProgram(double lambda, double width, double shift, double runLength) {
        assertThat(new EwmaDesign(lambda, width).runLength(shift)).isCloseTo(runLength, withinPercentage(1e-7));
    }

    @ParameterizedTest
    @CsvSource({"0.2, 2.86, 0.5", "0.1, 2.0, 0", "0.4, 2.5, 1"})
    void simulatedSeriesSignalWhenTheRunLengthSays(double lambda, double width, double shift) {
        var design = new EwmaDesign(lambda, width);
        SplittableRandom random = new SplittableRandom(5);
        double limit = width * design.finalSd();
        double total = 0;
        int series = 4_000;
        for (int i = 0; i < series; i++) {
            double z = 0;
            do {
                z = lambda * (shift + NormalLaw.upperQuantile(random.nextDouble())) + (1 - lambda) * z;
                total++;
            } while (Math.abs(z) <= limit);
        }
        assertThat(design.runLength(shift)).isCloseTo(total / series, withinPercentage(5));
        assertThat(design.runLength(-shift)).isCloseTo(design.runLength(shift), withinPercentage(1e-8));
    }

    private static double upper(Ewma ewma, int number) {
        return ewma.points().get(number - 1).limits().map(Limits::upper).orElseThrow();
    }

    private static Set<Caution> cautions(Answer<Ewma> answer) {
        return answer.fold(Answer.Ok::cautions, no -> Set.of());
    }
}
