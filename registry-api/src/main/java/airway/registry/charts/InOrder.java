package airway.registry.charts;

import airway.registry.cohort.Measure;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.function.IntPredicate;
import java.util.stream.IntStream;
import java.util.stream.Stream;

/**
 * The encounters of several units in the order of {@link Tallies#ORDER}. They are not put in it one by one, as they may be a million:
 * each block is in order, and between blocks only those are put in order that lie near where one count ends and the next begins. What
 * is near is found from how many start in each slice of time.
 */
final class InOrder {
    private static final int SLICE_BITS = 16;

    private final Measure measure;
    private final List<Block> blocks;

    /** Where slices begin, and binary digits of their length in seconds. */
    private final long beginning;

    private final int width;

    /**
     * @param measure what is measured of them
     * @param blocks those of one unit one after the other
     */
    InOrder(Measure measure, Stream<Block> blocks) {
        this.measure = measure;
        this.blocks = blocks.filter(block -> block.asked().next(0) < block.size())
                .sorted(Comparator.comparing(Block::unit))
                .toList();
        beginning = this.blocks.stream().mapToInt(block -> block.start(0)).min().orElse(0);
        long end = this.blocks.stream()
                .mapToInt(block -> block.start(block.size() - 1))
                .max()
                .orElse(0);
        width = Math.max(0, Long.SIZE - Long.numberOfLeadingZeros(end - beginning) - SLICE_BITS);
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

    private List<Bits> bits(IntPredicate measured) {
        return blocks.stream().map(block -> block.where(measured)).toList();
    }

    private int slice(int start) {
        return (int) ((start - beginning) >> width);
    }

    private int[] times(List<Bits> bits) {
        int[] times = new int[1 << SLICE_BITS];
        for (int number = 0; number < blocks.size(); number++) {
            Block block = blocks.get(number);
            bits.get(number).each(place -> times[slice(block.start(place))]++);
        }
        return times;
    }

    private List<Spot> sorted(List<Bits> bits, IntPredicate slices) {
        List<Spot> spots = new ArrayList<>();
        for (int number = 0; number < blocks.size(); number++) {
            int block = number;
            bits.get(block).each(place -> {
                if (slices.test(slice(blocks.get(block).start(place)))) {
                    spots.add(spot(block, place));
                }
            });
        }
        Collections.sort(spots);
        return spots;
    }

    /**
     * The last of those of whom something was measured that is asked for.
     *
     * @param before how many of these are before them
     */
    record Last(int before, List<Spot> spots) {}

    /**
     * @param measured what is asked for
     * @param most so many at the most
     */
    Last last(IntPredicate measured, int most) {
        List<Bits> bits = bits(measured);
        int[] times = times(bits);
        int from = times.length;
        int among = 0;
        while (from > 0 && among < most) {
            from--;
            among += times[from];
        }
        int first = from;
        List<Spot> spots = sorted(bits, slice -> slice >= first);
        List<Spot> last = spots.subList(Math.max(0, spots.size() - most), spots.size());
        return new Last(IntStream.of(times).sum() - last.size(), last);
    }

    /**
     * Of those that count the one that so many are before, the one that twice as many are before, and so on.
     *
     * @param size so many
     * @param most the first ones, if there are more
     */
    List<Spot> every(int size, int most) {
        List<Bits> counting = bits(answer -> answer >= 0);
        int[] times = times(counting);
        boolean[] sorted = new boolean[times.length];
        List<Integer> amongSorted = new ArrayList<>();
        long before = 0;
        long next = size;
        int sortedBefore = 0;
        for (int slice = 0; slice < times.length; slice++) {
            for (; next < before + times[slice] && amongSorted.size() < most; next += size) {
                sorted[slice] = true;
                amongSorted.add(sortedBefore + (int) (next - before));
            }
            before += times[slice];
            sortedBefore += sorted[slice] ? times[slice] : 0;
        }
        List<Spot> spots = sorted(counting, slice -> sorted[slice]);
        return amongSorted.stream().map(spots::get).toList();
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
