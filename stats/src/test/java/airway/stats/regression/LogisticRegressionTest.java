package airway.stats.regression;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import airway.stats.interval.OddsRatioInterval;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import org.apache.commons.math3.analysis.UnivariateFunction;
import org.apache.commons.math3.optim.MaxEval;
import org.apache.commons.math3.optim.nonlinear.scalar.GoalType;
import org.apache.commons.math3.optim.univariate.BrentOptimizer;
import org.apache.commons.math3.optim.univariate.SearchInterval;
import org.apache.commons.math3.optim.univariate.UnivariateObjectiveFunction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Logistic regression. */
class LogisticRegressionTest {

    private static final Confidence LEVEL = Confidence.DEFAULT;

    /** One case: its outcome and its two covariates. */
    record Row(boolean success, double x, double y) {}

    /** Two covariates, of which one has two values and one many. */
    static Stream<List<Row>> draws() {
        return RandomInputs.draws(60, random -> {
            List<Row> rows = new ArrayList<>();
            double slope = random.nextDouble(-1, 1);
            for (int i = random.nextInt(25, 90); i > 0; i--) {
                double kind = random.nextInt(2);
                double weight = random.nextInt(3, 40);
                double odds = Math.exp(0.3 + slope * kind - 0.03 * weight);
                rows.add(new Row(random.nextDouble() < odds / (1 + odds), kind, weight));
            }
            return rows;
        });
    }

    /** With one covariate of two values the odds ratio is that of the table, with Woolf's interval. */
    @Test
    void isWoolfsIntervalForOneTable() {
        RandomInputs.twoGroups()
                .forEach(in -> OddsRatioInterval.WOOLF
                        .of(in.first(), in.second(), in.confidence())
                        .toOptional()
                        .ifPresent(woolf -> {
                            Estimate odds = LogisticRegression.WALD
                                    .of(table(in.first(), in.second()), in.confidence())
                                    .orElseThrow()
                                    .coefficients()
                                    .get(0)
                                    .oddsRatio();
                            assertThat(odds.value() / woolf.value()).isCloseTo(1, within(1e-8));
                            assertThat(odds.lower() / woolf.lower()).isCloseTo(1, within(1e-8));
                            assertThat(odds.upper() / woolf.upper()).isCloseTo(1, within(1e-8));
                        }));
    }

    /** Firth's penalty is Jeffreys' prior: in a model as rich as the data, half a case more in each cell. */
    @Test
    void addsHalfACaseToEachCellOfATableByFirthsMethod() {
        RandomInputs.twoGroups().limit(60).forEach(in -> {
            Optional<LogisticModel> model = LogisticRegression.FIRTH
                    .of(table(in.first(), in.second()), LEVEL)
                    .toOptional();
            long successes = in.first().x() + in.second().x();
            assertThat(model.isPresent())
                    .isEqualTo(successes > 0
                            && successes < in.first().n() + in.second().n());
            model.ifPresent(fit -> {
                double logOdds = logit(in.first()) - logit(in.second());
                assertThat(fit.coefficients().get(0).estimate().value()).isCloseTo(logOdds, within(1e-7));
                assertThat(fit.intercept().estimate().value()).isCloseTo(logit(in.second()), within(1e-7));
            });
        });
    }

    @Test
    void isTheLogOddsWithoutCovariates() {
        var patterns = CovariatePatterns.of(0).add(new Proportion(7, 10)).build();
        LogisticModel model = LogisticRegression.WALD.of(patterns, LEVEL).orElseThrow();
        assertThat(model.intercept().estimate().value()).isCloseTo(Math.log(7 / 3.0), within(1e-10));
        assertThat(model.intercept().standardError()).isCloseTo(Math.sqrt(1 / 7.0 + 1 / 3.0), within(1e-10));
        assertThat(model.logLikelihood()).isCloseTo(7 * Math.log(0.7) + 3 * Math.log(0.3), within(1e-10));
        assertThat(model.coefficients()).isEmpty();
        assertThat(model.n()).isEqualTo(10);
        assertThat(model.successes()).isEqualTo(7);
    }

