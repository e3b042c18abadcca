package airway.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.pooling.PooledEffect;
import airway.stats.pooling.RandomEffects;
import airway.stats.pooling.SiteEffect;
import airway.stats.regression.Coefficient;
import airway.stats.regression.CovariatePatterns;
import airway.stats.regression.LogisticModel;
import airway.stats.regression.LogisticRegression;
import airway.stats.strata.BreslowDay;
import airway.stats.strata.CochranMantelHaenszel;
import airway.stats.strata.EValue;
import airway.stats.strata.MantelHaenszel;
import airway.stats.strata.Stratum;
import airway.stats.survival.KaplanMeier;
import airway.stats.survival.LogRank;
import airway.stats.survival.Observation;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * Worked examples of strata, models, pooling and survival as printed. Unless a test says otherwise the printed figures were
 * read as quoted, with the citation, in the documentation or the tests of general-purpose statistical software.
 */
class PublishedModelsTest {

    private static final Confidence LEVEL = Confidence.DEFAULT;

    /**
     * Penicillin in rabbits, Agresti A (1990), Categorical Data Analysis, pages 231-237, in the help page of {@code
     * mantelhaen.test} of R: p = 0.047 with continuity correction. Cured and died, at once and after 1.5 hours.
     */
    @Test
    void agresti1990Rabbits() {
        var test = CochranMantelHaenszel.of(List.of(
                        stratum(0, 6, 0, 5),
                        stratum(3, 3, 0, 6),
                        stratum(6, 0, 2, 4),
                        stratum(5, 1, 6, 0),
                        stratum(2, 0, 5, 0)))
                .orElseThrow();
        assertThat(test.correctedP()).isCloseTo(0.047, within(0.0005));
        assertThat(test.strataUsed()).isEqualTo(3);
    }

    /**
     * Admissions to six departments, Bickel PJ, Hammel EA, O'Connell JW (1975), Science 187:398-404; counts as in a course
     * page, men first. The odds ratio 0.9047 (0.772 to 1.060) and chi-square 1.43 that {@code mantelhaen.test} of R prints are
     * from memory; that the ratios differ between departments is said in its help page (p = 0.003 by another test).
     */
    @Test
    void bickel1975Admissions() {
        List<Stratum> departments = List.of(
                stratum(512, 313, 89, 19),
                stratum(353, 207, 17, 8),
                stratum(120, 205, 202, 391),
                stratum(138, 279, 131, 244),
                stratum(53, 138, 94, 299),
                stratum(22, 351, 24, 317));
        Estimate odds =
                MantelHaenszel.ODDS_RATIO.of(departments, LEVEL).orElseThrow().estimate();
        assertThat(odds.value()).isCloseTo(0.9047, within(0.00005));
        assertThat(odds.lower()).isCloseTo(0.772, within(0.0005));
        assertThat(odds.upper()).isCloseTo(1.060, within(0.0005));
        assertThat(CochranMantelHaenszel.of(departments).orElseThrow().corrected())
                .isCloseTo(1.43, within(0.005));
        assertThat(BreslowDay.of(departments).orElseThrow().taroneP()).isCloseTo(0.003, within(0.002));
    }

    /** Smoking and lung cancer, 10.73 (8.02 to 14.36), in the vignette of an R package by the authors of the method. */
    @Test
    void vanderWeeleAndDing2017() {
        EValue value = EValue.of(Estimate.of(10.73, 8.02, 14.36));
        assertThat(value.estimate()).isCloseTo(20.94777, within(0.000005));
        assertThat(value.limit()).isCloseTo(15.52336, within(0.000005));
    }

    /** The example of a teaching page on {@code glm} of R: transmission by displacement and power, 32 cars of 1973-74. */
    @Test
    void rLogisticRegressionOfCars() {
        double[] displacement = {
            160, 160, 108, 258, 360, 225, 360, 146.7, 140.8, 167.6, 167.6, 275.8, 275.8, 275.8, 472, 460, 440, 78.7,
            75.7, 71.1, 120.1, 318, 304, 350, 400, 79, 120.3, 95.1, 351, 145, 301, 121
        };
        double[] power = {
            110, 110, 93, 110, 175, 105, 245, 62, 95, 123, 123, 180, 180, 180, 205, 215, 230, 66, 52, 65, 97, 150, 150,
            245, 175, 66, 91, 113, 264, 175, 335, 109
        };
        String manual = "11100000000000000111000001111111";
        var cars = CovariatePatterns.of(2);
        for (int i = 0; i < 32; i++) {
            cars.add(manual.charAt(i) == '1', displacement[i], power[i]);
        }
        LogisticModel model = LogisticRegression.WALD.of(cars.build(), LEVEL).orElseThrow();
        assertCoefficient(model.intercept(), 1.40342, 1.36757, 0.3048);
        assertCoefficient(model.coefficients().get(0), -0.09518, 0.04800, 0.0474);
        assertCoefficient(model.coefficients().get(1), 0.12170, 0.06777, 0.0725);
    }

