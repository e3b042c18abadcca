package airway.stats.disclosure;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.disclosure.Inference.Bounds;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.IntStream;

/**
 * Which cells of a table of counts must stay hidden before it is told with its totals.
 *
 * <p>Small are counts from 1 to one below the threshold (primary). So many further cells are hidden (secondary), the fewest and
 * then the smallest, that whoever knows all that is told, and which of the hidden cells are not empty, finds for each small
 * cell more than one possible value and a largest one that reaches the threshold. A table of one row or one column has only the
 * total of all; any other has the totals of rows and columns too.
 *
 * <p>It does not protect against the difference between two tables: {@link Inference} over both does. Source of the rule:
 * Hundepool and others, Handbook on Statistical Disclosure Control, chapter 5; the choice among equally many cells is ours.
 *
 * @param threshold smallest count that may be told, 2 or more
 * @param hideAlike whether a row or column in which all are alike is hidden too: "all of this group had the event"
 */
public record SmallCells(long threshold, boolean hideAlike) {

    private static final int MOST_CELLS = 60;
    private static final int MOST_TRIES = 200_000;

    /**
     * A rule.
     *
     * @throws IllegalArgumentException if the threshold is under 2
     */
    public SmallCells {
        if (threshold < 2) {
            throw new IllegalArgumentException("threshold = " + threshold + ", must be 2 or more");
        }
    }

    /** A place in the table, from 0. */
    public record Cell(int row, int column) {}

    /**
     * What is hidden.
     *
     * @param primary small cells
     * @param secondary cells that are hidden to protect them
     * @param totalOnly whether the totals of rows and columns are hidden too, so that only the total of all is told
     */
    public record Hidden(Set<Cell> primary, Set<Cell> secondary, boolean totalOnly) {

        /** What is hidden, as it cannot change. */
        public Hidden {
            primary = Set.copyOf(primary);
            secondary = Set.copyOf(secondary);
        }

        public boolean has(int row, int column) {
            Cell cell = new Cell(row, column);
            return totalOnly || primary.contains(cell) || secondary.contains(cell);
        }
    }

    /**
     * Finds what must stay hidden.
     *
     * @param counts rows of equal length, 60 cells at most
     * @return refused with NO_DATA when nothing was counted, and with TOO_FEW_OBSERVATIONS when even the total is small
     * @throws IllegalArgumentException if a count is negative, rows differ in length, or there are too many cells
     */
    public Answer<Hidden> in(List<List<Long>> counts) {
        Grid grid = new Grid(counts);
        long all = grid.sum(grid.everything());
        if (all == 0) {
            return Answer.refused(Reason.NO_DATA);
        }
        if (all < threshold) {
            return Answer.refused(Reason.TOO_FEW_OBSERVATIONS);
        }
        Set<Integer> primary = primary(grid);
        if (grid.lines().stream().map(grid::sum).anyMatch(this::small)) {
            return Answer.ok(grid.hidden(primary, Set.of(), true));
        }
        if (primary.isEmpty()) {
            return Answer.ok(grid.hidden(primary, Set.of(), false));
        }
        return Answer.ok(secondary(grid, primary));
    }

    /**
     * What can be worked out about each hidden cell of a table that is told like this.
     *
     * @return by row and column; a cell that is told has one value
     */
    public static List<List<Bounds>> bounds(List<List<Long>> counts, Hidden hidden) {
        Grid grid = new Grid(counts);
        Set<Integer> which = grid.numbers(hidden);
        Inference known = grid.inference(which, hidden.totalOnly());
        List<List<Bounds>> bounds = new ArrayList<>();
        for (int row = 0; row < grid.rows; row++) {
            List<Bounds> line = new ArrayList<>();
            for (int column = 0; column < grid.columns; column++) {
                int cell = row * grid.columns + column;
                line.add(which.contains(cell) ? known.bounds(cell) : new Bounds(grid.cells[cell], grid.cells[cell]));
            }
            bounds.add(List.copyOf(line));
        }
        return List.copyOf(bounds);
    }

    private boolean small(long count) {
        return count >= 1 && count < threshold;
    }

    private Set<Integer> primary(Grid grid) {
        Set<Integer> primary = new TreeSet<>();
        for (int cell : grid.everything()) {
            if (small(grid.cells[cell])) {
                primary.add(cell);
            }
        }
        if (hideAlike) {
            grid.lines().stream()
                    .filter(line ->
                            line.stream().filter(cell -> grid.cells[cell] > 0).count() == 1)
                    .forEach(primary::addAll);
        }
        return primary;
    }

    private Hidden secondary(Grid grid, Set<Integer> primary) {
        List<Integer> free = grid.everything().stream()
                .filter(cell -> !primary.contains(cell) && grid.cells[cell] > 0)
                .toList();
        Search search = new Search(grid, primary, free);
        for (int more = 0; more <= free.size(); more++) {
            List<Set<Integer>> choices = search.choices(more);
            choices.sort(Comparator.comparingLong(grid::sum));
            for (Set<Integer> choice : choices) {
                Set<Integer> all = new TreeSet<>(primary);
                all.addAll(choice);
                if (holds(grid, primary, all)) {
                    return grid.hidden(primary, choice, false);
                }
            }
        }
        // Every cell hidden and still not safe, or too much to search: the totals tell too much.
        return grid.hidden(primary, Set.of(), true);
    }

