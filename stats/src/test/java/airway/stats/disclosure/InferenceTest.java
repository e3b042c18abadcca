package airway.stats.disclosure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.assertThatIllegalStateException;

import airway.stats.disclosure.Inference.Bounds;
import java.util.List;
import org.junit.jupiter.api.Test;

class InferenceTest {

    /** Fréchet's bounds of a cell of a table of which the totals alone are known; any textbook of probability. */
    @Test
    void findsTheBoundsOfACellFromTheTotals() {
        Inference known = new Inference(4);
        known.sum(List.of(0, 1), 23);
        known.sum(List.of(2, 3), 30);
        known.sum(List.of(0, 2), 38);
        known.sum(List.of(1, 3), 15);
        assertThat(known.bounds(0)).isEqualTo(new Bounds(23 + 38 - 53, 23));
        assertThat(known.bounds(1)).isEqualTo(new Bounds(0, 15));
        assertThat(known.bounds(List.of(0, 1))).isEqualTo(new Bounds(23, 23));
    }

    /** Worked vector P14: three quarters and the year are told, so the fourth quarter is. */
    @Test
    void subtractsQuartersFromTheirYear() {
        Inference known = new Inference(4);
        known.sum(List.of(0), 14);
        known.sum(List.of(1), 12);
        known.sum(List.of(2), 11);
        known.sum(List.of(0, 1, 2, 3), 40);
        assertThat(known.bounds(3)).isEqualTo(new Bounds(3, 3));
        assertThat(known.knownSmall(List.of(0, 1, 2, 3), 5)).containsExactly(3);
        assertThat(known.knownSmall(List.of(0, 1, 2, 3), 12)).containsExactly(2, 3);
    }

    @Test
    void knowsNothingSmallWhereMoreIsPossible() {
        Inference known = new Inference(3);
        known.sum(List.of(0, 1, 2), 20);
        known.atLeast(List.of(1), 1);
        known.atLeast(List.of(2), 1);
        assertThat(known.knownSmall(List.of(0, 1, 2), 18)).isEmpty();
        assertThat(known.knownSmall(List.of(0, 1, 2), 19)).containsExactly(0);
        assertThat(new Inference(2).knownSmall(List.of(0, 1), 5)).isEmpty();
    }

    @Test
    void tellsTheCallerWhatCannotBe() {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new Inference(0))
                .withMessage("counts = 0, must be 1 or more");
        Inference open = new Inference(2);
        assertThatIllegalStateException().isThrownBy(() -> open.bounds(1)).withMessageStartingWith("no bound");
        open.sum(List.of(0), 1);
        open.atLeast(List.of(0), 2);
        assertThatIllegalStateException().isThrownBy(() -> open.bounds(0)).withMessageStartingWith("no bound");
    }
}