    /** At a profile limit twice the log-likelihood, the intercept at its best, lies z² below its maximum. */
    @Test
    void endsWhereTheLikelihoodHasLostZSquared() {
        RandomInputs.twoGroups().limit(60).forEach(in -> {
            var patterns = table(in.first(), in.second());
            LogisticRegression.PROFILE
                    .of(patterns, in.confidence())
                    .toOptional()
                    .ifPresent(model -> {
                        double z = in.confidence().z();
                        Estimate slope = model.coefficients().get(0).estimate();
                        for (double limit : new double[] {slope.lower(), slope.upper()}) {
                            double best = maximum(alpha ->
                                    logLikelihood(in.first(), alpha + limit) + logLikelihood(in.second(), alpha));
                            assertThat(2 * (model.logLikelihood() - best)).isCloseTo(z * z, within(1e-6 * (1 + z * z)));
                        }
                        Estimate intercept = model.intercept().estimate();
                        for (double limit : new double[] {intercept.lower(), intercept.upper()}) {
                            double best = maximum(beta ->
                                    logLikelihood(in.first(), limit + beta) + logLikelihood(in.second(), limit));
                            assertThat(2 * (model.logLikelihood() - best)).isCloseTo(z * z, within(1e-6 * (1 + z * z)));
                        }
                    });
        });
    }

    @ParameterizedTest
    @EnumSource
    void doesNotDependOnTheOrderOfRowsOrOnGrouping(LogisticRegression method) {
        draws().limit(20).forEach(rows -> {
            Answer<LogisticModel> as = method.of(patterns(rows), LEVEL);
            List<Row> shuffled = new ArrayList<>(rows);
            Collections.reverse(shuffled);
            assertSame(method.of(patterns(shuffled), LEVEL), as, 1);
            // Every case twice over, and once with its number: the same patterns.
            List<Row> twice = new ArrayList<>(rows);
            twice.addAll(rows);
            var counted = CovariatePatterns.of(2);
            rows.forEach(row -> counted.add(new Proportion(row.success ? 2 : 0, 2), row.x, row.y));
            assertSame(method.of(counted.build(), LEVEL), method.of(patterns(twice), LEVEL), 1);
        });
    }

    @ParameterizedTest
    @EnumSource
    void changesItsSignWhenFailuresAreCounted(LogisticRegression method) {
        draws().limit(20)
                .forEach(rows -> assertSame(
                        method.of(
                                patterns(rows.stream()
                                        .map(row -> new Row(!row.success, row.x, row.y))
                                        .toList()),
                                LEVEL),
                        method.of(patterns(rows), LEVEL),
                        -1));
    }

    /** Weight in grams from a far origin: the slope is a thousandth, everything else as it was. */
    @ParameterizedTest
    @EnumSource
    void doesNotDependOnTheUnitOrOriginOfACovariate(LogisticRegression method) {
        draws().limit(20).forEach(rows -> {
            List<Row> grams = rows.stream()
                    .map(row -> new Row(row.success, row.x, 1e6 + 1000 * row.y))
                    .toList();
            Answer<LogisticModel> inGrams = method.of(patterns(grams), LEVEL);
            Answer<LogisticModel> as = method.of(patterns(rows), LEVEL);
            assertThat(inGrams.toOptional().isPresent())
                    .isEqualTo(as.toOptional().isPresent());
            as.toOptional().ifPresent(model -> {
                Coefficient weight = model.coefficients().get(1);
                Coefficient gram = inGrams.orElseThrow().coefficients().get(1);
                assertThat(1000 * gram.estimate().value())
                        .isCloseTo(weight.estimate().value(), within(1e-7));
                assertThat(1000 * gram.estimate().lower())
                        .isCloseTo(weight.estimate().lower(), within(1e-7));
                assertThat(gram.p()).isCloseTo(weight.p(), within(1e-7));
                assertThat(inGrams.orElseThrow()
                                .coefficients()
                                .get(0)
                                .estimate()
                                .upper())
                        .isCloseTo(model.coefficients().get(0).estimate().upper(), within(1e-7));
            });
        });
    }

    @ParameterizedTest
    @EnumSource
    void widensWithTheLevelAndAgreesWithItsP(LogisticRegression method) {
        draws().limit(30)
                .forEach(rows -> method.of(patterns(rows), LEVEL).toOptional().ifPresent(narrow -> {
                    LogisticModel wide =
                            method.of(patterns(rows), new Confidence(0.99)).orElseThrow();
                    for (int j = 0; j < 2; j++) {
                        Coefficient inner = narrow.coefficients().get(j);
                        Estimate outer = wide.coefficients().get(j).estimate();
                        assertThat(outer.lower()).isLessThan(inner.estimate().lower());
                        assertThat(outer.upper()).isGreaterThan(inner.estimate().upper());
                        assertThat(inner.estimate()
                                        .interval()
                                        .contains(inner.estimate().value()))
                                .isTrue();
                        assertThat(inner.p() < 0.05)
                                .isNotEqualTo(inner.estimate().interval().contains(0));
                    }
                }));
    }

