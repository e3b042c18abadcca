package airway.stats.disclosure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import airway.stats.Answer;
import airway.stats.RandomInputs;
import airway.stats.Reason;
import airway.stats.disclosure.Inference.Bounds;
import airway.stats.disclosure.SmallCells.Cell;
import airway.stats.disclosure.SmallCells.Hidden;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.random.RandomGenerator;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/** Tables P10 to P14 are the worked vectors of the registry's rules of privacy, computed there by hand. */
class SmallCellsTest {

    private static final SmallCells FIVE = new SmallCells(5, false);

    @Test
    void hidesTheOtherThreeOfATwoByTwoTable() {
        var table = table(new long[][] {{20, 3}, {18, 12}});
        Hidden hidden = FIVE.in(table).orElseThrow();
        assertThat(hidden.primary()).containsExactly(new Cell(0, 1));
        assertThat(hidden.secondary()).containsExactlyInAnyOrder(new Cell(0, 0), new Cell(1, 0), new Cell(1, 1));
        assertThat(hidden.totalOnly()).isFalse();
        assertThat(SmallCells.bounds(table, hidden).get(0).get(1)).isEqualTo(new Bounds(1, 14));
    }

    @Test
    void hidesTheFewestCellsOfAThreeByThreeTable() {
        var table = table(new long[][] {{20, 3, 15}, {11, 22, 9}, {30, 14, 17}});
        Hidden hidden = FIVE.in(table).orElseThrow();
        assertThat(hidden.primary()).containsExactly(new Cell(0, 1));
        assertThat(hidden.secondary()).containsExactlyInAnyOrder(new Cell(0, 2), new Cell(1, 1), new Cell(1, 2));
        assertThat(SmallCells.bounds(table, hidden).get(0).get(1)).isEqualTo(new Bounds(1, 17));
    }

    @Test
    void knowsThatTwoOnesInARowAreGivenAwayByTheirSum() {
        assertThat(FIVE.in(table(new long[][] {{8, 1, 1}})).orElseThrow())
                .isEqualTo(new Hidden(Set.of(new Cell(0, 1), new Cell(0, 2)), Set.of(new Cell(0, 0)), false));
        Hidden hidden = FIVE.in(table(new long[][] {{8, 1, 1}, {20, 30, 25}, {9, 7, 12}}))
                .orElseThrow();
        assertThat(hidden.primary()).containsExactlyInAnyOrder(new Cell(0, 1), new Cell(0, 2));
        assertThat(hidden.secondary())
                .containsExactlyInAnyOrder(new Cell(0, 0), new Cell(2, 0), new Cell(2, 1), new Cell(2, 2));
    }

    @Test
    void hidesTheFailuresOfARateTogetherWithItsSuccesses() {
        SmallCells outside = new SmallCells(10, false);
        assertThat(hides(FIVE, 11, 1)).isTrue();
        assertThat(hides(FIVE, 34, 6)).isFalse();
        assertThat(hides(outside, 34, 6)).isTrue();
        assertThat(hides(FIVE, 7, 0)).isFalse();
        assertThat(hides(new SmallCells(5, true), 7, 0)).isTrue();
    }

    /** Whether a group with these successes and failures is hidden beside two large ones. */
    private static boolean hides(SmallCells rule, long successes, long failures) {
        return rule.in(table(new long[][] {{successes, failures}, {40, 50}, {60, 70}}))
                .orElseThrow()
                .has(0, 1);
    }

    @Test
    void hidesASecondQuarterWhereTheYearIsTold() {
        Hidden hidden = FIVE.in(table(new long[][] {{14, 12, 11, 3}})).orElseThrow();
        assertThat(hidden.primary()).containsExactly(new Cell(0, 3));
        assertThat(hidden.secondary()).containsExactly(new Cell(0, 2));
    }

    @Test
    void tellsOnlyTheTotalWhereATotalOfARowIsSmall() {
        assertThat(FIVE.in(table(new long[][] {{2, 1}, {30, 40}})).orElseThrow().totalOnly())
                .isTrue();
    }

    @Test
    void refusesWhatIsEmptyOrSmallAltogether() {
        assertThat(FIVE.in(table(new long[][] {{0, 0}}))).isEqualTo(Answer.refused(Reason.NO_DATA));
        assertThat(FIVE.in(table(new long[][] {{3, 1}}))).isEqualTo(Answer.refused(Reason.TOO_FEW_OBSERVATIONS));
    }

    @Test
    void hidesNothingWhereNothingIsSmall() {
        assertThat(FIVE.in(table(new long[][] {{5, 0, 7}, {0, 9, 6}})).orElseThrow())
                .isEqualTo(new Hidden(Set.of(), Set.of(), false));
    }

