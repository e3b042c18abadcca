package airway.stats.sequential;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import airway.stats.Answer;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import java.util.SplittableRandom;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.Stream;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.MatrixUtils;
import org.apache.commons.math3.linear.RealMatrix;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

class CusumDesignTest {

    /** About the failures of a first pass: 38 %, and the odds doubled. */
    private static final Hypotheses DOUBLED = Hypotheses.oddsChanged(0.38, 2);

    private static final int STEPS = 250;

    @Test
    void findsTheProbabilityWhoseOddsAreDoubledOrHalved() {
        assertThat(Hypotheses.oddsChanged(0.2, 2).p1()).isCloseTo(1 / 3.0, within(1e-15));
        assertThat(Hypotheses.oddsChanged(1 / 3.0, 0.5).p1()).isCloseTo(0.2, within(1e-15));
    }

    @Test
    void takesItsStartingPointFromABaseline() {
        assertThat(Hypotheses.fromBaseline(new Proportion(19, 50), 2).orElseThrow())
                .isEqualTo(DOUBLED);
        assertThat(Hypotheses.fromBaseline(new Proportion(0, 0), 2)).isEqualTo(Answer.refused(Reason.NO_DATA));
    }

    @ParameterizedTest
    @CsvSource({"0, 50", "50, 50", "1, 2000", "1998, 2000"})
    void refusesABaselineThatEndedAlike(long failures, long cases) {
        assertThat(Hypotheses.fromBaseline(new Proportion(failures, cases), 2))
                .isEqualTo(Answer.refused(Reason.NO_VARIATION));
    }

