package airway.stats.disclosure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.assertThatIllegalStateException;

import airway.stats.disclosure.Inference.Bounds;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

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

    /** A number told twice, or with its parts, says nothing new. By hand: 35 in all, 20 of them in one. */
    @Test
    void takesSumsThatFollowFromOthers() {
        Inference known = new Inference(6);
        known.sum(List.of(2, 3, 4, 5), 35);
        known.sum(List.of(5), 20);
        known.sum(List.of(2, 3, 4), 15);
        known.sum(List.of(2, 3, 4, 5), 35);
        known.sum(List.of(5), 20);

        assertThat(known.bounds(4)).isEqualTo(new Inference.Bounds(0, 15));
        assertThat(known.bounds(5)).isEqualTo(new Inference.Bounds(20, 20));
        assertThat(known.knownSmall(List.of(4), 5)).isEmpty();
    }

    /** Against all whole numbers written out, whatever sums are told and however often. */
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
    void boundsAreThoseOfAllWorldsThatFit(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        int[] world = random.ints(4, 0, 5).toArray();
        List<List<Integer>> told = new ArrayList<>(List.of(List.of(0, 1, 2, 3)));
        // Ranges one within another: sums whose corners are whole numbers.
        for (int i = 0; i < 6; i++) {
            int first = random.nextInt(4);
            told.add(IntStream.rangeClosed(first, first + random.nextInt(4 - first))
                    .boxed()
                    .toList());
        }
        Inference known = new Inference(6);
        told.forEach(which -> known.sum(which, sum(world, which)));

        int[] least = {99, 99, 99, 99};
        int[] most = new int[4];
        int largest = sum(world, List.of(0, 1, 2, 3));
        int base = largest + 1;
        for (int number = 0; number < base * base * base * base; number++) {
            int[] other = {number % base, number / base % base, number / base / base % base, number / base / base / base
            };
            if (told.stream().allMatch(which -> sum(other, which) == sum(world, which))) {
                for (int i = 0; i < 4; i++) {
                    least[i] = Math.min(least[i], other[i]);
                    most[i] = Math.max(most[i], other[i]);
                }
            }
        }
        for (int i = 0; i < 4; i++) {
            assertThat(known.bounds(i)).as(told + " of " + i).isEqualTo(new Inference.Bounds(least[i], most[i]));
        }
    }

    private static int sum(int[] world, List<Integer> which) {
        return which.stream().mapToInt(i -> world[i]).sum();
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
