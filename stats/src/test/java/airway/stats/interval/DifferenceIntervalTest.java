package airway.stats.interval;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.Reason;
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
