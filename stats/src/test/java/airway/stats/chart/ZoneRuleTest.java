package airway.stats.chart;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import airway.stats.Series;
import airway.stats.numeric.NormalLaw;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

class ZoneRuleTest {

    private static final List<ZoneRule> RULES = List.of(ZoneRule.values());

    /** Champ CW, Woodall WH (1987), Technometrics 29:393-399, printed to two decimals (from memory). */
    @ParameterizedTest
    @CsvSource({"1, 370.40", "12, 225.44", "13, 166.05", "14, 152.73", "1234, 91.75"})
    void champAndWoodallRunLengthsWithoutAChange(String rules, double printed) {
        assertThat(ZoneRule.runLength(rules(rules), 0)).isCloseTo(printed, within(0.006));
    }

    @ParameterizedTest
    @CsvSource({"1, 43.89", "12, 20.01", "13, 12.66", "14, 14.58", "1234, 9.22"})
    void champAndWoodallRunLengthsAfterAChangeOfOneStandardDeviation(String rules, double printed) {
        assertThat(ZoneRule.runLength(rules(rules), 1)).isCloseTo(printed, within(0.006));
    }

    /**
     * Eight in a row on one side of the centre: in control a run of seven agreements after the first point, 2⁸ - 1 points (Feller
     * W, An Introduction to Probability Theory and Its Applications, vol 1, 3rd ed, XIII.8; from memory).
     */
    @Test
    void waitsForARunOfEightAsLongAsTheFormulaSays() {
        assertThat(ZoneRule.runLength(Set.of(ZoneRule.EIGHT_ON_ONE_SIDE), 0)).isCloseTo(255, within(1e-9));
    }

    @ParameterizedTest
    @EnumSource(ZoneRule.class)
    void isTheSameOnBothSides(ZoneRule rule) {
        assertThat(ZoneRule.runLength(Set.of(rule), -0.8))
                .isCloseTo(ZoneRule.runLength(Set.of(rule), 0.8), withinPercentage(1e-9));
    }

    @ParameterizedTest
    @EnumSource(ZoneRule.class)
    void signalsSoonerWithMoreRules(ZoneRule rule) {
        Set<ZoneRule> all = EnumSet.allOf(ZoneRule.class);
        assertThat(ZoneRule.runLength(all, 0.5)).isLessThan(ZoneRule.runLength(Set.of(rule), 0.5));
    }

    /** The rules as the chart applies them to series drawn with a fixed seed. */
    @ParameterizedTest
    @CsvSource({"2, 1", "3, 0.5", "4, 0.5", "1234, 0.5"})
    void simulatedChartsSignalWhenTheRunLengthSays(String rules, double shift) {
        SplittableRandom random = new SplittableRandom(9);
        double total = 0;
        int charts = 600;
        for (int i = 0; i < charts; i++) {
            Series values = Series.of(random.doubles(400)
                    .map(u -> shift + NormalLaw.upperQuantile(u))
                    .toArray());
            total += firstSignal(ZoneRules.of(values, 0, 1), rules);
        }
        assertThat(ZoneRule.runLength(rules(rules), shift)).isCloseTo(total / charts, withinPercentage(11));
    }

    @Test
    void tellsTheCallerWhatCannotBeAsked() {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> ZoneRule.runLength(Set.of(), 0))
                .withMessage("rules = [], must be at least one");
    }

    @ParameterizedTest
    @ValueSource(doubles = {10.5, -10.5, Double.NaN})
    void tellsTheCallerThatAShiftCannotBe(double shift) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> ZoneRule.runLength(Set.of(ZoneRule.BEYOND_THREE), shift))
                .withMessage("shift = " + shift + ", must be in [-10, 10]");
    }

    private static Set<ZoneRule> rules(String digits) {
        Set<ZoneRule> rules = EnumSet.noneOf(ZoneRule.class);
        digits.chars().forEach(digit -> rules.add(RULES.get(digit - '1')));
        return rules;
    }

    private static int firstSignal(ZoneRules found, String digits) {
        List<List<Integer>> lists =
                List.of(found.beyondThree(), found.twoOfThree(), found.fourOfFive(), found.eightOnOneSide());
        return digits.chars()
                .flatMap(digit -> lists.get(digit - '1').stream().mapToInt(Integer::intValue))
                .min()
                .orElse(400);
    }
}
