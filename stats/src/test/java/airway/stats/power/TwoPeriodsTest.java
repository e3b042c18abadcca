package airway.stats.power;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Confidence;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.interval.DifferenceInterval;
import airway.stats.numeric.BinomialLaw;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

class TwoPeriodsTest {

    private static final Confidence LEVEL = Confidence.DEFAULT;

    /** All outcomes of both periods, in Python with scipy 1.17.1; 9 stands for no such change. */
    @ParameterizedTest
    @CsvSource({
        " 48,  48, 0.62, 0.8641546111942501, 0.3400012845382673",
        " 20,  20, 0.85, 9,                  0.4471079292495541",
        "100,  60, 0.85, 0.9768841252446125, 0.6592214267030668",
        "200, 200, 0.62, 0.7495974993645566, 0.48108847982026953",
        " 30,  12, 0.50, 0.9112010718591105, 0.08879892814088956"
    })
    void agreesWithAllOutcomesCountedElsewhere(long before, long after, double p, double rise, double fall) {
        var change = new TwoPeriods(before, after, p, LEVEL).smallestChange(0.8);
        assertThat(change.rise().orElse(9)).isCloseTo(rise, within(1e-7));
        assertThat(change.fall().orElse(9)).isCloseTo(fall, within(1e-7));
    }

    /** A whole table of both periods, asked of the interval itself. */
    @ParameterizedTest
    @MethodSource("periods")
    void countsEveryOutcomeThatTheIntervalShowsAsAChange(TwoPeriods periods, double changed) {
        double sum = 0;
        for (long x1 = 0; x1 <= periods.before(); x1++) {
            for (long x2 = 0; x2 <= periods.after(); x2++) {
                var difference = DifferenceInterval.NEWCOMBE
                        .of(
                                new Proportion(x2, periods.after()),
                                new Proportion(x1, periods.before()),
                                periods.confidence())
                        .orElseThrow();
                if (changed >= periods.proportion() ? difference.lower() > 0 : difference.upper() < 0) {
                    sum += BinomialLaw.probability(x1, periods.before(), periods.proportion())
                            * BinomialLaw.probability(x2, periods.after(), changed);
                }
            }
        }
        assertThat(periods.power(changed)).isCloseTo(sum, within(1e-11));
    }

    static Stream<Arguments> periods() {
        return RandomInputs.draws(
                25,
                random -> Arguments.of(
                        new TwoPeriods(
                                random.nextInt(1, 60),
                                random.nextInt(1, 60),
                                random.nextDouble(0.02, 0.98),
                                RandomInputs.confidence(random)),
                        random.nextDouble()));
    }

    @Test
    void hasThePowerThatTheChangeWasFoundFor() {
        var year = new TwoPeriods(48, 48, 0.62, LEVEL);
        var change = year.smallestChange(0.8);
        assertThat(year.power(change.rise().getAsDouble())).isCloseTo(0.8, within(1e-6));
        assertThat(year.power(change.fall().getAsDouble())).isCloseTo(0.8, within(1e-6));
        assertThat(year.power(0.95)).isGreaterThan(0.8);
        assertThat(year.power(0.62)).isBetween(0.01, 0.04);
    }

    @Test
    void seesSmallerChangesWithMoreCases() {
        double fewer =
                new TwoPeriods(48, 48, 0.62, LEVEL).smallestChange(0.8).rise().getAsDouble();
        double more =
                new TwoPeriods(200, 200, 0.62, LEVEL).smallestChange(0.8).rise().getAsDouble();
        double most = new TwoPeriods(100_000, 100_000, 0.62, LEVEL)
                .smallestChange(0.8)
                .rise()
                .getAsDouble();
        assertThat(more).isLessThan(fewer);
        assertThat(most).isBetween(0.62, 0.63);
    }

    @Test
    void saysWhenNoChangeWhateverWouldShow() {
        var few = new TwoPeriods(20, 20, 0.9, LEVEL).smallestChange(0.8);
        assertThat(few.rise()).isEmpty();
        assertThat(few.fall()).isPresent();
        var single = new TwoPeriods(1, 1, 0.5, LEVEL).smallestChange(0.8);
        assertThat(single.rise()).isEmpty();
        assertThat(single.fall()).isEmpty();
    }

    @Test
    void knowsTheEnds() {
        var never = new TwoPeriods(30, 30, 0, LEVEL);
        assertThat(never.power(0)).isZero();
        assertThat(never.power(1)).isEqualTo(1);
        assertThat(never.smallestChange(0.8).fall()).isEmpty();
        assertThat(never.smallestChange(0.8).rise().getAsDouble()).isBetween(0.1, 0.4);
        assertThat(new TwoPeriods(30, 30, 1, LEVEL).smallestChange(0.8).rise()).isEmpty();
    }

    @ParameterizedTest
    @CsvSource({
        "0,      48, 0.5, 'before = 0, must be in [1, 100000]'",
        "48, 100001, 0.5, 'after = 100001, must be in [1, 100000]'",
        "48,     48, 1.1, 'proportion = 1.1, must be in [0, 1]'",
        "48,     48, NaN, 'proportion = NaN, must be in [0, 1]'"
    })
    void tellsTheCallerThatPeriodsCannotBe(long before, long after, double p, String message) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new TwoPeriods(before, after, p, LEVEL))
                .withMessage(message);
    }

    @Test
    void tellsTheCallerWhatCannotBeAsked() {
        var year = new TwoPeriods(48, 48, 0.62, LEVEL);
        assertThatIllegalArgumentException()
                .isThrownBy(() -> year.smallestChange(0.4))
                .withMessage("power = 0.4, must be in [0.5, 0.999]");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> year.smallestChange(Double.NaN))
                .withMessage("power = NaN, must be in [0.5, 0.999]");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> year.power(-0.1))
                .withMessage("changed = -0.1, must be in [0, 1]");
    }
}
