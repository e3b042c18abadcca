package airway.stats.sequential;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Proportion;
import airway.stats.Series;
import java.util.List;
import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What the documentation of the methods says of ranges and units. */
class RangesTest {
    @Test
    void takesTheEndsOfItsRanges() {
        Hypotheses doubled = Hypotheses.oddsChanged(0.001, 2);
        assertThat(doubled.p0()).isEqualTo(0.001);
        assertThat(CusumDesign.forChance(Hypotheses.oddsChanged(0.3, 2), 1, 0.5).h())
                .isPositive();
        assertThat(CusumDesign.forChance(Hypotheses.oddsChanged(0.3, 2), 1_000, 0.5)
                        .signalWithin(0, 0.3))
                .isZero();
        assertThat(CusumDesign.forChance(Hypotheses.oddsChanged(0.3, 2), 5, 0.001)
                        .signalWithin(5, 0.3))
                .isLessThanOrEqualTo(0.001);
        assertThat(new TabularCusumDesign(0, 1e100, 0.5e100).k()).isZero();
        assertThat(new TabularCusumDesign(1e100, 1).k()).isEqualTo(1e100);
        assertThat(new TabularCusumDesign(0.5, 20).runLength(10, 1)).isPositive();
        assertThat(new EwmaDesign(1, 5).width()).isEqualTo(5);
        assertThat(new Watch(1, doubled).casesPerYear()).isEqualTo(1);
        assertThat(new Watch(100_000, doubled).casesPerYear()).isEqualTo(100_000);
        Series far = Series.of(1e99, 1e99);
        assertThat(Ewma.of(far, 1e100, 1e100, new EwmaDesign(0.2, 3), Ewma.Width.EXACT))
                .isInstanceOf(Answer.Ok.class);
        assertThat(TabularCusum.of(Series.of(1e100), 1e100, new TabularCusumDesign(0, 1e100)))
                .isInstanceOf(Answer.Ok.class);
    }

    @Test
    void saysWhichRatioOfOddsCannotBe() {
        assertThatThrownBy(() -> Hypotheses.oddsChanged(0.3, -2)).hasMessageContaining("oddsRatio = -2.0");
        assertThatThrownBy(() -> Hypotheses.fromBaseline(new Proportion(0, 0), 0))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining("oddsRatio = 0.0");
    }

    /** Standard deviations and limits of half the size are the same chart. */
    @ParameterizedTest
    @CsvSource({"0.5, 4, 0, 0", "0.5, 4, 0, 1", "0.5, 4, 2, 0", "0.5, 4, 2, 1", "0.25, 8, 1, 0.5"})
    void doesNotDependOnTheUnitOfTheValues(double k, double h, double headStart, double shift) {
        double inSds = new TabularCusumDesign(k, h, headStart).runLength(shift, 1);

        assertThat(new TabularCusumDesign(k / 8, h / 8, headStart / 8).runLength(shift / 8, 0.125))
                .isCloseTo(inSds, within(1e-9 * inSds));
        assertThat(new TabularCusumDesign(k, h, headStart).runLength(-shift, 1))
                .as("up and down alike")
                .isCloseTo(inSds, within(1e-9 * inSds));
    }

    @Test
    void signalsAboveTheLimitAndNotAtIt() {
        TabularCusumDesign design = new TabularCusumDesign(0.5, 4);
        assertThat(TabularCusum.of(Series.of(4.5), 0, design).orElseThrow().firstSignal())
                .isEqualTo(OptionalInt.empty());
        assertThat(TabularCusum.of(Series.of(-4.5), 0, design).orElseThrow().firstSignal())
                .isEqualTo(OptionalInt.empty());
        assertThat(TabularCusum.of(Series.of(4.5001), 0, design).orElseThrow().firstSignal())
                .isEqualTo(OptionalInt.of(1));
        assertThat(TabularCusum.of(Series.of(-4.5001), 0, design).orElseThrow().signals())
                .isEqualTo(List.of(1));
    }
}
