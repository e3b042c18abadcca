package airway.stats.chart;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Answer.Refused;
import airway.stats.Caution;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.Series;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class PChartTest {

    @Test
    void keepsAnEmptyMonthAsAGap() {
        List<Proportion> months = months(20, 40, 100);
        months.set(4, new Proportion(0, 0));
        ControlChart chart = chart(months);
        assertThat(chart.points()).hasSize(20);
        assertThat(chart.points().get(4)).isEqualTo(ChartPoint.gap(5));
        assertThat(chart.points().get(4).isGap()).isTrue();
        assertThat(chart.points().get(5).isGap()).isFalse();
        assertThat(chart.baselinePoints()).isEqualTo(19);
        assertThat(chart.centre()).isEqualTo(0.4);
    }

    @Test
    void weighsEveryCaseAlikeNotEveryMonth() {
        List<Proportion> months = months(10, 10, 20);
        months.set(0, new Proportion(90, 100));
        assertThat(chart(months).centre()).isEqualTo(180.0 / 280);
    }

    @Test
    void drawsTheLimitsOfAPointFromItsOwnCases() {
        List<Proportion> months = months(10, 50, 100);
        months.set(9, new Proportion(200, 400));
        ControlChart chart = chart(months);
        assertThat(limits(chart, 1)).isEqualTo(new Limits(0.35, 0.5, 0.65));
        assertThat(limits(chart, 10).lower()).isCloseTo(0.425, within(1e-12));
        assertThat(limits(chart, 10).upper()).isCloseTo(0.575, within(1e-12));
    }

    @ParameterizedTest
    @CsvSource({"65, NONE", "35, NONE", "66, ABOVE", "34, BELOW"})
    void signalsOnlyStrictlyBeyondALimit(int x, Signal signal) {
        List<Proportion> months = months(12, 50, 100);
        months.add(new Proportion(x, 100));
        ControlChart chart =
                PChart.of(months, new Baseline(1, 12)).orElseThrow().chart();
        assertThat(chart.points().get(12).signal()).isEqualTo(signal);
        assertThat(chart.signals()).isEqualTo(signal == Signal.NONE ? List.of() : List.of(13));
    }

    @Test
    void doesNotMoveFrozenLimitsWhenNewPointsArrive() {
        List<Proportion> months = months(12, 50, 100);
        ControlChart before = chart(months);
        months.addAll(months(12, 90, 100));
        ControlChart after =
                PChart.of(months, new Baseline(1, 12)).orElseThrow().chart();
        assertThat(after.points().subList(0, 12)).isEqualTo(before.points());
        assertThat(after.signals()).containsExactly(13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24);
        assertThat(after.baseline()).isEqualTo(new Baseline(1, 12));
    }

    @Test
    void refusesLimitsFromNinePointsAndShowsThePoints() {
        List<Proportion> months = months(9, 5, 10);
        months.add(new Proportion(0, 0));
        assertThat(PChart.of(months)).isInstanceOfSatisfying(Refused.class, refused -> {
            assertThat(refused.reason()).isEqualTo(Reason.TOO_FEW_POINTS);
            assertThat(refused.shown().n()).hasValue(9);
            assertThat(refused.shown().estimate()).hasValue(0.5);
            assertThat(refused.shown().points())
                    .isEqualTo(Series.withGaps(Arrays.asList(.5, .5, .5, .5, .5, .5, .5, .5, .5, null)));
        });
    }

    @ParameterizedTest
    @CsvSource({"10, true", "19, true", "20, false"})
    void callsLimitsProvisionalBelowTwentyPoints(int points, boolean provisional) {
        Answer<PChart> answer = PChart.of(months(points, 40, 100));
        assertThat(answer.orElseThrow().chart().provisional()).isEqualTo(provisional);
        assertThat(cautions(answer).contains(Caution.PROVISIONAL_LIMITS)).isEqualTo(provisional);
    }

    @ParameterizedTest
    @CsvSource({"0, 0.0", "10, 1.0"})
    void refusesLimitsOfNoWidth(int x, double centre) {
        assertThat(PChart.of(months(12, x, 10))).isInstanceOfSatisfying(Refused.class, refused -> {
            assertThat(refused.reason()).isEqualTo(Reason.ZERO_WIDTH_LIMITS);
            assertThat(refused.shown().estimate()).hasValue(centre);
            assertThat(refused.shown().points().size()).isEqualTo(12);
        });
    }

    @Test
    void refusesWhenNoMonthHasCases() {
        assertThat(PChart.of(months(12, 0, 0))).isInstanceOfSatisfying(Refused.class, refused -> {
            assertThat(refused.reason()).isEqualTo(Reason.NO_DATA);
            assertThat(refused.shown().estimate()).isEmpty();
        });
        assertThat(PChart.of(List.of()))
                .isInstanceOfSatisfying(
                        Refused.class, refused -> assertThat(refused.reason()).isEqualTo(Reason.NO_DATA));
    }

    @Test
    void refusesABaselineBeyondTheSeries() {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> PChart.of(months(12, 1, 2), new Baseline(1, 13)))
                .withMessage("last = 13, must be in [0, 12]");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new Baseline(0, 3))
                .withMessage("first = 0, must be 1 or more");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new Baseline(4, 2))
                .withMessage("last = 2, must be 3 or more");
    }

    /** With a centre of 0.85 the upper limit is 1 up to n = 51, with 0.70 up to 21; with 0.10 the lower is 0 up to 81. */
    @ParameterizedTest
    @CsvSource({"85, 52, 2", "70, 22, 4", "50, 10, 10", "10, 2, 82", "90, 82, 2"})
    void saysHowManyCasesAPointNeedsToReachALimit(int percent, long forUpper, long forLower) {
        PChart chart = PChart.of(months(20, percent, 100)).orElseThrow();
        assertThat(chart.casesToReachUpper()).isEqualTo(forUpper);
        assertThat(chart.casesToReachLower()).isEqualTo(forLower);
    }

    @Test
    void namesThePointsAtWhichALimitIsOutOfReach() {
        List<Proportion> months = months(20, 90, 100);
        months.add(new Proportion(81, 81));
        months.add(new Proportion(82, 82));
        months.add(new Proportion(0, 0));
        Answer<PChart> answer = PChart.of(months, new Baseline(1, 20));
        assertThat(answer.orElseThrow().upperUnreachable()).containsExactly(21);
        assertThat(answer.orElseThrow().lowerUnreachable()).isEmpty();
        assertThat(answer.orElseThrow().chart().signals()).containsExactly(22);
        assertThat(cautions(answer)).containsExactly(Caution.LIMIT_UNREACHABLE);
    }

    @Test
    void namesThePointsAtWhichALowRateCannotFallFurther() {
        List<Proportion> months = months(20, 10, 100);
        months.add(new Proportion(0, 81));
        Answer<PChart> answer = PChart.of(months, new Baseline(1, 20));
        assertThat(answer.orElseThrow().lowerUnreachable()).containsExactly(21);
        assertThat(answer.orElseThrow().upperUnreachable()).isEmpty();
        assertThat(cautions(answer)).containsExactly(Caution.LIMIT_UNREACHABLE);
    }

    @Test
    void hasNothingToCautionAgainstWhenMonthsAreLargeAndAlike() {
        assertThat(cautions(PChart.of(months(20, 50, 100)))).isEmpty();
    }

    @ParameterizedTest
    @CsvSource({"5, false", "6, true"})
    void cautionsWhenMoreThanAQuarterOfTheMonthsAreSmall(int small, boolean caution) {
        List<Proportion> months = months(20 - small, 50, 100);
        months.addAll(months(small, 4, 8));
        Answer<PChart> answer = PChart.of(months);
        assertThat(answer.orElseThrow().smallDenominators()).isEqualTo(caution);
        assertThat(cautions(answer).contains(Caution.SMALL_DENOMINATORS)).isEqualTo(caution);
    }

    @Test
    void doesNotCallFiveExpectedFailuresSmall() {
        assertThat(PChart.of(months(20, 5, 10)).orElseThrow().smallDenominators())
                .isFalse();
    }

    @Test
    void countsTheRarerOutcomeAlsoWhenItIsTheFailure() {
        assertThat(PChart.of(months(20, 18, 20)).orElseThrow().smallDenominators())
                .isTrue();
        assertThat(PChart.of(months(20, 90, 100)).orElseThrow().smallDenominators())
                .isFalse();
    }

    @Test
    void doesNotTakeAGapForAPointWithTooFewCases() {
        List<Proportion> months = months(20, 50, 100);
        months.addAll(months(8, 0, 0));
        assertThat(PChart.of(months).orElseThrow().smallDenominators()).isFalse();
    }

    @Test
    void measuresTheScatterOfTheBaselineAgainstChance() {
        List<Proportion> months = months(10, 40, 100);
        months.addAll(months(10, 60, 100));
        Answer<PChart> answer = PChart.of(months);
        Dispersion dispersion = answer.orElseThrow().dispersion();
        assertThat(dispersion.chi2()).isCloseTo(80, within(1e-9));
        assertThat(dispersion.df()).isEqualTo(19);
        assertThat(dispersion.phi()).isCloseTo(80.0 / 19, within(1e-9));
        assertThat(cautions(answer)).containsExactly(Caution.OVERDISPERSED);
    }

    @ParameterizedTest
    @CsvSource({"0.0099, 1.6, true", "0.01, 1.6, false", "0.0099, 1.5, false"})
    void callsScatterExcessiveOnlyWhenBothRareAndLarge(double p, double phi, boolean excessive) {
        assertThat(new Dispersion(1, 1, p, phi).excessive()).isEqualTo(excessive);
    }

    @Test
    void chartsEachPhaseForItselfWithTheNumbersOfTheWholeSeries() {
        List<Proportion> months = months(12, 40, 100);
        months.addAll(months(11, 80, 100));
        months.add(new Proportion(99, 100));
        PhasedPChart phased = PhasedPChart.of(months, List.of(1, 13));
        assertThat(phased.refusal()).isEmpty();
        assertThat(phased.phases()).hasSize(2);
        ControlChart before = phased.phases().get(0).answer().orElseThrow().chart();
        ControlChart after = phased.phases().get(1).answer().orElseThrow().chart();
        assertThat(before.centre()).isEqualTo(0.4);
        assertThat(after.centre()).isEqualTo(979.0 / 1200);
        assertThat(after.signals()).containsExactly(24);
        assertThat(after.points())
                .extracting(ChartPoint::number)
                .containsExactly(13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24);
        assertThat(after.baseline()).isEqualTo(new Baseline(13, 24));
        assertThat(after.points().get(0).value()).hasValue(0.8);
    }

    @Test
    void refusesOnlyThePhaseThatIsTooShort() {
        PhasedPChart phased = PhasedPChart.of(months(15, 40, 100), List.of(1, 11));
        assertThat(phased.refusal()).contains(Reason.TOO_FEW_POINTS);
        assertThat(phased.phases().get(0).answer().toOptional()).isPresent();
        assertThat(phased.phases().get(1).answer().toOptional()).isEmpty();
        assertThat(phased.phases().get(1).first()).isEqualTo(11);
        assertThat(phased.phases().get(1).last()).isEqualTo(15);
    }

    @ParameterizedTest
    @CsvSource({"''", "2", "'1,1'", "'1,16'", "'1,17'", "'1,9,5'"})
    void refusesPhasesThatDoNotCutTheSeries(String starts) {
        List<Integer> numbers = Arrays.stream(starts.split(","))
                .filter(number -> !number.isEmpty())
                .map(Integer::valueOf)
                .toList();
        assertThatIllegalArgumentException()
                .isThrownBy(() -> PhasedPChart.of(months(15, 40, 100), numbers))
                .withMessageStartingWith("starts = " + numbers);
    }

    @Test
    void letsAPhaseHaveASinglePoint() {
        PhasedPChart phased = PhasedPChart.of(months(16, 40, 100), List.of(1, 15, 16));
        assertThat(phased.phases().get(1).first()).isEqualTo(15);
        assertThat(phased.phases().get(1).last()).isEqualTo(15);
        assertThat(phased.phases().get(1).answer().toOptional()).isEmpty();
    }

    private static List<Proportion> months(int number, long x, long n) {
        return new ArrayList<>(Collections.nCopies(number, new Proportion(x, n)));
    }

    private static ControlChart chart(List<Proportion> months) {
        return PChart.of(months).orElseThrow().chart();
    }

    private static Limits limits(ControlChart chart, int number) {
        return chart.points().get(number - 1).limits().orElseThrow();
    }

    private static Set<Caution> cautions(Answer<?> answer) {
        return answer.fold(Answer.Ok::cautions, no -> Set.of());
    }
}