    @ParameterizedTest
    @CsvSource({
        "0.3,    0.3,  'p1 = 0.3, must be at odds at least 1.5 times as large or as small as p0 = 0.3'",
        "0.5,    0.59, 'p1 = 0.59, must be at odds at least 1.5 times as large or as small as p0 = 0.5'",
        "0,      0.3,  'p0 = 0.0, must be in [0.001, 0.999]'",
        "0.3,    1,    'p1 = 1.0, must be in [0.001, 0.999]'",
        "-0.1,   0.3,  'p0 = -0.1, must be in [0.001, 0.999]'",
        "NaN,    0.3,  'p0 = NaN, must be in [0.001, 0.999]'",
        "0.3,    NaN,  'p1 = NaN, must be in [0.001, 0.999]'",
        "0.0009, 0.3,  'p0 = 9.0E-4, must be in [0.001, 0.999]'"
    })
    void tellsTheCallerWhichProbabilitiesCannotBe(double p0, double p1, String message) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new Hypotheses(p0, p1))
                .withMessage(message);
    }

    @Test
    void takesOddsThatAreJustFarEnoughApart() {
        assertThat(new Hypotheses(0.5, 0.6).failureScore()).isCloseTo(Math.log(1.2), within(1e-15));
        assertThat(Hypotheses.oddsChanged(0.6, 1 / 1.5).p1()).isCloseTo(0.5, within(1e-12));
    }

    @ParameterizedTest
    @ValueSource(doubles = {0, -2, Double.NaN, Double.POSITIVE_INFINITY})
    void tellsTheCallerThatOddsCannotChangeSo(double ratio) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Hypotheses.oddsChanged(0.3, ratio))
                .withMessage("oddsRatio = " + ratio + ", must be above 0 and finite");
    }

    @ParameterizedTest
    @ValueSource(doubles = {0, -1, 20.01, Double.NaN})
    void tellsTheCallerThatALimitCannotBe(double h) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new CusumDesign(DOUBLED, h))
                .withMessage("h = " + h + ", must be in (0, 20.0]");
    }

    @ParameterizedTest
    @ValueSource(doubles = {0, 0.99, 1.01e8, Double.NaN})
    void tellsTheCallerThatARunLengthCannotBeWanted(double cases) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> CusumDesign.forRunLength(DOUBLED, cases))
                .withMessage("cases = " + cases + ", must be in [1, 10^8]");
    }

    @Test
    void tellsTheCallerWhatCannotBeAsked() {
        CusumDesign design = new CusumDesign(DOUBLED, 2);
        assertThatIllegalArgumentException()
                .isThrownBy(() -> design.runLength(Double.NaN))
                .withMessage("p = NaN, must be in [0, 1]");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> design.signalWithin(10_001, 0.3))
                .withMessage("cases = 10001, must be in [0, 10000]");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> design.signalWithin(-1, 0.3))
                .withMessage("cases = -1, must be in [0, 10000]");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> design.signalWithin(1, 1.1))
                .withMessage("p = 1.1, must be in [0, 1]");
    }

    /**
     * A limit that only r failures in a row reach, one success taking the sum back to 0: the mean waiting time for a run of r
     * successes of probability p is (1 - p^r)/(q p^r) (Feller W, An Introduction to Probability Theory and Its Applications,
     * vol 1, 3rd ed, XIII.7; from memory).
     */
    @ParameterizedTest
    @CsvSource({"1, 0.6", "2, 0.6", "2, 0.3", "3, 0.6", "3, 0.05"})
    void waitsForARunAsLongAsTheFormulaSays(int r, double p) {
        Hypotheses hypotheses = new Hypotheses(0.6, 0.9);
        assertThat(-hypotheses.successScore()).isGreaterThan(3 * hypotheses.failureScore());
        var design = new CusumDesign(hypotheses, (r - 0.5) * hypotheses.failureScore());
        double expected = (1 - Math.pow(p, r)) / ((1 - p) * Math.pow(p, r));
        assertThat(design.runLength(p)).isCloseTo(expected, withinPercentage(1e-10));
    }

    /**
     * Scores whose ratio is a whole number m, the limit half a step below a multiple: the linear equations of the chain, solved
     * by {@code numpy.linalg.solve}.
     */
    @ParameterizedTest
    @CsvSource({
        "0.1,  0.19435795828904096, 1.8274614014375545, 155.733192990506, 31.248603239082563",
        "0.2,  0.3048985183232929,  2.7408005812498963, 554.8650118732709, 65.75974252196067",
        "0.05, 0.09774419791569136, 3.0680526693195187, 1518.3508010483497, 124.98679638353768",
        "0.4,  0.6000000000000004,  3.4464534189194063, 516.6503906249985, 35.260122948737354",
        "0.01, 0.02501124958810748, 4.576063565812793,  21319.5801070338, 488.20263975427986"
    })
    void agreesWithTheLinearEquationsSolvedElsewhere(double p0, double p1, double h, double arl0, double arl1) {
        var design = new CusumDesign(new Hypotheses(p0, p1), h);
        assertThat(design.inControl()).isCloseTo(arl0, withinPercentage(1e-8));
        assertThat(design.outOfControl()).isCloseTo(arl1, withinPercentage(1e-8));
    }

    /** With all scores rounded up to a grid the sum is never lower and signals no later, and the other way round. */
    @ParameterizedTest
    @MethodSource("designs")
    void liesBetweenChainsOnAGridWithScoresRoundedUpAndDown(CusumDesign design) {
        for (double p :
                new double[] {design.hypotheses().p0(), design.hypotheses().p1()}) {
            double sooner = onAGrid(design, p, Math::ceil);
            double later = onAGrid(design, p, Math::floor);
            assertThat(design.runLength(p)).isBetween(sooner * (1 - 1e-9), later * (1 + 1e-9));
            assertThat(later).isLessThan(5 * sooner);
        }
    }

    @ParameterizedTest
    @MethodSource("designs")
    void tellsABaselineFromAChangeAndKeepsToTheLowerBoundOfWald(CusumDesign design) {
        assertThat(design.outOfControl()).isLessThan(design.inControl());
        assertThat(design.inControl()).isGreaterThan(Math.exp(design.h()));
    }

    @ParameterizedTest
    @MethodSource("designs")
    void isTheSameWhenFailuresAndSuccessesChangePlaces(CusumDesign design) {
        Hypotheses asked = design.hypotheses();
        var mirrored = new CusumDesign(new Hypotheses(1 - asked.p0(), 1 - asked.p1()), design.h());
        assertThat(mirrored.inControl()).isCloseTo(design.inControl(), withinPercentage(1e-6));
    }

    @ParameterizedTest
    @MethodSource("designs")
    void signalsLaterTheHigherTheLimit(CusumDesign design) {
        var higher = new CusumDesign(design.hypotheses(), design.h() + 0.3);
        assertThat(higher.inControl()).isGreaterThanOrEqualTo(design.inControl());
        assertThat(higher.outOfControl()).isGreaterThanOrEqualTo(design.outOfControl());
    }

    /** The average run length is the sum over all numbers of cases of the probability of no signal up to then. */
    @ParameterizedTest
    @MethodSource("designs")
    void signalsWithinSoManyCasesAsOftenAsTheRunLengthSays(CusumDesign design) {
        double p1 = design.hypotheses().p1();
        if (design.outOfControl() < 25) {
            double sum = 0;
            for (int cases = 0; cases <= 400; cases++) {
                sum += 1 - design.signalWithin(cases, p1);
            }
            assertThat(sum).isCloseTo(design.outOfControl(), withinPercentage(0.01));
        }
        assertThat(design.signalWithin(200, p1)).isBetween(design.signalWithin(100, p1), 1.0);
    }

    /** Ten thousand series drawn with a fixed seed. */
    @ParameterizedTest
    @CsvSource({"0.38, 2, 2.5", "0.15, 2, 2.0", "0.3, 0.5, 2.0"})
    void simulatedSeriesSignalWhenTheExactNumbersSay(double p0, double oddsRatio, double h) {
        var design = new CusumDesign(Hypotheses.oddsChanged(p0, oddsRatio), h);
        SplittableRandom random = new SplittableRandom(11);
        int series = 10_000;
        double total = 0;
        int within100 = 0;
        for (int i = 0; i < series; i++) {
            int cases = simulate(design, p0, random);
            total += cases;
            within100 += cases <= 100 ? 1 : 0;
        }
        assertThat(total / series).isCloseTo(design.inControl(), withinPercentage(4));
        assertThat(within100 / (double) series).isCloseTo(design.signalWithin(100, p0), within(0.02));
    }

    @ParameterizedTest
    @CsvSource({"48, 0.38, 2", "48, 0.38, 0.5", "200, 0.15, 2", "1000, 0.02, 2", "12, 0.05, 3"})
    void choosesTheLowestLimitThatKeepsFalseAlarmsTenYearsApart(double casesPerYear, double p0, double oddsRatio) {
        var hypotheses = Hypotheses.oddsChanged(p0, oddsRatio);
        CusumDesign chosen = CusumDesign.forVolume(hypotheses, casesPerYear);
        assertThat(chosen.inControl()).isGreaterThanOrEqualTo(10 * casesPerYear);
        assertThat(new CusumDesign(hypotheses, chosen.h() - 0.01).inControl()).isLessThan(10 * casesPerYear);
        assertThat(chosen.h() * 100).isCloseTo(Math.rint(chosen.h() * 100), within(1e-9));
    }

    @Test
    void choosesAmongAllLimits() {
        assertThat(CusumDesign.forRunLength(DOUBLED, 1).h()).isEqualTo(0.01);
        CusumDesign highest = CusumDesign.forRunLength(DOUBLED, 1e8);
        assertThat(highest.h()).isBetween(8.0, 20.0);
        assertThat(highest.inControl()).isGreaterThanOrEqualTo(1e8);
    }

    @Test
    void neverSignalsWhereNothingCanSignal() {
        var design = new CusumDesign(DOUBLED, 2);
        assertThat(design.runLength(0)).isInfinite();
        assertThat(design.signalWithin(10_000, 0)).isZero();
        // ln(p₁/p₀) is 0.37: six failures reach 2.
        assertThat(design.runLength(1)).isEqualTo(6);
        assertThat(design.signalWithin(5, 1)).isZero();
        assertThat(design.signalWithin(6, 1)).isEqualTo(1);
        assertThat(design.signalWithin(0, 1)).isZero();
    }

    static Stream<CusumDesign> designs() {
        return RandomInputs.draws(
                20,
                random -> new CusumDesign(
                        Hypotheses.oddsChanged(
                                random.nextDouble(0.05, 0.7),
                                random.nextBoolean() ? random.nextDouble(1.6, 3) : random.nextDouble(0.3, 0.6)),
                        random.nextDouble(0.8, 4)));
    }

    private static int simulate(CusumDesign design, double p, SplittableRandom random) {
        double sum = 0;
        for (int cases = 1; ; cases++) {
            Outcome outcome = random.nextDouble() < p ? Outcome.FAILURE : Outcome.SUCCESS;
            sum = Math.max(0, sum + design.hypotheses().score(outcome).orElseThrow());
            if (sum >= design.h()) {
                return cases;
            }
        }
    }

    /** Brook D, Evans DA (1972), Biometrika 59:539-549 (from memory): the linear equations of a chain on a grid. */
    private static double onAGrid(CusumDesign design, double p, DoubleUnaryOperator rounded) {
        double step = design.h() / STEPS;
        int up = (int) rounded.applyAsDouble(design.hypotheses().failureScore() / step);
        int down = (int) rounded.applyAsDouble(design.hypotheses().successScore() / step);
        RealMatrix stays = MatrixUtils.createRealIdentityMatrix(STEPS);
        for (int from = 0; from < STEPS; from++) {
            move(stays, from, from + up, p);
            move(stays, from, from + down, 1 - p);
        }
        return new LUDecomposition(stays)
                .getSolver()
                .solve(new ArrayRealVector(STEPS, 1))
                .getEntry(0);
    }

    private static void move(RealMatrix stays, int from, int to, double p) {
        if (to < STEPS) {
            stays.addToEntry(from, Math.max(0, to), -p);
        }
    }
}
