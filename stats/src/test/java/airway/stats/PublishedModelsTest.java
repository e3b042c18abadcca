package airway.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.regression.Coefficient;
import airway.stats.regression.CovariatePatterns;
import airway.stats.regression.LogisticModel;
import airway.stats.regression.LogisticRegression;
import airway.stats.strata.BreslowDay;
import airway.stats.strata.CochranMantelHaenszel;
import airway.stats.strata.EValue;
import airway.stats.strata.MantelHaenszel;
import airway.stats.strata.Stratum;
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

    private static void assertCoefficient(Coefficient got, double value, double standardError, double p) {
        assertThat(got.estimate().value()).isCloseTo(value, within(0.000005));
        assertThat(got.standardError()).isCloseTo(standardError, within(0.000005));
        assertThat(got.p()).isCloseTo(p, within(0.00005));
    }

    private static Stratum stratum(long a, long b, long c, long d) {
        return new Stratum(new Proportion(a, a + b), new Proportion(c, c + d));
    }
}