    /** The extreme combinations are at right angles to two of the rows: trying all of them decides, in whole numbers. */
    @Test
    void findsSeparationExactlyWhereTryingAllCombinationsDoes() {
        int separated = 0;
        List<List<Row>> sets = RandomInputs.draws(400, LogisticRegressionTest::smallWholeNumbers)
                .toList();
        int fitted = 0;
        for (List<Row> rows : sets) {
            Answer<LogisticModel> answer = LogisticRegression.WALD.of(patterns(rows), LEVEL);
            Optional<Reason> reason = answer.fold(ok -> Optional.empty(), no -> Optional.of(no.reason()));
            if (reason.isEmpty() || reason.get() == Reason.SEPARATION) {
                assertThat(reason.isPresent())
                        .as(
                                "%s",
                                rows.stream().map(LogisticRegressionTest::text).toList())
                        .isEqualTo(separates(rows));
                separated += reason.isPresent() ? 1 : 0;
                fitted += reason.isPresent() ? 0 : 1;
            }
        }
        assertThat(separated).isGreaterThan(50);
        assertThat(fitted).isGreaterThan(50);
    }

    @Test
    void findsTheOneCaseInTenThousandThatKeepsOutcomesFromBeingSeparated() {
        SplittableRandom random = new SplittableRandom(3);
        List<Row> rows = new ArrayList<>();
        for (int i = 0; i < 10_000; i++) {
            double x = random.nextDouble();
            double y = random.nextDouble();
            rows.add(new Row(x > y, x, y));
        }
        assertThat(reason(LogisticRegression.WALD, rows)).contains(Reason.SEPARATION);
        rows.set(5, new Row(rows.get(5).x < rows.get(5).y, rows.get(5).x, rows.get(5).y));
        assertThat(reason(LogisticRegression.WALD, rows)).isEmpty();
    }

    @Test
    void namesTheCovariatesThatAreCombinations() {
        SplittableRandom random = new SplittableRandom(4);
        var dependent = CovariatePatterns.of(5);
        for (int i = 0; i < 50; i++) {
            double a = random.nextInt(4);
            double b = random.nextDouble();
            dependent.add(random.nextBoolean(), a, b, random.nextDouble(), 3 - 2 * a + b, 2026);
        }
        assertThat(LogisticRegression.FIRTH.of(dependent.build(), LEVEL))
                .isInstanceOfSatisfying(Answer.Refused.class, no -> {
                    assertThat(no.reason()).isEqualTo(Reason.COLLINEAR);
                    assertThat(no.shown().covariates()).containsExactly(1, 2, 4, 5);
                });
    }

    @Test
    void warnsOfFewEventsForEachVariable() {
        var few = CovariatePatterns.of(1)
                .add(new Proportion(4, 9), 1)
                .add(new Proportion(5, 30), 0)
                .build();
        var enough = CovariatePatterns.of(1)
                .add(new Proportion(4, 9), 1)
                .add(new Proportion(6, 30), 0)
                .build();
        assertThat(cautions(LogisticRegression.FIRTH.of(few, LEVEL))).containsExactly(Caution.LOW_EVENTS_PER_VARIABLE);
        assertThat(cautions(LogisticRegression.FIRTH.of(enough, LEVEL))).isEmpty();
    }

    /**
     * Thirty cases, slope 1.5: maximum likelihood fails for separation now and then and is too far from 0 on average where it
     * does not; Firth's method always answers, is hardly biased, and its interval covers as it says.
     */
    @Test
    void isLessBiasedBySmallSamplesWithFirthsMethod() {
        SplittableRandom random = new SplittableRandom(8);
        double truth = 1.5;
        int series = 1500;
        int refused = 0;
        int covered = 0;
        double firths = 0;
        double likelihoods = 0;
        for (int s = 0; s < series; s++) {
            var builder = CovariatePatterns.of(2);
            for (int i = 0; i < 30; i++) {
                double kind = i % 2;
                double other = i % 3;
                double odds = Math.exp(0.2 + truth * kind - 0.4 * other);
                builder.add(random.nextDouble() < odds / (1 + odds), kind, other);
            }
            CovariatePatterns patterns = builder.build();
            Estimate firth = slope(LogisticRegression.FIRTH.of(patterns, LEVEL)).orElseThrow();
            Optional<Estimate> likelihood = slope(LogisticRegression.WALD.of(patterns, LEVEL));
            firths += firth.value() / series;
            covered += firth.interval().contains(truth) ? 1 : 0;
            refused += likelihood.isPresent() ? 0 : 1;
            likelihoods += likelihood.map(Estimate::value).orElse(0.0);
        }
        assertThat(refused).isPositive();
        assertThat(firths).isCloseTo(truth, within(0.06));
        assertThat(likelihoods / (series - refused)).isGreaterThan(truth + 0.1);
        assertThat(covered / (double) series).isBetween(0.93, 0.98);
    }

