package airway.stats.funnel;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import airway.stats.Shown;
import airway.stats.chart.Limits;
import java.util.Collections;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

class FunnelPlotTest {

    private static final Proportion NONE = new Proportion(0, 0);

    static Stream<List<Proportion>> units() {
        return RandomInputs.draws(
                40,
                random -> Stream.generate(() -> RandomInputs.proportion(random))
                        .limit(random.nextInt(2, 25))
                        .toList());
    }

    /** {@code binom.ppf}, {@code cdf} and {@code pmf} of scipy 1.17.1. */
    @ParameterizedTest
    @CsvSource({
        "7, 0.2, 0.0, 0.47014508928571414, 0.0, 0.693399234693878",
        "100, 0.85, 0.7716677971300223, 0.9116169893148427, 0.7250472209392501, 0.9449031440653823",
        "1000, 0.05, 0.03640434768212441, 0.06344649322307615, 0.029503347373078602, 0.07201667962373562"
    })
    void agreesWithTheFormulaComputedElsewhere(
            long n, double target, double low95, double high95, double low998, double high998) {
        FunnelPoint point = FunnelPlot.of(List.of(new Proportion(0, n)), target)
                .orElseThrow()
                .points()
                .get(0);
        Limits usual = point.usual().orElseThrow();
        Limits far = point.far().orElseThrow();
        assertThat(new double[] {usual.lower(), usual.upper(), far.lower(), far.upper()})
                .containsExactly(new double[] {low95, high95, low998, high998}, within(1e-9));
    }

    @ParameterizedTest
    @MethodSource("units")
    void limitsHoldTheTargetAndTheFarOnesHoldTheUsual(List<Proportion> units) {
        FunnelPlot.of(units).toOptional().ifPresent(funnel -> {
            for (FunnelPoint point : funnel.points()) {
                Limits usual = point.usual().orElseThrow();
                Limits far = point.far().orElseThrow();
                assertThat(far.lower()).isLessThanOrEqualTo(usual.lower());
                assertThat(usual.lower()).isLessThanOrEqualTo(funnel.target());
                assertThat(usual.upper()).isBetween(funnel.target(), far.upper());
            }
            assertThat(funnel.outsideUsual()).containsAll(funnel.outsideFar());
        });
    }

    @ParameterizedTest
    @MethodSource("units")
    void keepsTheOrderOfTheUnitsAndRanksNobody(List<Proportion> units) {
        FunnelPlot funnel = FunnelPlot.of(units, 0.5).orElseThrow();
        assertThat(funnel.points().stream().map(FunnelPoint::counts)).isEqualTo(units);
        assertThat(funnel.points().stream().map(FunnelPoint::number))
                .isEqualTo(IntStream.rangeClosed(1, units.size()).boxed().toList());
    }

    @Test
    void refusesWhatCannotBeHeldAgainstAnything() {
        assertThat(FunnelPlot.of(List.of())).isEqualTo(Answer.refused(Reason.NO_DATA));
        assertThat(FunnelPlot.of(List.of(NONE, NONE), 0.5)).isEqualTo(Answer.refused(Reason.NO_DATA));
        assertThat(FunnelPlot.of(List.of(NONE, new Proportion(3, 4))))
                .isEqualTo(Answer.refused(
                        Reason.SINGLE_UNIT, Shown.NOTHING.withN(1).withEstimate(0.75)));
        assertThat(FunnelPlot.of(List.of(new Proportion(4, 4), new Proportion(3, 3))))
                .isEqualTo(Answer.refused(
                        Reason.ZERO_WIDTH_LIMITS, Shown.NOTHING.withN(2).withEstimate(1.0)));
    }

