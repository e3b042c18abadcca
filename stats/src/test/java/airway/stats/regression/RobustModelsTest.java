package airway.stats.regression;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Confidence;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import airway.stats.numeric.BetaLaw;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/** Variances for clusters, and risks averaged over the cases. */
class RobustModelsTest {

    private static final Confidence LEVEL = Confidence.DEFAULT;

    /** In a model as rich as the data the sandwich of single cases is Woolf's variance, but for G/(G - 1). */
    @Test
    void isWoolfsVarianceWhenEveryCaseIsItsOwnCluster() {
        List<CovariatePatterns> single = new ArrayList<>();
        for (int i = 0; i < 7; i++) {
            single.add(one(i < 5, 1));
        }
        for (int i = 0; i < 9; i++) {
            single.add(one(i < 3, 0));
        }
        Answer<ClusterRobust> answer = ClusterRobust.of(single, LEVEL);
        Coefficient slope = answer.orElseThrow().model().coefficients().get(0);
        double woolf = Math.sqrt(1.0 / 5 + 1.0 / 2 + 1.0 / 3 + 1.0 / 6);
        assertThat(slope.standardError()).isCloseTo(woolf * Math.sqrt(16.0 / 15), within(1e-9));
        double t = BetaLaw.studentQuantile(0.05, 15);
        assertThat(slope.estimate().upper() - slope.estimate().value())
                .isCloseTo(t * slope.standardError(), within(1e-9));
        assertThat(answer.orElseThrow().clusters()).isEqualTo(16);
        assertThat(answer.<Set<Caution>>fold(Answer.Ok::cautions, no -> Set.of()))
                .containsExactlyInAnyOrder(Caution.FEW_CLUSTERS, Caution.LOW_EVENTS_PER_VARIABLE);
    }

    /** Ten copies of each case in its cluster are no more information than one. */
    @Test
    void doesNotTakeCopiesWithinAClusterForInformation() {
        SplittableRandom random = new SplittableRandom(2);
        List<CovariatePatterns> once = new ArrayList<>();
        List<CovariatePatterns> tenfold = new ArrayList<>();
        for (int g = 0; g < 50; g++) {
            boolean success = random.nextBoolean();
            double value = random.nextDouble();
            once.add(one(success, value));
            tenfold.add(CovariatePatterns.of(1)
                    .add(new Proportion(success ? 10 : 0, 10), value)
                    .build());
        }
        Coefficient first = slope(ClusterRobust.of(once, LEVEL));
        Coefficient copied = slope(ClusterRobust.of(tenfold, LEVEL));
        assertThat(copied.standardError()).isCloseTo(first.standardError(), within(1e-9));
        assertThat(copied.estimate().lower()).isCloseTo(first.estimate().lower(), within(1e-9));
        Collections.reverse(tenfold);
        assertThat(slope(ClusterRobust.of(tenfold, LEVEL)).p()).isCloseTo(copied.p(), within(1e-9));
        assertThat(ClusterRobust.of(once, LEVEL).<Set<Caution>>fold(Answer.Ok::cautions, no -> Set.of()))
                .isEmpty();
    }

    /** Operators of different skill, each with one of two devices: without allowing for it the interval covers too rarely. */
    @Test
    void coversWhereCasesOfAClusterAreAlike() {
        SplittableRandom random = new SplittableRandom(6);
        int robust = 0;
        int plain = 0;
        int series = 600;
        for (int s = 0; s < series; s++) {
            List<CovariatePatterns> clusters = new ArrayList<>();
            var together = CovariatePatterns.of(1);
            for (int g = 0; g < 40; g++) {
                // A beta distribution of skill with mean one half, the same with both devices: the true slope is 0.
                double skill = (random.nextDouble() + random.nextDouble()) / 2;
                var outcome =
                        new Proportion(random.doubles(12).filter(u -> u < skill).count(), 12);
                clusters.add(CovariatePatterns.of(1).add(outcome, g % 2).build());
                together.add(outcome, g % 2);
            }
            robust += slope(ClusterRobust.of(clusters, LEVEL))
                            .estimate()
                            .interval()
                            .contains(0)
                    ? 1
                    : 0;
            plain += LogisticRegression.WALD
                            .of(together.build(), LEVEL)
                            .orElseThrow()
                            .coefficients()
                            .get(0)
                            .estimate()
                            .interval()
                            .contains(0)
                    ? 1
                    : 0;
        }
        assertThat(robust / (double) series).isBetween(0.92, 0.98);
        assertThat(plain / (double) series).isLessThan(0.88);
    }

