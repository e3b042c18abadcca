package airway.stats.survival;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import airway.stats.Shown;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** The product-limit curve and the log-rank test. */
class SurvivalTest {

    private static final Confidence LEVEL = Confidence.DEFAULT;

    static Stream<List<Observation>> draws() {
        return RandomInputs.draws(150, random -> {
            List<Observation> cases = new ArrayList<>();
            for (int i = random.nextInt(2, 40); i > 0; i--) {
                cases.add(new Observation(random.nextInt(1, 60), random.nextInt(4) > 0));
            }
            cases.add(new Observation(10, true));
            return cases;
        });
    }

    /** Nobody lost before the end: the curve is the share not yet ended, and Greenwood's error that of a proportion. */
    @Test
    void isTheObservedShareWhenAllAreWatchedToTheEnd() {
        draws().map(SurvivalTest::allWithEvent).forEach(cases -> {
            double n = cases.size();
            of(cases, LEVEL).steps().forEach(step -> {
                double left =
                        cases.stream().filter(one -> one.time() > step.time()).count() / n;
                assertThat(step.survival()).isCloseTo(left, within(1e-12));
                assertThat(step.standardError()).isCloseTo(Math.sqrt(left * (1 - left) / n), within(1e-12));
            });
        });
    }

    /** Then the median is the ordinary one. */
    @Test
    void hasTheOrdinaryMedianWhenAllAreWatchedToTheEnd() {
        draws().map(SurvivalTest::allWithEvent).forEach(cases -> {
            double[] times =
                    cases.stream().mapToDouble(Observation::time).sorted().toArray();
            double median = (times[(times.length - 1) / 2] + times[times.length / 2]) / 2;
            assertThat(of(cases, LEVEL).median()).hasValueCloseTo(median, within(1e-12));
        });
    }

    @Test
    void fallsFromStepToStepWithinItsLimits() {
        draws().forEach(cases -> {
            KaplanMeier curve = of(cases, LEVEL);
            KaplanMeier wide = of(cases, new Confidence(0.99));
            double before = 1;
            int events = 0;
            for (int i = 0; i < curve.steps().size(); i++) {
                KaplanMeier.Step step = curve.steps().get(i);
                assertThat(step.survival()).isLessThan(before);
                before = step.survival();
                events += step.events();
                assertThat(step.limits().isPresent()).isEqualTo(step.survival() > 0);
                int same = i;
                step.limits().ifPresent(limits -> {
                    assertThat(limits.contains(step.survival())).isTrue();
                    var wider = wide.steps().get(same).limits().orElseThrow();
                    assertThat(wider.lower()).isBetween(0.0, limits.lower());
                    assertThat(wider.upper()).isBetween(limits.upper(), 1.0);
                });
            }
            assertThat(events)
                    .isEqualTo((int) cases.stream().filter(Observation::event).count());
            assertThat(curve.n()).isEqualTo(cases.size());
        });
    }

    @Test
    void doesNotDependOnOrderOrUnit() {
        draws().forEach(cases -> {
            List<Observation> turned = new ArrayList<>();
            cases.forEach(one -> turned.add(0, new Observation(60 * one.time(), one.event())));
            KaplanMeier as = of(cases, LEVEL);
            KaplanMeier other = of(turned, LEVEL);
            assertThat(other.steps().stream().map(KaplanMeier.Step::survival))
                    .isEqualTo(
                            as.steps().stream().map(KaplanMeier.Step::survival).toList());
            as.median()
                    .ifPresentOrElse(
                            median -> assertThat(other.median()).hasValueCloseTo(60 * median, within(1e-9)),
                            () -> assertThat(other.median()).isEmpty());
        });
    }

    @Test
    void countsACaseLostAtTheTimeOfAnEventAsStillAtRisk() {
        KaplanMeier curve = of(List.of(new Observation(5, true), new Observation(5, false)), LEVEL);
        assertThat(curve.steps().get(0).atRisk()).isEqualTo(2);
        assertThat(curve.steps().get(0).survival()).isEqualTo(0.5);
        // One half to the end: there is no further step to take the middle of.
        assertThat(curve.median()).hasValue(5);
        assertThat(of(List.of(new Observation(5, true), new Observation(6, false), new Observation(6, false)), LEVEL)
                        .median())
                .isEmpty();
    }

