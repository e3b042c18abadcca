package airway.stats.pooling;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Proportion;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.apache.commons.math3.distribution.NormalDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/** Pooling of sites. */
class RandomEffectsTest {

    private static final Confidence LEVEL = Confidence.DEFAULT;

    static Stream<List<SiteEffect>> draws() {
        return RandomInputs.draws(100, random -> {
            List<SiteEffect> sites = new ArrayList<>();
            double between = random.nextInt(2);
            for (int k = random.nextInt(2, 12); k > 0; k--) {
                sites.add(new SiteEffect(
                        between * random.nextDouble(-1, 1) + random.nextDouble(-0.3, 0.3),
                        random.nextDouble(0.01, 0.3)));
            }
            return sites;
        });
    }

    @ParameterizedTest
    @EnumSource
    void doesNotDependOnTheOrderOfSitesAndMovesWithTheScale(RandomEffects method) {
        draws().forEach(sites -> {
            PooledEffect as = of(method, sites, LEVEL);
            List<SiteEffect> moved = new ArrayList<>();
            sites.forEach(site -> moved.add(0, new SiteEffect(5 - 2 * site.effect(), 4 * site.variance())));
            PooledEffect other = of(method, moved, LEVEL);
            assertThat(other.estimate().value()).isCloseTo(5 - 2 * as.estimate().value(), within(1e-7));
            assertThat(other.estimate().lower()).isCloseTo(5 - 2 * as.estimate().upper(), within(1e-7));
            assertThat(other.tau2()).isCloseTo(4 * as.tau2(), within(1e-7));
            assertThat(other.q()).isCloseTo(as.q(), within(1e-7));
            assertThat(other.i2()).isCloseTo(as.i2(), within(1e-9));
        });
    }

    @ParameterizedTest
    @EnumSource
    void widensWithTheLevelAndLiesBetweenTheSites(RandomEffects method) {
        draws().forEach(sites -> {
            PooledEffect narrow = of(method, sites, LEVEL);
            PooledEffect wide = of(method, sites, new Confidence(0.99));
            assertThat(wide.estimate().lower()).isLessThan(narrow.estimate().lower());
            assertThat(wide.estimate().upper()).isGreaterThan(narrow.estimate().upper());
            double[] effects =
                    sites.stream().mapToDouble(SiteEffect::effect).sorted().toArray();
            assertThat(narrow.estimate().value()).isBetween(effects[0], effects[effects.length - 1]);
            assertThat(narrow.i2()).isBetween(0.0, 1.0);
            assertThat(narrow.prediction().isPresent()).isEqualTo(sites.size() >= 3);
            assertThat(narrow.tooFewToJudgeHeterogeneity()).isEqualTo(sites.size() < 5);
        });
    }

    @Test
    void isNeverNarrowerThanTheNormalIntervalByDefault() {
        draws().forEach(sites -> {
            PooledEffect shown = of(RandomEffects.HARTUNG_KNAPP, sites, LEVEL);
            PooledEffect normal = of(RandomEffects.REML, sites, LEVEL);
            PooledEffect plain = of(RandomEffects.HARTUNG_KNAPP_PLAIN, sites, LEVEL);
            assertThat(shown.estimate().interval().width())
                    .isGreaterThan(normal.estimate().interval().width())
                    .isGreaterThanOrEqualTo(plain.estimate().interval().width());
            assertThat(shown.prediction()).isEqualTo(normal.prediction());
        });
    }

    /** No other variance between sites is more likely, by the restricted likelihood written out. */
    @Test
    void findsTheMostLikelyVarianceBetweenSites() {
        draws().forEach(sites -> {
            double best = of(RandomEffects.REML, sites, LEVEL).tau2();
            for (double other : new double[] {0, best * 0.9, best * 1.1, best + 1e-3, best + 0.1}) {
                assertThat(restricted(sites, other)).isLessThanOrEqualTo(restricted(sites, best) + 1e-10);
            }
        });
    }