    /**
     * Every table of whole numbers that agrees with what is told is written out, so nothing of the solver is used: no small
     * cell is bounded tighter than the rule allows, in any of them, and the bounds of the program are those found.
     */
    @ParameterizedTest
    @MethodSource("tables")
    void leavesEverySmallCellOpenInAllTablesThatCouldBe(List<List<Long>> table, boolean hideAlike) {
        SmallCells rule = new SmallCells(4, hideAlike);
        Hidden hidden = rule.in(table).orElseThrow();
        List<long[]> possible = possible(table, hidden);
        var bounds = SmallCells.bounds(table, hidden);
        int columns = table.get(0).size();
        for (int row = 0; row < table.size(); row++) {
            for (int column = 0; column < columns; column++) {
                int cell = row * columns + column;
                long least = possible.stream().mapToLong(one -> one[cell]).min().orElseThrow();
                long most = possible.stream().mapToLong(one -> one[cell]).max().orElseThrow();
                assertThat(bounds.get(row).get(column))
                        .as("%s of %s", cell, table)
                        .isEqualTo(new Bounds(least, most));
                if (hidden.primary().contains(new Cell(row, column))) {
                    assertThat(most)
                            .as("%s of %s", cell, table)
                            .isGreaterThanOrEqualTo(4)
                            .isGreaterThan(least);
                } else if (!hidden.has(row, column)) {
                    long count = table.get(row).get(column);
                    assertThat(count == 0 || count >= 4).isTrue();
                }
            }
        }
    }

    /** Tables of which something but not everything is hidden. */
    static Stream<Arguments> tables() {
        return RandomInputs.draws(
                        200,
                        random -> Arguments.of(
                                random(random, random.nextInt(1, 4), random.nextInt(2, 4)), random.nextBoolean()))
                .filter(SmallCellsTest::hidesSome)
                .limit(80);
    }

    @SuppressWarnings("unchecked")
    private static boolean hidesSome(Arguments arguments) {
        return new SmallCells(4, (boolean) arguments.get()[1])
                .in((List<List<Long>>) arguments.get()[0])
                .toOptional()
                .filter(hidden -> !hidden.totalOnly() && !hidden.primary().isEmpty())
                .isPresent();
    }

    @Test
    void triesEnoughTables() {
        assertThat(tables()).hasSize(80);
    }

    private static List<List<Long>> random(RandomGenerator random, int rows, int columns) {
        long[][] counts = new long[rows][columns];
        for (long[] row : counts) {
            Arrays.setAll(row, i -> random.nextInt(4) == 0 ? random.nextInt(0, 4) : random.nextInt(4, 9));
        }
        return table(counts);
    }

    /** Fewer hidden cells never do: each choice with one cell less lets a small cell be worked out. */
    @Test
    void hidesNoMoreThanItMust() {
        var table = table(new long[][] {{20, 3, 15}, {11, 22, 9}, {30, 14, 17}});
        Hidden hidden = FIVE.in(table).orElseThrow();
        for (Cell spared : hidden.secondary()) {
            List<Cell> rest = hidden.secondary().stream()
                    .filter(cell -> !cell.equals(spared))
                    .toList();
            var bounds = SmallCells.bounds(table, new Hidden(hidden.primary(), Set.copyOf(rest), false))
                    .get(0)
                    .get(1);
            assertThat(bounds).isEqualTo(new Bounds(3, 3));
        }
    }

    @Test
    void tellsTheCallerWhatCannotBe() {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new SmallCells(1, false))
                .withMessage("threshold = 1, must be 2 or more");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> FIVE.in(table(new long[][] {{1, -1}})))
                .withMessage("count = -1, must be 0 or more");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> FIVE.in(List.of(List.of(1L), List.of(1L, 2L))))
                .withMessage("rows differ in length");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> FIVE.in(List.of()))
                .withMessage("cells = 0, must be in [1, 60]");
    }

    private static List<List<Long>> table(long[][] counts) {
        return Arrays.stream(counts)
                .map(row -> Arrays.stream(row).boxed().toList())
                .toList();
    }

    /** All tables of whole numbers that agree with the cells and totals that are told. */
    private static List<long[]> possible(List<List<Long>> table, Hidden hidden) {
        List<long[]> found = new ArrayList<>();
        fill(table, hidden, new long[table.size() * table.get(0).size()], 0, found);
        return found;
    }

    private static void fill(List<List<Long>> table, Hidden hidden, long[] guess, int cell, List<long[]> found) {
        int columns = table.get(0).size();
        if (cell == guess.length) {
            if (agrees(table, guess)) {
                found.add(guess.clone());
            }
            return;
        }
        int row = cell / columns;
        long truth = table.get(row).get(cell % columns);
        if (!hidden.has(row, cell % columns)) {
            guess[cell] = truth;
            fill(table, hidden, guess, cell + 1, found);
            return;
        }
        long before = 0;
        for (int i = row * columns; i < cell; i++) {
            before += guess[i];
        }
        long left = (table.size() == 1
                        ? table.get(0).stream().mapToLong(Long::longValue).sum()
                        : table.get(row).stream().mapToLong(Long::longValue).sum())
                - before;
        for (long value = truth > 0 ? 1 : 0; value <= left; value++) {
            guess[cell] = value;
            fill(table, hidden, guess, cell + 1, found);
        }
    }

    private static boolean agrees(List<List<Long>> table, long[] guess) {
        int columns = table.get(0).size();
        for (int row = 0; row < table.size(); row++) {
            long sum = 0;
            for (int column = 0; column < columns; column++) {
                sum += guess[row * columns + column];
            }
            if (sum != table.get(row).stream().mapToLong(Long::longValue).sum()) {
                return false;
            }
        }
        for (int column = 0; table.size() > 1 && column < columns; column++) {
            long sum = 0;
            long told = 0;
            for (int row = 0; row < table.size(); row++) {
                sum += guess[row * columns + column];
                told += table.get(row).get(column);
            }
            if (sum != told) {
                return false;
            }
        }
        return true;
    }
}