    @Test
    void findsTheSameTestWhenTheGroupsAreExchangedOrTheUnitIsChanged() {
        draws().forEach(cases -> {
            List<Observation> first = cases.subList(0, cases.size() / 2);
            List<Observation> second = cases.subList(cases.size() / 2, cases.size());
            LogRank.of(first, second).toOptional().ifPresent(test -> {
                LogRank back = LogRank.of(second, first).orElseThrow();
                assertThat(back.chi2()).isCloseTo(test.chi2(), within(1e-9));
                assertThat(back.expectedFirst()).isCloseTo(test.expectedSecond(), within(1e-9));
                assertThat(test.observedFirst() + test.observedSecond()).isEqualTo((int)
                        cases.stream().filter(Observation::event).count());
                assertThat(test.expectedFirst() + test.expectedSecond())
                        .isCloseTo(test.observedFirst() + test.observedSecond(), within(1e-9));
                assertThat(test.df()).isEqualTo(1);
            });
        });
    }

    @Test
    void seesNothingBetweenAGroupAndItsCopy() {
        draws().forEach(cases -> LogRank.of(cases, cases)
                .toOptional()
                .ifPresent(test -> assertThat(test.p()).isCloseTo(1, within(1e-6))));
    }

    /** One group all ended before the other began to: nothing is compared at the last events. */
    @Test
    void refusesWhereOnlyOneGroupIsAtRiskAtEveryEvent() {
        List<Observation> lost = List.of(new Observation(1, false), new Observation(2, false));
        List<Observation> later = List.of(new Observation(5, true), new Observation(6, true));
        assertThat(LogRank.of(lost, later))
                .isInstanceOfSatisfying(
                        Answer.Refused.class, no -> assertThat(no.reason()).isEqualTo(Reason.NO_VARIATION));
    }

    @Test
    void saysHowManyCasesThereAreWhenAGroupHasNone() {
        List<Observation> two = List.of(new Observation(1, true), new Observation(2, false));
        for (Answer<LogRank> answer : List.of(LogRank.of(List.of(), two), LogRank.of(two, List.of()))) {
            assertThat(answer).isEqualTo(Answer.refused(Reason.SINGLE_GROUP, Shown.NOTHING.withN(2)));
        }
    }

    @Test
    void takesThePrintedEndsOfTheRangeOfTimes() {
        assertThat(new Observation(0, true).time()).isZero();
        assertThat(new Observation(1e12, false).time()).isEqualTo(1e12);
    }

    /** Exponential times, a third lost: the test rejects 5 % of the time, the limits at a fixed time cover 95 %. */
    @Test
    void keepsItsLevel() {
        SplittableRandom random = new SplittableRandom(12);
        int rejected = 0;
        int covered = 0;
        int series = 2000;
        for (int s = 0; s < series; s++) {
            List<Observation> first = exponential(30, random);
            List<Observation> second = exponential(40, random);
            rejected += LogRank.of(first, second).orElseThrow().p() < 0.05 ? 1 : 0;
            List<Observation> all = new ArrayList<>(first);
            all.addAll(second);
            var atHalf = of(all, LEVEL).steps().stream()
                    .filter(step -> step.time() <= Math.log(2))
                    .reduce((one, later) -> later)
                    .orElseThrow();
            covered += atHalf.limits().orElseThrow().contains(0.5) ? 1 : 0;
        }
        assertThat(rejected / (double) series).isBetween(0.038, 0.065);
        assertThat(covered / (double) series).isBetween(0.935, 0.965);
    }

    private static List<Observation> exponential(int n, SplittableRandom random) {
        List<Observation> cases = new ArrayList<>();
        for (int i = 0; i < n; i++) {
            double event = -Math.log(1 - random.nextDouble());
            double lost = -2 * Math.log(1 - random.nextDouble());
            cases.add(new Observation(Math.min(event, lost), event <= lost));
        }
        return cases;
    }

    private static List<Observation> allWithEvent(List<Observation> cases) {
        return cases.stream().map(one -> new Observation(one.time(), true)).toList();
    }

    private static KaplanMeier of(List<Observation> cases, Confidence confidence) {
        return KaplanMeier.of(cases, confidence).orElseThrow();
    }
}