    /** With the exposure alone, the risks are the observed proportions and the standard error is that of their difference. */
    @Test
    void averagesToTheObservedRisksWithoutOtherCovariates() {
        RandomInputs.twoGroups().forEach(in -> {
            var patterns = CovariatePatterns.of(1)
                    .add(in.first(), 1)
                    .add(in.second(), 0)
                    .build();
            StandardisedRisk.of(patterns, 1, in.confidence()).toOptional().ifPresent(risk -> {
                assertThat(risk.exposed().value()).isCloseTo(in.first().value(), within(1e-9));
                assertThat(risk.unexposed().value()).isCloseTo(in.second().value(), within(1e-9));
                double error = Math.sqrt(variance(in.first()) + variance(in.second()));
                assertThat(risk.standardError()).isCloseTo(error, within(1e-7));
                double upper = risk.difference().value() + in.confidence().z() * error;
                assertThat(risk.difference().upper()).isCloseTo(Math.min(1, upper), within(1e-6));
                assertThat(risk.n()).isEqualTo(in.first().n() + in.second().n());
            });
        });
    }

    @Test
    void changesItsSignWhenTheExposureIsTurned() {
        SplittableRandom random = new SplittableRandom(9);
        var as = CovariatePatterns.of(2);
        var turned = CovariatePatterns.of(2);
        for (int i = 0; i < 80; i++) {
            double exposure = random.nextInt(2);
            double weight = random.nextInt(3, 30);
            boolean success = random.nextDouble() < 0.3 + 0.3 * exposure + 0.01 * weight;
            as.add(success, weight, exposure);
            turned.add(success, weight, 1 - exposure);
        }
        StandardisedRisk one = StandardisedRisk.of(as.build(), 2, LEVEL).orElseThrow();
        StandardisedRisk other = StandardisedRisk.of(turned.build(), 2, LEVEL).orElseThrow();
        assertThat(other.difference().value()).isCloseTo(-one.difference().value(), within(1e-9));
        assertThat(other.difference().lower()).isCloseTo(-one.difference().upper(), within(1e-9));
        assertThat(other.exposed().lower()).isCloseTo(one.unexposed().lower(), within(1e-9));
        assertThat(one.exposed().value() - one.unexposed().value())
                .isCloseTo(one.difference().value(), within(1e-12));
    }

    @Test
    void refusesFewerThanTenClustersOrNoMoreThanCoefficients() {
        List<CovariatePatterns> nine =
                IntStream.range(0, 9).mapToObj(g -> one(g % 2 == 0, g)).toList();
        assertRefused(nine, 9);
        List<CovariatePatterns> empty = new ArrayList<>(nine);
        empty.add(CovariatePatterns.of(1).build());
        assertRefused(empty, 9);
        SplittableRandom random = new SplittableRandom(1);
        List<CovariatePatterns> rich = IntStream.range(0, 12)
                .mapToObj(g -> CovariatePatterns.of(11)
                        .add(g % 2 == 0, random.doubles(11).toArray())
                        .build())
                .toList();
        assertRefused(rich, 12);
    }

    private static void assertRefused(List<CovariatePatterns> clusters, long number) {
        assertThat(ClusterRobust.of(clusters, LEVEL)).isInstanceOfSatisfying(Answer.Refused.class, no -> {
            assertThat(no.reason()).isEqualTo(Reason.TOO_FEW_CLUSTERS);
            assertThat(no.shown().n()).hasValue(number);
        });
    }

    private static CovariatePatterns one(boolean success, double value) {
        return CovariatePatterns.of(1).add(success, value).build();
    }

    private static Coefficient slope(Answer<ClusterRobust> answer) {
        return answer.orElseThrow().model().coefficients().get(0);
    }

    private static double variance(Proportion group) {
        return group.value() * (1 - group.value()) / group.n();
    }
}