    private boolean holds(Grid grid, Set<Integer> primary, Set<Integer> hidden) {
        Inference known = grid.inference(hidden, false);
        return primary.stream().allMatch(cell -> {
            Bounds bounds = known.bounds(cell);
            return bounds.upper() > bounds.lower() && bounds.upper() >= threshold;
        });
    }

    /** Looks for choices of further cells, as long as there are not too many. */
    private static final class Search {
        private final Grid grid;
        private final Set<Integer> primary;
        private final List<Integer> free;
        private int tries;

        Search(Grid grid, Set<Integer> primary, List<Integer> free) {
            this.grid = grid;
            this.primary = primary;
            this.free = free;
        }

        /** Choices of so many cells, in reading order, that leave no hidden cell alone in its row or column. */
        List<Set<Integer>> choices(int more) {
            List<Set<Integer>> choices = new ArrayList<>();
            choose(0, more, new ArrayList<>(), choices);
            return choices;
        }

        private void choose(int from, int more, List<Integer> chosen, List<Set<Integer>> choices) {
            if (more == 0) {
                tries++;
                Set<Integer> all = new TreeSet<>(primary);
                all.addAll(chosen);
                if (grid.sums().stream()
                        .noneMatch(line -> line.stream().filter(all::contains).count() == 1)) {
                    choices.add(new TreeSet<>(chosen));
                }
                return;
            }
            for (int i = from; i <= free.size() - more && tries < MOST_TRIES; i++) {
                chosen.add(free.get(i));
                choose(i + 1, more - 1, chosen, choices);
                chosen.remove(chosen.size() - 1);
            }
        }
    }

    /** The cells in reading order, and the lines that have a total. */
    private static final class Grid {
        private final int rows;
        private final int columns;
        private final long[] cells;

        Grid(List<List<Long>> counts) {
            rows = counts.size();
            columns = rows == 0 ? 0 : counts.get(0).size();
            if (rows * columns < 1 || rows * columns > MOST_CELLS) {
                throw new IllegalArgumentException(
                        "cells = " + rows * columns + ", must be in [1, " + MOST_CELLS + "]");
            }
            if (counts.stream().anyMatch(row -> row.size() != columns)) {
                throw new IllegalArgumentException("rows differ in length");
            }
            cells = counts.stream()
                    .flatMap(List::stream)
                    .mapToLong(Long::longValue)
                    .toArray();
            for (long count : cells) {
                if (count < 0) {
                    throw new IllegalArgumentException("count = " + count + ", must be 0 or more");
                }
            }
        }

        List<Integer> everything() {
            return IntStream.range(0, cells.length).boxed().toList();
        }

        /** Rows and columns of more than one cell. */
        List<List<Integer>> lines() {
            List<List<Integer>> lines = new ArrayList<>();
            for (int row = 0; row < rows && columns > 1; row++) {
                lines.add(IntStream.range(row * columns, (row + 1) * columns)
                        .boxed()
                        .toList());
            }
            for (int column = 0; column < columns && rows > 1; column++) {
                int first = column;
                lines.add(IntStream.range(0, rows)
                        .mapToObj(row -> row * columns + first)
                        .toList());
            }
            return lines;
        }

        /** The lines whose total is told. */
        List<List<Integer>> sums() {
            return rows == 1 || columns == 1 ? List.of(everything()) : lines();
        }

        long sum(Iterable<Integer> which) {
            long sum = 0;
            for (int cell : which) {
                sum += cells[cell];
            }
            return sum;
        }

        Inference inference(Set<Integer> hidden, boolean totalOnly) {
            Inference known = new Inference(cells.length);
            for (int cell : everything()) {
                if (!hidden.contains(cell)) {
                    known.sum(List.of(cell), cells[cell]);
                } else if (cells[cell] > 0) {
                    known.atLeast(List.of(cell), 1);
                }
            }
            for (List<Integer> line : totalOnly ? List.of(everything()) : sums()) {
                known.sum(line, sum(line));
            }
            return known;
        }

        Set<Integer> numbers(Hidden hidden) {
            Set<Integer> numbers = new TreeSet<>();
            for (int cell : everything()) {
                if (hidden.has(cell / columns, cell % columns)) {
                    numbers.add(cell);
                }
            }
            return numbers;
        }

        Hidden hidden(Set<Integer> primary, Set<Integer> secondary, boolean totalOnly) {
            return new Hidden(places(primary), places(secondary), totalOnly);
        }

        private Set<Cell> places(Set<Integer> which) {
            return which.stream()
                    .map(cell -> new Cell(cell / columns, cell % columns))
                    .collect(java.util.stream.Collectors.toSet());
        }
    }
}