    @ParameterizedTest
    @ValueSource(doubles = {0, 1, -0.5, Double.NaN})
    void tellsTheCallerThatATargetCannotBe(double target) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> FunnelPlot.of(List.of(new Proportion(3, 4)), target))
                .withMessage("target = " + target + ", must be in (0, 1)");
    }

    @ParameterizedTest
    @ValueSource(doubles = {-0.1, 0.41, Double.NaN})
    void tellsTheCallerThatAShareCannotBePulledIn(double share) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Overdispersion.of(List.of(), share))
                .withMessage("winsorised = " + share + ", must be in [0, 0.4]");
    }

    @Test
    void answersForAThousandMillionCases() {
        Limits far = FunnelPlot.of(List.of(new Proportion(400_000_000, 1_000_000_000)), 0.4)
                .orElseThrow()
                .points()
                .get(0)
                .far()
                .orElseThrow();
        double sd = Math.sqrt(0.24 / 1e9);
        assertThat(far.upper() - 0.4).isCloseTo(3.0902 * sd, within(0.001 * sd));
        assertThat(0.4 - far.lower()).isCloseTo(3.0902 * sd, within(0.001 * sd));
    }

    @Test
    void refusesToJudgeTheScatterOfFewUnits() {
        List<Proportion> nine = Collections.nCopies(9, new Proportion(8, 10));
        assertThat(Overdispersion.of(nine, 0.1))
                .isEqualTo(Answer.refused(
                        Reason.TOO_FEW_UNITS, Shown.NOTHING.withN(9).withEstimate(0.8)));
        assertThat(Overdispersion.of(List.of(NONE), 0.1)).isEqualTo(Answer.refused(Reason.NO_DATA));
        assertThat(Overdispersion.of(Collections.nCopies(10, new Proportion(5, 5)), 0.1))
                .isEqualTo(Answer.refused(
                        Reason.ZERO_WIDTH_LIMITS, Shown.NOTHING.withN(10).withEstimate(1.0)));
    }

    @Test
    void unitsThatAreAllAlikeScatterLessThanChance() {
        Overdispersion scatter = Overdispersion.of(Collections.nCopies(12, new Proportion(80, 100)), 0.1)
                .orElseThrow();
        assertThat(scatter.phi()).isZero();
        assertThat(scatter.tau2()).isZero();
        assertThat(scatter.excessive()).isFalse();
        assertThat(scatter.multiplicative()).isEqualTo(scatter.additive());
        assertThat(scatter.multiplicative().get(0).orElseThrow().upper()).isCloseTo(0.8 + 3.0902 * 0.04, within(1e-5));
    }

    @Test
    void oneUnitFarAwayIsPulledInAndManyAreNot() {
        List<Proportion> one = units(50, 80, 81, 79, 80, 82, 78, 80, 81, 79, 80, 81);
        List<Proportion> many = units(60, 95, 65, 92, 80, 98, 62, 90, 71, 93, 66, 94);
        assertThat(Overdispersion.of(one, 0.1).orElseThrow().excessive()).isFalse();
        assertThat(Overdispersion.of(one, 0).orElseThrow().excessive()).isTrue();
        assertThat(Overdispersion.of(many, 0.1).orElseThrow().excessive()).isTrue();
        assertThat(cautions(FunnelPlot.of(one))).isEmpty();
        assertThat(cautions(FunnelPlot.of(many))).containsExactly(Caution.OVERDISPERSED);
    }

    /** By the formulas of Spiegelhalter (2005, Stat Med 24:1185-1202, section 4; from memory) in R 4.2.2. */
    @Test
    void measuresTheScatterAsComputedElsewhere() {
        int[] successes = {34, 52, 18, 77, 9, 61, 25, 44, 30, 12, 58, 20};
        int[] cases = {45, 70, 30, 95, 20, 75, 36, 52, 50, 19, 70, 21};
        List<Proportion> units = IntStream.range(0, 13)
                .mapToObj(i -> i == 12 ? NONE : new Proportion(successes[i], cases[i]))
                .toList();
        Overdispersion scatter = Overdispersion.of(units, 0.1).orElseThrow();
        assertThat(Overdispersion.of(units, 0.4).toOptional()).isPresent();
        assertThat(scatter.z().get(0).orElseThrow()).isCloseTo(0.0130744090092, within(1e-10));
        assertThat(scatter.z().get(4).orElseThrow()).isCloseTo(-3.16727558248, within(1e-10));
        assertThat(scatter.z().get(12)).isEmpty();
        assertThat(scatter.phi()).isCloseTo(2.4063410063, within(1e-9));
        assertThat(scatter.tau2()).isCloseTo(0.0063293728762, within(1e-12));
        assertThat(scatter.p()).isCloseTo(0.00411032163135, within(1e-12));
        assertThat(scatter.excessive()).isTrue();
        Limits fourth = scatter.multiplicative().get(3).orElseThrow();
        assertThat(fourth.lower()).isCloseTo(0.543108186202, within(1e-10));
        assertThat(fourth.upper()).isCloseTo(0.966325776062, within(1e-10));
        assertThat(scatter.multiplicative().get(4).orElseThrow().lower()).isCloseTo(0.293526304801, within(1e-10));
        assertThat(scatter.additive().get(3).orElseThrow().lower()).isCloseTo(0.47355684049, within(1e-10));
        assertThat(scatter.additive().get(4).orElseThrow().lower()).isCloseTo(0.368928540127, within(1e-10));
        assertThat(scatter.additive().get(12)).isEmpty();
    }

    /** Units alike but for chance, drawn with a fixed seed: close to 1 in 20 and 1 in 500 lie outside, and few plots caution. */
    @Test
    void asManyUnitsLieOutsideByChanceAsTheLimitsSay() {
        SplittableRandom random = new SplittableRandom(2);
        int plots = 400;
        int usual = 0;
        int far = 0;
        int cautions = 0;
        for (int i = 0; i < plots; i++) {
            List<Proportion> units = Stream.generate(() -> random.nextInt(30, 200))
                    .limit(20)
                    .map(n -> new Proportion(
                            IntStream.range(0, n)
                                    .filter(one -> random.nextDouble() < 0.8)
                                    .count(),
                            n))
                    .toList();
            Answer<FunnelPlot> answer = FunnelPlot.of(units, 0.8);
            usual += answer.orElseThrow().outsideUsual().size();
            far += answer.orElseThrow().outsideFar().size();
            cautions += answer.fold(ok -> ok.cautions().size(), no -> 0);
        }
        assertThat(usual / (20.0 * plots)).isBetween(0.04, 0.06);
        assertThat(far / (20.0 * plots)).isBetween(0.0005, 0.0045);
        assertThat(cautions / (double) plots).isLessThan(0.02);
    }

    private static Set<Caution> cautions(Answer<FunnelPlot> answer) {
        return answer.fold(Answer.Ok::cautions, no -> Set.of());
    }

    private static List<Proportion> units(int... successesOfHundred) {
        return IntStream.of(successesOfHundred)
                .mapToObj(x -> new Proportion(x, 100))
                .toList();
    }
}