    @Test
    void takesThePrintedEndsOfTheRanges() {
        assertThat(new SiteEffect(-1e6, 1e-12).effect()).isEqualTo(-1e6);
        assertThat(new SiteEffect(1e6, 1e12).variance()).isEqualTo(1e12);
    }

    /** The first seven of thirteen trials of a vaccine, often reprinted (from memory); the formulas in R 4.2.2. */
    @ParameterizedTest
    @CsvSource({
        "DERSIMONIAN_LAIRD, 0.197781218559, -1.05306862621, 0.21339312928, -2.32106618122, 0.21492892881",
        "REML, 0.22133848844, -1.05789018503, 0.222234584236, -2.39540000175, 0.279619631682",
        "HARTUNG_KNAPP_PLAIN, 0.22133848844, -1.05789018503, 0.204679187341, -2.39540000175, 0.279619631682"
    })
    void poolsTrialsAsComputedElsewhere(
            RandomEffects method, double tau2, double value, double standardError, double low, double high) {
        double[] effects = {-0.889, -1.585, -1.348, -1.442, -0.218, -0.786, -1.621};
        double[] variances = {0.3256, 0.1946, 0.4154, 0.0200, 0.0512, 0.0069, 0.2230};
        PooledEffect pooled = of(
                method,
                IntStream.range(0, effects.length)
                        .mapToObj(i -> new SiteEffect(effects[i], variances[i]))
                        .toList(),
                LEVEL);
        assertThat(pooled.tau2()).isCloseTo(tau2, within(1e-9));
        assertThat(pooled.estimate().value()).isCloseTo(value, within(1e-9));
        assertThat(pooled.standardError()).isCloseTo(standardError, within(1e-9));
        assertThat(pooled.q()).isCloseTo(30.7706640364, within(1e-9));
        assertThat(pooled.qP()).isCloseTo(2.80369200646e-05, within(1e-13));
        assertThat(pooled.i2()).isCloseTo(0.805009082908, within(1e-10));
        assertThat(pooled.prediction().orElseThrow().lower()).isCloseTo(low, within(1e-9));
        assertThat(pooled.prediction().orElseThrow().upper()).isCloseTo(high, within(1e-9));
    }

    /** Sites with equal variances: the average is the mean and both estimates of τ² are s² - v. */
    @Test
    void isTheMeanOfSitesOfEqualSize() {
        List<SiteEffect> sites =
                List.of(new SiteEffect(1, 0.5), new SiteEffect(2, 0.5), new SiteEffect(3, 0.5), new SiteEffect(6, 0.5));
        double variance = 14.0 / 3;
        for (RandomEffects method : List.of(RandomEffects.DERSIMONIAN_LAIRD, RandomEffects.REML)) {
            PooledEffect pooled = of(method, sites, LEVEL);
            assertThat(pooled.estimate().value()).isCloseTo(3, within(1e-12));
            assertThat(pooled.tau2()).isCloseTo(variance - 0.5, within(1e-9));
            assertThat(pooled.standardError()).isCloseTo(Math.sqrt(variance / 4), within(1e-9));
        }
        assertThat(of(RandomEffects.HARTUNG_KNAPP_PLAIN, sites, LEVEL).standardError())
                .isCloseTo(Math.sqrt(variance / 4), within(1e-9));
    }

    @ParameterizedTest
    @EnumSource(mode = EnumSource.Mode.EXCLUDE, names = "HARTUNG_KNAPP_PLAIN")
    void findsNoDifferenceBetweenSitesThatAgree(RandomEffects method) {
        PooledEffect pooled = of(method, Collections.nCopies(4, new SiteEffect(0.3, 0.04)), LEVEL);
        assertThat(pooled.tau2()).isZero();
        assertThat(pooled.q()).isZero();
        assertThat(pooled.qP()).isEqualTo(1);
        assertThat(pooled.i2()).isZero();
        assertThat(pooled.estimate().value()).isEqualTo(0.3);
    }

