package airway.stats.interval;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Shown;
import java.util.stream.IntStream;
import org.apache.commons.math3.distribution.BinomialDistribution;
import org.apache.commons.math3.distribution.TDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class LocationIntervalTest {

    @Test
    void refusesAMeanOfNothing() {
        assertThat(MeanInterval.student(Sample.of(), Confidence.DEFAULT))
                .isEqualTo(Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0)));
    }

    @Test
    void showsTheMeanWithoutAnIntervalWhenThereIsNoSpread() {
        assertThat(MeanInterval.student(Sample.of(42), Confidence.DEFAULT))
                .isEqualTo(Answer.refused(
                        Reason.TOO_FEW_OBSERVATIONS, Shown.NOTHING.withN(1).withEstimate(42)));
        assertThat(MeanInterval.student(Sample.of(0.1, 0.1, 0.1), Confidence.DEFAULT))
                .isEqualTo(Answer.refused(
                        Reason.NO_VARIATION, Shown.NOTHING.withN(3).withEstimate(0.1)));
    }

    @ParameterizedTest
    @CsvSource({"2, 0.95", "3, 0.5", "30, 0.99", "100, 0.999"})
    void givesTheMeanTheWidthThatStudentsDistributionSays(int n, double level) {
        double[] values = RandomInputs.draws(n, random -> random.nextDouble(100))
                .mapToDouble(value -> value)
                .toArray();
        Sample sample = Sample.of(values);
        Estimate mean = MeanInterval.student(sample, new Confidence(level)).orElseThrow();
        double t = new TDistribution(null, n - 1, 1e-13).inverseCumulativeProbability(0.5 + level / 2);
        assertThat(mean.value()).isEqualTo(sample.mean());
        assertThat(mean.upper() - mean.value()).isCloseTo(t * sample.sd() / Math.sqrt(n), within(1e-8));
        assertThat(mean.value() - mean.lower()).isCloseTo(t * sample.sd() / Math.sqrt(n), within(1e-8));
    }

    @Test
    void refusesAMedianOfNothing() {
        assertThat(MedianInterval.of(Sample.of(), Confidence.DEFAULT))
                .isEqualTo(Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0)));
    }

    @Test
    void needsSixObservationsForAMedianAtNinetyFivePercent() {
        assertThat(MedianInterval.of(Sample.of(1, 2, 3, 4, 9), Confidence.DEFAULT))
                .isEqualTo(Answer.refused(
                        Reason.TOO_FEW_OBSERVATIONS, Shown.NOTHING.withN(5).withEstimate(3)));
        MedianInterval median = MedianInterval.of(Sample.of(1, 2, 3, 4, 9, 11), Confidence.DEFAULT)
                .orElseThrow();
        assertThat(median.estimate()).isEqualTo(Estimate.of(3.5, 1, 11));
        assertThat(median.achieved()).isEqualTo(1 - 2.0 / 64);
        assertThat(median.n()).isEqualTo(6);
    }

    /** The ranks are the innermost that keep the level; the binomial distribution is that of commons-math. */
    @Test
    void takesTheInnermostRanksThatKeepTheLevel() {
        RandomInputs.draws(80, random -> new Object[] {random.nextInt(6, 300), RandomInputs.confidence(random)})
                .forEach(in -> {
                    int n = (int) in[0];
                    Confidence confidence = (Confidence) in[1];
                    double[] ranks =
                            IntStream.rangeClosed(1, n).asDoubleStream().toArray();
                    MedianInterval.of(Sample.of(ranks), confidence).toOptional().ifPresent(median -> {
                        BinomialDistribution law = new BinomialDistribution(n, 0.5);
                        assertThat(median.upperRank()).isEqualTo(n + 1 - median.lowerRank());
                        assertThat(median.estimate().lower()).isEqualTo(median.lowerRank());
                        assertThat(median.estimate().upper()).isEqualTo(median.upperRank());
                        assertThat(median.achieved())
                                .isGreaterThanOrEqualTo(confidence.level())
                                .isCloseTo(1 - 2 * law.cumulativeProbability(median.lowerRank() - 1), within(1e-12));
                        assertThat(1 - 2 * law.cumulativeProbability(median.lowerRank()))
                                .isLessThan(confidence.level());
                    });
                });
    }
}