    /**
     * Thirteen trials of a vaccine against tuberculosis, Colditz GA and others (1994), JAMA 271:698-702, as log risk ratios: REML
     * -0.7145 (0.1798), variance between trials 0.3132, in the documentation of an R package for meta-analysis. Cases and
     * persons, vaccinated and not.
     */
    @Test
    void colditz1994Vaccine() {
        long[][] trials = {
            {4, 123, 11, 139},
            {6, 306, 29, 303},
            {3, 231, 11, 220},
            {62, 13598, 248, 12867},
            {33, 5069, 47, 5808},
            {180, 1541, 372, 1451},
            {8, 2545, 10, 629},
            {505, 88391, 499, 88391},
            {29, 7499, 45, 7277},
            {17, 1716, 65, 1665},
            {186, 50634, 141, 27338},
            {5, 2498, 3, 2341},
            {27, 16913, 29, 17854}
        };
        List<SiteEffect> effects = Arrays.stream(trials)
                .map(t -> new SiteEffect(
                        Math.log((double) t[0] / t[1] / t[2] * t[3]),
                        1.0 / t[0] - 1.0 / t[1] + 1.0 / t[2] - 1.0 / t[3]))
                .toList();
        PooledEffect pooled = RandomEffects.REML.of(effects, LEVEL).orElseThrow();
        assertThat(pooled.estimate().value()).isCloseTo(-0.7145, within(0.00005));
        assertThat(pooled.standardError()).isCloseTo(0.1798, within(0.00005));
        assertThat(pooled.tau2()).isCloseTo(0.3132, within(0.00005));
    }

    /**
     * Acute myelogenous leukaemia, maintained and not, Miller RG (1981), Survival Analysis: the curve as printed by {@code
     * survfit} and the test as printed by {@code survdiff} of R on two teaching pages; the medians of 31 and 23 are from memory.
     */
    @Test
    void miller1981Leukaemia() {
        List<Observation> maintained = observations(9, 13, -13, 18, 23, -28, 31, 34, -45, 48, -161);
        List<Observation> not = observations(5, 5, 8, 8, 12, -16, 23, 27, 30, 33, 43, 45);
        KaplanMeier curve = KaplanMeier.of(maintained, LEVEL).orElseThrow();
        double[] survival = {0.909, 0.818, 0.716, 0.614, 0.491, 0.368, 0.184};
        double[] errors = {0.0867, 0.1163, 0.1397, 0.1526, 0.1642, 0.1627, 0.1535};
        int[] atRisk = {11, 10, 8, 7, 5, 4, 2};
        assertThat(curve.steps()).hasSize(7);
        for (int i = 0; i < 7; i++) {
            assertThat(curve.steps().get(i).survival()).isCloseTo(survival[i], within(0.0005));
            assertThat(curve.steps().get(i).standardError()).isCloseTo(errors[i], within(0.00005));
            assertThat(curve.steps().get(i).atRisk()).isEqualTo(atRisk[i]);
        }
        assertThat(curve.median()).hasValue(31);
        assertThat(KaplanMeier.of(not, LEVEL).orElseThrow().median()).hasValue(23);
        LogRank test = LogRank.of(maintained, not).orElseThrow();
        assertThat(test.observedFirst()).isEqualTo(7);
        assertThat(test.observedSecond()).isEqualTo(11);
        assertThat(test.expectedFirst()).isCloseTo(10.69, within(0.005));
        assertThat(test.expectedSecond()).isCloseTo(7.31, within(0.005));
        assertThat(test.p()).isCloseTo(0.0653, within(0.00005));
    }

    /** Times; a negative one was not watched further. */
    private static List<Observation> observations(double... times) {
        return Arrays.stream(times)
                .mapToObj(time -> new Observation(Math.abs(time), time > 0))
                .toList();
    }

    private static void assertCoefficient(Coefficient got, double value, double standardError, double p) {
        assertThat(got.estimate().value()).isCloseTo(value, within(0.000005));
        assertThat(got.standardError()).isCloseTo(standardError, within(0.000005));
        assertThat(got.p()).isCloseTo(p, within(0.00005));
    }

    private static Stratum stratum(long a, long b, long c, long d) {
        return new Stratum(new Proportion(a, a + b), new Proportion(c, c + d));
    }
}
