package airway.stats.interval;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Interval;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import org.apache.commons.math3.distribution.BinomialDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class DifferenceIntervalTest {

    @ParameterizedTest
    @EnumSource
    void refusesWhenAGroupIsEmpty(DifferenceInterval method) {
        Proportion some = new Proportion(2, 3);
        Proportion none = new Proportion(0, 0);
        assertThat(method.of(some, none, Confidence.DEFAULT)).isEqualTo(Answer.refused(Reason.ONE_GROUP_EMPTY));
        assertThat(method.of(none, some, Confidence.DEFAULT)).isEqualTo(Answer.refused(Reason.ONE_GROUP_EMPTY));
    }

    @ParameterizedTest
    @EnumSource
    void changesItsSignWhenTheGroupsChangePlaces(DifferenceInterval method) {
        RandomInputs.twoGroups().forEach(in -> {
            Estimate there = of(method, in.first(), in.second(), in.confidence());
            Estimate back = of(method, in.second(), in.first(), in.confidence());
            assertThat(back.value()).isEqualTo(-there.value());
            assertThat(back.lower()).as("%s", in).isCloseTo(-there.upper(), within(1e-12));
            assertThat(back.upper()).as("%s", in).isCloseTo(-there.lower(), within(1e-12));
        });
    }

    @ParameterizedTest
    @EnumSource
    void changesItsSignWhenFailuresAreCounted(DifferenceInterval method) {
        RandomInputs.twoGroups().forEach(in -> {
            Estimate successes = of(method, in.first(), in.second(), in.confidence());
            Estimate failures = of(method, in.first().complement(), in.second().complement(), in.confidence());
            assertThat(failures.lower()).as("%s", in).isCloseTo(-successes.upper(), within(1e-12));
            assertThat(failures.upper()).as("%s", in).isCloseTo(-successes.lower(), within(1e-12));
        });
    }

    @ParameterizedTest
    @EnumSource
    void staysWithinMinusOneAndOneAndWidensWithTheLevel(DifferenceInterval method) {
        RandomInputs.twoGroups().forEach(in -> {
            Estimate narrow = of(method, in.first(), in.second(), in.confidence());
            Estimate wide = of(
                    method,
                    in.first(),
                    in.second(),
                    new Confidence((1 + in.confidence().level()) / 2));
            assertThat(wide.lower()).as("%s", in).isBetween(-1.0, narrow.lower());
            assertThat(wide.upper()).as("%s", in).isBetween(narrow.upper(), 1.0);
            assertThat(wide.interval().width())
                    .as("%s", in)
                    .isGreaterThan(narrow.interval().width());
        });
    }

    @Test
    void endsAtOneWhenEverythingDiffers() {
        for (DifferenceInterval method : DifferenceInterval.values()) {
            Estimate most = of(method, new Proportion(9, 9), new Proportion(0, 7), Confidence.DEFAULT);
            assertThat(most.value()).isEqualTo(1);
            assertThat(most.upper()).as("%s", method).isEqualTo(1);
            assertThat(most.lower()).as("%s", method).isBetween(0.4, 0.8);
            Estimate least = of(method, new Proportion(0, 9), new Proportion(7, 7), Confidence.DEFAULT);
            assertThat(least.lower()).as("%s", method).isEqualTo(-1);
        }
    }

    @Test
    void keepsItsWidthWhenNothingSucceeds() {
        for (DifferenceInterval method : DifferenceInterval.values()) {
            Estimate none = of(method, new Proportion(0, 15), new Proportion(0, 9), Confidence.DEFAULT);
            assertThat(none.value()).isZero();
            assertThat(none.lower()).as("%s", method).isBetween(-0.45, -0.1);
            assertThat(none.upper()).as("%s", method).isBetween(0.05, 0.35);
        }
    }

    /** At a score limit the standardised distance from the difference equals z. */
    @Test
    void makesTheScoreEqualToTheCriticalValueAtItsLimits() {
        RandomInputs.twoGroups().limit(80).forEach(in -> {
            double z = in.confidence().z();
            double cases = in.first().n() + in.second().n();
            Estimate mn = of(DifferenceInterval.MIETTINEN_NURMINEN, in.first(), in.second(), in.confidence());
            Estimate mee = of(DifferenceInterval.MEE, in.first(), in.second(), in.confidence());
            if (mee.lower() > -1) {
                assertThat(score(in.first(), in.second(), mee.lower()))
                        .as("%s", in)
                        .isCloseTo(z, within(1e-6));
            }
            if (mn.upper() < 1) {
                assertThat(-score(in.first(), in.second(), mn.upper()))
                        .as("%s", in)
                        .isCloseTo(z * Math.sqrt(cases / (cases - 1)), within(1e-6));
            }
        });
    }

    /** The constrained proportions are more likely than others with the same difference. */
    @Test
    void findsTheMostLikelyProportionsWithAGivenDifference() {
        RandomInputs.twoGroups().limit(80).forEach(in -> {
            double delta = (in.confidence().level() - 0.75) * 3;
            ConstrainedPair best = ConstrainedPair.withDifference(in.first(), in.second(), delta);
            assertThat(best.p1() - best.p2()).isCloseTo(delta, within(1e-12));
            for (double step : new double[] {-1e-3, -1e-5, 1e-5, 1e-3}) {
                assertThat(logLikelihood(in.first(), best.p1() + step) + logLikelihood(in.second(), best.p2() + step))
                        .as("%s", in)
                        .isLessThanOrEqualTo(
                                logLikelihood(in.first(), best.p1()) + logLikelihood(in.second(), best.p2()) + 1e-9);
            }
        });
    }

    /** Coverage, exactly, over all outcomes of two groups of 12. */
    @ParameterizedTest
    @EnumSource
    void coversCloseToItsLevel(DifferenceInterval method) {
        int n = 12;
        Interval[][] intervals = new Interval[n + 1][n + 1];
        for (int x1 = 0; x1 <= n; x1++) {
            for (int x2 = 0; x2 <= n; x2++) {
                intervals[x1][x2] = of(method, new Proportion(x1, n), new Proportion(x2, n), Confidence.DEFAULT)
                        .interval();
            }
        }
        for (double p1 : new double[] {0.2, 0.5, 0.85}) {
            for (double p2 : new double[] {0.3, 0.6, 0.8}) {
                BinomialDistribution first = new BinomialDistribution(n, p1);
                BinomialDistribution second = new BinomialDistribution(n, p2);
                double covered = 0;
                for (int x1 = 0; x1 <= n; x1++) {
                    for (int x2 = 0; x2 <= n; x2++) {
                        covered += intervals[x1][x2].contains(p1 - p2)
                                ? first.probability(x1) * second.probability(x2)
                                : 0;
                    }
                }
                assertThat(covered).as("%s at %s, %s", method, p1, p2).isBetween(0.9, 0.995);
            }
        }
    }

    private static double score(Proportion first, Proportion second, double delta) {
        ConstrainedPair pair = ConstrainedPair.withDifference(first, second, delta);
        return (first.value() - second.value() - delta) / Math.sqrt(pair.varianceOfDifference());
    }

    private static double logLikelihood(Proportion group, double p) {
        double success = group.x() == 0 ? 0 : group.x() * Math.log(p);
        double failure = group.failures() == 0 ? 0 : group.failures() * Math.log(1 - p);
        return p < 0 || p > 1 ? Double.NEGATIVE_INFINITY : success + failure;
    }

    @ParameterizedTest
    @EnumSource(names = {"NEWCOMBE", "NEWCOMBE_CC"})
    void holdsTheDifference(DifferenceInterval method) {
        RandomInputs.twoGroups().forEach(in -> {
            Estimate estimate = of(method, in.first(), in.second(), in.confidence());
            assertThat(estimate.interval().contains(estimate.value()))
                    .as("%s", in)
                    .isTrue();
        });
    }

    @ParameterizedTest
    @EnumSource
    void staysSoundAtAThousandMillionCases(DifferenceInterval method) {
        Estimate estimate = of(
                method,
                new Proportion(400_000_000, 1_000_000_000),
                new Proportion(399_900_000, 1_000_000_000),
                Confidence.DEFAULT);
        assertThat(estimate.lower()).isCloseTo(0.0001 - 4.294e-5, within(1e-7));
        assertThat(estimate.upper()).isCloseTo(0.0001 + 4.294e-5, within(1e-7));
    }

    private static Estimate of(DifferenceInterval method, Proportion one, Proportion two, Confidence confidence) {
        return method.of(one, two, confidence).orElseThrow();
    }
}
