package airway.stats.regression;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Caution;
import airway.stats.Confidence;
import airway.stats.Estimate;
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

    private static final int OPERATORS = 24;

    /** Cases of each operator by a fixed recipe, the same as in R: second group, third group, difficult, experience. */
    private static List<CovariatePatterns> operators() {
        List<CovariatePatterns> clusters = new ArrayList<>();
        for (int o = 0; o < OPERATORS; o++) {
            var cases = CovariatePatterns.of(4);
            for (int i = 0; i < 15; i++) {
                int k = 15 * o + i;
                int hard = (5 * k + 2 * o) % 7 < 3 ? 1 : 0;
                int group = (k * k + 3 * o * hard + k % (2 + hard)) % 3;
                double u = (37 * k * k + 11 * k + 5 * o) % 101 / 101.0;
                double risk = 0.55
                        + 0.1 * (group == 1 ? 1 : 0)
                        - 0.05 * (group == 2 ? 1 : 0)
                        - 0.2 * hard
                        + 0.06 * (o % 4)
                        + 0.1 * (o % 5 - 2) / 2;
                cases.add(u < risk, group == 1 ? 1 : 0, group == 2 ? 1 : 0, hard, o % 4);
            }
            clusters.add(cases.build());
        }
        return clusters;
    }

    /**
     * R 4.2: {@code glm}, {@code vcovCL(type = "HC0")} of the package sandwich, the delta method and t on 23 degrees of freedom by hand.
     * A bootstrap of whole operators in base R gives 0.0629 for the standard error of the first pair.
     */
    @Test
    void comparesGroupsOverOperatorsAsElsewhere() {
        Answer<StandardisedGroups> answer = StandardisedGroups.of(operators(), 3, LEVEL);
        StandardisedGroups groups = answer.orElseThrow();
        assertThat(groups.n()).isEqualTo(360);
        assertThat(groups.clusters()).isEqualTo(OPERATORS);
        assertEstimate(groups.groups().get(0), 0.581752456789, 0.475172814993, 0.688332098585);
        assertEstimate(groups.groups().get(1), 0.642207709920, 0.553505279249, 0.730910140591);
        assertEstimate(groups.groups().get(2), 0.472750980082, 0.384744687777, 0.560757272387);
        assertPair(groups.pairs().get(0), 1, 2, 0.065310765481, -0.195560865185, 0.074650358923, 0.364236492665);
        assertPair(groups.pairs().get(1), 1, 3, 0.056051308645, -0.006949489495, 0.224952442908, 0.064142098149);
        assertPair(groups.pairs().get(2), 2, 3, 0.050627820131, 0.064725104424, 0.274188355251, 0.002794122347);
        assertThat(answer.<Set<Caution>>fold(Answer.Ok::cautions, no -> Set.of()))
                .containsExactly(Caution.FEW_CLUSTERS);
    }

    private static void assertEstimate(Estimate estimate, double value, double lower, double upper) {
        assertThat(estimate.value()).isCloseTo(value, within(1e-9));
        assertThat(estimate.lower()).isCloseTo(lower, within(1e-9));
        assertThat(estimate.upper()).isCloseTo(upper, within(1e-9));
    }

    private static void assertPair(
            StandardisedGroups.Pair pair, int first, int second, double error, double lower, double upper, double p) {
        assertThat(pair.first()).isEqualTo(first);
        assertThat(pair.second()).isEqualTo(second);
        assertThat(pair.standardError()).isCloseTo(error, within(1e-9));
        assertEstimate(pair.difference(), (lower + upper) / 2, lower, upper);
        assertThat(pair.p()).isCloseTo(p, within(1e-9));
    }

    /** Two groups give what the model of two groups gives, but for the errors. */
    @Test
    void averagesTwoGroupsAsTheModelOfOneExposureDoes() {
        List<CovariatePatterns> clusters = new ArrayList<>();
        var together = CovariatePatterns.of(2);
        SplittableRandom random = new SplittableRandom(3);
        for (int g = 0; g < 30; g++) {
            var cluster = CovariatePatterns.of(2);
            for (int i = 0; i < 8; i++) {
                double[] values = {random.nextInt(2), random.nextDouble()};
                boolean success = random.nextDouble() < 0.4 + 0.2 * values[0];
                cluster.add(success, values);
                together.add(success, values);
            }
            clusters.add(cluster.build());
        }
        StandardisedGroups groups = StandardisedGroups.of(clusters, 2, LEVEL).orElseThrow();
        StandardisedRisk plain = StandardisedRisk.of(together.build(), 1, LEVEL).orElseThrow();
        assertThat(groups.groups().get(0).value()).isCloseTo(plain.unexposed().value(), within(1e-9));
        assertThat(groups.pairs().get(0).difference().value())
                .isCloseTo(-plain.difference().value(), within(1e-9));
    }

    @Test
    void refusesGroupsThatCannotBeCompared() {
        assertThat(StandardisedGroups.of(operators().subList(0, 9), 3, LEVEL))
                .isInstanceOfSatisfying(
                        Answer.Refused.class, no -> assertThat(no.reason()).isEqualTo(Reason.TOO_FEW_CLUSTERS));
        List<CovariatePatterns> separated = IntStream.range(0, 20)
                .mapToObj(g -> CovariatePatterns.of(1)
                        .add(new Proportion(4, 4), 1)
                        .add(new Proportion(2, 4), 0)
                        .build())
                .toList();
        assertThat(StandardisedGroups.of(separated, 2, LEVEL))
                .isInstanceOfSatisfying(
                        Answer.Refused.class, no -> assertThat(no.reason()).isEqualTo(Reason.SEPARATION));
        List<CovariatePatterns> alike = IntStream.range(0, 20)
                .mapToObj(g -> CovariatePatterns.of(1)
                        .add(new Proportion(2, 4), 1)
                        .add(new Proportion(2, 4), 0)
                        .build())
                .toList();
        assertThat(StandardisedGroups.of(alike, 2, LEVEL))
                .as("every operator alike: no variance to be seen")
                .isInstanceOfSatisfying(
                        Answer.Refused.class, no -> assertThat(no.reason()).isEqualTo(Reason.NO_VARIATION));
    }

    @Test
    void tellsTheCallerThatCasesAreOfOneGroup() {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> StandardisedGroups.of(operators(), 6, LEVEL))
                .withMessage("groups = 6, must be in [2, 5]");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> StandardisedGroups.of(operators(), 5, LEVEL))
                .withMessageStartingWith("membership");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> StandardisedGroups.of(
                        List.of(CovariatePatterns.of(2).add(true, 1, 1).build()), 3, LEVEL))
                .withMessage("memberships of a case = 2, must be in [0, 1]");
    }
}
