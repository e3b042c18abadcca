package airway.registry.charts;

import airway.registry.cohort.Measure;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.function.IntPredicate;
import java.util.function.IntUnaryOperator;
import java.util.stream.Stream;

/**
 * The encounters of several units in the order of {@link Tallies#ORDER}. They are not put in it one by one, as they may be a million:
 * each block is in order, and between blocks only those are put in order where one count ends and the next begins.
 */
final class InOrder {
    /** Into so many slices time is cut at the most, to find out where the n-th starts. */
    private static final int SLICES = 1 << Short.SIZE;

    private final Measure measure;
    private final List<Block> blocks;

    /**
     * @param blocks those of one unit one after the other
     */
    InOrder(Measure measure, Stream<Block> blocks) {
        this.measure = measure;
        this.blocks = blocks.filter(block -> block.asked().next(0) < block.size())
                .sorted(Comparator.comparing(Block::unit))
                .toList();
    }

    /**
     * An encounter.
     *
     * @param start for {@link Blocks#instant}
     * @param block number of its block
     * @param place where it lies in it
     */
    record Spot(int start, int block, int place) implements Comparable<Spot> {
        private static final Comparator<Spot> ORDER = Comparator.comparingInt(Spot::start)
                .thenComparingInt(Spot::block)
                .thenComparingInt(Spot::place);

        @Override
        public int compareTo(Spot other) {
            return ORDER.compare(this, other);
        }
    }

    private Spot spot(int block, int place) {
        return new Spot(blocks.get(block).start(place), block, place);
    }

    /** The first of all, if there are any. */
    Stream<Spot> first() {
        List<Spot> firsts = new ArrayList<>();
        for (int block = 0; block < blocks.size(); block++) {
            firsts.add(spot(block, blocks.get(block).asked().next(0)));
        }
        return firsts.stream().sorted().limit(1);
    }

    /** Those of whom something was measured that is asked for. */
    List<Spot> where(IntPredicate measured) {
        return sorted(bits(measured), start -> true);
    }

    private List<Bits> bits(IntPredicate measured) {
        return blocks.stream().map(block -> block.where(measured)).toList();
    }

    private List<Spot> sorted(List<Bits> bits, IntPredicate start) {
        List<Spot> spots = new ArrayList<>();
        for (int number = 0; number < blocks.size(); number++) {
            int block = number;
            bits.get(block).each(place -> {
                if (start.test(blocks.get(block).start(place))) {
                    spots.add(spot(block, place));
                }
            });
        }
        Collections.sort(spots);
        return spots;
    }

    /** Of those that count the one that so many are before, the one that twice as many are before, and so on. */
    List<Spot> every(int size) {
        List<Bits> counting = bits(answer -> answer >= 0);
        long beginning = blocks.stream().mapToInt(block -> block.start(0)).min().orElse(0);
        long end = blocks.stream()
                .mapToInt(block -> block.start(block.size() - 1))
                .max()
                .orElse(0);
        int width = Math.max(0, Long.SIZE - Long.numberOfLeadingZeros(end - beginning) - Short.SIZE);
        IntUnaryOperator slice = start -> (int) ((start - beginning) >> width);
        int[] times = new int[SLICES];
        for (int number = 0; number < blocks.size(); number++) {
            Block block = blocks.get(number);
            counting.get(number).each(place -> times[slice.applyAsInt(block.start(place))]++);
        }
        // Only of slices with one of these in it the encounters are put in order.
        boolean[] ordered = new boolean[SLICES];
        List<Integer> amongOrdered = new ArrayList<>();
        long before = 0;
        long next = size;
        int orderedBefore = 0;
        for (int i = 0; i < SLICES; i++) {
            for (; next < before + times[i]; next += size) {
                ordered[i] = true;
                amongOrdered.add(orderedBefore + (int) (next - before));
            }
            before += times[i];
            orderedBefore += ordered[i] ? times[i] : 0;
        }
        List<Spot> spots = sorted(counting, start -> ordered[slice.applyAsInt(start)]);
        return amongOrdered.stream().map(spots::get).toList();
    }

    /**
     * All that are asked for.
     *
     * @param spots in order
     * @return a pile of those before the first of the spots, and for each of them one of itself and those before the next
     */
    List<Pile> piles(List<Spot> spots) {
        List<Pile> piles = Stream.generate(() -> new Pile(measure))
                .limit(spots.size() + 1L)
                .toList();
        for (int number = 0; number < blocks.size(); number++) {
            Block block = blocks.get(number);
            int first = Collections.binarySearch(spots, spot(number, 0));
            int pile = first < 0 ? -first - 1 : first;
            for (int place = 0; place < block.size(); ) {
                Spot here = spot(number, place);
                while (pile < spots.size() && spots.get(pile).compareTo(here) <= 0) {
                    pile++;
                }
                int end = pile == spots.size() ? block.size() : place(spots.get(pile), number, place);
                block.pile(place, end, piles.get(pile));
                place = end;
            }
        }
        return piles;
    }

    /** Where in a block the first lies from a place on that is not before a spot. */
    private int place(Spot spot, int block, int from) {
        if (spot.block() == block) {
            return spot.place();
        }
        return blocks.get(block).place(from, spot.start() + (block < spot.block() ? 1L : 0L));
    }
}
