package airway.stats.interval;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.RandomInputs.AtLevel;
import airway.stats.Reason;
import java.util.stream.Stream;
import org.apache.commons.math3.distribution.BinomialDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class ProportionIntervalTest {

    @ParameterizedTest
    @EnumSource
    void refusesWhenThereAreNoCases(ProportionInterval method) {
        assertThat(method.of(new Proportion(0, 0), Confidence.DEFAULT)).isEqualTo(Answer.refused(Reason.NO_DATA));
    }

    @ParameterizedTest
    @EnumSource
    void endsExactlyAtZeroAndAtOne(ProportionInterval method) {
        for (long n : new long[] {1, 2, 3, 20, 1000, 1_000_000_000}) {
            assertThat(of(method, 0, n).lower()).isEqualTo(0);
            assertThat(of(method, 0, n).upper()).isGreaterThan(0).isLessThan(1);
            assertThat(of(method, n, n).upper()).isEqualTo(1);
            assertThat(of(method, n, n).lower()).isGreaterThan(0).isLessThan(1);
        }
    }

    @ParameterizedTest
    @EnumSource
    void turnsOverWithTheOutcome(ProportionInterval method) {
        RandomInputs.proportionsAtLevels().forEach(in -> {
            Estimate some = of(method, in);
            Estimate rest = of(method, new AtLevel(in.proportion().complement(), in.confidence()));
            assertThat(rest.value()).isCloseTo(1 - some.value(), within(1e-15));
            assertThat(rest.lower()).as("%s", in).isCloseTo(1 - some.upper(), within(1e-15));
            assertThat(rest.upper()).as("%s", in).isCloseTo(1 - some.lower(), within(1e-15));
        });
    }

    @ParameterizedTest
    @EnumSource
    void holdsTheEstimateAndStaysWithinZeroAndOne(ProportionInterval method) {
        RandomInputs.proportionsAtLevels().forEach(in -> {
            Estimate estimate = of(method, in);
            assertThat(estimate.interval().contains(estimate.value()))
                    .as("%s", in)
                    .isTrue();
            assertThat(estimate.lower()).as("%s", in).isBetween(0.0, 1.0);
            assertThat(estimate.upper()).as("%s", in).isBetween(0.0, 1.0);
        });
    }

    @ParameterizedTest
    @EnumSource
    void widensWithTheLevel(ProportionInterval method) {
        RandomInputs.proportionsAtLevels().forEach(in -> {
            Confidence higher = new Confidence((1 + in.confidence().level()) / 2);
            Estimate narrow = of(method, in);
            Estimate wide = of(method, new AtLevel(in.proportion(), higher));
            assertThat(wide.lower()).as("%s", in).isLessThanOrEqualTo(narrow.lower());
            assertThat(wide.upper()).as("%s", in).isGreaterThanOrEqualTo(narrow.upper());
            assertThat(wide.interval().width())
                    .as("%s", in)
                    .isGreaterThan(narrow.interval().width());
        });
    }

    @ParameterizedTest
    @EnumSource
    void risesWithTheSuccesses(ProportionInterval method) {
        for (int n : new int[] {1, 7, 40, 200}) {
            for (int x = 1; x <= n; x++) {
                Estimate fewer = of(method, x - 1, n);
                Estimate more = of(method, x, n);
                assertThat(more.lower()).isGreaterThanOrEqualTo(fewer.lower());
                assertThat(more.upper()).isGreaterThanOrEqualTo(fewer.upper());
                assertThat(more.lower() + more.upper()).isGreaterThan(fewer.lower() + fewer.upper());
            }
        }
    }

    @ParameterizedTest
    @EnumSource
    void staysSoundAtAThousandMillionCases(ProportionInterval method) {
        for (long x : new long[] {0, 1, 500_000_000, 999_999_999}) {
            Estimate estimate = of(method, x, 1_000_000_000);
            assertThat(estimate.interval().contains(estimate.value())).isTrue();
            assertThat(estimate.interval().width()).isBetween(3e-10, 7e-5);
        }
    }

    /** At 95 %: R 4.2.2, {@code prop.test}, {@code binom.test} and {@code qbeta}; the others by their formula. */
    @ParameterizedTest
    @CsvSource({
        "WILSON, 7, 10, 0.396778147461145, 0.892208732593699",
        "WILSON_CC, 37, 41, 0.7594052607397662, 0.9682791215760113",
        "CLOPPER_PEARSON, 2, 8, 0.0318540262499442, 0.650855794412824",
        "JEFFREYS, 7, 10, 0.394181681851329, 0.907305406061847",
        "AGRESTI_COULL, 5, 10, 0.236593090512564, 0.7634069094874361"
    })
    void agreesWithValuesComputedElsewhere(ProportionInterval method, long x, long n, double lower, double upper) {
        assertThat(of(method, x, n).lower()).isCloseTo(lower, within(1e-12));
        assertThat(of(method, x, n).upper()).isCloseTo(upper, within(1e-12));
    }

    /** Each limit of the exact interval leaves one half of alpha in its tail; the binomial is that of commons-math. */
    @Test
    void leavesHalfOfAlphaInEachTailOfTheExactInterval() {
        RandomInputs.proportionsAtLevels().forEach(in -> {
            Estimate estimate = of(ProportionInterval.CLOPPER_PEARSON, in);
            int x = (int) in.proportion().x();
            int n = (int) in.proportion().n();
            double tail = in.confidence().tail();
            if (x > 0) {
                double atLeast = 1 - new BinomialDistribution(n, estimate.lower()).cumulativeProbability(x - 1);
                assertThat(atLeast).as("%s", in).isCloseTo(tail, within(1e-9));
            }
            if (x < n) {
                double atMost = new BinomialDistribution(n, estimate.upper()).cumulativeProbability(x);
                assertThat(atMost).as("%s", in).isCloseTo(tail, within(1e-9));
            }
        });
    }

    /** Coverage summed over all outcomes: the exact method never falls short, the score method by a known amount. */
    @Test
    void coversAsOftenAsItsDescriptionSays() {
        assertThat(coverages(ProportionInterval.CLOPPER_PEARSON, 20)).allMatch(coverage -> coverage >= 0.95);
        assertThat(coverages(ProportionInterval.WILSON, 20)).allMatch(coverage -> coverage > 0.905);
        assertThat(coverages(ProportionInterval.WILSON, 20).mapToDouble(c -> c).average())
                .hasValueCloseTo(0.952, within(0.008));
    }

    private static Stream<Double> coverages(ProportionInterval method, int n) {
        return Stream.iterate(0.01, p -> p < 0.995, p -> p + 0.01).map(p -> {
            BinomialDistribution law = new BinomialDistribution(n, p);
            double covered = 0;
            for (int x = 0; x <= n; x++) {
                covered += of(method, x, n).interval().contains(p) ? law.probability(x) : 0;
            }
            return covered;
        });
    }

    private static Estimate of(ProportionInterval method, long x, long n) {
        return method.of(new Proportion(x, n), Confidence.DEFAULT).orElseThrow();
    }

    private static Estimate of(ProportionInterval method, AtLevel in) {
        return method.of(in.proportion(), in.confidence()).orElseThrow();
    }
}
