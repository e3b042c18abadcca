package airway.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;

import java.util.EnumSet;
import java.util.List;
import java.util.NoSuchElementException;
import java.util.Set;
import org.junit.jupiter.api.Test;

class AnswerTest {

    private static final Answer<Integer> SEVEN = Answer.ok(7, Set.of(Caution.MISSING_HIGH));
    private static final Answer<Integer> NONE = Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0));

    @Test
    void letsTheCallerDealWithBothCases() {
        assertThat(SEVEN.<String>fold(ok -> "value " + ok.value(), no -> "no: " + no.reason()))
                .isEqualTo("value 7");
        assertThat(NONE.<String>fold(ok -> "value " + ok.value(), no -> "no: " + no.reason()))
                .isEqualTo("no: NO_DATA");
    }

    @Test
    void carriesCautionsAndRefusalsThroughAChange() {
        assertThat(SEVEN.map(n -> n * 2)).isEqualTo(Answer.ok(14, Set.of(Caution.MISSING_HIGH)));
        assertThat(NONE.map(n -> n * 2)).isEqualTo(NONE);
    }

    @Test
    void addsUpTheCautionsOfTwoQuestions() {
        assertThat(SEVEN.then(n -> Answer.ok("x".repeat(n), Set.of(Caution.CRUDE_ONLY))))
                .isEqualTo(Answer.ok("xxxxxxx", Set.of(Caution.CRUDE_ONLY, Caution.MISSING_HIGH)));
        assertThat(SEVEN.then(n -> NONE)).isEqualTo(NONE);
        assertThat(NONE.then(Answer::ok)).isEqualTo(NONE);
    }

    @Test
    void givesUpTheValueOnlyWhenThereIsOne() {
        assertThat(SEVEN.toOptional()).contains(7);
        assertThat(SEVEN.orElseThrow()).isEqualTo(7);
        assertThat(NONE.toOptional()).isEmpty();
        assertThatExceptionOfType(NoSuchElementException.class)
                .isThrownBy(NONE::orElseThrow)
                .withMessage("refused: NO_DATA");
    }

    @Test
    void doesNotShareTheCautionsOfItsMaker() {
        EnumSet<Caution> cautions = EnumSet.of(Caution.REVERSAL);
        Answer<Integer> answer = Answer.ok(1, cautions);
        cautions.clear();
        assertThat(answer).isEqualTo(Answer.ok(1, Set.of(Caution.REVERSAL)));
    }

    @Test
    void showsWhatIsLeftWhenItRefuses() {
        Shown shown = Shown.NOTHING
                .withN(3)
                .withEstimate(0.5)
                .withP(0.04)
                .withPoints(Series.of(1, 2))
                .withCovariates(List.of(2));
        assertThat(shown.n()).hasValue(3);
        assertThat(shown.estimate()).hasValue(0.5);
        assertThat(shown.p()).hasValue(0.04);
        assertThat(shown.points()).isEqualTo(Series.of(1, 2));
        assertThat(shown.covariates()).containsExactly(2);
        assertThat(Answer.refused(Reason.NO_DATA)).isEqualTo(Answer.refused(Reason.NO_DATA, Shown.NOTHING));
    }
}
