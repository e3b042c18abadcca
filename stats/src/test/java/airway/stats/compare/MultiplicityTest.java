package airway.stats.compare;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.Answer;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import java.util.List;
import java.util.OptionalDouble;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

class MultiplicityTest {

    @ParameterizedTest
    @EnumSource
    void hasNothingToAdjustWithoutPValues(Multiplicity method) {
        assertThat(method.adjust(List.of())).isEqualTo(Answer.refused(Reason.NO_DATA));
        assertThat(method.adjust(List.of(OptionalDouble.empty()))).isEqualTo(Answer.refused(Reason.NO_DATA));
    }

    @ParameterizedTest
    @ValueSource(doubles = {-1e-9, 1.0001, Double.NaN})
    void refusesWhatIsNotAProbability(double p) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Multiplicity.HOLM.adjust(of(0.5, p)))
                .withMessage("p-value 2 = " + p + ", must be in [0, 1]");
    }

    @ParameterizedTest
    @EnumSource
    void leavesASingleQuestionAsItIs(Multiplicity method) {
        assertThat(method.adjust(of(0.049)).orElseThrow()).isEqualTo(of(0.049));
        assertThat(method.adjust(of(0.0)).orElseThrow()).isEqualTo(of(0.0));
        assertThat(method.adjust(of(1.0)).orElseThrow()).isEqualTo(of(1.0));
    }

    @Test
    void doesNotCountTheMissingOnes() {
        List<OptionalDouble> p = List.of(OptionalDouble.of(0.01), OptionalDouble.empty(), OptionalDouble.of(0.04));
        assertThat(Multiplicity.HOLM.adjust(p).orElseThrow())
                .containsExactly(OptionalDouble.of(0.02), OptionalDouble.empty(), OptionalDouble.of(0.04));
    }

    @ParameterizedTest
    @EnumSource
    void neverLowersAPValueNorChangesTheirOrder(Multiplicity method) {
        RandomInputs.draws(50, random -> random.doubles(random.nextInt(2, 12)).toArray())
                .forEach(p -> {
                    List<OptionalDouble> adjusted = method.adjust(of(p)).orElseThrow();
                    for (int i = 0; i < p.length; i++) {
                        double own = adjusted.get(i).getAsDouble();
                        assertThat(own).isBetween(p[i], Math.min(1, p[i] * p.length) + 1e-15);
                        for (int j = 0; j < p.length; j++) {
                            assertThat(p[i] <= p[j] ? adjusted.get(j).getAsDouble() - own : 0)
                                    .isNotNegative();
                        }
                    }
                });
    }

    /** The smallest value is multiplied by the number of questions; the largest is left alone by the one and Holm. */
    @Test
    void multipliesTheSmallestByTheNumberOfQuestions() {
        List<OptionalDouble> p = of(0.5, 0.001, 0.9);
        List<OptionalDouble> holm = Multiplicity.HOLM.adjust(p).orElseThrow();
        List<OptionalDouble> bh = Multiplicity.BENJAMINI_HOCHBERG.adjust(p).orElseThrow();
        assertThat(holm.get(1).getAsDouble()).isCloseTo(0.003, within(1e-15));
        assertThat(bh.get(1).getAsDouble()).isCloseTo(0.003, within(1e-15));
        assertThat(holm.get(0).getAsDouble()).isEqualTo(1);
        assertThat(bh.get(0).getAsDouble()).isCloseTo(0.75, within(1e-15));
        assertThat(bh.get(2).getAsDouble()).isEqualTo(0.9);
    }

    private static List<OptionalDouble> of(double... p) {
        return IntStream.range(0, p.length)
                .mapToObj(i -> OptionalDouble.of(p[i]))
                .toList();
    }
}