    @Test
    void refusesAnIntervalWithoutWidth() {
        assertThat(RandomEffects.HARTUNG_KNAPP_PLAIN.of(Collections.nCopies(3, new SiteEffect(0.3, 0.04)), LEVEL))
                .isInstanceOfSatisfying(Answer.Refused.class, no -> {
                    assertThat(no.reason()).isEqualTo(Reason.NO_VARIATION);
                    assertThat(no.shown().estimate()).hasValue(0.3);
                });
    }

    @Test
    void addsOneHalfOnlyWhereNothingOrEverythingSucceeded() {
        SiteEffect plain = SiteEffect.logit(new Proportion(12, 15)).orElseThrow();
        assertThat(plain.effect()).isCloseTo(Math.log(4), within(1e-12));
        assertThat(plain.variance()).isCloseTo(1 / 12.0 + 1 / 3.0, within(1e-12));
        SiteEffect none = SiteEffect.logit(new Proportion(0, 8)).orElseThrow();
        assertThat(none.effect()).isCloseTo(Math.log(0.5 / 8.5), within(1e-12));
        SiteEffect all = SiteEffect.logit(new Proportion(8, 8)).orElseThrow();
        assertThat(all).isEqualTo(new SiteEffect(-none.effect(), none.variance()));
    }

    @Test
    void givesTheAverageAsAProportion() {
        List<SiteEffect> sites = Stream.of(new Proportion(12, 15), new Proportion(16, 20), new Proportion(80, 100))
                .map(site -> SiteEffect.logit(site).orElseThrow())
                .toList();
        var proportion = of(RandomEffects.HARTUNG_KNAPP, sites, LEVEL).asProportion();
        assertThat(proportion.value()).isCloseTo(0.8, within(1e-9));
        assertThat(proportion.lower()).isBetween(0.5, 0.8);
        assertThat(proportion.upper()).isBetween(0.8, 0.95);
    }

    /** Six sites of unequal size that differ: the default covers about as it says, the oldest method too rarely. */
    @Test
    void coversWithFewSites() {
        SplittableRandom random = new SplittableRandom(3);
        NormalDistribution normal = new NormalDistribution(null, 0, 1);
        int shown = 0;
        int oldest = 0;
        int series = 2000;
        for (int s = 0; s < series; s++) {
            List<SiteEffect> sites = IntStream.range(0, 6)
                    .mapToObj(i -> {
                        double variance = 0.02 * (1 + i * i);
                        double spread = Math.sqrt(variance + 0.2);
                        double u = random.nextDouble(1e-12, 1);
                        return new SiteEffect(spread * normal.inverseCumulativeProbability(u), variance);
                    })
                    .toList();
            shown += of(RandomEffects.HARTUNG_KNAPP, sites, LEVEL)
                            .estimate()
                            .interval()
                            .contains(0)
                    ? 1
                    : 0;
            oldest += of(RandomEffects.DERSIMONIAN_LAIRD, sites, LEVEL)
                            .estimate()
                            .interval()
                            .contains(0)
                    ? 1
                    : 0;
        }
        assertThat(shown / (double) series).isBetween(0.915, 0.97);
        assertThat(oldest / (double) series).isBetween(0.83, 0.905);
    }

    private static double restricted(List<SiteEffect> sites, double tau2) {
        double weights = 0;
        double sum = 0;
        double logs = 0;
        for (SiteEffect site : sites) {
            weights += 1 / (site.variance() + tau2);
            sum += site.effect() / (site.variance() + tau2);
            logs += Math.log(site.variance() + tau2);
        }
        double squares = 0;
        for (SiteEffect site : sites) {
            squares += Math.pow(site.effect() - sum / weights, 2) / (site.variance() + tau2);
        }
        return -(logs + Math.log(weights) + squares) / 2;
    }

    private static PooledEffect of(RandomEffects method, List<SiteEffect> sites, Confidence confidence) {
        return method.of(sites, confidence).orElseThrow();
    }
}