    @Test
    void gathersRowsIntoPatterns() {
        var patterns = CovariatePatterns.of(2)
                .add(true, 0.0, 1)
                .add(false, -0.0, 1)
                .add(new Proportion(3, 4), 1, 1)
                .add(new Proportion(0, 0), 9, 9)
                .build();
        assertThat(patterns.size()).isEqualTo(2);
        assertThat(patterns.n()).isEqualTo(6);
        assertThat(patterns.successes()).isEqualTo(4);
        assertThat(patterns.covariates()).isEqualTo(2);
    }

    private static CovariatePatterns table(Proportion first, Proportion second) {
        return CovariatePatterns.of(1).add(first, 1).add(second, 0).build();
    }

    private static CovariatePatterns patterns(List<Row> rows) {
        var patterns = CovariatePatterns.of(2);
        rows.forEach(row -> patterns.add(row.success, row.x, row.y));
        return patterns.build();
    }

    private static List<Row> smallWholeNumbers(SplittableRandom random) {
        List<Row> rows = new ArrayList<>();
        for (int i = random.nextInt(5, 14); i > 0; i--) {
            int x = random.nextInt(5);
            int y = random.nextInt(5);
            rows.add(new Row(random.nextInt(5) == 0 ? random.nextBoolean() : x > y, x, y));
        }
        return rows;
    }

    private static boolean separates(List<Row> rows) {
        for (Row one : rows) {
            for (Row other : rows) {
                double a = one.x * other.y - one.y * other.x;
                double b = one.y - other.y;
                double c = other.x - one.x;
                for (int sign : new int[] {-1, 1}) {
                    double[] margins = rows.stream()
                            .mapToDouble(row -> (row.success ? sign : -sign) * (a + b * row.x + c * row.y))
                            .sorted()
                            .toArray();
                    if (margins[0] >= 0 && margins[margins.length - 1] > 0) {
                        return true;
                    }
                }
            }
        }
        return false;
    }

    private static String text(Row row) {
        return row.x + "," + row.y + (row.success ? "+" : "-");
    }

    private static Optional<Reason> reason(LogisticRegression method, List<Row> rows) {
        return method.of(patterns(rows), LEVEL).fold(ok -> Optional.empty(), no -> Optional.of(no.reason()));
    }

    private static Optional<Estimate> slope(Answer<LogisticModel> answer) {
        return answer.map(model -> model.coefficients().get(0).estimate()).toOptional();
    }

    private static Set<Caution> cautions(Answer<?> answer) {
        return answer.fold(Answer.Ok::cautions, no -> Set.of());
    }

    private static void assertSame(Answer<LogisticModel> got, Answer<LogisticModel> expected, int sign) {
        assertThat(got.toOptional().isPresent()).isEqualTo(expected.toOptional().isPresent());
        expected.toOptional().ifPresent(model -> {
            LogisticModel other = got.orElseThrow();
            assertThat(other.logLikelihood()).isCloseTo(model.logLikelihood(), within(1e-8));
            for (int j = 0; j < model.coefficients().size(); j++) {
                Coefficient one = model.coefficients().get(j);
                Coefficient two = other.coefficients().get(j);
                Estimate turned = sign > 0
                        ? two.estimate()
                        : Estimate.of(
                                -two.estimate().value(),
                                -two.estimate().upper(),
                                -two.estimate().lower());
                assertThat(turned.value()).isCloseTo(one.estimate().value(), within(1e-7));
                assertThat(turned.lower()).isCloseTo(one.estimate().lower(), within(1e-7));
                assertThat(turned.upper()).isCloseTo(one.estimate().upper(), within(1e-7));
                assertThat(two.standardError()).isCloseTo(one.standardError(), within(1e-7));
                assertThat(two.p()).isCloseTo(one.p(), within(1e-7));
            }
        });
    }

    private static double logit(Proportion group) {
        return Math.log((group.x() + 0.5) / (group.failures() + 0.5));
    }

    private static double logLikelihood(Proportion group, double logOdds) {
        return group.x() * logOdds - group.n() * (Math.max(0, logOdds) + Math.log1p(Math.exp(-Math.abs(logOdds))));
    }

    private static double maximum(UnivariateFunction function) {
        return new BrentOptimizer(1e-12, 1e-14)
                .optimize(
                        new UnivariateObjectiveFunction(function),
                        GoalType.MAXIMIZE,
                        new SearchInterval(-40, 40),
                        MaxEval.unlimited())
                .getValue();
    }
}
